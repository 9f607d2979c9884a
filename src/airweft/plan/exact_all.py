"""Every way to make a small piece with so many balloons, gone through until one is found or none.

Trails and order together, twist by twist. It never harms to lock where two ends lie, so a state is
what is made, and for every balloon in work where its end lies, what it has used and which of its
twists are loose. Each state is gone on from once. States that need more balloons than are allowed,
by the ends still to come at each joint (ground.py has the argument) or by the room in the balloons,
are dropped. Only for pieces of some 20 bubbles: the states grow like 2 to their power.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from airweft.plan.ground import further_ends
from airweft.plan.kinds import Work
from airweft.plan.script import Script, Strand

Live = tuple[int, int, int, int, tuple[int, ...]]
"""A balloon in work: part, joint of its end, bubbles, their length, joints of its loose twists."""
State = tuple[int, tuple[Live, ...]]
"""Bubbles made, as bits, and the balloons in work, sorted."""
Step = tuple[int, int, int, int, int]
"""The part of a fresh balloon or -1, the joint where the balloon lies, its number in the state's
order, its next bubble, and where that ends (-1 thrice for a knot that only holds a twist)."""
Next = tuple[State, int, Step]
"""A state, the balloons started until then, and the step that led to it."""


@dataclass(frozen=True, slots=True)
class Searched:
    """`script` if there is a way; `sure` says that all was gone through if there is none."""

    script: Script | None
    sure: bool


class Everything:
    """The search for one work and one number of balloons."""

    def __init__(self, work: Work, balloons: int) -> None:
        self.work = work
        self.balloons = balloons
        part_of = {bubble: number for number, part in enumerate(work.parts) for bubble in part}
        self.capacity = [work.kinds[work.kind_of[part[0]]].capacity for part in work.parts]
        self.shortest = [min(work.lengths[b] for b in part) for part in work.parts]
        self.most = [
            max(1, capacity.most_of(length))
            for capacity, length in zip(self.capacity, self.shortest, strict=True)
        ]
        self.bits = [sum(1 << bubble for bubble in part) for part in work.parts]
        # For every joint its bubbles as (bubble, other end, part), and as bits.
        self.here: list[list[tuple[int, int, int]]] = [[] for _ in range(work.joint_count)]
        for bubble, (a, b) in enumerate(work.ends):
            self.here[a].append((bubble, b, part_of[bubble]))
            if a != b:
                self.here[b].append((bubble, a, part_of[bubble]))
        self.around = [sum(1 << bubble for bubble, _, _ in here) for here in self.here]

    def search(self, states: int, go_on: Callable[[int], bool]) -> Searched:
        """Depth first, at most so many states. `go_on(states)` is asked now and then."""
        everything = (1 << len(self.work.ends)) - 1
        seen: dict[State, int] = {}
        path: list[tuple[State, Step]] = []
        open_: list[Iterator[Next]] = [iter(self._steps((0, ()), 0))]
        looked = 0
        while open_:
            found = next(open_[-1], None)
            if found is None:
                open_.pop()
                if path:
                    path.pop()
                continue
            state, started, step = found
            made, live = state
            if made == everything and all(n and not loose for _, _, n, _, loose in live):
                return Searched(self._write([*path, (state, step)]), True)
            known = seen.get(state)
            if known is not None and known <= started:
                continue
            seen[state] = started
            looked += 1
            if looked > states or (looked % 1024 == 0 and not go_on(looked)):
                return Searched(None, False)
            path.append((state, step))
            open_.append(iter(self._steps(state, started)))
        return Searched(None, True)

    def _steps(self, state: State, started: int) -> list[Next]:
        """Every next twist, by a balloon in work or a fresh one; every knot on a loose twist."""
        made, live = state
        result: list[Next] = []
        for number, (part, tip, _, _, _) in enumerate(live):
            if number and live[number] == live[number - 1]:
                continue
            for bubble, to, whose in self.here[tip]:
                if whose == part and not made >> bubble & 1:
                    self._twist(result, made, live, number, (bubble, to), started, -1)
        if started == self.balloons:
            return result
        loose = {joint for balloon in live for joint in balloon[4]}
        for joint, here in enumerate(self.here):
            for part in dict.fromkeys(p for b, _, p in here if not made >> b & 1):
                fresh: Live = (part, joint, 0, 0, ())
                if joint in loose:  # it may make no bubble yet and only hold the twist
                    held = [*(_held(balloon, joint) for balloon in live), fresh]
                    step = (part, joint, -1, -1, -1)
                    self._settle(result, made, held, started + 1, step)
                    continue
                for bubble, to, whose in here:
                    if whose == part and not made >> bubble & 1:
                        self._twist(
                            result, made, (*live, fresh), len(live), (bubble, to), started + 1, part
                        )
        return result

    def _twist(
        self,
        result: list[Next],
        made: int,
        live: tuple[Live, ...],
        number: int,
        way: tuple[int, int],
        started: int,
        fresh: int,
    ) -> None:
        """Add the state after one balloon's next bubble, if hands and balloon allow it."""
        part, tip, count, length, _ = live[number]
        bubble, to = way
        hangs = self._hangs(bubble, to)
        if sum(len(balloon[4]) for balloon in live) + 1 > self.work.hands + hangs:
            return
        if not self.capacity[part].fits(count + 1, length + self.work.lengths[bubble]):
            return
        after = self._after(made, live, number, way)
        step = (fresh, tip, number, bubble, to)
        self._settle(result, made | 1 << bubble, after, started, step)

    def _hangs(self, bubble: int, to: int) -> bool:
        return self.work.is_free[bubble] and self.work.ends[bubble][1] == to

    def _after(
        self, made: int, live: Sequence[Live], number: int, way: tuple[int, int]
    ) -> list[Live]:
        """The balloons after the next bubble of one of them, locked where it lands on anything."""
        part, _, count, length, mine = live[number]
        bubble, to = way
        if made & self.around[to] or any(balloon[1] == to for balloon in live):
            after = [_held(balloon, to) for balloon in live]
            mine = ()
        else:
            after = list(live)
            mine = () if self._hangs(bubble, to) else (*mine, to)
        after[number] = (part, to, count + 1, length + self.work.lengths[bubble], mine)
        return after

    def _settle(
        self, result: list[Next], made: int, live: list[Live], started: int, step: Step
    ) -> None:
        """Add a state without the balloons that are done, if the balloons allowed can make it."""
        kept = []
        to_come = [0] * len(self.bits)
        tips: dict[tuple[int, int], int] = {}
        room = [0] * len(self.bits)
        count_of = [0] * len(self.bits)
        for balloon in live:
            part, tip, count, length, loose = balloon
            more = self.capacity[part].fits(count + 1, length + self.shortest[part]) and any(
                whose == part and not made >> bubble & 1 for bubble, _, whose in self.here[tip]
            )
            if more:
                tips[part, tip] = tips.get((part, tip), 0) + 1
                room[part] += self.most[part] - count
                count_of[part] += 1
            elif not count:
                return  # a knot that can never become a balloon's trail
            if more or loose:
                kept.append(balloon)
        needed = started
        unmade: dict[tuple[int, int], int] = {}
        for part, bits in enumerate(self.bits):
            left = bits & ~made
            while left:
                low = left & -left
                a, b = self.work.ends[low.bit_length() - 1]
                if a != b:
                    unmade[part, a] = unmade.get((part, a), 0) + 1
                    unmade[part, b] = unmade.get((part, b), 0) + 1
                left ^= low
        for key in {**unmade, **tips}:
            d, k = unmade.get(key, 0), tips.get(key, 0)
            to_come[key[0]] += further_ends(d, k)
        for part, bits in enumerate(self.bits):
            left_count = (bits & ~made).bit_count()
            if left_count:
                live_count = count_of[part]
                by_room = -(-max(0, left_count - room[part]) // self.most[part])
                by_ends = -(-max(0, to_come[part] - live_count) // 2)
                needed += max(by_room, by_ends, 0 if live_count else 1)
        if needed <= self.balloons:
            result.append(((made, tuple(sorted(kept))), started, step))

    def _write(self, path: list[tuple[State, Step]]) -> Script:
        """The script of a path, with the balloons in work in the order of the states."""
        work = self.work
        script = Script(work)
        live: list[tuple[Live, Strand]] = []
        made = 0
        for (after_made, after), (fresh, joint, number, bubble, to) in path:
            if fresh >= 0:
                strand = script.start(work.kind_of[work.parts[fresh][0]], joint)
                live = [(_held(balloon, joint), s) for balloon, s in live]
                live.append(((fresh, joint, 0, 0, ()), strand))
            if bubble >= 0:
                held = bool(script.touched[to])
                script.twist(live[number][1], bubble)
                if held:
                    script.lock(to)
                balloons = self._after(made, [b for b, _ in live], number, (bubble, to))
                live = [(b, s) for b, (_, s) in zip(balloons, live, strict=True)]
            made = after_made
            kept = Counter(after)
            going: list[tuple[Live, Strand]] = []
            for balloon, strand in live:
                if kept[balloon] > 0:
                    kept[balloon] -= 1
                    going.append((balloon, strand))
                else:
                    script.finish(strand)
            live = sorted(going, key=lambda pair: pair[0])
        script.finish_all()
        return script


def _held(balloon: Live, joint: int) -> Live:
    """A balloon after all that lies at a joint was made fast."""
    loose = balloon[4]
    if joint not in loose:
        return balloon
    last = len(loose) - loose[::-1].index(joint)
    return (*balloon[:4], loose[last:])
