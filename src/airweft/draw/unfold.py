"""Where the panels lie on the flat chart: unfolded like a box where their sides meet, else beside.

Everything is counted in bubbles: one column or row of a panel is one unit, y up.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from airweft.records.net import Net

SIDES = ("right", "left", "top", "bottom")
_OPPOSITE = {"right": "left", "left": "right", "top": "bottom", "bottom": "top"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One panel on the chart.

    `bubbles` are its bubble indices with column and row; `joints` its joints with their lattice
    place; `columns`, `rows` its size; `meets` for each side the panels it is locked to there (its
    own name where the panel closes on itself), nothing for an open side.
    """

    name: str
    columns: int
    rows: int
    bubbles: tuple[tuple[int, int, int], ...]
    joints: dict[int, tuple[int, int]]
    meets: dict[str, tuple[str, ...]]


def sheets_of(net: Net) -> tuple[Sheet, ...]:
    """The panels of a net that have columns and rows, in building order."""
    bubbles: dict[str, list[tuple[int, int, int]]] = {}
    for i, (column, row) in enumerate(net.places.tolist()):
        if column >= 0 and row >= 0:
            bubbles.setdefault(net.bubble_panels[i], []).append((i, column, row))
    joints = _joints(net)
    where: dict[int, set[str]] = {}
    for name, found in joints.items():
        for joint in found:
            where.setdefault(joint, set()).add(name)
    names = [p for p in net.panels if p in bubbles] + sorted(
        p for p in bubbles if p not in net.panels
    )
    result = []
    for name in names:
        columns = max(c for _, c, _ in bubbles[name]) + 1
        rows = max(r for _, _, r in bubbles[name]) + 1
        own = joints.get(name, {})
        result.append(
            Sheet(
                name=name,
                columns=columns,
                rows=rows,
                bubbles=tuple(bubbles[name]),
                joints=own,
                meets=_meets(net, name, own, columns, rows, where),
            )
        )
    return tuple(result)


def _joints(net: Net) -> dict[str, dict[int, tuple[int, int]]]:
    """For each panel its joints with lattice places; a joint on two sides keeps the lower left."""
    found: dict[str, dict[int, tuple[int, int]]] = {}
    for cell in net.cells:
        if cell.column < 0 or len(cell.joints) != 4:
            continue
        own = found.setdefault(cell.panel, {})
        for joint, (dx, dy) in zip(cell.joints, ((1, 0), (2, 1), (1, 2), (0, 1)), strict=True):
            place = (2 * cell.column + dx, 2 * cell.row + dy)
            own[joint] = min(own.get(joint, place), place)
    return found


def on_side(sheet: Sheet, side: str) -> dict[int, int]:
    """Joints on a side of the panel's rectangle, with their place along it."""
    axis, value = {
        "left": (0, 0),
        "right": (0, sheet.columns),
        "bottom": (1, 0),
        "top": (1, sheet.rows),
    }[side]
    return {j: place[1 - axis] for j, place in sheet.joints.items() if place[axis] == value}


def _meets(
    net: Net,
    name: str,
    own: dict[int, tuple[int, int]],
    columns: int,
    rows: int,
    where: dict[int, set[str]],
) -> dict[str, tuple[str, ...]]:
    """For each side the panels beyond it."""
    limits = {"left": (0, 0), "right": (0, columns), "bottom": (1, 0), "top": (1, rows)}
    result: dict[str, tuple[str, ...]] = {}
    ends = net.ends_at() if own else []
    for side, (axis, value) in limits.items():
        beyond: set[str] = set()
        for joint, place in own.items():
            if place[axis] == value:
                others = where[joint] | {net.bubble_panels[b] for b in ends[joint]}
                others -= {name, ""}
                beyond |= others
                # A panel closed on itself has all four ends of a border joint in itself.
                if not others and len(ends[joint]) > 2:
                    beyond.add(name)
        result[side] = tuple(sorted(beyond))
    if name in result["left"]:
        result["right"] = tuple(sorted({*result["right"], name}))
    if name in result["bottom"]:
        result["top"] = tuple(sorted({*result["top"], name}))
    return result


