"""The body of a bubble in space, and its outline in the picture.

A body is an ellipsoid of revolution, stretched by a straight piece in the middle when the bubble is
long. It has a centre c, a half axis h (from c to the tip), a waist radius r and a cap e, the part
of |h| that the rounded end takes (e = |h| for short bubbles: a plain ellipsoid). Seen along any
direction its outline is exact and simple. With p the half axis in the picture, s the scale there:

    straight = p * (1 - e/|h|)                              half of the straight piece, a vector
    minor    = r * s
    major    = sqrt((r s)^2 + |p e/|h||^2 * (1 - (r/e)^2))  along p; a circle when seen end on

The outline is the ellipse (major, minor) turned to p, cut at its middle and pulled apart by
`straight` to both sides.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airweft.draw.camera import Camera, Floats, Scene, project, scene_of
from airweft.records.net import Cell, Net

INCH = 25.4
PULL = 0.97  # tip to tip, as a share of the distance between the joints
PLUMP = 0.345  # largest waist radius of a fabric bubble, as a share of its length
SLIM = 0.165  # the same for the bubbles of a frame, many of which meet in a joint
BARE = 0.3  # and for stalks and stitches beside fabric: the same balloon, nearly the same girth
CAP = 1.35  # length of a rounded end in waist radii
CAP_FRAME = 1.6  # frame bubbles taper more, so that many ends meet neatly in a joint
_FINE = 4  # decimals of a millimetre that pictures follow; beyond, machines differ
ROUND = 0.3  # radius of a loop as a share of its length


@dataclass(frozen=True, slots=True, kw_only=True)
class Bodies:
    """Bodies of all bubbles of a net, m of them; mm.

    centres, halves, normals have shape (m, 3); waists, caps (m,). A normal is the outward unit
    normal of the surface at the bubble, or zero where the net has no surface.
    """

    centres: Floats
    halves: Floats
    waists: Floats
    caps: Floats
    normals: Floats
    scene: Scene


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlines:
    """Projected bodies, m of them, in the picture's plane (mm at the centre's scale, y down).

    centres, axes (unit, along the bubble), straights have shape (m, 2), majors, minors, nears (m,).
    `facing` (m,) is the cosine between outward normal and direction to the viewer, 0 if unknown.
    """

    centres: Floats
    axes: Floats
    straights: Floats
    majors: Floats
    minors: Floats
    nears: Floats
    facing: Floats

    def extents(self) -> Floats:
        """Half width and half height of each outline's bounding box, shape (m, 2)."""
        across = self.axes[:, ::-1]
        half = np.sqrt(
            (self.axes * self.majors[:, None]) ** 2 + (across * self.minors[:, None]) ** 2
        )
        return half + np.abs(self.straights)


def diameter_mm(size: str) -> float:
    """Inflated diameter from a size code: its first digit, in inches (2 if there is none)."""
    return int(size[0]) * INCH if size[:1].isdigit() and size[0] != "0" else 2 * INCH


def bodies_of(net: Net) -> Bodies:
    """The bodies of all bubbles of `net`. Never fails: coincident joints give round bubbles."""
    joints = np.nan_to_num(net.joints, nan=0.0, posinf=0.0, neginf=0.0).round(_FINE)
    scene = scene_of(joints)
    m = net.bubble_count
    start, end = joints[net.ends[:, 0]], joints[net.ends[:, 1]]
    chord = end - start
    distance = np.sqrt((chord**2).sum(axis=1))
    length = net.lengths.astype(np.float64) / 100
    span = np.where(distance > 0, distance, np.maximum(length, 0.0))
    bare = BARE if "fabric" in net.kinds else SLIM
    share = np.array(
        [bare if kind in ("frame", "free") else PLUMP for kind in net.kinds], dtype=np.float64
    ).reshape(m)
    widest = np.array([diameter_mm(size) / 2 for size in net.sizes], dtype=np.float64).reshape(m)
    waists = np.maximum(np.minimum(widest, share * span), 1e-9)
    centres = (start + end) / 2
    halves = chord * (PULL / 2)
    joint_normals, bubble_normals = _normals(net, joints, np.array(scene.centre))
    _spread_doubles(net, centres, halves, waists, bubble_normals)
    _set_loops(net, centres, waists, length, joint_normals, joints)
    reach = np.sqrt((halves**2).sum(axis=1))
    taper = np.array(
        [CAP_FRAME if kind in ("frame", "free") else CAP for kind in net.kinds]
    ).reshape(m)
    caps = np.minimum(np.maximum(reach, waists), taper * waists)
    return Bodies(
        centres=centres,
        halves=halves,
        waists=waists,
        caps=caps,
        normals=bubble_normals,
        scene=scene_of(np.concatenate([joints, centres])) if m else scene,
    )


