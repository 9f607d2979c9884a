"""Rows of cells up a turned surface: how high each is, and how many cells lie around.

Between two levels that are whole rows apart lies one row of cells. Joints of the fabric lie on both
levels (the middles of level edges) and half-way between (the middles of upright edges), so that
every bubble climbs half a row while it goes half a cell around. A bubble keeps its length where the
surface narrows by standing up more steeply, and where it swells by lying flatter: `spread` is how
much of its length goes around, sqrt(1/2) in a square cell. Only beyond `NARROW` and `WIDE` does the
number of cells change, by two at a time, so that the piece keeps two like halves.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from airweft.surface.profile import Profile

NARROW, WIDE = 0.62, 0.81
"""Least and most of a bubble's length that goes around, in rows that keep their columns.

Wider limits change columns less often, but a settled piece goes back to squares: a cone of one
count comes out as a cylinder.
"""

_TIP = (3, 6)  # cells around that one cell can close
_SLACK, _SLACK_AT_RIM = 0.7, 0.2


@dataclass(frozen=True, slots=True)
class Rows:
    """Levels and counts along one stretch: `levels[k]` of the line, `cells[k]` around there."""

    levels: list[float]
    cells: list[int]


def spread(radius: float, cells: int, bubble: float) -> float:
    """How much of a bubble's length goes around, at this radius, as a share of its length."""
    return 2 * radius * math.sin(math.pi / (2 * cells)) / bubble


def usual_cells(radius: float, bubble: float) -> int:
    """Cells around whose diamonds come nearest to squares at this radius; at least 2."""
    return max(2, round(math.pi * math.sqrt(2) * radius / bubble))


def tip_radius(cells: int, bubble: float) -> float:
    """Radius of the ring of joints of one cell with so many corners."""
    return bubble / (2 * math.sin(math.pi / cells))


def climb(line: Profile, *, cells: int, most: int, bubble: float, tip: bool, end: int = 0) -> Rows:
    """The rows along `line`, from `cells` around at its start; lengths in mm.

    Never more than `most` around. With `tip` the line ends on the axis and the rows at a ring that
    one cell closes; otherwise they end at the end of the line, stretched or squeezed to fit. A
    count that a maker has chosen outside NARROW and WIDE is kept as long as the radius is the same.
    """
    start = spread(float(line.radius[0]), cells, bubble)
    limits = min(NARROW, 0.96 * start), max(WIDE, 1.04 * start)
    levels, counts = [0.0], [cells]
    goal = line.length
    while True:
        at, now = levels[-1], counts[-1]
        if tip:
            goal = _tip_place(line, now, bubble)
            slack = _SLACK if at else _SLACK_AT_RIM  # joints on the rim cannot slide
            if _TIP[0] <= now <= _TIP[1] and goal - at < slack * bubble:
                break
        ahead = _row(line, at, now, now, bubble)
        if not tip and at + ahead / 2 > goal:
            break
        if tip and at >= line.length - 1e-6:
            break
        after = _next_count(line, at + ahead, now, most, bubble, limits, tip=tip)
        levels.append(min(at + _row(line, at, now, after, bubble), line.length))
        counts.append(after)
        if len(levels) > 4000:
            break
    if not tip and len(levels) == 1:
        levels.append(goal)
        counts.append(_next_count(line, goal, cells, most, bubble, limits, tip=False))
    last = levels[-1]
    if last > 0 and len(levels) > 1:
        levels = [level * goal / last for level in levels]
    return Rows(levels, counts)


def _tip_place(line: Profile, cells: int, bubble: float) -> float:
    """Where the line, near its end, is as far from the axis as the closing cell's joints are."""
    want = tip_radius(max(cells, 3), bubble)
    for k in range(len(line.along) - 1, 0, -1):
        r0, r1 = line.radius[k - 1], line.radius[k]
        if r0 >= want > r1:
            share = (r0 - want) / (r0 - r1)
            return float(line.along[k - 1] + share * (line.along[k] - line.along[k - 1]))
    return 0.0


def _row(line: Profile, at: float, low: int, high: int, bubble: float) -> float:
    """How far a row of cells reaches along the line, its bubbles as long as they should be."""
    reach = 0.0
    for cells in (low, high):
        radius = float(line.radius_at(min(at + reach, line.length)))
        share = min(max(spread(radius, cells, bubble), NARROW), WIDE)
        reach += bubble * math.sqrt(1 - share**2)
    return reach


def _next_count(
    line: Profile,
    there: float,
    now: int,
    most: int,
    bubble: float,
    limits: tuple[float, float],
    *,
    tip: bool,
) -> int:
    """Cells around at the next level: as many as now, unless the surface asks for others."""
    radius = float(line.radius_at(min(there, line.length)))
    share = spread(radius, now, bubble)
    if limits[0] <= share <= limits[1]:
        return now
    want = usual_cells(radius, bubble)
    if share < limits[0]:
        least = max((now + 1) // 2, 3 if tip else 2)
        want = max(want + (want - now) % 2, least + (least - now) % 2)
        return min(want, now)
    return max(now, min(want - (want - now) % 2, 2 * now, most - (most - now) % 2))
