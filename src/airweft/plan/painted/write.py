"""From the moves of a finished run to a build script."""

from __future__ import annotations

from airweft.plan.kinds import Work
from airweft.plan.order import Trail
from airweft.plan.painted.state import (
    AWAY,
    HANGS,
    HEAD,
    KNOTS,
    MATE,
    MEET,
    MOVES,
    SIZE,
    TAIL,
    WALK,
    Now,
)
from airweft.plan.script import Script, Strand


def write(work: Work, now: Now) -> Script:
    """The script of a run in which everything was made."""
    return _Writer(work, now).script


def trails_of(work: Work, mate: list[int]) -> list[Trail]:
    """The trails of a pairing, by lowest bubble; a closed one begins with that."""
    used = bytearray(len(work.ends))
    trails: list[Trail] = []
    for bubble in range(len(work.ends)):
        if used[bubble]:
            continue
        first = 2 * bubble
        while mate[first] >= 0 and mate[first] ^ 1 != 2 * bubble:
            first = mate[first] ^ 1
        if mate[first] >= 0:
            first = 2 * bubble
        bubbles: list[int] = []
        end = first
        while end >= 0 and not used[end >> 1]:
            used[end >> 1] = 1
            bubbles.append(end >> 1)
            end = mate[end ^ 1]
        trails.append(Trail(work.ends[first >> 1][first & 1], tuple(bubbles)))
    return trails


class _Writer:
    """Lays one move after the other; a balloon is finished where its trail ends."""

    def __init__(self, work: Work, now: Now) -> None:
        self.script = Script(work)
        self.work = work
        self.joint_of = [joint for ends in work.ends for joint in ends]
        self.mate: list[int] = now.ends[:, MATE].tolist()
        self.parked: dict[int, Strand] = {}
        self.spent: list[Strand] = []
        for move in now.moves[: now.tally[MOVES]].tolist():
            self.script.make_room(move[SIZE], taken_up=bool(move[AWAY]))
            self._lay(move)
        assert not self.parked, "every trail ends somewhere"

    def _lay(self, move: list[int]) -> None:
        size, meet, knots = move[SIZE], move[MEET], move[KNOTS]
        walk = move[WALK : WALK + size]
        there = [(end, bool(knots >> i & 1)) for i, end in enumerate(walk[:meet])]
        back = [(walk[i] ^ 1, bool(knots >> (i + 1) & 1)) for i in range(size - 1, meet - 1, -1)]
        if there:
            self._chain(there, move[HEAD])
        if back:
            self._chain(back, move[TAIL])
        if not move[HANGS]:
            self.script.lock(self.joint_of[walk[meet] if meet < size else walk[-1] ^ 1])
        for strand in self.spent:
            self.script.finish(strand)
        self.spent = []

    def _chain(self, leaving: list[tuple[int, bool]], source: int) -> None:
        """Bubbles in order, each with the end it is left by and whether a knot comes first."""
        strand: Strand | None = None
        for i, (end, knotted) in enumerate(leaving):
            if strand is None:
                strand = self.parked.pop(source) if source >= 0 else self._fresh(end)
            elif knotted:
                self._park(strand, leaving[i - 1][0] ^ 1)
                strand = self._fresh(end)
            self.script.twist(strand, end >> 1)
        assert strand is not None
        self._park(strand, leaving[-1][0] ^ 1)

    def _fresh(self, end: int) -> Strand:
        return self.script.start(self.work.kind_of[end >> 1], self.joint_of[end])

    def _park(self, strand: Strand, end: int) -> None:
        if self.mate[end] < 0:
            self.spent.append(strand)
        else:
            self.parked[end] = strand
