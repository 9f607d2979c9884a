"""Rows of the *pairs* style: neighbours lock sideways first, then the two of each pair meet.

One cell of every strip in a group takes two rows. In the first the right balloon of each strip and
the left balloon of the next one meet at the side joint between them, and the outer balloons lock on
to what stands beside them already. In the second each pair meets at its cross joint; an outer
balloon that had nothing to hold on to comes there with a chain of two. (Common practice, no source:
second and third balloon first, then a chain of two on the border.)

After each lock the balloons go on in the lanes whose colours are theirs: they bounce or cross.
Where no balloon at the joint has the colour that goes on, a fresh one is started there.
"""

from __future__ import annotations

from airweft.plan.groups import Group
from airweft.plan.grow import EASY
from airweft.plan.script import Script, Strand
from airweft.plan.strips import Cutter, Passage, side_of_loop


class PairRows:
    """Writes groups of pairs into a script, row by row."""

    def __init__(self, script: Script, cutter: Cutter) -> None:
        self.script = script
        self.work = script.work
        self.cutter = cutter
        self.waiting: list[tuple[Strand, int]] = []
        self.hands: list[list[Strand]] = []

    def make(self, group: Group) -> None:
        """Make one group from its first row to its last."""
        script = self.script
        if script.actions:
            script.row += 1
        self.hands = []
        for run in group.runs:
            pair = script.tie(run[0].kinds_in, run[0].enter)
            self.hands.append(list(pair))
        for place in range(group.length):
            here = [run[place] for run in group.runs]
            for which, p in enumerate(here):
                self._match_sides(which, p)
                self._loops(p, p.enter, which)
            script.row += 1
            late = self._sides(group, here)
            script.row += 1
            for which, p in enumerate(here):
                self._meet(which, p, late)
        for pair_in_hand in self.hands:
            for strand in pair_in_hand:
                script.finish(strand)

    def _match_sides(self, which: int, p: Passage) -> None:
        """Let the two balloons change sides where the colours do (they cross at the joint)."""
        pair = self.hands[which]
        if pair[0].kind != p.kinds_in[0]:
            pair.reverse()

    def _sides(self, group: Group, here: list[Passage]) -> set[tuple[int, int]]:
        """The side row; returns the (strip, side) of the outer balloons that have to wait."""
        script = self.script
        count = len(here)
        late: set[tuple[int, int]] = set()
        for left in range(count if group.ring else count - 1):
            right = (left + 1) % count
            joint = here[left].right_side
            self._arrive(left, 1, here[left], joint)
            self._arrive(right, 0, here[right], joint)
            self._lock(joint)
            self._go_on(joint, [(left, 1, here[left]), (right, 0, here[right])])
        if group.ring:
            return late
        for which, side in ((0, 0), (count - 1, 1)):
            p = here[which]
            joint = p.right_side if side else p.left_side
            held = script.touched[joint] or (p.cell, joint) in self.cutter.loops
            if not held and p.kinds_in[side] == p.kinds_out[side]:
                late.add((which, side))
                continue
            self._arrive(which, side, p, joint)
            if held:
                self._lock(joint)
            self._go_on(joint, [(which, side, p)])
        return late

    def _go_on(self, joint: int, lanes: list[tuple[int, int, Passage]]) -> None:
        """Give every lane that leaves a side joint a balloon of its colour."""
        before = [self.hands[which][side] for which, side, _ in lanes]
        wanted = [p.kinds_out[side] for _, side, p in lanes]
        if [strand.kind for strand in before] == wanted:
            return
        pool = list(before)
        for (which, side, _), kind in zip(lanes, wanted, strict=True):
            strand = next((s for s in pool if s.kind == kind), None)
            if strand is None:
                strand = self.script.start(kind, joint)
            else:
                pool.remove(strand)
            self.hands[which][side] = strand
        for strand in pool:
            self.script.finish(strand)

    def _meet(self, which: int, p: Passage, late: set[tuple[int, int]]) -> None:
        """Bring both balloons of a strip to the cross joint and lock them there."""
        for side, bubbles in ((0, p.left), (1, p.right)):
            strand = self.hands[which][side]
            if (which, side) in late:
                self.script.twist(strand, bubbles[0])
            self.script.twist(strand, bubbles[1])
        self._queue_loops(p, p.leave, which)
        self._lock(p.leave)

    def _arrive(self, which: int, side: int, p: Passage, joint: int) -> None:
        bubbles = p.right if side else p.left
        self.script.twist(self.hands[which][side], bubbles[0])
        self._queue_loops(p, joint, which)

    def _queue_loops(self, p: Passage, joint: int, which: int) -> None:
        for loop in self.cutter.loops.get((p.cell, joint), ()):
            side = side_of_loop(self.work, p, joint, loop)
            self.waiting.append((self.hands[which][side], loop))

    def _lock(self, joint: int) -> None:
        """Lock a joint with the loops that belong there: in one twist if the hands can hold it."""
        script = self.script
        waiting, self.waiting = self.waiting, []
        while waiting and len(script.loose_at) < EASY:
            script.twist(*waiting.pop(0))
        script.lock(joint)
        for strand, loop in waiting:
            script.twist(strand, loop)
            script.lock(joint)

    def _loops(self, p: Passage, joint: int, which: int) -> None:
        """Loops at the joint where the pair enters: made before it goes on."""
        self._queue_loops(p, joint, which)
        if self.waiting:
            self._lock(joint)
