"""Meshes of turned surfaces: rows of cells put together, joints evened out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from airweft.records.arrays import Points, points
from airweft.records.mesh import Face, Mesh
from airweft.surface.even import bubble_ends, even_out
from airweft.surface.profile import Profile

_FULL = 2 * math.pi


@dataclass(frozen=True, slots=True)
class Level:
    """One level of a turned surface: where on the line, cells around, and if it may slide."""

    along: float
    cells: int
    slides: bool = True


@dataclass(frozen=True, slots=True)
class _Ring:
    """The corners of a level: the number of the first, and the angle of each.

    Level edge k, from corner k to the next, has the number of corner k.
    """

    first: int
    angles: Points

    def corner(self, k: int) -> int:
        return self.first + k % len(self.angles)

    def angle(self, k: float) -> float:
        """Angle of corner k, running on beyond a full turn; half a k is the middle of an edge."""
        n = len(self.angles)
        low = math.floor(k)
        turns, place = divmod(low, n)
        here = float(self.angles[place]) + turns * _FULL
        if k == low:
            return here
        turns, place = divmod(low + 1, n)
        return (here + float(self.angles[place]) + turns * _FULL) / 2


@dataclass(slots=True)
class _Parts:
    """What is put together: faces, and (along, angle, slides) of the joint at each edge."""

    faces: list[Face] = field(default_factory=list)
    joints: dict[int, tuple[float, float, bool]] = field(default_factory=dict)


def spin(
    line: Profile,
    levels: Sequence[Level],
    panels: Sequence[str],
    *,
    bubble: float,
    around: int,
    foot: int = 0,
    tips: tuple[str, str] = ("", ""),
    looped: bool = False,
) -> Mesh:
    """The mesh of the rows between these levels, from the bottom up; `panels[k]` names row k.

    Rows between levels of equal counts have four-sided cells. Where the next level has fewer cells,
    some cells have two edges below and one above, and where it has more, the other way round:
    five-sided cells. `tips` name the panels of the cells that close the lowest and the highest
    level, "" where it stays open. `looped` lays the last level on the first, as in a ring.
    `around` is the most cells around, `foot` the row that counts as the first. Lengths in mm.
    """
    rings, uprights = _rings(levels, looped=looped)
    parts = _Parts()
    charts = _charts(levels, panels)
    if tips[0]:
        parts.faces.append(_tip(rings[0], tips[0], around, -2 * foot - 1, below=True))
    upright = sum(len(ring.angles) for ring in rings)
    for row, pairs in enumerate(uprights):
        below, above = rings[row], rings[(row + 1) % len(rings)]
        middle = (levels[row].along + levels[row + 1].along) / 2
        for cell, (a, b) in enumerate(pairs):
            panel, chart_row = charts[row]
            parts.joints[upright + cell] = (middle, _between(below.angle(a), above.angle(b)), True)
            nxt = pairs[(cell + 1) % len(pairs)]
            last = cell + 1 == len(pairs)
            a_end = nxt[0] + (len(below.angles) if last else 0)
            b_end = nxt[1] + (len(above.angles) if last else 0)
            parts.faces.append(
                _cell(
                    below,
                    above,
                    (a, a_end, b, b_end),
                    (upright + cell, upright + (cell + 1) % len(pairs)),
                    panel=panel,
                    place=(cell, chart_row) if chart_row >= 0 else (-1, -1),
                    around=around,
                    row=2 * (row - foot),
                )
            )
        upright += len(pairs)
    if tips[1]:
        parts.faces.append(
            _tip(rings[-1], tips[1], around, 2 * (len(uprights) - foot), below=False)
        )
    for ring, level in zip(rings, levels, strict=False):
        for k in range(len(ring.angles)):
            parts.joints[ring.first + k] = (level.along, ring.angle(k + 0.5), level.slides)
    vertices = [
        line.spots(np.full(len(ring.angles), level.along), ring.angles)
        for ring, level in zip(rings, levels, strict=False)
    ]
    return _evened(line, parts, np.concatenate(vertices), bubble, around, looped=looped)


def _rings(
    levels: Sequence[Level], *, looped: bool
) -> tuple[list[_Ring], list[list[tuple[int, int]]]]:
    """The corners of every level, and for each row the corners that its upright edges join."""
    rings = [_Ring(0, np.arange(levels[0].cells) * _FULL / levels[0].cells)]
    uprights: list[list[tuple[int, int]]] = []
    for low, high in pairwise(levels):
        below = rings[-1]
        kept = _kept(max(low.cells, high.cells), min(low.cells, high.cells))
        if low.cells >= high.cells:
            pairs = [(a, i) for i, a in enumerate(kept)]
        else:
            pairs = [(i, b) for i, b in enumerate(kept)]
        if looped and len(rings) == len(levels) - 1:
            uprights.append(_laid_on(below, rings[0], pairs))
            break
        step = _FULL / high.cells
        turn = float(np.mean([below.angles[a] - step * b for a, b in pairs]))
        first = below.first + len(below.angles)
        rings.append(
            _Ring(first, np.asarray(np.arange(high.cells) * step + turn, dtype=np.float64))
        )
        uprights.append(pairs)
    return rings, uprights


def _laid_on(below: _Ring, first: _Ring, pairs: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """The last row of a ring: its upright edges end at the nearest corners of the first level."""
    n = len(first.angles)
    turn = float(np.mean([below.angles[a] - first.angles[b] for a, b in pairs]))
    shift = round(turn / (_FULL / n))
    return [(a, b + shift) for a, b in pairs]


def _kept(many: int, few: int) -> list[int]:
    """The corners of the fuller level that have an upright edge: all but some, evenly spread."""
    less = many - few
    bare = {int((i + 0.5) * many / less) for i in range(less)} if less else set()
    return [k for k in range(many) if k not in bare]


def _between(one: float, other: float) -> float:
    """Half-way between two angles, the short way round."""
    return one + ((other - one + math.pi) % _FULL - math.pi) / 2


def _column(angle: float, around: int) -> int:
    """Column of bubbles at this angle, of 2 x `around` all the way round."""
    return math.floor(angle / _FULL * 2 * around + 1e-6) % (2 * around)


def _cell(
    below: _Ring,
    above: _Ring,
    reach: tuple[int, int, int, int],
    upright: tuple[int, int],
    *,
    panel: str,
    place: tuple[int, int],
    around: int,
    row: int,
) -> Face:
    """A cell between two upright edges; `reach` are its first and last corners below and above."""
    a, a_end, b, b_end = reach
    low, high = range(a, a_end), range(b_end - 1, b - 1, -1)
    corners = [below.corner(k) for k in range(a, a_end + 1)]
    corners += [above.corner(k) for k in range(b_end, b - 1, -1)]
    edges = [below.corner(k) for k in low] + [upright[1]] + [above.corner(k) for k in high]
    edges.append(upright[0])
    left = _between(below.angle(a), above.angle(b))
    right = _between(below.angle(a_end), above.angle(b_end))
    joints = [below.angle(k + 0.5) for k in low] + [right]
    joints += [above.angle(k + 0.5) for k in high] + [left]
    counted = []
    for k in range(len(corners)):
        column = _column(_between(joints[k - 1], joints[k]), around)
        counted.append((column, row if k <= len(low) else row + 1))
    return Face(tuple(corners), panel, *place, tuple(edges), tuple(counted))


def _tip(ring: _Ring, panel: str, around: int, row: int, *, below: bool) -> Face:
    """The one cell that closes a level, seen from above or, `below`, from below."""
    n = len(ring.angles)
    order = [-k % n for k in range(n)] if below else list(range(n))
    corners = tuple(ring.corner(k) for k in order)
    edges = tuple(ring.corner(k - 1 if below else k) for k in order)
    counted = tuple((_column(ring.angle(k), around), row) for k in order)
    return Face(corners, panel, -1, -1, edges, counted)


def _charts(levels: Sequence[Level], panels: Sequence[str]) -> list[tuple[str, int]]:
    """Panel and chart row of each row of cells; row -1 where it is on no chart.

    Rows of like cells one above the other are a chart of their own: "side", "side 2" ... from the
    bottom up. Caps, and rows where the count changes, are on none.
    """
    charts: list[tuple[str, int]] = []
    number: dict[str, int] = {}
    before = ("", 0)
    high = 0
    for panel, low, top in zip(panels, levels, levels[1:], strict=False):
        plain = low.cells == top.cells and panel not in ("bottom", "top")
        if plain and before != (panel, low.cells):
            number[panel] = number.get(panel, 0) + 1
            high = 0
        count = number.get(panel, 1)
        name = panel if count == 1 else f"{panel} {count}"
        charts.append((name, high if plain else -1))
        high += 1
        before = (panel, low.cells) if plain else ("", 0)
    return charts


def _evened(
    line: Profile,
    parts: _Parts,
    vertices: Points,
    bubble: float,
    around: int,
    *,
    looped: bool,
) -> Mesh:
    """The mesh, its joints slid along the surface until the bubbles are as long as they can be."""
    faces = tuple(parts.faces)
    bare = Mesh(points(vertices), faces)
    rings, _ = bare.rings()
    order = list(dict.fromkeys(edge for face in faces for edge in face.edges))
    state = np.array([parts.joints[name][:2] for name in order])
    slides = np.array([parts.joints[name][2] for name in order])

    def onto(_spots: Points, wanted: Points) -> Points:
        along, angle = state[:, 0], state[:, 1]
        radius = np.maximum(line.radius_at(along), 1e-6)
        move = wanted - line.spots(along, angle)
        out = move[:, 0] * np.sin(angle) - move[:, 1] * np.cos(angle)
        sideways = move[:, 0] * np.cos(angle) + move[:, 1] * np.sin(angle)
        wider, higher = line.slope(along)
        along = along + np.where(slides, out * wider + move[:, 2] * higher, 0.0)
        along = along % line.length if looped else np.clip(along, 0.0, line.length)
        state[:, 0] = along
        state[:, 1] = angle + sideways / radius
        return line.spots(state[:, 0], state[:, 1])

    start = line.spots(state[:, 0], state[:, 1])
    middles = even_out(start, bubble_ends(rings), length=bubble, onto=onto)
    panels = tuple(dict.fromkeys(face.panel for face in faces))
    down = np.array([0.0, 0.0, float(middles[:, 2].min())])
    return Mesh(
        points(vertices - down),
        faces,
        panels,
        points(middles - down),
        origins=tuple((0, 0) for _ in panels),
        around=around,
    )
