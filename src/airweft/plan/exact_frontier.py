"""Can a part be shared out among so many trails? Decided along a frontier that sweeps the part.

Bubbles are taken one after the other in an order that keeps the *frontier*, the joints with bubbles
on both sides of the sweep, small. Each new bubble joins pieces of trail that end at its joints, or
leaves its ends dangling; a joint behind the frontier joins nothing more. All that matters for the
rest is which pieces still dangle at the frontier and how much each of them holds, and the number of
trails that are done. States that need more trails than allowed, by the ends they must still have or
by the room that the done ones have left unused, are dropped. What is left is gone through depth
first, each state once: a state space search by frontiers (S. Kawahara et al., 2017, for the family;
from memory). Narrow parts such as stripes are settled by it however long they are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate

from airweft.plan.capacity import Capacity

Piece = tuple[int, int, int, int]
"""A piece of trail: frontier joints of its two ends, the lower first (an end that is done is
CLOSED), its bubbles and their length."""
Join = tuple[Piece, int] | None
"""A piece that a bubble's end joins, and by which of its ends."""

Found = tuple[tuple[Piece, ...], int, tuple[Join, Join]]
"""A state (its pieces, sorted), the trails done until then, and what the bubble joined."""

CLOSED = 1 << 30
_STARTS = 16  # joints from which a sweep is tried, at most


@dataclass(frozen=True, slots=True)
class Answer:
    """`trails` as lists of bubbles if there are any, `sure` False if the effort did not suffice."""

    trails: list[list[int]] | None
    sure: bool
    effort: int


