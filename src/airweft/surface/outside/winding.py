"""Winding numbers of any triangle soup, and a clean skin around what they call inside.

The generalized winding number (A. Jacobson, L. Kavan, O. Sorkine-Hornung, Robust inside-outside
segmentation using generalized winding numbers, ACM Trans. Graph. 32 (2013)) is the solid angle of
all triangles over 4 pi: about 1 inside and 0 outside, whatever holes and crossings there are. Far
triangles count as dipoles, as G. Barill and others do (ACM Trans. Graph. 37 (2018)).
"""

from __future__ import annotations

from itertools import permutations

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from airweft.records.arrays import Indices, Points
from airweft.surface.outside.triangles import drop_unused

_AT_ONCE = 2000  # triangles cut small at a time, for the sake of memory
_BLOCK = 3  # grid steps along a block of places that share their near triangles


def winding(corners: Points, spots: Points) -> NDArray[np.float64]:
    """(n,) exact winding numbers of (t, 3, 3) triangles about (n, 3) spots. O(n t).

    Solid angles by A. van Oosterom and J. Strackee, IEEE Trans. Biomed. Eng. 30 (1983).
    """
    total = np.zeros(len(spots))
    step = max(1, 400_000 // max(1, len(corners)))
    for first in range(0, len(spots), step):
        a, b, c = (corners[None, :, k] - spots[first : first + step, None] for k in range(3))
        la, lb, lc = (np.sqrt(np.einsum("ijk,ijk->ij", x, x)) for x in (a, b, c))
        top = np.einsum("ijk,ijk->ij", a, np.cross(b, c))
        bottom = la * lb * lc
        bottom += np.einsum("ijk,ijk->ij", a, b) * lc
        bottom += np.einsum("ijk,ijk->ij", b, c) * la
        bottom += np.einsum("ijk,ijk->ij", c, a) * lb
        total[first : first + step] = np.arctan2(top, bottom).sum(axis=1) / (2 * np.pi)
    return total


def skin(vertices: Points, faces: Indices, *, grid: int) -> tuple[Points, Indices]:
    """A closed clean mesh around all places with a winding number above one half.

    `grid` is the number of steps along the longest side of the box. May be empty.
    """
    corners = vertices[faces]
    low, high = corners.min(axis=(0, 1)), corners.max(axis=(0, 1))
    step = float((high - low).max()) / grid
    size = np.ceil((high - low) / step).astype(int) + 7
    origin = low - 3.0 * step
    near = _near(corners, origin, step, size)
    inside = _inside(corners, near, origin, step)
    spots, triangles = march(inside)
    if not len(triangles):
        return np.zeros((0, 3)), triangles
    return drop_unused(spots * step + origin, triangles)


def _near(corners: Points, origin: Points, step: float, size: Indices) -> NDArray[np.bool_]:
    """Grid places within about a step of the surface."""
    near = np.zeros(size, dtype=bool)
    for first in range(0, len(corners), _AT_ONCE):
        _mark(corners[first : first + _AT_ONCE], origin, step, near)
    wide: NDArray[np.bool_] = ndimage.binary_dilation(near, np.ones((3, 3, 3)), iterations=2)
    return wide


def _mark(corners: Points, origin: Points, step: float, near: NDArray[np.bool_]) -> None:
    """Mark the grid places where the triangles lie, cut until they are small."""
    size, pending = near.shape, corners
    while len(pending):
        long = np.linalg.norm(pending - np.roll(pending, -1, axis=1), axis=2).max(axis=1) > step
        cells = np.floor((pending[~long].mean(axis=1) - origin) / step).astype(int)
        near[tuple(np.clip(cells, 0, np.array(size) - 1).T)] = True
        a, b, c = (pending[long][:, k] for k in range(3))
        ab, bc, ca = (a + b) / 2, (b + c) / 2, (c + a) / 2
        pending = np.concatenate(
            [np.stack(t, axis=1) for t in ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))]
        )


def _inside(
    corners: Points, near: NDArray[np.bool_], origin: Points, step: float
) -> NDArray[np.bool_]:
    """True at grid places inside; places far from the surface take after one of their region."""
    inside = np.zeros(near.shape, dtype=bool)
    wanted = near.copy()
    regions, count = ndimage.label(~near)
    for region in range(1, count + 1):
        place = np.unravel_index(int(np.argmax(regions == region)), near.shape)
        wanted[place] = True
    places = np.argwhere(wanted)
    values = _far_and_near(corners, places * step + origin, step * _BLOCK)
    inside[tuple(places.T)] = values > 0.5
    for region in range(1, count + 1):
        place = np.unravel_index(int(np.argmax(regions == region)), near.shape)
        inside[regions == region] = inside[place]
    inside[[0, -1]] = inside[:, [0, -1]] = inside[:, :, [0, -1]] = False
    return inside