def outlines(bodies: Bodies, camera: Camera) -> Outlines:
    """What `camera` sees of the bodies, by the formulas at the top of this module."""
    tips, _, _ = project(camera, bodies.scene, bodies.centres + bodies.halves)
    tails, _, _ = project(camera, bodies.scene, bodies.centres - bodies.halves)
    flat, near, scale = project(camera, bodies.scene, bodies.centres)
    p = (tips - tails) / 2
    reach = np.sqrt((bodies.halves**2).sum(axis=1))
    share = np.where(reach > 0, np.minimum(1.0, bodies.caps / np.maximum(reach, 1e-12)), 1.0)
    long2 = (p**2).sum(axis=1)
    minor = bodies.waists * scale
    round_off = np.maximum(0.0, 1 - (bodies.waists / np.maximum(bodies.caps, 1e-12)) ** 2)
    major = np.sqrt(minor**2 + long2 * share**2 * round_off)
    unit = np.where(
        long2[:, None] > 1e-18, p / np.sqrt(np.maximum(long2, 1e-18))[:, None], (1.0, 0.0)
    )
    return Outlines(
        centres=flat,
        axes=unit,
        straights=p * (1 - share)[:, None],
        majors=major,
        minors=minor,
        nears=near,
        facing=np.round(bodies.normals @ camera.axes()[2], 9),
    )


def draw_order(shape: Outlines) -> list[int]:
    """Bubble indices from the farthest to the nearest; ties by index, so that it is stable."""
    return [int(i) for i in np.argsort(np.round(shape.nears, 6), kind="stable")]


def _normals(net: Net, joints: Floats, centre: Floats) -> tuple[Floats, Floats]:
    """Outward unit normals at joints and bubbles: the cells' own (Newell), else zero for bubbles.

    Joints without cells point away from the piece's centre.
    """
    at_joint = np.zeros((len(joints), 3))
    at_bubble = np.zeros((net.bubble_count, 3))
    by_size: dict[int, list[Cell]] = {}
    for cell in net.cells:
        by_size.setdefault(len(cell.joints), []).append(cell)
    for _, cells in sorted(by_size.items()):
        index = np.array([cell.joints for cell in cells], dtype=np.int64)
        ring = joints[index] - centre
        normal = _unit(np.cross(ring, np.roll(ring, -1, axis=1)).sum(axis=1))
        for k in range(index.shape[1]):
            np.add.at(at_joint, index[:, k], normal)
        for cell, value in zip(cells, normal, strict=True):
            at_bubble[list(cell.bubbles)] += value
    away = joints - centre
    lacking = (at_joint**2).sum(axis=1) < 1e-12
    at_joint[lacking] = away[lacking]
    nowhere = (at_joint**2).sum(axis=1) < 1e-12
    at_joint[nowhere] = (0.0, 0.0, 1.0)
    return _unit(at_joint), _unit(at_bubble)


def _unit(vectors: Floats) -> Floats:
    """Vectors of length one; zero stays zero."""
    size = np.sqrt((vectors**2).sum(axis=1, keepdims=True))
    result: Floats = np.where(size > 1e-12, vectors / np.maximum(size, 1e-12), 0.0)
    return result


def _sideways(axis: Floats, normal: Floats) -> Floats:
    """A unit vector across `axis`, in the surface where there is one."""
    for other in (normal, np.array([0.0, 0.0, 1.0]), np.array([1.0, 0.0, 0.0])):
        cross = np.cross(axis, other)
        size = float(np.sqrt(cross @ cross))
        if size > 1e-9 * (1 + float(np.abs(axis).max())):
            result: Floats = cross / size
            return result
    return np.array([1.0, 0.0, 0.0])


def _spread_doubles(
    net: Net, centres: Floats, halves: Floats, waists: Floats, normals: Floats
) -> None:
    """Set bubbles that join the same two joints side by side (in place)."""
    groups: dict[tuple[int, int], list[int]] = {}
    for bubble, (a, b) in enumerate(net.ends.tolist()):
        if a != b:
            groups.setdefault((min(a, b), max(a, b)), []).append(bubble)
    for (_, _), group in sorted(groups.items()):
        if len(group) < 2:
            continue
        first = group[0]
        side = _sideways(halves[first], normals[first])
        for k, bubble in enumerate(group):
            step = k - (len(group) - 1) / 2
            centres[bubble] += side * step * 1.5 * waists[bubble]


def _set_loops(
    net: Net,
    centres: Floats,
    waists: Floats,
    length: Floats,
    joint_normals: Floats,
    joints: Floats,
) -> None:
    """Place loops as round bubbles sitting outside on their joint, fanned out if several."""
    groups: dict[int, list[int]] = {}
    for bubble, (a, b) in enumerate(net.ends.tolist()):
        if a == b:
            groups.setdefault(a, []).append(bubble)
    for joint, group in sorted(groups.items()):
        normal = joint_normals[joint]
        side = _sideways(normal, np.array([0.0, 0.0, 1.0]))
        for k, bubble in enumerate(group):
            widest = diameter_mm(net.sizes[bubble]) / 2
            waists[bubble] = max(1e-9, min(widest, ROUND * max(length[bubble], 0.0)))
            step = k - (len(group) - 1) / 2
            out = normal * waists[bubble] * 0.9 + side * step * 1.7 * waists[bubble]
            centres[bubble] = joints[joint] + out
