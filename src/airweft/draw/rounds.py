"""Turned surfaces laid flat: straight bands of rows, discs of rings where they close or narrow.

A row of cells runs all the way round; a five-sided cell in it takes a column out, or puts one in.
All levels of a band are equally wide on the chart, so that columns stay above each other, and where
one ends the others spread. In a disc each level is a ring.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, sin

from airweft.draw.facets import Laid, Spot
from airweft.records.net import Net

_NARROW = 0.6  # a level of a band has at least this share of the cells of its fullest
_TURN = 2 * pi
_RISE = 1.5  # least distance of two rings of a disc, in columns


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """One band or disc: where joint k of each of its cells lies, by (cell, k)."""

    name: str
    at: Laid
    straight: bool
    rows: tuple[tuple[str, Spot], ...] = ()


@dataclass(slots=True)
class _Row:
    """A row of cells, from left to right, with the level joints below and above each of them."""

    cells: list[int]
    below: list[tuple[int, ...]]
    above: list[tuple[int, ...]]

    @property
    def is_tip(self) -> bool:
        """Whether it is the one cell that closes an end."""
        return len(self.cells) == 1


def rounds(net: Net, family: Sequence[int]) -> list[Ring] | None:
    """The bands and discs of a turned surface from the bottom up; None if it is no such surface."""
    rows = _rows(net, family)
    if rows is None:
        return None
    return [_laid(net, band, disc=disc) for band, disc in _bands(rows)]


def base_name(panel: str) -> str:
    """A panel's name without the number of its chart: "side 2" is a chart of "side"."""
    head, _, tail = panel.rpartition(" ")
    return head if head and tail.isdigit() else panel


def _rows(net: Net, family: Sequence[int]) -> list[_Row] | None:
    """The rows from the bottom up, or None where the cells do not form rows all the way round."""
    if net.counted is None:
        return None
    counted = net.counted.tolist()
    by_row: dict[int, list[int]] = {}
    tips: dict[int, list[int]] = {}
    for k in family:
        row = min(counted[b][1] for b in net.cells[k].bubbles)
        if min(counted[b][0] for b in net.cells[k].bubbles) < 0:
            return None
        level = len({counted[b][1] for b in net.cells[k].bubbles}) == 1
        (tips if level else by_row).setdefault(row, []).append(k)
    rows: list[tuple[int, _Row]] = []
    for number, cells in by_row.items():
        row = _row(net, sorted(cells))
        if row is None:
            return None
        rows.append((number, row))
    lowest = min(by_row, default=0)
    for number, tip in tips.items():
        if len(tip) != 1:
            return None
        joints = net.cells[tip[0]].joints
        closes_below = number < lowest if by_row else net.cells[tip[0]].panel.endswith("bottom")
        ring = (joints[:1] + joints[:0:-1],) if closes_below else (joints,)
        one: list[tuple[int, ...]] = list(ring)
        none: list[tuple[int, ...]] = [()]
        rows.append(
            (number, _Row(tip, none if closes_below else one, one if closes_below else none))
        )
    return [row for _, row in sorted(rows, key=lambda entry: entry[0])] or None


def _row(net: Net, cells: list[int]) -> _Row | None:
    """One row put in order, beginning with its first cell; None if it does not close."""
    left = {net.cells[k].joints[-1]: k for k in cells}
    order, below, above = [], [], []
    here = cells[0]
    for _ in cells:
        joints = net.cells[here].joints
        right = [n for n, joint in enumerate(joints[:-1]) if left.get(joint, here) != here]
        # A joint of the level may be another cell's left upright only in a row of two; not woven.
        if len(right) != 1 or not 4 <= len(joints) <= 5 or right[0] not in (1, 2):
            return None
        order.append(here)
        below.append(joints[: right[0]])
        above.append(joints[-2 : right[0] : -1])
        here = left[joints[right[0]]]
    if here != cells[0] or len(set(order)) != len(cells):
        return None
    return _Row(order, below, above)


def _levels(row: _Row) -> tuple[int, int]:
    """How many joints lie on the level below a row and on the one above."""
    return sum(map(len, row.below)), sum(map(len, row.above))


def _bands(rows: list[_Row]) -> list[tuple[list[_Row], bool]]:
    """The rows in bands; True with those that are laid as discs."""
    low, high = 0, len(rows)
    discs: list[tuple[int, int]] = []
    if rows[0].is_tip:
        low = _disc_reach(rows)
        discs.append((0, low))
    if rows[-1].is_tip and low < high:
        high -= min(_disc_reach(rows[::-1]), high - low)
        discs.append((high, len(rows)))
    bands = [(rows[a:b], True) for a, b in discs if a == 0]
    first = low
    for k in range(low, high):
        counts = [n for row in rows[first : k + 1] for n in _levels(row)]
        if min(counts) < _NARROW * max(counts) and k > first:
            bands.append((rows[first:k], False))
            first = k
    if first < high:
        bands.append((rows[first:high], False))
    bands += [(rows[a:b], True) for a, b in discs if a > 0 or not bands]
    return bands


def _disc_reach(rows: list[_Row]) -> int:
    """How many rows from a tip on lie in its disc: as long as every level is fuller."""
    reach = 1
    while reach < len(rows) and not rows[reach].is_tip:
        counts = _levels(rows[reach])
        if counts[0] == counts[1] and reach > 2:
            break
        reach += 1
    while reach > 2 and len(set(_levels(rows[reach - 1]))) == 1:
        reach -= 1
    return reach