def _far_and_near(corners: Points, spots: Points, block: float) -> NDArray[np.float64]:
    """Winding numbers; triangles more than a block away count as one dipole for each block."""
    base = np.minimum(corners.min(axis=(0, 1)), spots.min(axis=0))
    middles = corners.mean(axis=1)
    areas = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]) / 2
    weight = np.linalg.norm(areas, axis=1)
    of, group = np.unique(
        np.floor((middles - base) / block).astype(np.int64), axis=0, return_inverse=True
    )
    group = group.reshape(-1)
    total = np.maximum(np.bincount(group, weight, len(of)), 1e-300)
    centre = np.stack([np.bincount(group, weight * x, len(of)) / total for x in middles.T], axis=1)
    dipole = np.stack([np.bincount(group, x, len(of)) for x in areas.T], axis=1)
    reach = np.zeros(len(of))
    np.maximum.at(reach, group, np.linalg.norm(corners - centre[group][:, None], axis=2).max(1))
    members = np.argsort(group, kind="stable")
    bounds = np.searchsorted(group[members], np.arange(len(of) + 1))
    result = np.zeros(len(spots))
    rooms, room = np.unique(
        np.floor((spots - base) / block).astype(np.int64), axis=0, return_inverse=True
    )
    order = np.argsort(room.reshape(-1), kind="stable")
    starts = np.searchsorted(room.reshape(-1)[order], np.arange(len(rooms) + 1))
    for number, place in enumerate(rooms):
        here = order[starts[number] : starts[number + 1]]
        middle = base + (place + 0.5) * block
        close = np.linalg.norm(centre - middle, axis=1) < 0.87 * block + 1.5 * reach
        chosen = [members[bounds[g] : bounds[g + 1]] for g in np.flatnonzero(close)]
        if chosen:
            result[here] += winding(corners[np.concatenate(chosen)], spots[here])
        way = centre[~close][None] - spots[here][:, None]
        far = np.maximum(np.einsum("ijk,ijk->ij", way, way), 1e-300) ** 1.5
        result[here] += (np.einsum("ijk,jk->ij", way, dipole[~close]) / far).sum(1) / (4 * np.pi)
    return result


def march(inside: NDArray[np.bool_]) -> tuple[Points, Indices]:
    """The surface between places inside and outside, in grid units: six tetrahedra to a cube.

    Vertices lie midway between two places. Tetrahedra leave no case in doubt, so that the result is
    always a closed two-manifold.
    """
    shape = np.array(inside.shape)
    strides = np.array([shape[1] * shape[2], shape[2], 1])
    flat = inside.reshape(-1)
    cubes = np.zeros(shape, dtype=bool)
    cubes[:-1, :-1, :-1] = True
    lowest = np.flatnonzero(cubes.reshape(-1))
    corner_sum = sum(
        flat[lowest + i * strides[0] + j * strides[1] + k].astype(np.int8)
        for i in (0, 1)
        for j in (0, 1)
        for k in (0, 1)
    )
    lowest = lowest[(corner_sum > 0) & (corner_sum < 8)]
    found: list[NDArray[np.int64]] = []
    for order in permutations(range(3)):
        steps = np.concatenate(([0], np.cumsum(strides[list(order)])))
        corners = lowest[:, None] + steps[None, :]
        if _odd(order):
            corners = corners[:, [0, 2, 1, 3]]
        found += _cut(corners, flat)
    pieces = np.concatenate(found) if found else np.zeros((0, 3, 2), dtype=np.int64)
    pieces = np.sort(pieces, axis=2)
    keys, index = np.unique(pieces[..., 0] * flat.size + pieces[..., 1], return_inverse=True)
    ends = np.stack((keys // flat.size, keys % flat.size), axis=1)
    spots = np.stack(np.unravel_index(ends, inside.shape), axis=-1).mean(axis=1)
    return spots.astype(np.float64), index.reshape(-1, 3).astype(np.int64)


def _odd(order: tuple[int, ...]) -> bool:
    return sum(order[i] > order[j] for i in range(3) for j in range(i + 1, 3)) % 2 == 1


# Triangles of a tetrahedron with corners 0 to 3 (right-handed) for each set of corners inside; each
# vertex of a triangle is an edge of the tetrahedron.
_CASES: dict[tuple[int, ...], tuple[tuple[tuple[int, int], ...], ...]] = {}


def _fill_cases() -> None:
    for a, b, c, d in ((0, 1, 2, 3), (1, 0, 3, 2), (2, 3, 0, 1), (3, 2, 1, 0)):
        _CASES[(a,)] = (((a, b), (a, c), (a, d)),)
        _CASES[tuple(sorted((b, c, d)))] = (((a, b), (a, d), (a, c)),)
    for a, b, c, d in (
        (0, 1, 2, 3), (0, 2, 3, 1), (0, 3, 1, 2), (1, 2, 0, 3), (1, 3, 2, 0), (2, 3, 0, 1)
    ):  # fmt: skip
        _CASES[tuple(sorted((a, b)))] = (
            ((a, c), (a, d), (b, d)),
            ((a, c), (b, d), (b, c)),
        )


_fill_cases()


def _cut(corners: Indices, inside: NDArray[np.bool_]) -> list[NDArray[np.int64]]:
    """Triangles, each of three pairs of grid places, of many tetrahedra (n, 4)."""
    pattern = (inside[corners] * np.array([1, 2, 4, 8])).sum(axis=1)
    found = []
    for case, triangles in _CASES.items():
        rows = corners[pattern == sum(1 << k for k in case)]
        for triangle in triangles:
            found.append(np.stack([rows[:, list(pair)] for pair in triangle], axis=1))
    return found


def drawn_to(vertices: Points, faces: Indices, spots: Points, near: NDArray[np.bool_]) -> Points:
    """Vertices moved to `spots` where `near`, the others to the middle of their neighbours."""
    total, count = np.zeros_like(vertices), np.zeros(len(vertices))
    moved = np.where(near[:, None], spots, vertices)
    for k in range(3):
        np.add.at(total, faces[:, k], moved[faces[:, (k + 1) % 3]])
        np.add.at(count, faces[:, k], 1)
    return np.asarray(np.where(near[:, None], spots, total / np.maximum(count, 1)[:, None]))