class Sweep:
    """One part, made ready to be swept. `ends` and `lengths` have one entry for each bubble."""

    def __init__(
        self, ends: Sequence[tuple[int, int]], lengths: Sequence[int], capacity: Capacity
    ) -> None:
        order, self.width = _sweep_order(ends)
        self.order = order
        self.ends = [ends[b] for b in order]
        self.lengths = [lengths[b] for b in order]
        self.capacity = capacity
        self.extra, self.holds = capacity.extra, capacity.holds
        self.use = sum(lengths) + len(ends) * self.extra
        joints = sorted({j for pair in ends for j in pair})
        self.bit = {joint: 1 << i for i, joint in enumerate(joints)}
        last: dict[int, int] = {}
        for position, pair in enumerate(self.ends):
            for joint in pair:
                last[joint] = position
        # After each bubble: the joints that are left behind, and those with an odd rest.
        self.behind = [
            tuple(j for j in dict.fromkeys(pair) if last[j] == p)
            for p, pair in enumerate(self.ends)
        ]
        odd = 0
        for a, b in self.ends:
            odd ^= self.bit[a] ^ self.bit[b]
        self.swept_length = list(accumulate(self.lengths))
        self.odd_rest = []
        for a, b in self.ends:
            odd ^= self.bit[a] ^ self.bit[b]
            self.odd_rest.append(odd)

    def decide(
        self, trails: int, *, most: int, effort: int, go_on: Callable[[int], bool] | None = None
    ) -> Answer:
        """Whether at most `trails` trails of at most `most` bubbles each, within M4, suffice.

        `effort` limits the states looked at. `go_on(states)` is asked now and then.
        """
        count = len(self.ends)
        seen: list[dict[tuple[Piece, ...], int]] = [{} for _ in range(count)]
        looked = 0
        path: list[Found] = []
        open_: list[Iterator[Found]] = [iter(self._next(0, (), 0, trails, most))]
        while open_:
            found = next(open_[-1], None)
            if found is None:
                open_.pop()
                if path:
                    path.pop()
                continue
            state, done, _ = found
            position = len(open_)
            if position < count:
                known = seen[position].get(state)
                if known is not None and known <= done:
                    continue
                seen[position][state] = done
            looked += 1
            if looked > effort or (go_on and looked % 4096 == 0 and not go_on(looked)):
                return Answer(None, False, looked)
            path.append(found)
            if position == count:
                return Answer(self._trails([joins for _, _, joins in path]), True, looked)
            open_.append(iter(self._next(position, state, done, trails, most)))
        return Answer(None, True, looked)

    def beam(
        self, *, most: int, width: int, go_on: Callable[[int], bool] | None = None
    ) -> list[list[int]]:
        """Few trails without a claim: of the states after each bubble the best `width` are kept.

        `go_on(states)` is asked now and then; after a no only the very best is.

        Best are those that promise the fewest trails in the end by their ends and by the room that
        trails which are done have left unused.
        """
        count = len(self.ends)
        layers: list[list[Found]] = []
        came: list[list[int]] = []
        level: list[tuple[tuple[Piece, ...], int]] = [((), 0)]
        for position in range(count):
            if go_on and position % 16 == 0 and not go_on(position * width):
                width = 1
            best: dict[tuple[Piece, ...], tuple[tuple[float, float], int, Found]] = {}
            for number, (state, done) in enumerate(level):
                for found in self._next(position, state, done, count, most):
                    key = self._promise(position, found[0], found[1], most)
                    old = best.get(found[0])
                    if old is None or key < old[0]:
                        best[found[0]] = (key, number, found)
            kept = sorted(best.values(), key=lambda b: b[0])[:width]
            layers.append([found for _, _, found in kept])
            came.append([number for _, number, _ in kept])
            level = [(state, done) for state, done, _ in layers[-1]]
        number = min(range(len(level)), key=lambda n: level[n][1])
        joins: list[tuple[Join, Join]] = []
        for position in range(count - 1, -1, -1):
            joins.append(layers[position][number][2])
            number = came[position][number]
        return self._trails(joins[::-1])

    def _promise(
        self, position: int, state: tuple[Piece, ...], done: int, most: int
    ) -> tuple[float, float]:
        """What a state promises: trails in the end at least, by the worse and by both arguments."""
        ends, held, odd = 2 * done, 0, self.odd_rest[position]
        for x, y, n, _ in state:
            held += n
            odd ^= self.bit[x]
            if y == CLOSED:
                ends += 1
            else:
                odd ^= self.bit[y]
        by_ends = (ends + odd.bit_count()) / 2
        unused = done * most - (position + 1 - held)
        by_room = (len(self.ends) + unused) / most
        return max(by_ends, by_room), by_ends + by_room

    def _next(
        self, position: int, state: tuple[Piece, ...], done: int, trails: int, most: int
    ) -> list[Found]:
        """The states after one bubble more, the most promising first."""
        a, b = self.ends[position]
        behind, bit = self.behind[position], self.bit
        spare = trails * most - len(self.ends)
        spare_length = trails * self.holds - self.use
        odd_rest = self.odd_rest[position]
        swept = position + 1
        swept_length = self.swept_length[position]
        result = []
        whole = (a, b, 1, self.lengths[position])
        for pieces, grown, first in self._joined(state, whole, a, 0, most):
            for rest, piece, second in self._joined(pieces, grown, b, 1, most):
                new, finished = [], done
                for one in (*rest, piece):
                    x, y, n, size = one
                    if x in behind or y in behind or x > y:
                        x, y = sorted((CLOSED if j in behind else j) for j in (x, y))
                        one = (x, y, n, size)
                    if x == CLOSED:
                        finished += 1
                    else:
                        new.append(one)
                held = held_length = half = 0
                odd = odd_rest
                for x, y, n, size in new:
                    held += n
                    held_length += size
                    odd ^= bit[x]
                    if y == CLOSED:
                        half += 1
                    else:
                        odd ^= bit[y]
                if finished * most - (swept - held) > spare:
                    continue
                used = swept_length - held_length + (swept - held) * self.extra
                if finished * self.holds - used > spare_length:
                    continue
                if 2 * finished + half + odd.bit_count() > 2 * trails:
                    continue
                new.sort()
                result.append((tuple(new), finished, (first, second)))
        result.sort(key=lambda r: (r[1], len(r[0])))
        return result

    def _joined(
        self, state: tuple[Piece, ...], piece: Piece, joint: int, end: int, most: int
    ) -> list[tuple[tuple[Piece, ...], Piece, Join]]:
        """Ways to join the end of a piece at a joint to what dangles there, or to leave it."""
        result: list[tuple[tuple[Piece, ...], Piece, Join]] = [(state, piece, None)]
        fits = self.capacity.fits
        before: Piece | None = None
        for i, other in enumerate(state):
            if other == before or (other[0] != joint and other[1] != joint):
                continue
            before = other
            n, size = other[2] + piece[2], other[3] + piece[3]
            if n > most or not fits(n, size):
                continue
            rest = state[:i] + state[i + 1 :]
            for side in (0, 1):
                if other[side] != joint or (side and other[0] == joint):
                    continue
                far = other[1 - side]
                new = (far, piece[1], n, size) if end == 0 else (piece[0], far, n, size)
                result.append((rest, new, (other, side)))
        return result

    def _trails(self, joins: list[tuple[Join, Join]]) -> list[list[int]]:
        """The trails that a path of joins makes, by doing it again with the bubbles themselves."""
        here: dict[Piece, list[list[int]]] = {}
        result: list[list[int]] = []
        for position, (first, second) in enumerate(joins):
            a, b = self.ends[position]
            behind = self.behind[position]
            x, y, n, size = a, b, 1, self.lengths[position]
            bubbles = [self.order[position]]
            if first:
                other, side = first
                taken = here[other].pop()
                bubbles = (taken if side else taken[::-1]) + bubbles
                x, n, size = other[1 - side], n + other[2], size + other[3]
            if second:
                other, side = second
                taken = here[other].pop()
                bubbles = bubbles + (taken[::-1] if side else taken)
                y, n, size = other[1 - side], n + other[2], size + other[3]
            here.setdefault((x, y, n, size), []).append(bubbles)
            after: dict[Piece, list[list[int]]] = {}
            for (x, y, n, size), lists in here.items():
                p, q = (CLOSED if j in behind else j for j in (x, y))
                for bubbles in lists:
                    if p == q == CLOSED:
                        result.append(bubbles)
                    elif p <= q:
                        after.setdefault((p, q, n, size), []).append(bubbles)
                    else:
                        after.setdefault((q, p, n, size), []).append(bubbles[::-1])
            here = after
        return result


