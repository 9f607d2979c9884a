"""An order for given trails: laid by the making rules with no more loose twists than hands hold.

Once every trail has its direction, there is no harm in having every nozzle knotted on and every
joint locked as soon as two ends lie there. What is loose then depends only on how many bubbles each
balloon has made: those visits that lie alone at their joint, after their balloon's last fast visit.
Two things follow, which make the search short:

- A chain of twists after which all *new* visits are fast can be made at once. Whatever order
  completes the piece without it completes the piece with it: new fast visits only take looseness
  away. So chains are taken as they are found and never given back.
- Where no such chain is left, no order exists for these trails in these directions.

A nozzle is tied on only when its balloon is taken up, or when its knot has to hold a twist.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from airweft.plan.kinds import Work
from airweft.plan.script import Script, Strand

_CHAINS = 4_000  # states looked at for one chain of many balloons before it is given up


@dataclass(frozen=True, slots=True)
class Trail:
    """The bubbles of one balloon in order, leaving the joint `start`."""

    start: int
    bubbles: tuple[int, ...]

    def joints(self, work: Work) -> list[int]:
        """The joints of its visits: the start and the end of every bubble."""
        here, visits = self.start, [self.start]
        for bubble in self.bubbles:
            a, b = work.ends[bubble]
            here = b if a == here else a
            visits.append(here)
        return visits

    def reversed(self, work: Work) -> Trail:
        """The same bubbles from the other end."""
        return Trail(self.joints(work)[-1], self.bubbles[::-1])


def walk(work: Work, bubbles: Sequence[int]) -> Trail:
    """The trail of bubbles in order. Raises ValueError if they do not follow on each other."""
    for start in work.ends[bubbles[0]]:
        here = start
        for bubble in bubbles:
            a, b = work.ends[bubble]
            if here not in (a, b):
                break
            here = b if a == here else a
        else:
            return Trail(start, tuple(bubbles))
    raise ValueError(f"bubbles {list(bubbles)} are no trail")


@dataclass(slots=True)
class Laid:
    """How far trails can be laid: chains as (trail, bubbles more) in order, bubbles made by each.

    `made` is the number of bubbles laid in all, `sure` False if a search for a chain of many
    balloons was given up, so that a longer order may exist.
    """

    chains: list[list[tuple[int, int]]]
    done: list[int]
    made: int
    sure: bool


class Layer:
    """Lays trails one chain after the other; one instance for one set of trails."""

    def __init__(self, work: Work, trails: Sequence[Trail], hands: int) -> None:
        self.hands = hands
        self.visits = [trail.joints(work) for trail in trails]
        # How many visits of a trail there are before its hanging end, which counts as fast (M11).
        self.hangs = [
            bool(t.bubbles) and work.is_free[t.bubbles[-1]] and work.ends[t.bubbles[-1]][1] == v[-1]
            for t, v in zip(trails, self.visits, strict=True)
        ]
        self.lying = [0] * work.joint_count
        self.passing: list[list[int]] = [[] for _ in range(work.joint_count)]
        for number, visits in enumerate(self.visits):
            self.lying[visits[0]] += 1
            for joint in dict.fromkeys(visits):
                self.passing[joint].append(number)
        self.real = bytearray(work.joint_count)  # joints where something has been made
        self.done = [0] * len(trails)
        self.chains: list[list[tuple[int, int]]] = []
        self.sure = True

    def lay(self, *, thorough: bool = True, complete: bool = False) -> Laid:
        """Lay all that can be laid; `thorough` looks for chains of three balloons and more.

        `complete` looks once more at every balloon before it ends: one that met another is not
        asked again by itself, which seldom matters to a search that tries many trails.
        Balloons that lie at what is made already go first, those that would hang on their own last.
        """
        waiting = list(range(len(self.visits)))[::-1]
        hanging: dict[int, None] = {}
        while True:
            while waiting:
                number = waiting.pop()
                if not self.real[self.visits[number][self.done[number]]]:
                    hanging[number] = None
                    continue
                hanging.pop(number, None)
                while (more := self._alone(number)) > 0:
                    self._take([(number, more)], waiting)
            chain = self._hanging(hanging) or self._meeting()
            if chain is None and complete:
                chain = self._left_waiting()
            if chain is None and thorough:
                chain = self._many()
            if chain is None:
                break
            self._take(chain, waiting)
        return Laid(self.chains, self.done, sum(self.done), self.sure)

    def _hanging(self, hanging: dict[int, None]) -> list[tuple[int, int]] | None:
        """A balloon whose nozzle hangs on its own until it lands, on what is made if one does."""
        chain = None
        for number in hanging:
            if more := self._alone(number):
                found = [(number, more)]
                if self.real[self.visits[number][self.done[number] + more]]:
                    return found
                chain = chain or found
        return chain

    def _left_waiting(self) -> list[tuple[int, int]] | None:
        """A balloon that can land by itself though nothing has called it since."""
        for number in range(len(self.visits)):
            if more := self._alone(number):
                return [(number, more)]
        return None

    def _alone(self, number: int) -> int:
        """The bubbles after which a balloon lands on something by itself, or 0."""
        visits, begin = self.visits[number], self.done[number]
        last = len(visits) - 1
        seen: list[int] = []
        for i in range(begin + 1, min(last, begin + self.hands) + 1):
            joint = visits[i]
            if self.lying[joint] or joint in seen:
                return i - begin
            seen.append(joint)
        # A hanging end is never loose, so a hand's worth of twists may come before it.
        return last - begin if self.hangs[number] and 0 < last - begin <= self.hands + 1 else 0

    def _meeting(self) -> list[tuple[int, int]] | None:
        """Two balloons that meet at a joint where nothing lies yet, with the fewest bubbles."""
        first: dict[int, tuple[int, int]] = {}
        best: tuple[tuple[int, int], list[tuple[int, int]]] | None = None
        for number, visits in enumerate(self.visits):
            begin = self.done[number]
            hangs = not self.real[visits[begin]]
            for i in range(begin + 1, min(len(visits) - 1, begin + self.hands - 1) + 1):
                other, more = first.setdefault(visits[i], (number, i - begin))
                if other != number:
                    size = more + i - begin
                    key = (hangs + (not self.real[self.visits[other][self.done[other]]]), size)
                    if size <= self.hands and (best is None or key < best[0]):
                        best = (key, [(other, more), (number, i - begin)])
                    if i - begin < more:
                        first[visits[i]] = (number, i - begin)
        return best[1] if best else None

    def _many(self) -> list[tuple[int, int]] | None:
        """A chain that many balloons share, breadth first over what each of them makes more."""
        live = [b for b, visits in enumerate(self.visits) if self.done[b] < len(visits) - 1]
        level: list[tuple[tuple[int, int], ...]] = [()]
        came: dict[tuple[tuple[int, int], ...], tuple[tuple[int, ...], int]] = {(): ((), 0)}
        looked = 0
        while level:
            deeper = []
            for state in level:
                steps, loose = came[state]
                more = dict(state)
                for number in live:
                    have = more.get(number, 0)
                    at = self.done[number] + have + 1
                    if at >= len(self.visits[number]):
                        continue
                    hangs = self.hangs[number] and at == len(self.visits[number]) - 1
                    if loose + 1 > self.hands + hangs:
                        continue
                    new = tuple(sorted({**more, number: have + 1}.items()))
                    if new in came:
                        continue
                    looked += 1
                    if looked > _CHAINS:
                        self.sure = False
                        return None
                    left = self._loose(new)
                    came[new] = ((*steps, number), left)
                    if left == 0:
                        return [(b, 1) for b in (*steps, number)]
                    deeper.append(new)
            level = deeper
        return None

    def _loose(self, state: tuple[tuple[int, int], ...]) -> int:
        """The new visits that are loose after every balloon has made so many bubbles more."""
        there: dict[int, int] = {}
        for number, more in state:
            begin = self.done[number]
            for joint in self.visits[number][begin + 1 : begin + more + 1]:
                there[joint] = there.get(joint, 0) + 1
        loose = 0
        for number, more in state:
            visits, begin = self.visits[number], self.done[number]
            for i in range(begin + more, begin, -1):
                joint = visits[i]
                if (
                    self.lying[joint]
                    or there[joint] > 1
                    or (self.hangs[number] and i == len(visits) - 1)
                ):
                    break
                loose += 1
        return loose

    def _take(self, chain: list[tuple[int, int]], waiting: list[int]) -> None:
        self.chains.append(chain)
        for number, more in chain:
            begin = self.done[number]
            self.done[number] = begin + more
            self.real[self.visits[number][begin]] = 1
            for joint in self.visits[number][begin + 1 : begin + more + 1]:
                self.lying[joint] += 1
                if not self.real[joint]:
                    self.real[joint] = 1
                    waiting += [b for b in self.passing[joint] if b != number]
        waiting.append(chain[-1][0])


def lay(
    work: Work,
    trails: Sequence[Trail],
    *,
    hands: int | None = None,
    thorough: bool = True,
    complete: bool = False,
) -> Laid:
    """Lay trails in their directions as far as `hands` (those of the work) can; see `Layer.lay`."""
    return Layer(work, trails, hands or work.hands).lay(thorough=thorough, complete=complete)


def write(work: Work, trails: Sequence[Trail], laid: Laid) -> Script:
    """The script of a full order: knots where they are needed, a lock wherever two ends meet."""
    script = Script(work)
    strands: list[Strand | None] = [None] * len(trails)
    knots: dict[int, list[int]] = {}  # trails that are still to be started at a joint
    for number, trail in enumerate(trails):
        knots.setdefault(trail.start, []).append(number)

    def strand_of(number: int) -> Strand:
        strand = strands[number]
        if strand is None:
            trail = trails[number]
            strand = script.start(work.kind_of[trail.bubbles[0]], trail.start)
            knots[trail.start].remove(number)
            strands[number] = strand
        return strand

    for chain in laid.chains:
        script.make_room(sum(more for _, more in chain), taken_up=False)
        for number, more in chain:
            strand = strand_of(number)
            for _ in range(more):
                bubble = trails[number].bubbles[len(strand.bubbles)]
                a, b = work.ends[bubble]
                to = b if a == strand.tip else a
                held = script.touched[to]
                script.twist(strand, bubble)
                if held:
                    script.lock(to)
                elif knots.get(to) and not (work.is_free[bubble] and to == b):
                    strand_of(knots[to][0])  # its knot holds the twist
        for number, _ in chain:
            done = strands[number]
            if done and not done.finished and len(done.bubbles) == len(trails[number].bubbles):
                script.finish(done)
    return script
