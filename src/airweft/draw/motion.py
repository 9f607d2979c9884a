"""How a piece gives: the piece veiled, with arrows from the joints that move.

Arrows are flat and tapered, dark with a white rim, so that they stand out in grey as well. They are
drawn over the piece from far to near; those of joints that lie behind are left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from airweft.draw.body import Bodies, Outlines, bodies_of, draw_order, outlines
from airweft.draw.camera import Camera, Floats, project
from airweft.draw.cover import Cover, cover
from airweft.draw.frame import moved
from airweft.draw.numbers import num
from airweft.draw.paint import Brush, document
from airweft.draw.palette import INK, PAPER, shades_of
from airweft.draw.picture import INSIDE
from airweft.draw.view import CAMERAS
from airweft.records.arrays import Points
from airweft.records.design import Colour
from airweft.records.net import Net

ARROW = "#8c1c2b"
"""The arrows' own red: dark enough to stand out from any veil on a grey printer."""
MOST_ARROWS = 36
_APART = 0.075  # arrows start at least so far from each other, as a share of the picture's width
_LEAST = 0.11  # the longest arrow is at least so long, as a share of the piece's size
_SLENDER = 0.105  # half the breadth of a shaft, as a share of the longest arrow's length
_BROADEST = 0.015  # and at most this share of the picture's width
_SHORT = 0.28  # arrows that look shorter than this share of the longest say nothing
_FROM_ABOVE = tuple(camera for camera in CAMERAS if camera.tilt > 0)
_BEHIND = 0.12  # what motion at the back counts for, as a share, when a camera is chosen


@dataclass(frozen=True, slots=True)
class _Arrow:
    """Its joint, from where to where in px, and how near the joint lies to the viewer."""

    joint: int
    x: float
    y: float
    dx: float
    dy: float
    near: float


def motion_camera(net: Net, moves: Points, *, bodies: Bodies | None = None) -> Camera:
    """The camera that shows `moves` (n, 3) best: motion across the view, on the near side."""
    body = bodies or bodies_of(net)
    step = _clean_moves(net, moves)
    if not net.bubble_count or not step.any():
        return _FROM_ABOVE[0]
    normals = _joint_normals(net, body)
    worths = []
    for camera in _FROM_ABOVE:
        right, up, toward = camera.axes()
        across = (step @ right) ** 2 + (step @ up) ** 2
        seen = np.where(normals @ toward >= INSIDE, 1.0, _BEHIND)
        flat, _, _ = project(camera, body.scene, body.centres)
        wide, tall = (flat.max(axis=0) - flat.min(axis=0)).tolist()
        # A sheet seen edge on shows its motion well and itself not at all.
        room = max(wide * tall, 1e-9) ** 0.4
        worths.append(round(float((across * seen).sum()) ** 0.5 * room, 6))
    # Among nearly equal ones the first: it is nearest to how the cover shows the piece.
    good = max(worths) * 0.93
    return next(c for c, worth in zip(_FROM_ABOVE, worths, strict=True) if worth >= good)


def motion(
    net: Net,
    palette: Iterable[Colour],
    camera: Camera,
    moves: Points,
    joints: Sequence[int],
    *,
    length_mm: float,
    width: float = 480,
    title: str = "",
    bodies: Bodies | None = None,
) -> str:
    """An SVG picture of `net`, veiled, with an arrow for each of `joints` that shows.

    moves      (n, 3) of all joints, the farthest-moving by 1; numbers that are none count as 0
    length_mm  of the arrow of a joint that moves by 1; more on pieces where it would be too small
               to see
    width      of the picture in px; it is up to 1.1 times as high
    title      what the picture shows, for screen readers
    """
    body = bodies or bodies_of(net)
    shape = outlines(body, camera)
    every = list(range(net.bubble_count))
    index, starts, ends, nears = _arrows(net, body, camera, moves, joints, length_mm)
    shape, scale, shift, tall = _fitted(shape, every, np.concatenate([starts, ends]), width)
    found = cover(shape, draw_order(shape))
    order = [i for i in draw_order(shape) if found.share[i] > 0]
    middle = float(np.median(shape.minors[order])) if order else 1.0
    brush = Brush(
        shades=shades_of(palette, (net.colours[i] for i in order)),
        line=min(max(middle * 0.085, 0.25), 2.6),
    )
    inner = [
        brush.veiled(shape, i, net.colours[i], back=bool(shape.facing[i] < INSIDE)) for i in order
    ]
    starts, ends = starts * scale + shift, ends * scale + shift
    placed = [
        _Arrow(joint, x, y, u - x, v - y, near)
        for joint, (x, y), (u, v), near in zip(
            index, starts.tolist(), ends.tolist(), nears.tolist(), strict=True
        )
    ]
    in_front = [arrow for arrow in placed if _shows(net, shape, found, arrow)]
    chosen = _spread(in_front or placed, width)
    longest = max((_long(arrow) for arrow in chosen), default=0.0)
    breadth = min(_SLENDER * longest, _BROADEST * width)
    inner += [
        arrow_svg(arrow.x, arrow.y, arrow.dx, arrow.dy, breadth)
        for arrow in sorted(chosen, key=lambda arrow: round(arrow.near, 6))
    ]
    return document(width, tall, brush, "".join(inner), title)


