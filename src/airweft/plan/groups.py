"""Groups: runs that lie side by side and advance together as rows, and the order of groups."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from airweft.plan.strips import Lanes, Passage, Strip


@dataclass(frozen=True, slots=True)
class Group:
    """Runs from left to right, all of one length; `ring` if the last lies beside the first too."""

    runs: tuple[Strip, ...]
    ring: bool

    @property
    def length(self) -> int:
        """Cells in each run."""
        return len(self.runs[0])


def turned(group: Group, lanes: Lanes) -> Group:
    """The same group worked from its other end; left and right change places."""
    return Group(tuple(reverse(run, lanes) for run in group.runs[::-1]), group.ring)


def reverse(run: Strip, lanes: Lanes) -> Strip:
    """The run made from its other end."""
    return tuple(lanes.reverse(p) for p in run[::-1])


def groups(runs: list[Strip], lanes: Lanes) -> list[Group]:
    """Every run in one group, neighbours together as far as they lie cell beside cell."""
    run_of: dict[int, tuple[int, int]] = {}
    for number, run in enumerate(runs):
        for i, p in enumerate(run):
            run_of[p.cell] = (number, i)
    used = [False] * len(runs)
    found: list[Group] = []
    for number, run in enumerate(runs):
        if used[number]:
            continue
        used[number] = True
        members = [run]
        ring = _extend(members, runs, run_of, used, lanes)
        if not ring:
            flipped = [reverse(r, lanes) for r in members[::-1]]
            _extend(flipped, runs, run_of, used, lanes)
            members = [reverse(r, lanes) for r in flipped[::-1]]
        found.append(Group(tuple(members), ring))
    return found


def _extend(
    members: list[Strip],
    runs: list[Strip],
    run_of: dict[int, tuple[int, int]],
    used: list[bool],
    lanes: Lanes,
) -> bool:
    """Add runs to the right as far as they fit; True if that closes a ring."""
    while True:
        near = _right_of(members[-1], runs, run_of, lanes)
        if near is None:
            return False
        number, run = near
        if used[number]:
            first = members[0]
            return len(members) > 1 and run[0].cell == first[0].cell and run[0] == first[0]
        used[number] = True
        members.append(run)


def _right_of(
    run: Strip, runs: list[Strip], run_of: dict[int, tuple[int, int]], lanes: Lanes
) -> tuple[int, Strip] | None:
    """The run that lies cell beside cell to the right, turned the same way, or None."""
    beside: list[Passage] = []
    number = -1
    for p in run:
        near = _beside(p, lanes, runs, run_of)
        if near is None or number not in (-1, run_of[near.cell][0]):
            return None
        number = run_of[near.cell][0]
        beside.append(near)
    other = tuple(beside)
    if len(runs[number]) != len(run):
        return None
    for a, b in itertools.pairwise(other):
        if a.leave != b.enter:
            return None
    return number, other


def _beside(
    p: Passage, lanes: Lanes, runs: list[Strip], run_of: dict[int, tuple[int, int]]
) -> Passage | None:
    """The passage through the cell across the right side, if that is a side of it as well."""
    for cell, edge in lanes.cells_at[p.right_side]:
        if cell == p.cell or cell not in run_of:
            continue
        number, i = run_of[cell]
        if runs[number][i].entry % 2 == edge % 2:
            return None
        # the common edge is the neighbour's left side, so that both look the same way
        return lanes.ways[cell][(edge + 1) % 4]
    return None


def in_order(found: list[Group], lanes: Lanes, joint_count: int) -> list[Group]:
    """Groups in building order, each turned so that it begins on what is made already.

    The largest comes first; from then on the one whose first joints are made already, then the one
    with most joints in common with the made part.
    """
    made = bytearray(joint_count)
    left = list(found)
    ordered: list[Group] = []
    while left:
        best: tuple[tuple[int, ...], int, Group] | None = None
        for number, group in enumerate(left):
            for way in (group, turned(group, lanes)):
                begins = sum(made[run[0].enter] for run in way.runs)
                touching = sum(made[j] for run in way.runs for p in run for j in _joints(p))
                key = (
                    -int(begins == len(way.runs)),
                    -touching,
                    -begins,
                    -len(way.runs) * way.length,
                    number,
                )
                if best is None or key < best[0]:
                    best = (key, number, way)
        assert best is not None
        group = best[2]
        left.pop(best[1])
        ordered.append(group)
        for run in group.runs:
            for p in run:
                for joint in _joints(p):
                    made[joint] = 1
    return ordered


def _joints(p: Passage) -> tuple[int, int, int, int]:
    return p.enter, p.left_side, p.right_side, p.leave
