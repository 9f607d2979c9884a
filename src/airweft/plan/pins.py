"""The maker's fixed choices as indices into a net, and whose turn it is by them.

`pinning.resolve` finds them by their stable names. Whether a finished plan did keep them is for
`check.kept` to say, which shares nothing with this.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise


@dataclass(frozen=True, slots=True, kw_only=True)
class Pins:
    """Fixed choices as indices into a net of m bubbles; all empty where the maker fixed nothing.

    start    the joint of the very first knot (`tie` or `start`), or None
    trails   bubbles that one balloon makes straight after one another, each tuple in that order.
             No two trails share a bubble; each is of one colour and size, hangs together as a walk
             and fits one balloon. Other bubbles may come before and after them on the balloon
    joints   for each trail the joints that it passes, one more than its bubbles
    stages   () or m numbers: a bubble of stage s >= 0 is made only after all bubbles of the stages
             0 .. s-1 (colours before colours); -1 may be made at any time
    ranks    () or m numbers: a bubble of rank r >= 0 is made only after at least one bubble of each
             of the ranks 0 .. r-1 (panels begun in order); -1 may be made at any time
    toward   (joint, bubbles): some balloon starts at the joint, and its first bubble is one of
             these, in index order
    """

    start: int | None = None
    trails: tuple[tuple[int, ...], ...] = ()
    joints: tuple[tuple[int, ...], ...] = ()
    stages: tuple[int, ...] = ()
    ranks: tuple[int, ...] = ()
    toward: tuple[tuple[int, tuple[int, ...]], ...] = ()

    @property
    def is_empty(self) -> bool:
        """True where nothing is fixed."""
        return self == Pins()

    def next_of(self) -> dict[int, int]:
        """For each bubble inside a trail the one that its balloon makes next."""
        return {b: c for trail in self.trails for b, c in pairwise(trail)}


class Turn:
    """Whose turn it is, by stages and ranks, while bubbles are made one after the other.

    Both questions take constant time. A planner that goes back begins with a new one.
    """

    __slots__ = ("_left", "_ranks", "_stages", "begun", "stage")

    def __init__(self, pins: Pins) -> None:
        self._stages = pins.stages
        self._ranks = pins.ranks
        self._left = [0] * (max(pins.stages, default=-1) + 1)
        for stage in pins.stages:
            if stage >= 0:
                self._left[stage] += 1
        self.stage = 0
        self.begun = 0
        self._open_next()

    def allows(self, bubble: int) -> bool:
        """True if the bubble may be made now."""
        if self._stages and self._stages[bubble] > self.stage:
            return False
        return not (self._ranks and self._ranks[bubble] > self.begun)

    def make(self, bubble: int) -> None:
        """The bubble has been made."""
        if self._stages and self._stages[bubble] >= 0:
            self._left[self._stages[bubble]] -= 1
            self._open_next()
        if self._ranks and self._ranks[bubble] == self.begun:
            self.begun += 1

    def _open_next(self) -> None:
        while self.stage < len(self._left) and not self._left[self.stage]:
            self.stage += 1


def comes_out(pins: Pins) -> bool:
    """True if the stages and ranks together leave no bubble waiting for ever."""
    turn = Turn(pins)
    left = [b for b, _ in enumerate(pins.stages or pins.ranks)]
    while left:
        still = []
        for bubble in left:
            if turn.allows(bubble):
                turn.make(bubble)
            else:
                still.append(bubble)
        if len(still) == len(left):
            return False
        left = still
    return True