def unfold(sheets: tuple[Sheet, ...], gap: float) -> dict[str, tuple[float, float]]:
    """The lower left corner of every panel, in bubbles, with `gap` between neighbours.

    Starts at the front (or the first panel) and unfolds along sides whose joints run in the same
    direction; panels that do not unfold without overlap are set in rows underneath.
    """
    placed: dict[str, tuple[float, float]] = {}
    by_name = {sheet.name: sheet for sheet in sheets}
    start = "front" if "front" in by_name else sheets[0].name if sheets else ""
    queue = [start] if sheets else []
    if queue:
        placed[start] = (0.0, 0.0)
    while queue:
        here = by_name[queue.pop(0)]
        for side in SIDES:
            for name in here.meets[side]:
                if name in placed or name not in by_name:
                    continue
                shift = _shift(here, by_name[name], side)
                if shift is None:
                    continue
                x, y = placed[here.name]
                there = by_name[name]
                corner = {
                    "right": (x + here.columns + gap, y - shift),
                    "left": (x - there.columns - gap, y - shift),
                    "top": (x - shift, y + here.rows + gap),
                    "bottom": (x - shift, y - there.rows - gap),
                }[side]
                if _free(corner, there, placed, by_name, gap * 0.9):
                    placed[name] = corner
                    queue.append(name)
    _set_rest(sheets, placed, gap)
    return placed


def _shift(here: Sheet, there: Sheet, side: str) -> int | None:
    """How far `there` is shifted along the side against `here`; None if it does not fit flat."""
    mine, theirs = on_side(here, side), on_side(there, _OPPOSITE[side])
    shifts = {theirs[j] - mine[j] for j in mine if j in theirs}
    return shifts.pop() if len(shifts) == 1 else None


def _free(
    corner: tuple[float, float],
    sheet: Sheet,
    placed: dict[str, tuple[float, float]],
    by_name: dict[str, Sheet],
    gap: float,
) -> bool:
    """Whether a panel set at `corner` keeps `gap` to all others."""
    x, y = corner
    return all(
        x + sheet.columns + gap <= ox
        or ox + by_name[name].columns + gap <= x
        or y + sheet.rows + gap <= oy
        or oy + by_name[name].rows + gap <= y
        for name, (ox, oy) in placed.items()
    )


def _set_rest(
    sheets: tuple[Sheet, ...], placed: dict[str, tuple[float, float]], gap: float
) -> None:
    """Set the panels that are left in rows below the others."""
    rest = [sheet for sheet in sheets if sheet.name not in placed]
    if not rest:
        return
    by_name = {sheet.name: sheet for sheet in sheets}
    left = min(x for x, _ in placed.values())
    right = max(x + by_name[n].columns for n, (x, _) in placed.items())
    room = max(right - left, 40.0)
    top = min(y for _, y in placed.values()) - gap
    x = left
    height = 0.0
    for sheet in rest:
        if x > left and x + sheet.columns > left + room:
            x, top, height = left, top - height - gap, 0.0
        placed[sheet.name] = (x, top - sheet.rows)
        x += sheet.columns + gap
        height = max(height, float(sheet.rows))


def shelved(
    sizes: Sequence[tuple[float, float]],
    boxes: Sequence[tuple[float, float, float, float]],
    gap: float,
) -> list[tuple[float, float]]:
    """Lower left corners for rectangles set in lines below `boxes` (left, low, wide, high).

    In their own order, so that a turned form reads on from line to line.
    """
    left = min((x for x, _, _, _ in boxes), default=0.0)
    right = max((x + wide for x, _, wide, _ in boxes), default=0.0)
    room = max([right - left, 40.0, *(wide for wide, _ in sizes)])
    top = min((y for _, y, _, _ in boxes), default=gap) - gap
    found: list[tuple[float, float]] = []
    line: list[tuple[float, float, float]] = []
    x = left
    for wide, high in (*sizes, (room + gap, 0.0)):
        if line and x + wide > left + room:
            tallest = max(tall for _, _, tall in line)
            found += [(at, top - tallest) for at, _, _ in line]
            top -= tallest + gap
            line, x = [], left
        line.append((x, wide, high))
        x += wide + gap
    return found
