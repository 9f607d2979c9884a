"""The *pairs* style: pairs of balloons work strips of cells side by side, row by row.

Every panel gets one direction for its strips. The choice is tried out in full where there are few
panels and by improving one panel after the other where there are many; the fewest balloons win, and
among equals the most regular rows.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from random import Random

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.base.progress import Progress
from airweft.plan.groups import groups, in_order
from airweft.plan.grow import Grower
from airweft.plan.kinds import Work
from airweft.plan.pair_rows import PairRows
from airweft.plan.script import Script
from airweft.plan.strips import Cutter, Lanes

_TRY_ALL = 8  # panels: up to here every choice of directions is counted
_WRITE_OUT = 12  # choices with the fewest balloons that are written out in full and compared
_SWEEPS = 6  # rounds of improving one panel after the other
_BEGINNINGS = 4  # seeded beginnings of such rounds


def pairs(work: Work, *, bound: int, seed: int, progress: Progress) -> Script:
    """A script in which pairs advance together as rows. Raises CannotMake where none applies."""
    chooser = _Chooser(work)
    counted = sorted(set(chooser.choices(seed, progress)))
    fewest = counted[0][0]
    best: tuple[tuple[int, ...], Script] | None = None
    for count, choice in counted[:_WRITE_OUT]:
        if count > fewest:
            break
        script = chooser.write(choice)
        rank = (len(script.strands), max(3, script.peak), _unlike_rows(script), script.row)
        if best is None or rank < best[0]:
            best = (rank, script)
    assert best is not None
    return best[1]


class _Chooser:
    """Counts and writes out choices of direction, one for each panel."""

    def __init__(self, work: Work) -> None:
        self.work = work
        self.lanes = Lanes(work)
        self.cutter = Cutter(work)
        cells = work.net.cells
        self.panels = list(dict.fromkeys(cell.panel for cell in cells))
        index = {panel: i for i, panel in enumerate(self.panels)}
        self.panel_of = [index[cell.panel] for cell in cells]
        self.open = self._open_ways()

    def _open_ways(self) -> list[tuple[int, ...]]:
        """For each panel the directions in which no colour changes on the way through a cell."""
        if not any(len(cell.joints) == 4 for cell in self.work.net.cells):
            raise CannotMake(_no_cells(self.work.net.joint_count))
        if any(len(kind.capacity.most_length) < 3 for kind in self.work.kinds):
            raise CannotMake(_too_short())
        blocked: list[list[list[int]]] = [[[], []] for _ in self.panels]
        for number, cell in enumerate(self.work.net.cells):
            for way in (0, 1):
                if len(cell.joints) == 4 and self.lanes.ways[number][way] is None:
                    blocked[self.panel_of[number]][way].append(number)
        ways = [tuple(way for way in (0, 1) if not both[way]) for both in blocked]
        shut = [(self.panels[i], blocked[i][0][0]) for i, choices in enumerate(ways) if not choices]
        if shut:
            raise CannotMake([self._colours_change(panel, cell) for panel, cell in shut])
        return ways

    def _colours_change(self, panel: str, cell: int) -> Finding:
        net = self.work.net
        first = net.cells[cell].bubbles[0]
        return Finding(
            code="pairs-colours",
            severity="cannot",
            where=f"panel {panel}, near bubble {net.bubble_names[first]}",
            message="the style pairs does not apply: whichever way the strips run here, a balloon "
            "would have to change its colour in the middle of a cell",
            remedy="Take the style rounds or fewest, or let the colours run on along columns or "
            "rows of this panel.",
            bubbles=net.cells[cell].bubbles,
        )

    def choices(self, seed: int, progress: Progress) -> Iterator[tuple[int, tuple[int, ...]]]:
        """Choices of direction with the number of balloons each needs."""
        if len(self.panels) <= _TRY_ALL:
            for choice in product(*self.open):
                yield self.count(choice), choice
            return
        pick = Random(seed)
        for beginning in range(_BEGINNINGS):
            choice = tuple(
                ways[0] if beginning == 0 else ways[pick.randrange(len(ways))] for ways in self.open
            )
            best = self.count(choice)
            for sweep in range(_SWEEPS):
                progress.report(
                    beginning * _SWEEPS + sweep, _BEGINNINGS * _SWEEPS, "turning the strips"
                )
                before = best
                for i, ways in enumerate(self.open):
                    for way in ways:
                        other = (*choice[:i], way, *choice[i + 1 :])
                        if way != choice[i] and (count := self.count(other)) < best:
                            best, choice = count, other
                if best == before:
                    break
            yield best, choice

    def _ways(self, choice: tuple[int, ...]) -> list[int]:
        return [choice[panel] for panel in self.panel_of]

    def count(self, choice: tuple[int, ...]) -> int:
        """Balloons needed for a choice: two for each run."""
        strips = self.lanes.strips(self._ways(choice))
        self.cutter.own_loops(strips)
        return 2 * sum(self.cutter.count(strip) for strip in strips)

    def write(self, choice: tuple[int, ...]) -> Script:
        """The whole script for a choice; what no pair can make is grown on at the end."""
        strips = self.lanes.strips(self._ways(choice))
        self.cutter.own_loops(strips)
        runs = [run for strip in strips for run in self.cutter.runs(strip)]
        script = Script(self.work)
        rows = PairRows(script, self.cutter)
        for group in in_order(groups(runs, self.lanes), self.lanes, self.work.joint_count):
            rows.make(group)
        if not all(script.made):
            script.row += 1
            Grower(script).run()
        return script


def _unlike_rows(script: Script) -> int:
    """How often a row differs from the last two before it: small when rows repeat."""
    rows: dict[int, list[tuple[str, int]]] = {}
    for do, strands, _, _, row in script.actions:
        rows.setdefault(row, []).append((do, len(strands)))
    shapes = [tuple(shape) for shape in rows.values()]
    return sum(shape not in shapes[max(0, i - 2) : i] for i, shape in enumerate(shapes))


def _no_cells(joints: int) -> Finding:
    return Finding(
        code="pairs-no-cells",
        severity="cannot",
        where="the form",
        message=f"the style pairs does not apply: it needs a surface of four-sided cells, and this "
        f"net of {joints} joints has none",
        remedy="Take the style rounds or fewest.",
    )


def _too_short() -> Finding:
    return Finding(
        code="pairs-too-short",
        severity="cannot",
        where="[balloon]",
        message="the style pairs does not apply: a balloon makes two bubbles of every cell, and "
        "with this budget it can make only one",
        remedy="Take the style rounds or fewest, make the bubbles shorter, or raise most_bubbles.",
    )
