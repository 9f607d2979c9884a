"""Cells of a curved surface pressed flat: parts that face one way, then relaxed to even lengths.

A part is seen along its mean normal, and its joints move in the plane until bubbles are as equally
long as the curvature lets them.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from airweft.draw.camera import Floats
from airweft.draw.facets import Laid, cells_at, facets
from airweft.records.arrays import Indices
from airweft.records.net import Net

_STEPS = 300
_ONE_WAY = 0.45  # length of the summed normals, as a share of the area
_SHORTEST, _LONGEST = 0.6, 1.5  # of a bubble's length, on the chart
_NEAREST = 1.05  # of a bubble's length, between the middles of two cells
_LEAST_AREA = 0.15  # of a cell, in bubble lengths squared
_STEEP = 0.3  # cosine to the mean normal below which a cell belongs to another part


def pressed(net: Net, cells: Sequence[int]) -> list[Laid]:
    """Parts of these cells; for each where joint k of its cells lies, a bubble being about 1.

    A part that would fold or crowd in the plane is cut and unfolded cell by cell instead.
    """
    found: list[Laid] = []
    for part in _parts(net, cells):
        laid = _flattened(net, part)
        found += [laid] if _lies_well(net, part, laid) else facets(net, part)
    return found


def faces_one_way(net: Net, cells: Sequence[int]) -> bool:
    """Whether the cells face much the same way, unlike those of a closed form."""
    normals = [_normal(net, k) for k in cells]
    whole = np.sum(normals, axis=0)
    area = sum(float(np.sqrt(normal @ normal)) for normal in normals)
    return float(np.sqrt(whole @ whole)) > _ONE_WAY * area


def _lies_well(net: Net, part: list[int], laid: Laid) -> bool:
    """Whether bubbles keep much of their length, and no cell is turned over or on another."""
    middles = []
    for k in part:
        ring = np.array([laid[k, n] for n in range(len(net.cells[k].joints))])
        before = np.roll(ring, 1, axis=0)
        spans = np.sqrt(((ring - before) ** 2).sum(axis=1))
        area = float((before[:, 0] * ring[:, 1] - before[:, 1] * ring[:, 0]).sum()) / 2
        if area < _LEAST_AREA or spans.min() < _SHORTEST or spans.max() > _LONGEST:
            return False
        middles.append(ring.mean(axis=0))
    at = np.array(middles)
    apart = np.sqrt(((at[:, None] - at[None]) ** 2).sum(axis=2))
    np.fill_diagonal(apart, np.inf)
    return float(apart.min()) > _NEAREST


def _normal(net: Net, cell: int) -> Floats:
    """Newell's normal of a cell, as long as its area."""
    ring = net.joints[list(net.cells[cell].joints)].round(4)
    ring = ring - ring.mean(axis=0)
    result: Floats = np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0) / 2
    return result


def _parts(net: Net, cells: Sequence[int]) -> list[list[int]]:
    """Connected parts whose cells face much the same way, the first cell's part first."""
    at_joint = cells_at(net, cells)
    normals = {k: np.round(_normal(net, k), 6) for k in cells}
    rest = dict.fromkeys(cells)
    parts = []
    while rest:
        first = next(iter(rest))
        part: list[int] = []
        queue, seen = [first], {first}
        total = np.zeros(3)
        while queue:
            here = queue.pop(0)
            normal = normals[here]
            size = float(np.sqrt(normal @ normal)) * float(np.sqrt(total @ total))
            if part and float(normal @ total) < _STEEP * size:
                continue
            part.append(here)
            total = total + normal
            for joint in net.cells[here].joints:
                for other in at_joint[joint]:
                    if other in rest and other not in seen:
                        seen.add(other)
                        queue.append(other)
        for k in part:
            del rest[k]
        parts.append(part)
    return parts


def _flattened(net: Net, part: list[int]) -> Laid:
    """One part in the plane, up on the chart being up on the piece as far as it can be."""
    used = sorted({joint for k in part for joint in net.cells[k].joints})
    index = {joint: n for n, joint in enumerate(used)}
    toward = np.zeros(3)
    for k in part:
        toward = toward + _normal(net, k)
    toward = toward / max(float(np.sqrt(toward @ toward)), 1e-12)
    upward = np.array([0.0, 0.0, 1.0]) if abs(float(toward[2])) < 0.9 else np.array([0.0, 1.0, 0.0])
    right = np.cross(upward, toward)
    right = right / max(float(np.sqrt(right @ right)), 1e-12)
    up = np.cross(toward, right)
    spots = net.joints[used].round(4)
    flat = np.stack([spots @ right, spots @ up], axis=1)
    pairs = []
    for k in part:
        joints = net.cells[k].joints
        pairs += [(index[joints[n - 1]], index[joint]) for n, joint in enumerate(joints)]
    two = np.array(pairs, dtype=np.int64)
    span = flat[two[:, 0]] - flat[two[:, 1]]
    usual = float(np.median(np.sqrt((span**2).sum(axis=1))))
    flat = _relaxed(flat / max(usual, 1e-9), two)
    return {
        (k, n): (float(flat[index[joint], 0]), float(flat[index[joint], 1]))
        for k in part
        for n, joint in enumerate(net.cells[k].joints)
    }


def _relaxed(flat: Floats, ends: Indices) -> Floats:
    """Joints moved so that bubbles come as near to a length of 1 as they can in the plane."""
    many = np.maximum(np.bincount(ends.ravel(), minlength=len(flat)), 1)[:, None]
    for _ in range(_STEPS):
        span = flat[ends[:, 1]] - flat[ends[:, 0]]
        size = np.maximum(np.sqrt((span**2).sum(axis=1, keepdims=True)), 1e-9)
        pull = span * ((size - 1.0) / size)
        move = np.zeros_like(flat)
        np.add.at(move, ends[:, 0], pull)
        np.add.at(move, ends[:, 1], -pull)
        flat = flat + 0.3 * move / many
    result: Floats = np.round(flat, 4)
    return result