def arrow_svg(x: float, y: float, dx: float, dy: float, breadth: float) -> str:
    """One arrow from (x, y) by (dx, dy), its shaft up to `breadth` to each side, as SVG.

    A dot marks the joint; the shaft widens towards the head; all on a white rim.
    """
    long = max((dx * dx + dy * dy) ** 0.5, 1e-9)
    ux, uy = dx / long, dy / long
    broad = min(breadth, 0.17 * long)
    head = min(3.4 * broad, 0.62 * long)
    rim = max(0.9, 0.34 * broad)

    def at(along: float, across: float) -> str:
        return f"{num(x + ux * along - uy * across, 2)} {num(y + uy * along + ux * across, 2)}"

    neck = long - head
    tail, barb = 0.42 * broad, 1.95 * broad
    points = [
        (0.0, tail),
        (neck, 0.86 * broad),
        (neck - 0.24 * head, barb),
        (long, 0.0),
        (neck - 0.24 * head, -barb),
        (neck, -0.86 * broad),
        (0.0, -tail),
    ]
    path = "M" + "L".join(at(*point) for point in points) + "z"
    dot = f'cx="{num(x, 2)}" cy="{num(y, 2)}" r="{num(max(0.8 * broad, 0.8), 2)}"'
    white = f'fill="{PAPER}" stroke="{PAPER}" stroke-width="{num(3.2 * rim, 2)}"'
    own = f'fill="{ARROW}" stroke="{INK}" stroke-width="{num(0.7 * rim, 2)}"'
    return (
        f'<path d="{path}" {white}/><circle {dot} {white}/>'
        f'<path d="{path}" {own}/><circle {dot} {own}/>'
    )


def _long(arrow: _Arrow) -> float:
    return float((arrow.dx * arrow.dx + arrow.dy * arrow.dy) ** 0.5)


def _clean_moves(net: Net, moves: Points) -> Floats:
    """Moves of all joints, finite and not above 1; none where they do not fit the net."""
    if moves.shape != (net.joint_count, 3):
        return np.zeros((net.joint_count, 3))
    clean: Floats = np.nan_to_num(moves, nan=0.0, posinf=0.0, neginf=0.0)
    farthest = float(np.sqrt((clean**2).sum(axis=1)).max()) if len(clean) else 0.0
    return clean / farthest if farthest > 1 else clean


def _joint_normals(net: Net, body: Bodies) -> Floats:
    """Outward direction at each joint, of its bubbles' normals; zero where there is no surface."""
    total = np.zeros((net.joint_count, 3))
    for side in (0, 1):
        np.add.at(total, net.ends[:, side], body.normals)
    size = np.sqrt((total**2).sum(axis=1, keepdims=True))
    return np.asarray(np.where(size > 1e-9, total / np.maximum(size, 1e-9), 0.0))


def _arrows(
    net: Net, body: Bodies, camera: Camera, moves: Points, joints: Sequence[int], length_mm: float
) -> tuple[list[int], Floats, Floats, Floats]:
    """Joints that move, starts and ends (k, 2) before fitting, nearness (k,); order as given."""
    step = _clean_moves(net, moves)
    wanted = [j for j in dict.fromkeys(joints) if 0 <= j < net.joint_count and step[j].any()]
    if not wanted or not net.bubble_count:
        return [], np.zeros((0, 2)), np.zeros((0, 2)), np.zeros(0)
    spots = np.nan_to_num(net.joints[wanted], nan=0.0, posinf=0.0, neginf=0.0)
    length = length_mm if np.isfinite(length_mm) and length_mm > 0 else 0.0
    length = max(length, _LEAST * 2 * body.scene.radius)
    starts, near, _ = project(camera, body.scene, spots)
    ends, _, _ = project(camera, body.scene, spots + step[wanted] * length)
    seen = np.sqrt(((ends - starts) ** 2).sum(axis=1))
    clear = seen >= max(_SHORT * float(seen.max()), 1e-9)
    index = [joint for joint, keep in zip(wanted, clear.tolist(), strict=True) if keep]
    return index, starts[clear], ends[clear], near[clear]


def _shows(net: Net, shape: Outlines, found: Cover, arrow: _Arrow) -> bool:
    """Whether the arrow's joint is not covered by a bubble that lies nearer."""
    rows, columns = found.grid.shape
    u = min(max(int((arrow.x - found.corner[0]) / found.square), 0), columns - 1)
    v = min(max(int((arrow.y - found.corner[1]) / found.square), 0), rows - 1)
    top = int(found.grid[v, u])
    if top < 0:
        return True
    front = found.order[top]
    return arrow.joint in net.ends[front].tolist() or bool(shape.nears[front] <= arrow.near)


def _fitted(
    shape: Outlines, every: list[int], tips: Floats, width: float
) -> tuple[Outlines, float, Floats, float]:
    """Outlines with all arrows in a picture `width` wide; scale and shift of points; its height."""
    low = high = np.zeros((0, 2))
    if every:
        half = shape.extents()
        low, high = shape.centres - half, shape.centres + half
    corners = np.concatenate([low, high, tips])
    if not len(corners):
        return shape, 1.0, np.zeros(2), width / 2
    least, most = corners.min(axis=0), corners.max(axis=0)
    span = np.maximum(most - least, 1e-9)
    margin = width * 0.03 + 2
    scale = float(min((width - 2 * margin) / span[0], (width * 1.1 - 2 * margin) / span[1]))
    tall = float(span[1]) * scale + 2 * margin
    shift = np.array([width, tall]) / 2 - (least + most) / 2 * scale
    dx, dy = shift.tolist()
    return moved(shape, scale, dx, dy), scale, shift, tall


def _spread(arrows: Sequence[_Arrow], width: float) -> list[_Arrow]:
    """The first arrows that leave room for each other: the farthest-moving joints come first."""
    kept: list[_Arrow] = []
    room = (_APART * width) ** 2
    for arrow in arrows:
        if all((arrow.x - k.x) ** 2 + (arrow.y - k.y) ** 2 >= room for k in kept):
            kept.append(arrow)
        if len(kept) == MOST_ARROWS:
            break
    return kept
