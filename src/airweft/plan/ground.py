"""The unmade rest of a piece while it is being planned, and what each joint still costs.

For every kind (colour and size) the ground knows at each joint how many unmade ends are left, `d`,
and how many tips of that kind are parked there, `k`. Whatever happens later, the trails of that
kind will have at least

    f(d, k) = k - d  if k > d, else (d - k) mod 2

further ends at the joint. In every connected part of a kind the ends to come are at least the sum F
of f over its joints, and at least one for each of its live tips K and two for each balloon that
the live tips' room leaves to be started; a part with something left to make has two ends to come at
least. A move is free when the ends it makes lower that number by as many. A piece of the rest that
has neither a tip nor an odd joint costs one more balloon.
"""

from __future__ import annotations

from airweft.plan.kinds import Work


def further_ends(d: int, k: int) -> int:
    """The trail ends still to come at a joint with `d` unmade ends and `k` parked tips."""
    return k - d if k > d else (d - k) & 1


def ends_by_count(live: int, left: int, room: int, most: int) -> int:
    """The trail ends that a part needs yet for its length: `live` is K, `left` the unmade bubbles.

    `room` is how many of them the live tips can make, `most` how many a fresh balloon can.
    """
    return live + 2 * -(-max(0, left - room) // most)


def ends_needed(to_come: int, live: int, left: int, room: int, most: int) -> int:
    """The trail ends that a part needs yet: for its joints `to_come`, which is F, or its length."""
    return max(to_come, ends_by_count(live, left, room, most)) or (2 if left else 0)


class Ground:
    """Unmade bubbles, parked tips and the frontier. One instance belongs to one planning run.

    rest       for each joint its unmade bubbles as (bubble, other end), without loops
    loops      for each joint its unmade loops
    d, k       for each kind and joint: unmade ends and parked tips
    odd        for each kind the number of joints with an odd `d`
    part_at    for each kind and joint the connected part there (-1 for none)
    to_come, live, left, room, most   for each part what `ends_needed` asks for
    tips       for each joint the numbers of the strands parked there
    touched    joints where something has been made
    frontier   touched joints with something left to make, in order of touching
    """

    __slots__ = (
        "d",
        "frontier",
        "k",
        "left",
        "live",
        "loops",
        "most",
        "odd",
        "part_at",
        "rest",
        "room",
        "tips",
        "to_come",
        "touched",
        "work",
    )

    def __init__(self, work: Work) -> None:
        n = work.joint_count
        self.work = work
        self.rest = [list(here) for here in work.at]
        self.loops = [list(here) for here in work.loops_at]
        self.d = [[0] * n for _ in work.kinds]
        self.k = [[0] * n for _ in work.kinds]
        self.tips: list[list[int]] = [[] for _ in range(n)]
        self.touched = bytearray(n)
        self.frontier: dict[int, None] = {}
        kind_of = work.kind_of
        for joint, here in enumerate(work.at):
            for bubble, _ in here:
                self.d[kind_of[bubble]][joint] += 1
        self.odd = [sum(d & 1 for d in row) for row in self.d]
        self.part_at = [[-1] * n for _ in work.kinds]
        grouped = work.parts
        for number, part in enumerate(grouped):
            at = self.part_at[kind_of[part[0]]]
            for bubble in part:
                for joint in work.ends[bubble]:
                    at[joint] = number
        self.left = [len(part) for part in grouped]
        self.room = [0] * len(grouped)
        self.most = [
            max(
                1, work.kinds[kind_of[part[0]]].capacity.most_of(min(work.lengths[b] for b in part))
            )
            for part in grouped
        ]
        self.live = [0] * len(grouped)
        self.to_come = [0] * len(grouped)
        for kind, row in enumerate(self.d):
            for joint, d in enumerate(row):
                if d & 1:
                    self.to_come[self.part_at[kind][joint]] += 1

    def remove(self, bubble: int) -> None:
        """Take a bubble out of the unmade rest."""
        a, b = self.work.ends[bubble]
        kind = self.work.kind_of[bubble]
        self.left[self.part_at[kind][a]] -= 1
        if a == b:
            self.loops[a].remove(bubble)
            return
        self.rest[a].remove((bubble, b))
        self.rest[b].remove((bubble, a))
        self._count(kind, a, -1)
        self._count(kind, b, -1)

    def restore(self, bubble: int) -> None:
        """Put a bubble back into the unmade rest, undoing `remove`."""
        a, b = self.work.ends[bubble]
        kind = self.work.kind_of[bubble]
        self.left[self.part_at[kind][a]] += 1
        if a == b:
            self.loops[a].append(bubble)
            self.loops[a].sort()
            return
        self.rest[a].append((bubble, b))
        self.rest[b].append((bubble, a))
        self.rest[a].sort()
        self.rest[b].sort()
        self._count(kind, a, 1)
        self._count(kind, b, 1)

    def _count(self, kind: int, joint: int, step: int) -> None:
        row = self.d[kind]
        d, k = row[joint], self.k[kind][joint]
        row[joint] = d + step
        self.odd[kind] += -1 if d & 1 else 1
        self.to_come[self.part_at[kind][joint]] += further_ends(d + step, k) - further_ends(d, k)

    def arrive(self, kind: int, joint: int, made: int) -> None:
        """A live tip of a kind, whose balloon has made so many bubbles, is parked at a joint."""
        self._park(kind, joint, 1)
        part = self.part_at[kind][joint]
        self.room[part] += self.most[part] - made

    def leave(self, kind: int, joint: int, made: int) -> None:
        """A live tip of a kind leaves a joint, or ends there."""
        self._park(kind, joint, -1)
        part = self.part_at[kind][joint]
        self.room[part] -= self.most[part] - made

    def _park(self, kind: int, joint: int, step: int) -> None:
        row = self.k[kind]
        d, k = self.d[kind][joint], row[joint]
        row[joint] = k + step
        part = self.part_at[kind][joint]
        self.live[part] += step
        self.to_come[part] += further_ends(d, k + step) - further_ends(d, k)

    def length_binds(self, part: int) -> bool:
        """True if a part needs its balloons for their length rather than for its odd joints."""
        return self.to_come[part] <= ends_by_count(
            self.live[part], self.left[part], self.room[part], self.most[part]
        )

    def has_loops(self, kind: int, joint: int) -> bool:
        """True if unmade loops of a kind are left at a joint."""
        return any(self.work.kind_of[loop] == kind for loop in self.loops[joint])

    def settle(self, joint: int) -> None:
        """Bring the frontier up to date at a joint."""
        if self.touched[joint] and (self.rest[joint] or self.loops[joint]):
            self.frontier[joint] = None
        else:
            self.frontier.pop(joint, None)

    def cut_off(self, kind: int, joint: int, tip: int) -> bool:
        """True if the rest of one kind around `joint` has neither a tip nor an odd joint.

        Walks outwards from `joint` and from `tip` (where some strand of the kind lies) in turn. It
        stops at the first tip or odd joint met from `joint`, a few steps away as a rule; or when
        the tip's side is exhausted and held every odd joint there is, so that a closing gap in a
        large piece costs no more than the gap is long.
        """
        d, k, kind_of, rest = self.d[kind], self.k[kind], self.work.kind_of, self.rest
        if k[joint] or d[joint] & 1:
            return False
        mine, mine_next = {joint}, [joint]
        other, other_next = {tip}, [tip]
        odd_seen = 0
        while mine_next:
            here = mine_next.pop(0)
            if k[here] or d[here] & 1:
                return False
            for bubble, to in rest[here]:
                if kind_of[bubble] == kind and to not in mine:
                    mine.add(to)
                    mine_next.append(to)
            if not other_next:
                if odd_seen == self.odd[kind]:
                    return True
                continue
            here = other_next.pop(0)
            odd_seen += d[here] & 1
            for bubble, to in rest[here]:
                if kind_of[bubble] == kind and to not in other:
                    if to in mine:
                        return False
                    other.add(to)
                    other_next.append(to)
        return True
