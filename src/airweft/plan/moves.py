"""Moves: short chains of bubbles from a fast joint to a fast joint, and what they cost.

A *walk* leaves a touched joint, runs over untouched ones and lands where something holds it: on a
touched joint, on a joint of its own (a loop or a small ring), or on a free end. A *move* shares the
walk's bubbles out among balloons: tips parked at its ends, or fresh balloons started on the way,
where the colour changes or a balloon is full. After a move nothing is loose.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from airweft.plan.ground import Ground, ends_needed, further_ends
from airweft.plan.script import Script, Strand

Walk = tuple[tuple[int, ...], tuple[int, ...]]  # joints (one more), bubbles


@dataclass(slots=True)
class Part:
    """A stretch of a walk made by one balloon.

    `strand` is its number, -1 for a fresh one; `made` the bubbles it has made before. `full` says
    that it can make nothing more after this.
    """

    strand: int
    made: int
    kind: int
    origin: int
    bubbles: list[int]
    end: int
    full: bool = False


@dataclass(slots=True)
class Move:
    """Parts in making order, the joint to lock (-1 for none), and the price.

    `cost` counts trail ends beyond those that had to come (two for each needless balloon), `waste`
    the joints where balloons end half used though length is what counts; `peak` is the largest
    number of loose twists on the way. `eager` counts balloons started though another of their part
    still lies ready and the length, not the odd joints, says how many are needed.
    """

    parts: list[Part]
    lock: int
    cost: int
    waste: int
    eager: int
    peak: int
    joints: tuple[int, ...]
    bubbles: tuple[int, ...]


def walks(ground: Ground, start: int, deepest: int) -> Iterator[Walk]:
    """Every walk of at most `deepest` bubbles that leaves `start`, short ones first.

    Among them walks of one or two bubbles that come to `start` from an untouched odd joint, where a
    balloon has to begin or end anyhow: its nozzle hangs there until others are locked to it.
    """
    for loop in ground.loops[start]:
        yield (start, start), (loop,)
    yield from _hanging(ground, start)
    touched, rest, loops = ground.touched, ground.rest, ground.loops
    ends, is_free, kind_of = ground.work.ends, ground.work.is_free, ground.work.kind_of
    level: list[Walk] = [((start,), ())]
    for depth in range(1, deepest + 1):
        deeper: list[Walk] = []
        for joints, bubbles in level:
            for bubble, to in rest[joints[-1]]:
                if bubble in bubbles:
                    continue
                walk = ((*joints, to), (*bubbles, bubble))
                if touched[to] or to in joints or (is_free[bubble] and ends[bubble][1] == to):
                    yield walk
                    continue
                if depth < deepest:
                    for loop in loops[to]:
                        if kind_of[loop] == kind_of[bubble]:
                            yield (*walk[0], to), (*walk[1], loop)
                            break
                    deeper.append(walk)
        level = deeper


def _hanging(ground: Ground, start: int) -> Iterator[Walk]:
    """Walks that begin with a nozzle at an untouched odd joint and land at `start`."""
    touched, kind_of = ground.touched, ground.work.kind_of
    for bubble, near in ground.rest[start]:
        if touched[near]:
            continue
        kind = kind_of[bubble]
        if ground.d[kind][near] & 1:
            yield (near, start), (bubble,)
        for second, far in ground.rest[near]:
            if kind_of[second] == kind and not touched[far] and ground.d[kind][far] & 1:
                yield (far, near, start), (second, bubble)


def long_walk(ground: Ground, start: int) -> Walk | None:
    """The shortest landing walk from `start`, however many bubbles it takes, or None.

    Breadth first over untouched joints; the walk lands on a touched joint, on a free end, or runs
    round a ring and lands on itself. Failing that it comes to `start` from an odd joint.
    """
    touched, rest = ground.touched, ground.rest
    ends, is_free = ground.work.ends, ground.work.is_free
    came: dict[int, tuple[int, int]] = {start: (-1, -1)}  # joint -> (joint before, bubble)
    queue = [start]
    for here in queue:
        for bubble, to in rest[here]:
            if bubble == came[here][1]:
                continue
            joints, bubbles = _path(came, here)
            if to in came:
                back_joints, back_bubbles = _path(came, to)
                shared = 0
                while (
                    shared < min(len(bubbles), len(back_bubbles))
                    and bubbles[shared] == back_bubbles[shared]
                ):
                    shared += 1
                return (
                    tuple(joints + back_joints[shared:][::-1]),
                    tuple([*bubbles, bubble, *back_bubbles[shared:][::-1]]),
                )
            if touched[to] or (is_free[bubble] and ends[bubble][1] == to):
                return (*joints, to), (*bubbles, bubble)
            came[to] = (here, bubble)
            queue.append(to)
    return _from_nozzle(ground, came)


def _from_nozzle(ground: Ground, came: dict[int, tuple[int, int]]) -> Walk | None:
    """Where nothing can land: the shortest walk that hangs by its nozzle at an odd joint."""
    for joint, (_, bubble) in came.items():
        if bubble >= 0 and ground.d[ground.work.kind_of[bubble]][joint] & 1:
            joints, bubbles = _path(came, joint)
            return tuple(joints[::-1]), tuple(bubbles[::-1])
    return None


def _path(came: dict[int, tuple[int, int]], joint: int) -> tuple[list[int], list[int]]:
    joints, bubbles = [joint], []
    while came[joint][0] >= 0:
        joint, bubble = came[joint]
        joints.append(joint)
        bubbles.append(bubble)
    return joints[::-1], bubbles[::-1]


class Pricer:
    """Turns walks into moves and prices them."""

    __slots__ = ("asked", "ground", "hands", "script", "shortest")

    def __init__(self, ground: Ground, script: Script) -> None:
        self.ground = ground
        self.script = script
        self.hands = ground.work.hands
        self.asked = 0  # moves priced so far: the measure of effort that is the same everywhere
        self.shortest = [1 << 60] * len(ground.work.kinds)
        for bubble, kind in enumerate(ground.work.kind_of):
            self.shortest[kind] = min(self.shortest[kind], ground.work.lengths[bubble])

    def moves(self, walk: Walk) -> Iterator[Move]:
        """The ways to make a walk: all of it from its start, or from both ends to a meeting.

        The two sides may meet where the colour changes, and anywhere if the far end has a balloon
        of its own or is an odd joint.
        """
        joints, bubbles = walk
        kind_of = self.ground.work.kind_of
        yield self._price(walk, len(bubbles))
        last = joints[-1]
        if not self.ground.touched[last] and last not in joints[:-1]:
            return
        second = self._second_hand(last, kind_of[bubbles[-1]])
        passing = self.ground.work.passing
        for i in range(1, len(bubbles)):
            if joints[i] in passing:
                continue
            if second or kind_of[bubbles[i - 1]] != kind_of[bubbles[i]]:
                yield self._price(walk, i)

    def _second_hand(self, joint: int, kind: int) -> bool:
        """True if a balloon of the kind lies at a walk's end, or would start there for nothing."""
        ground = self.ground
        return bool(ground.k[kind][joint]) or bool(ground.d[kind][joint] & 1)

    def _price(self, walk: Walk, meet: int) -> Move:
        joints, bubbles = walk
        self.asked += 1
        last = len(bubbles)
        taken: list[int] = []
        left, left_peak, left_loose = self._chain(joints[: meet + 1], bubbles[:meet], taken)
        parts, peak = left, left_peak
        lock = joints[meet]
        if meet < last:
            right, right_peak, right_loose = self._chain(
                joints[meet:][::-1], bubbles[meet:][::-1], taken
            )
            parts = left + right
            peak = max(left_peak, left_loose + right_peak, left_loose + right_loose)
        else:
            work = self.ground.work
            if work.is_free[bubbles[-1]] and work.ends[bubbles[-1]][1] == joints[-1]:
                lock = -1
                peak = max(0, peak - (1 if left_loose == peak else 0))
        cost, waste, eager = self._cost(parts)
        return Move(parts, lock, cost, waste, eager, peak, joints, bubbles)

    def _chain(
        self,
        joints: tuple[int, ...],
        bubbles: tuple[int, ...],
        taken: list[int],
    ) -> tuple[list[Part], int, int]:
        """Parts along a chain, its peak, and the twists still loose when it arrives."""
        work = self.ground.work
        splits = self._splits(joints, bubbles)
        parts: list[Part] = []
        count = length = loose = peak = 0
        for i, bubble in enumerate(bubbles):
            kind = work.kind_of[bubble]
            capacity = work.kinds[kind].capacity
            part = parts[-1] if parts else None
            more, longer = self._in_one_go(joints, bubbles, i)
            if (
                part is None
                or part.kind != kind
                or i in splits
                or not (more == 0 or capacity.fits(count + more, length + longer))
            ):
                strand = None
                if part is None:
                    strand = self._tip(joints[0], bubble, taken, more, longer)
                elif not capacity.fits(count + 1, length + work.lengths[bubble]):
                    part.full = True
                if part is not None:
                    part.end = joints[i]
                count = len(strand.bubbles) if strand else 0
                number = strand.number if strand else -1
                part = Part(number, count, kind, joints[i], [], joints[i])
                parts.append(part)
                length = strand.length if strand else 0
                loose = 0
            part.bubbles.append(bubble)
            part.end = joints[i + 1]
            count += 1
            length += work.lengths[bubble]
            loose += 1
            peak = max(peak, loose)
        if parts:
            shortest = self.shortest[parts[-1].kind]
            capacity = work.kinds[parts[-1].kind].capacity
            parts[-1].full = not capacity.fits(count + 1, length + shortest)
        return parts, peak, loose

    def _in_one_go(
        self, joints: tuple[int, ...], bubbles: tuple[int, ...], i: int
    ) -> tuple[int, int]:
        """How many bubbles from bubble i on, and how long, one balloon has to make without a break.

        More than one where joints come that a balloon may only pass; none at such a joint itself.
        """
        work = self.ground.work
        if not work.passing:
            return 1, work.lengths[bubbles[i]]
        if joints[i] in work.passing:
            return 0, 0
        last = i
        while last + 1 < len(bubbles) and joints[last + 1] in work.passing:
            last += 1
        return last + 1 - i, sum(work.lengths[b] for b in bubbles[i : last + 1])

    def _splits(self, joints: tuple[int, ...], bubbles: tuple[int, ...]) -> set[int]:
        """Where fresh balloons must start so that a long chain keeps to the hands.

        A knot at a loose twist holds it and all before it. Odd joints are preferred: a balloon has
        to end or start there anyhow.
        """
        splits: set[int] = set()
        begin, last = 0, len(bubbles)
        while last - begin > self.hands:
            best = begin + self.hands
            while joints[best] in self.ground.work.passing and best > begin + 1:
                best -= 1
            for i in range(best, begin, -1):
                kind = self.ground.work.kind_of[bubbles[i]]
                if self.ground.d[kind][joints[i]] & 1:
                    best = i
                    break
            splits.add(best)
            begin = best
        return splits

    def _tip(
        self, joint: int, bubble: int, taken: list[int], more: int, longer: int
    ) -> Strand | None:
        """A strand parked at the joint that can make the bubble; the latest to arrive first.

        It has room for `more` bubbles, `longer` in all, which it must make in one go.
        """
        kind = self.ground.work.kind_of[bubble]
        for number in reversed(self.ground.tips[joint]):
            strand = self.script.strands[number]
            if (
                strand.kind == kind
                and number not in taken
                and self.script.fits(strand, more, longer)
            ):
                taken.append(number)
                return strand
        return None

    def _cost(self, parts: list[Part]) -> tuple[int, int, int]:
        """Trail ends beyond those that had to come, balloons that end half used, eager starts."""
        ground, ends = self.ground, self.ground.work.ends
        change: dict[tuple[int, int], list[int]] = {}
        per_part: dict[int, list[int]] = {}
        room_at: dict[tuple[int, int], int] = {}
        cost = waste = eager = 0
        for part in parts:
            kind = part.kind
            number = ground.part_at[kind][part.origin]
            sums = per_part.setdefault(number, [0, 0, 0, 0])
            sums[2] -= len(part.bubbles)
            for bubble in part.bubbles:
                a, b = ends[bubble]
                if a != b:
                    change.setdefault((kind, a), [0, 0])[0] -= 1
                    change.setdefault((kind, b), [0, 0])[0] -= 1
            if part.strand < 0:
                cost += 1
                if ground.live[number] + sums[1] > 0 and ground.length_binds(number):
                    eager += 1
                sums[1] += 1
                sums[3] += ground.most[number]
            else:
                change.setdefault((kind, part.origin), [0, 0])[1] -= 1
            if part.full:
                cost += 1
                sums[1] -= 1
                sums[3] -= ground.most[number] - part.made
            else:
                change.setdefault((kind, part.end), [0, 0])[1] += 1
                sums[3] -= len(part.bubbles)
                room_at[kind, part.end] = ground.most[number] - part.made - len(part.bubbles)
        for (kind, joint), (dd, dk) in change.items():
            number = ground.part_at[kind][joint]
            sums = per_part[number]
            d, k = ground.d[kind][joint], ground.k[kind][joint]
            after_d, after_k = d + dd, k + dk
            stuck = after_k - after_d
            if stuck > 0 and not ground.has_loops(kind, joint):
                cost += stuck
                waste += ground.length_binds(number)
                sums[1] -= stuck
                sums[3] -= room_at.get((kind, joint), 0)
                after_k = after_d
            sums[0] += further_ends(after_d, after_k) - further_ends(d, k)
        for number, (to_come, live, left, room) in per_part.items():
            f, k, rest = ground.to_come[number], ground.live[number], ground.left[number]
            had, most = ground.room[number], ground.most[number]
            cost += ends_needed(f + to_come, k + live, rest + left, had + room, most) - ends_needed(
                f, k, rest, had, most
            )
        return cost, waste, eager
