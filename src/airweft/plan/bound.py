"""Lower bounds on the number of balloons, with the argument that binds.

A balloon makes a connected walk of one colour and size, so every connected part of every kind is
bounded on its own and the bounds add up:

- ends: a joint where an odd number of the part's ends meet is the end of some balloon, and a
  balloon has two ends (Euler 1736; Demaine, Demaine and Hart, CCCG 2008, theorem 2);
- length: the balloons together hold only so much (M4);
- count: no balloon makes more of the part's shortest bubbles than fit it;
- packing: bubbles longer than half of what a balloon holds need a balloon each;
- search: where a part has odd joints or bubbles of several lengths and one balloon cannot make it
  all, these arguments do not see how ends and lengths go together; small and narrow parts are
  then gone through whole (exact_frontier.py), as far as a counted effort reaches;
- hands: one balloon alone closes its first ring with every twist of it loose, so that a net whose
  smallest ring has more bubbles than the hands can hold needs a second balloon.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from airweft.plan.capacity import Capacity
from airweft.plan.exact_euler import euler_trails
from airweft.plan.exact_frontier import Sweep
from airweft.plan.kinds import Work

_STATES = 20_000  # states gone through for one net, all its parts together
_LARGEST = 160  # bubbles in a part that is gone through
_WIDEST = 8  # joints on the frontier of a sweep, beyond which that effort cannot do


@dataclass(frozen=True, slots=True, kw_only=True)
class PartBound:
    """The bound of one connected part of one kind, and the numbers behind each argument."""

    kind: int
    bubbles: tuple[int, ...]
    odd_joints: int
    by_ends: int
    by_length: int
    by_count: int
    by_packing: int
    most: int
    by_search: int = 0

    @property
    def balloons(self) -> int:
        """The best of the arguments; a part needs one balloon at least."""
        return max(1, self._by_counting, self.by_search)

    @property
    def _by_counting(self) -> int:
        return max(self.by_ends, self.by_length, self.by_count, self.by_packing)

    @property
    def binds(self) -> str:
        """Which argument gives the bound."""
        best = self.balloons
        if best == 1:
            return "one"
        if self.by_search > self._by_counting:
            return "search"
        if self.by_count == best:
            return "count"
        if self.by_length == best:
            return "length"
        if self.by_packing == best:
            return "packing"
        return "ends"


def bound_parts(work: Work) -> list[PartBound]:
    """The bound of every connected part of every kind."""
    return [_bound(work, part) for part in work.parts]


def search_parts(work: Work, bounds: Sequence[PartBound]) -> list[PartBound]:
    """The bounds, raised where going through a part shows that it needs more balloons.

    Parts are taken by size until the effort for the net is spent; states are counted and not
    seconds, so that the same net always gives the same bounds.
    """
    result = list(bounds)
    left = _STATES
    for number in sorted(range(len(result)), key=lambda n: (len(result[n].bubbles), n)):
        bound = result[number]
        if left <= 0 or len(bound.bubbles) > _LARGEST:
            break
        if len(euler_trails(work, bound.bubbles)) == bound.balloons:
            continue
        sweep = Sweep(
            [work.ends[b] for b in bound.bubbles],
            [work.lengths[b] for b in bound.bubbles],
            work.kinds[bound.kind].capacity,
        )
        if sweep.width > _WIDEST:
            continue
        least, trails = bound.balloons, None
        while trails is None and left > 0:
            answer = sweep.decide(least, most=bound.most, effort=left)
            left -= answer.effort
            trails = answer.trails
            if trails is None and answer.sure:
                least += 1
        if least > bound.balloons:
            result[number] = replace(bound, by_search=least)
    return result


def _bound(work: Work, part: list[int]) -> PartBound:
    kind = work.kind_of[part[0]]
    capacity = work.kinds[kind].capacity
    degree: dict[int, int] = {}
    for bubble in part:
        a, b = work.ends[bubble]
        degree[a] = degree.get(a, 0) + 1
        degree[b] = degree.get(b, 0) + 1
    odd = sum(d & 1 for d in degree.values())
    lengths = sorted(work.lengths[b] for b in part)
    most = _most_shortest(capacity, lengths)
    return PartBound(
        kind=kind,
        bubbles=tuple(part),
        odd_joints=odd,
        by_ends=odd // 2,
        by_length=_by_length(capacity, lengths),
        by_count=-(-len(part) // most) if most else len(part),
        by_packing=_by_packing(capacity, lengths),
        most=most,
    )


def _most_shortest(capacity: Capacity, lengths: list[int]) -> int:
    """How many of the shortest bubbles one balloon can make (no balloon makes more bubbles)."""
    most = total = 0
    for count, length in enumerate(lengths, 1):
        total += length
        if count >= len(capacity.most_length):
            break
        if capacity.fits(count, total):
            most = count
    return most


def _by_length(capacity: Capacity, lengths: list[int]) -> int:
    """Balloons by total length alone: each bubble's use over the most that one balloon yields."""
    total, count = sum(lengths), len(lengths)
    used = total + count * capacity.extra
    return -(-used // capacity.holds) if capacity.holds > 0 else count


def _by_packing(capacity: Capacity, lengths: list[int]) -> int:
    """Bubbles so long that no two of them share a balloon."""
    for i in range(len(lengths) - 1):
        if not capacity.fits(2, lengths[i] + lengths[i + 1]):
            return len(lengths) - i
    return 1


def smallest_ring(work: Work) -> int:
    """Bubbles in the smallest ring of the net, 0 where there is none. O(joints x bubbles)."""
    import networkx as nx  # here, since it takes a while to load and is seldom needed

    if any(work.loops_at):
        return 1
    graph = nx.Graph(edge for edge in work.ends)
    if graph.number_of_edges() < len(work.ends):
        return 2
    girth = nx.girth(graph)
    return int(girth) if girth < float("inf") else 0


def total_bound(work: Work, bounds: list[PartBound]) -> int:
    """The lower bound for the whole net."""
    total = sum(p.balloons for p in bounds)
    return 2 if total == 1 and _ring_beyond_hands(work) else total


def _ring_beyond_hands(work: Work) -> int:
    """The smallest ring, if one balloon alone could not close it with these hands; else 0."""
    if any(work.is_free):  # a hanging end makes the twists before it fast without any ring
        return 0
    ring = smallest_ring(work)
    return ring if ring > work.hands else 0


def reason(work: Work, bounds: list[PartBound]) -> str:
    """The bound's argument in one sentence for a maker."""
    total = sum(p.balloons for p in bounds)
    if total == 1 and (ring := _ring_beyond_hands(work)):
        return (
            f"the smallest ring has {ring} bubbles: one balloon alone would need {ring} loose "
            f"twists to close it, and {work.hands} are allowed, so at least 2"
        )
    words = []
    for kind, k in enumerate(work.kinds):
        mine = [p for p in bounds if p.kind == kind]
        count = sum(len(p.bubbles) for p in mine)
        need = sum(p.balloons for p in mine)
        name = f"{k.colour} {k.size}".strip()
        text = f"{name}: {count} {_plural(count, 'bubble')}"
        if len(mine) > 1:
            text += f" in {len(mine)} parts that do not touch"
        binds = {p.binds for p in mine}
        if binds & {"count", "length", "packing", "search"}:
            most = max(p.most for p in mine)
            text += f", at most {most} to a balloon"
        if binds & {"ends", "search"}:
            odd = sum(p.odd_joints for p in mine)
            text += f", {odd} odd joints where a balloon must end"
        if "search" in binds:
            text += ", every way to share them out was tried"
        words.append(f"{text}: at least {need}")
    joined = "; ".join(words)
    return joined if len(words) == 1 else f"{joined}; together {total}"


def _plural(count: int, word: str) -> str:
    return word if count == 1 else word + "s"
