"""The *pairs* style: pairs of balloons work strips of cells side by side, row by row.

Every cell gets a direction for its strip. One for each panel is the most regular: the choice is
tried out in full where there are few panels and by improving one panel after the other where there
are many. Besides, the directions with the fewest strip ends are found cell by cell
(directions.py), which is what surfaces without straight panels need. The fewest balloons win, and
among equals the most regular rows.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import product
from random import Random

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.base.progress import Progress
from airweft.plan.directions import directions
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

Ways = tuple[int, ...]  # for every cell, 0 or 1


def pairs(work: Work, *, bound: int, seed: int, progress: Progress) -> Script:
    """A script in which pairs advance together as rows. Raises CannotMake where none applies."""
    chooser = _Chooser(work)
    counted = sorted(set(chooser.choices(seed, progress)))
    fewest = counted[0][0]
    best: tuple[tuple[int, ...], Script] | None = None
    for count, ways in counted[:_WRITE_OUT]:
        if count > fewest:
            break
        script = chooser.write(ways)
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
        if not any(len(cell.joints) == 4 for cell in cells):
            raise CannotMake(_no_cells(work.net.joint_count))
        if any(len(kind.capacity.most_length) < 3 for kind in work.kinds):
            raise CannotMake(_too_short())

    def choices(self, seed: int, progress: Progress) -> Iterator[tuple[int, Ways]]:
        """Choices of direction for every cell, with the number of balloons each needs."""
        for choice in self._by_panel(seed, progress):
            ways = self._ways(choice)
            yield self.count(ways), ways
        ways = directions(self.lanes, seed, progress)
        yield self.count(ways), ways

    def _by_panel(self, seed: int, progress: Progress) -> Iterator[tuple[int, ...]]:
        """Choices of one direction for each panel."""
        if len(self.panels) <= _TRY_ALL:
            yield from product((0, 1), repeat=len(self.panels))
            return
        pick = Random(seed)
        for beginning in range(_BEGINNINGS):
            choice = tuple(pick.randrange(2) if beginning else 0 for _ in self.panels)
            best = self.count(self._ways(choice))
            for sweep in range(_SWEEPS):
                progress.report(
                    beginning * _SWEEPS + sweep, _BEGINNINGS * _SWEEPS, "turning the strips"
                )
                before = best
                for i in range(len(self.panels)):
                    other = (*choice[:i], 1 - choice[i], *choice[i + 1 :])
                    if (count := self.count(self._ways(other))) < best:
                        best, choice = count, other
                if best == before:
                    break
            yield choice

    def _ways(self, choice: tuple[int, ...]) -> Ways:
        return tuple(choice[panel] for panel in self.panel_of)

    def count(self, ways: Ways) -> int:
        """Balloons needed for a choice: two for each run, one for each colour that begins anew.

        Colours that begin anew are counted as if neighbouring strips always advanced together.
        """
        strips = self.lanes.strips(ways)
        self.cutter.own_loops(strips)
        sides: dict[int, list[tuple[int, int]]] = {}
        for strip in strips:
            for p in strip:
                for side, joint in enumerate((p.left_side, p.right_side)):
                    sides.setdefault(joint, []).append((p.kinds_in[side], p.kinds_out[side]))
        anew = sum(
            (Counter(out for _, out in lanes) - Counter(come for come, _ in lanes)).total()
            for lanes in sides.values()
        )
        return 2 * sum(self.cutter.count(strip) for strip in strips) + anew

    def write(self, ways: Ways) -> Script:
        """The whole script for a choice; what no pair can make is grown on at the end."""
        strips = self.lanes.strips(ways)
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