def _sweep_order(ends: Sequence[tuple[int, int]]) -> tuple[list[int], int]:
    """The bubbles in the order of the sweep that keeps the frontier smallest, and its most joints.

    From each of some joints in turn: always on with the frontier joint that brings the fewest new
    ones. Sweeps are compared by the sum of 2 to the power of their frontiers.
    """
    at: dict[int, list[int]] = {}
    for bubble, pair in enumerate(ends):
        for joint in dict.fromkeys(pair):
            at.setdefault(joint, []).append(bubble)
    joints = sorted(at)
    step = -(-len(joints) // _STARTS)
    best: tuple[int, list[int], int] | None = None
    for start in joints[::step]:
        found = _sweep_from(start, ends, at)
        if best is None or found[0] < best[0]:
            best = found
    assert best is not None
    return best[1], best[2]


def _sweep_from(
    start: int, ends: Sequence[tuple[int, int]], at: dict[int, list[int]]
) -> tuple[int, list[int], int]:
    left = {joint: len(bubbles) for joint, bubbles in at.items()}
    taken = bytearray(len(ends))
    frontier = {start: None}
    order: list[int] = []
    score = widest = 0
    while frontier:
        # Joints that would come to the frontier, then bubbles left, then the number.
        best: tuple[int, int, int] | None = None
        for joint in frontier:
            fresh = {
                far
                for bubble in at[joint]
                if not taken[bubble]
                for far in ends[bubble]
                if far not in frontier and left[far] > 1
            }
            key = (len(fresh), left[joint], joint)
            if best is None or key < best:
                best = key
        assert best is not None
        for bubble in at[best[2]]:
            if taken[bubble]:
                continue
            taken[bubble] = 1
            order.append(bubble)
            for joint in dict.fromkeys(ends[bubble]):
                left[joint] -= 1
                if left[joint]:
                    frontier[joint] = None
                else:
                    frontier.pop(joint, None)
        score += 1 << len(frontier)
        widest = max(widest, len(frontier))
    return score, order, widest
