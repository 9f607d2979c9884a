"""A ball: an icosahedron, its triangles divided and moved out onto the ball.

Of three ways that were measured (docs/surface.md) this is the one whose net stays round when the
piece settles: a blown-up cube has the joints and bubbles of a box and goes back to one, a turned
half circle stretches.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from airweft.base.findings import Finding
from airweft.base.limits import MOST_BUBBLES
from airweft.base.nearest import said_list
from airweft.base.units import Unit, show_length
from airweft.records.arrays import Points, points
from airweft.records.design import Ball
from airweft.records.mesh import Face, Mesh
from airweft.surface.even import bubble_ends, even_out, spans
from airweft.surface.limits import check_lengths, check_total
from airweft.surface.solids import Shape, between, divided, shape_of

_CLOSE = 0.03  # a ball that is this little off the wished size needs no note


def ball_mesh(form: Ball, *, bubble: int) -> Mesh:
    """Cells of three bubbles in one panel, "ball", all joints on one ball.

    The division is the one whose ball, with bubbles of their length, comes nearest to `across`: 60,
    180, 240, 540, 720, 960 ... bubbles (classes I and II). The ball is then as large as its bubbles
    make it. Stripes count columns round the upright axis and rows from the lowest bubbles up.
    Raises CannotMake where it is too small or too large.
    """
    check_lengths({"across": form.across}, form="ball", least=12 * bubble // 5)
    parts = _wished(form, bubble)
    check_total(_parts_bubbles(parts), form="ball")
    return _ball(*_nearest(_near(parts), parts), bubble / 100)


def ball_notes(form: Ball, *, bubble: int, units: Unit) -> tuple[Finding, ...]:
    """A note where the ball comes out of another size than was wished, and the sizes beside it."""
    parts = _wished(form, bubble)
    if _parts_bubbles(parts) > MOST_BUBBLES:
        return ()
    ways = sorted({way for n in (parts, 3 * parts, parts / 3) for way in _near(n)}, key=_parts)
    best = _nearest(ways, parts)
    across = round(bubble * _across(*best))
    if abs(across - form.across) <= _CLOSE * form.across:
        return ()
    at = ways.index(best)
    step = 635 if units == "in" else 100  # a quarter inch or a millimetre

    def said(size: float) -> str:
        return show_length(max(1, round(size / step)) * step, units)

    sizes = [
        f"{said(bubble * _across(*way))} ({60 * _parts(way):,} bubbles)"
        for way in ways[max(0, at - 1) : at + 2]
    ]
    fits = max(1, round(bubble * form.across / across / 10)) * 10
    return (
        Finding(
            code="ball-size",
            severity="note",
            where="ball, across",
            message=f"The ball comes out {said(across)} across from joint to joint, not "
            f"{show_length(form.across, units)}: only some divisions close evenly. With bubbles "
            f"of {show_length(bubble, units)} the sizes are {said_list(sizes)}.",
            remedy=f"Keep it, write one of these sizes, or make the bubbles "
            f"{show_length(fits, units)} long.",
        ),
    )


@cache
def _across(times: int, half: bool) -> float:
    """How far a ball of this division is across, from joint to joint, in bubble lengths."""
    joints = np.asarray(_ball(times, half, 1.0).middles)
    # The joints lie on a ball about the middle of the corners, which stands above its lowest joint.
    return float(np.linalg.norm(joints - joints.mean(axis=0), axis=1).mean()) * 2


def _parts_bubbles(parts: float) -> int:
    """About how many bubbles a ball has of which every face is divided into so many parts."""
    return int(60 * parts)


def _wished(form: Ball, bubble: int) -> float:
    """Into how many parts every face would be divided at just the wished size."""
    # A bubble of the kagome has 1 / sqrt(3) of its length squared to itself.
    return math.pi / 15 * math.sqrt(3) * (form.across / 200 / (bubble / 100)) ** 2


def _nearest(ways: list[tuple[int, bool]], parts: float) -> tuple[int, bool]:
    """The division that comes nearest in size."""
    return min(ways, key=lambda way: abs(math.sqrt(_parts(way)) - math.sqrt(parts)))


def _near(parts: float) -> list[tuple[int, bool]]:
    """The divisions of either class about as fine as wished."""
    once, twice = int(math.sqrt(parts)), int(math.sqrt(parts / 3))
    found = [(once, False), (once + 1, False), (twice, True), (twice + 1, True)]
    return [way for way in found if way[0]]


def _parts(way: tuple[int, bool]) -> int:
    """Into how many a face is divided."""
    times, half = way
    return times * times * (3 if half else 1)


def _ball(times: int, half: bool, length: float) -> Mesh:
    """The ball of an icosahedron divided so often, its bubbles `length` mm in the mean."""
    shape = shape_of("icosahedron")
    assert shape is not None
    shape = divided(shape, times)
    if half:
        shape = between(shape)
    corners = _upright(shape)
    bare = Mesh(points(corners), tuple(Face(ring, "ball") for ring in shape.faces))
    rings, ends = bare.rings()
    two = np.array(ends)
    links = bubble_ends(rings)
    middles = _unit(corners[two[:, 0]] + corners[two[:, 1]])
    for _ in range(2):
        goal = float(spans(middles, links).mean())
        middles = even_out(
            middles, links, length=goal, onto=lambda _, wanted: _unit(wanted), steps=200
        )
    scale = length / float(spans(middles, links).mean())
    around, counted = _counted(middles, rings, scale, length)
    faces = tuple(
        Face(ring, "ball", counted=places)
        for ring, places in zip(shape.faces, counted, strict=True)
    )
    up = np.array([0.0, 0.0, -float(middles[:, 2].min()) * scale])
    return Mesh(
        points(corners * scale + up),
        faces,
        ("ball",),
        points(middles * scale + up),
        origins=((0, 0),),
        around=around,
    )


def _upright(shape: Shape) -> Points:
    """The corners on a ball of radius 1, standing on the first of them."""
    corners = _unit(shape.corners)
    down = -corners[0]
    side = _unit(np.cross(down, corners[1])[None])[0]
    return np.asarray(corners @ np.stack([side, np.cross(-down, side), -down]).T)


def _counted(
    middles: Points, rings: list[tuple[int, ...]], radius: float, length: float
) -> tuple[int, list[tuple[tuple[int, int], ...]]]:
    """Columns all round, in cells, and by place the column and row of each bubble for stripes."""
    step = length * math.sqrt(3) / 2
    rows = max(2, round(math.pi * radius / step))
    columns = max(4, 4 * round(2 * math.pi * radius / length / 4))
    found = []
    for ring in rings:
        places = []
        for k, joint in enumerate(ring):
            x, y, z = (middles[ring[k - 1]] + middles[joint]).tolist()
            turn = math.atan2(x, -y) / (2 * math.pi) % 1.0
            rise = 0.5 + math.asin(z / math.sqrt(x * x + y * y + z * z)) / math.pi
            column = math.floor(turn * columns + 1e-6) % columns
            places.append((column, min(math.floor(rise * rows + 1e-6), rows - 1)))
        found.append(tuple(places))
    return columns // 2, found


def _unit(spots: Points) -> Points:
    return np.asarray(spots / np.linalg.norm(spots, axis=1, keepdims=True))
