"""Strips of cells: where pairs of balloons can run, and where they are cut.

Through a four-sided cell a pair can run in two ways, from one edge to the opposite one. `Cross`
joints are where the two balloons of a pair meet, `side` joints where they touch the neighbouring
strips. Two cells that are run through across their common edge belong to one strip, as long as the
two colours go on. At every joint two balloons meet, and each may bounce or cross to the other side:
the colours of a row are exchanged between neighbours only, as in an odd-even transposition network
(A. N. Habermann 1972; Knuth, vol. 3, 5.3.4).
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from airweft.plan.kinds import Work


@dataclass(frozen=True, slots=True)
class Passage:
    """A cell run through from its edge `entry` to the opposite one, seen from outside.

    `left` and `right` are the two bubbles of each balloon in order; `left_side`, `right_side` the
    joints on the way; `enter` and `leave` the cross joints; `kinds_in` and `kinds_out` the balloon
    kind of the left and the right bubble at the beginning and at the end.
    """

    cell: int
    entry: int
    enter: int
    leave: int
    left_side: int
    right_side: int
    left: tuple[int, int]
    right: tuple[int, int]
    kinds_in: tuple[int, int]
    kinds_out: tuple[int, int]
    panel: str


def passage(work: Work, cell: int, entry: int) -> Passage:
    """The four-sided cell run through from an edge."""
    c = work.net.cells[cell]
    j, b, kind = c.joints, c.bubbles, work.kind_of
    right = (b[(entry + 1) % 4], b[(entry + 2) % 4])
    left = (b[entry], b[entry - 1])
    return Passage(
        cell,
        entry,
        j[entry],
        j[(entry + 2) % 4],
        j[entry - 1],
        j[(entry + 1) % 4],
        left,
        right,
        (kind[left[0]], kind[right[0]]),
        (kind[left[1]], kind[right[1]]),
        c.panel,
    )


Strip = tuple[Passage, ...]


class Lanes:
    """Which cells meet at each joint, with both ways through every cell worked out once."""

    def __init__(self, work: Work) -> None:
        self.work = work
        self.cells_at: list[list[tuple[int, int]]] = [[] for _ in range(work.joint_count)]
        self.ways: list[tuple[Passage | None, ...]] = []
        for number, cell in enumerate(work.net.cells):
            if len(cell.joints) != 4:
                self.ways.append((None,) * 4)
                continue
            for edge, joint in enumerate(cell.joints):
                self.cells_at[joint].append((number, edge))
            self.ways.append(tuple(passage(work, number, entry) for entry in range(4)))

    def strips(self, way: Sequence[int]) -> list[Strip]:
        """The strips for a choice of way (0 or 1) for each cell; a closed one is cut at its start.

        A strip is closed when its last passage leaves by the joint where its first one enters.
        """
        done = bytearray(len(self.ways))
        strips: list[Strip] = []
        for number in range(len(self.ways)):
            first = self.ways[number][way[number]] if not done[number] else None
            if first is None:
                continue
            begin = first
            while (before := self.before(begin, way)) is not None:
                begin = before
                if begin.cell == number:
                    break
            run = [begin]
            done[begin.cell] = 1
            while (after := self.after(run[-1], way)) is not None and not done[after.cell]:
                run.append(after)
                done[after.cell] = 1
            strips.append(tuple(run))
        return strips

    def after(self, here: Passage, way: Sequence[int]) -> Passage | None:
        """The passage that goes on from `here`, if its cell is run through that way.

        Where parts are sewn together more than two cells meet at a joint, and strips end there.
        """
        if len(self.cells_at[here.leave]) > 2:
            return None
        for cell, edge in self.cells_at[here.leave]:
            if cell != here.cell and edge % 2 == way[cell]:
                onward = self.ways[cell][edge]
                if onward is not None and sorted(onward.kinds_in) == sorted(here.kinds_out):
                    return onward
        return None

    def before(self, here: Passage, way: Sequence[int]) -> Passage | None:
        """The passage that leads to `here`."""
        back = self.after(self.reverse(here), way)
        return None if back is None else self.reverse(back)

    def reverse(self, here: Passage) -> Passage:
        """The same cell run through the other way round."""
        back = self.ways[here.cell][(here.entry + 2) % 4]
        assert back is not None  # it has four sides
        return back


def is_closed(strip: Strip) -> bool:
    """True if the strip runs back into its own beginning with the same colours."""
    first, last = strip[0], strip[-1]
    return first.enter == last.leave and sorted(first.kinds_in) == sorted(last.kinds_out)


class Cutter:
    """Cuts strips into runs that one pair of balloons can make."""

    def __init__(self, work: Work) -> None:
        self.work = work
        self.loops: dict[tuple[int, int], tuple[int, ...]] = {}
        self._known: dict[tuple[object, ...], tuple[int, ...]] = {}

    def own_loops(self, strips: list[Strip]) -> None:
        """Give every extra bubble to the first passage that comes by in its colour.

        `loops[cell, joint]` are the loops made at `joint` by the pair while in that cell.
        """
        self.loops = {}
        self._known = {}
        free = {b for here in self.work.loops_at for b in here}
        if not free:
            return
        for strip in strips:
            for p in strip:
                for joint in (p.enter, p.left_side, p.right_side, p.leave):
                    mine = [b for b in self.work.loops_at[joint] if b in free]
                    kinds = set(p.kinds_out if joint == p.leave else p.kinds_in)
                    if joint == p.left_side:
                        kinds = {p.kinds_in[0]}
                    elif joint == p.right_side:
                        kinds = {p.kinds_in[1]}
                    taken = tuple(b for b in mine if self.work.kind_of[b] in kinds)
                    if taken:
                        self.loops[p.cell, joint] = taken
                        free -= set(taken)

    def runs(self, strip: Strip) -> list[Strip]:
        """The fewest runs, cut where panels meet if that costs nothing, else evenly."""
        if not is_closed(strip):
            return self._cut(strip, self._places(strip))
        best: tuple[tuple[int, int, int], list[Strip]] | None = None
        count = len(strip)
        turns = [i for i in range(count) if strip[i - 1].panel != strip[i].panel] or [0]
        for turn in turns:
            turned = strip[turn:] + strip[:turn]
            places = self._places(turned)
            key = (len(places), self._off_seams(turned, places), turn)
            if best is None or key < best[0]:
                best = (key, self._cut(turned, places))
        assert best is not None
        return best[1]

    def count(self, strip: Strip) -> int:
        """How many runs the strip falls into."""
        return len(self.runs(strip))

    @staticmethod
    def _cut(strip: Strip, places: tuple[int, ...]) -> list[Strip]:
        bounds = [0, *places, len(strip)]
        return [strip[a:b] for a, b in itertools.pairwise(bounds)]

    @staticmethod
    def _off_seams(strip: Strip, places: tuple[int, ...]) -> int:
        return sum(strip[i - 1].panel == strip[i].panel for i in places)

    def _places(self, strip: Strip) -> tuple[int, ...]:
        """Where to cut: fewest runs, then fewest cuts inside a panel, then runs of like length."""
        key = (
            tuple((p.kinds_in, p.kinds_out) for p in strip),
            tuple(a.panel != b.panel for a, b in itertools.pairwise(strip)),
            tuple(self._use(p) for p in strip),
        )
        if key not in self._known:
            self._known[key] = self._best_places(strip)
        return self._known[key]

    def _best_places(self, strip: Strip) -> tuple[int, ...]:
        count = len(strip)
        best: list[tuple[int, int, int, int]] = [(0, 0, 0, -1)] + [(1 << 40, 0, 0, -1)] * count
        for begin in range(count):
            runs, off, squares, _ = best[begin]
            off += int(begin > 0 and strip[begin - 1].panel == strip[begin].panel)
            for end in self._reach(strip, begin):
                new = (runs + 1, off, squares + (end - begin) ** 2, begin)
                if new[:3] < best[end][:3]:
                    best[end] = new
        places = []
        at = count
        while (at := best[at][3]) > 0:
            places.append(at)
        return tuple(places[::-1])

    def _reach(self, strip: Strip, begin: int) -> list[int]:
        """The ends to which one pair can come from `begin`; always one cell at least."""
        lanes = [[0, 0], [0, 0]]
        kinds: set[int] = set()
        mixed = False
        ends: list[int] = []
        for i in range(begin, len(strip)):
            p = strip[i]
            mixed = mixed or p.kinds_in != p.kinds_out
            if i > begin and strip[i - 1].kinds_out != p.kinds_in:
                lanes.reverse()
            for lane, (count, length) in zip(lanes, self._use(p), strict=True):
                lane[0] += count
                lane[1] += length
            if mixed:  # balloons that change lanes may meet with every extra bubble on the way
                lanes = [[max(a, b) for a, b in zip(*lanes, strict=True)] for _ in lanes]
            kinds.update(p.kinds_in, p.kinds_out)
            if ends and not all(
                self.work.kinds[kind].capacity.fits(*lane) for kind in kinds for lane in lanes
            ):
                break
            ends.append(i + 1)
        return ends

    def _use(self, p: Passage) -> tuple[tuple[int, int], tuple[int, int]]:
        """Bubbles and their length that the left and the right balloon make in a cell."""
        lengths = self.work.lengths
        use = [[2, sum(lengths[b] for b in p.left)], [2, sum(lengths[b] for b in p.right)]]
        for joint in (p.enter, p.left_side, p.right_side, p.leave):
            for loop in self.loops.get((p.cell, joint), ()):
                which = side_of_loop(self.work, p, joint, loop)
                use[which][0] += 1
                use[which][1] += lengths[loop]
        return (use[0][0], use[0][1]), (use[1][0], use[1][1])


def side_of_loop(work: Work, p: Passage, joint: int, loop: int) -> int:
    """Which balloon of the pair makes a loop in this passage: 0 left, 1 right.

    At a cross joint of one colour the sides take turns, by the number of the joint.
    """
    if joint == p.left_side:
        return 0
    if joint == p.right_side:
        return 1
    kinds = p.kinds_out if joint == p.leave else p.kinds_in
    if kinds[0] == kinds[1]:
        return joint & 1
    return 0 if work.kind_of[loop] == kinds[0] else 1