def _laid(net: Net, band: list[_Row], *, disc: bool) -> Ring:
    """One band or disc, every joint of its cells at its place."""
    angles, levels = _angles(net, band)
    counts = [_levels(band[0])[0], *(_levels(row)[1] for row in band)]
    from_below = disc and band[0].is_tip and not band[0].below[0]
    if disc:
        inner = counts[::-1] if not from_below else counts
        radii = [0.0]
        for count in inner[1:] if inner[0] == 0 else inner:
            least = radii[-1] + _RISE if len(radii) > 1 else 0.0
            radii.append(max(least, count / pi))
        if not from_below:
            radii = radii[::-1]
    wide = float(max(counts)) * 2

    def place(angle: float, level: float) -> Spot:
        if not disc:
            return angle / _TURN * wide, 2 * level
        under = int(level)
        share = level - under
        radius = radii[under] * (1 - share) + radii[min(under + 1, len(radii) - 1)] * share
        turn = -angle if from_below else angle
        return radius * sin(turn), -radius * cos(turn)

    at = {key: place(angle, levels[key]) for key, angle in angles.items()}
    panels = list(dict.fromkeys(net.cells[k].panel for row in band for k in row.cells))
    name = panels[0] if len(panels) == 1 else f"{panels[0]} to {panels[-1]}"
    if disc:
        end = "bottom" if from_below else "top"
        base = base_name(panels[0])
        seen = f"seen from {'below' if from_below else 'above'}"
        name = f"{base}, {seen}" if base.endswith(end) else f"{end} of {base}, {seen}"
    left = min(x for x, _ in at.values())
    texts = () if disc else _row_texts(net, band, left)
    return Ring(name=name, at=at, straight=not disc, rows=texts)


def _angles(
    net: Net, band: list[_Row]
) -> tuple[dict[tuple[int, int], float], dict[tuple[int, int], float]]:
    """Angle and level of joint k of every cell, by (cell, k)."""
    angles: dict[tuple[int, int], float] = {}
    levels: dict[tuple[int, int], float] = {}
    known: dict[int, float] = {}
    for number, row in enumerate(band):
        below, above = _levels(row)
        if row.is_tip:
            joints = row.below[0] or row.above[0]
            step = _TURN / len(joints)
            first = next((n for n, j in enumerate(joints) if j in known), None)
            base = known[joints[first]] - first * step if first is not None else 0.0
            turn = {joint: base + n * step for n, joint in enumerate(joints)}
            for k, joint in enumerate(net.cells[row.cells[0]].joints):
                angles[row.cells[0], k] = turn[joint]
                levels[row.cells[0], k] = float(number + (0 if row.below[0] else 1))
            known = turn
            continue
        start = _start(row, known)
        lows = _spread(row.below, start, _TURN / below)
        rise = _TURN / above
        highs = _spread(row.above, 0.0, rise)
        shift = sum(_mean(a) - _mean(b) for a, b in zip(lows, highs, strict=True)) / len(lows)
        highs = [[angle + shift for angle in some] for some in highs]
        count = len(row.cells)
        for n, cell in enumerate(row.cells):
            before, after = (n - 1) % count, (n + 1) % count
            back = _TURN if n == 0 else 0.0
            ahead = _TURN if n == count - 1 else 0.0
            left = (lows[before][-1] + highs[before][-1] - 2 * back + lows[n][0] + highs[n][0]) / 4
            right = (lows[n][-1] + highs[n][-1] + lows[after][0] + highs[after][0] + 2 * ahead) / 4
            joints = net.cells[cell].joints
            size, foot = len(joints), len(row.below[n])
            for k in range(size):
                if k < foot:
                    angles[cell, k], levels[cell, k] = lows[n][k], float(number)
                elif k == foot:
                    angles[cell, k], levels[cell, k] = right, number + 0.5
                elif k == size - 1:
                    angles[cell, k], levels[cell, k] = left, number + 0.5
                else:
                    angles[cell, k] = highs[n][size - 2 - k]
                    levels[cell, k] = float(number + 1)
        known = {j: a for js, row_of in zip(row.above, highs, strict=True)
                 for j, a in zip(js, row_of, strict=True)}  # fmt: skip
    return angles, levels


def _start(row: _Row, known: dict[int, float]) -> float:
    """Angle of the first joint below a row's first cell; the row is turned to where it fits."""
    if any(joints[0] not in known for joints in row.below):
        return 0.0
    # Begin with the cell that lies nearest to the left edge of the level below.
    foot = [_wrapped(known[joints[0]]) for joints in row.below]
    begin = min(range(len(foot)), key=lambda n: (round(abs(foot[n]), 6), n))
    row.cells = row.cells[begin:] + row.cells[:begin]
    row.below = row.below[begin:] + row.below[:begin]
    row.above = row.above[begin:] + row.above[:begin]
    return foot[begin]


def _wrapped(angle: float) -> float:
    """An angle from minus to plus half a turn."""
    return (angle + pi) % _TURN - pi


def _spread(level: list[tuple[int, ...]], start: float, step: float) -> list[list[float]]:
    """Angles evenly apart for the joints of a level, cell by cell."""
    found, count = [], 0
    for joints in level:
        found.append([start + (count + k) * step for k in range(len(joints))])
        count += len(joints)
    return found


def _mean(values: list[float]) -> float:
    return sum(values) / len(values)


def _row_texts(net: Net, band: list[_Row], left: float) -> tuple[tuple[str, Spot], ...]:
    """The numbers of the bubble rows of each chart of the band, beside it."""
    texts: list[tuple[str, Spot]] = []
    for number, row in enumerate(band):
        charted = {net.cells[k].row for k in row.cells if net.cells[k].column >= 0}
        if len(charted) == 1 and all(net.cells[k].column >= 0 for k in row.cells):
            low = 2 * charted.pop()
            texts += [
                (str(low + 1), (left, 2 * number + 0.5)),
                (str(low + 2), (left, 2 * number + 1.5)),
            ]
    return tuple(texts)
