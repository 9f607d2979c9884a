"""Slow plain twins for the exact method: nothing of the planner's own is used here.

`fewest_trails` goes through all sets of edges that are trails by Euler's theorem; `fewest_balloons`
plays the making rules M5 to M9 by hand, knots and locks at any time, on nets of a few bubbles.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cache
from itertools import combinations, product

Edge = tuple[int, int]


def is_trail(edges: Sequence[Edge]) -> bool:
    """Euler 1736: edges in one piece with at most two odd joints are a trail."""
    degree: dict[int, int] = {}
    for a, b in edges:
        degree[a] = degree.get(a, 0) + 1
        degree[b] = degree.get(b, 0) + 1
    if sum(d & 1 for d in degree.values()) > 2:
        return False
    reached, more = {edges[0][0]}, True
    while more:
        more = False
        for a, b in edges:
            if (a in reached) != (b in reached):
                reached |= {a, b}
                more = True
    return len(reached) == len(degree)


def fewest_trails(edges: Sequence[Edge], fits: Callable[[Sequence[int]], bool], most: int) -> int:
    """Fewest trails that share out a small graph; `fits(numbers of edges)` is the balloon's limit.

    Dynamic programming over sets of edges: the lowest edge left is in some trail.
    """
    count = len(edges)
    by_lowest: list[list[int]] = [[] for _ in range(count)]
    for size in range(1, min(most, count) + 1):
        for chosen in combinations(range(count), size):
            if fits(chosen) and is_trail([edges[e] for e in chosen]):
                by_lowest[chosen[0]].append(sum(1 << e for e in chosen))

    @cache
    def need(left: int) -> int:
        if not left:
            return 0
        lowest = (left & -left).bit_length() - 1
        return 1 + min(need(left ^ trail) for trail in by_lowest[lowest] if trail & left == trail)

    return need((1 << count) - 1)


def shares(count: int, joins: Callable[[list[int]], bool]) -> Iterator[list[list[int]]]:
    """All ways to put so many things into sequences, each of which `joins`; order of them aside."""

    def put(next_one: int, made: list[list[int]]) -> Iterator[list[list[int]]]:
        if next_one == count:
            yield [list(one) for one in made]
            return
        for number, one in enumerate(made):
            for place in range(len(one) + 1):
                longer = [*one[:place], next_one, *one[place:]]
                yield from put(next_one + 1, [*made[:number], longer, *made[number + 1 :]])
        yield from put(next_one + 1, [*made, [next_one]])

    for made in put(0, []):
        if all(joins(one) for one in made):
            yield made


def walks(edges: Sequence[Edge], numbers: Sequence[int]) -> list[tuple[int, ...]]:
    """The ways along edges in this order, as the joints they come by."""
    ways: list[tuple[int, ...]] = [(joint,) for joint in dict.fromkeys(edges[numbers[0]])]
    for number in numbers:
        a, b = edges[number]
        ways = [
            (*way, end)
            for way in ways
            for here, end in dict.fromkeys(((a, b), (b, a)))
            if here == way[-1]
        ]
    return ways


def can_be_made(trails: Sequence[tuple[int, ...]], free: set[int], hands: int) -> bool:
    """Whether trails, given by their joints, can be made in any order by the rules M5 to M9.

    `free` are the joints of hanging ends. A state is, for every balloon, how many visits it has
    made and which of them are fast.
    """
    start: tuple[tuple[int, frozenset[int]], ...] = tuple((0, frozenset()) for _ in trails)
    seen, queue = {start}, [start]
    while queue:
        state = queue.pop()
        complete = all(len(t) == n for t, (n, _) in zip(trails, state, strict=True))
        if complete and not any(loose(*one) for one in state):
            return True
        for new in following(trails, free, state):
            if new not in seen and sum(len(loose(*one)) for one in new) <= hands:
                seen.add(new)
                queue.append(new)
    return False


def loose(visits: int, fast: frozenset[int]) -> set[int]:
    """M5: a visit is fast by a lock or a knot, or between two that are."""
    last = max(fast, default=-1)
    return {v for v in range(visits) if v > last}


State = tuple[tuple[int, frozenset[int]], ...]


def following(trails: Sequence[tuple[int, ...]], free: set[int], state: State) -> Iterator[State]:
    """The states after a start, a twist or a lock."""
    lying: dict[int, list[tuple[int, int]]] = {}
    for b, (visits, _) in enumerate(state):
        for v in range(visits):
            lying.setdefault(trails[b][v], []).append((b, v))
    for b, (visits, fast) in enumerate(state):
        if visits == len(trails[b]):
            continue
        joint = trails[b][visits]
        new = list(state)
        if visits == 0:
            new[b] = (1, frozenset({0}))
            for other, v in lying.get(joint, []):  # M7: knotted to all that lies there
                n, f = new[other]
                new[other] = (n, f | {v})
        elif joint in free:
            new[b] = (visits + 1, fast | {visits})
        else:
            new[b] = (visits + 1, fast)
        yield tuple(new)
    for visits_here in lying.values():
        if len(visits_here) > 1:  # M6
            new = list(state)
            for b, v in visits_here:
                n, f = new[b]
                new[b] = (n, f | {v})
            yield tuple(new)


def fewest_balloons(edges: Sequence[Edge], free: set[int], hands: int, most: int) -> int:
    """The fewest balloons with which so many hands can make a net of a few bubbles."""

    def joins(one: list[int]) -> bool:
        return len(one) <= most and bool(walks(edges, one))

    for made in sorted(shares(len(edges), joins), key=len):
        for ways in product(*(walks(edges, one) for one in made)):
            if can_be_made(ways, free, hands):
                return len(made)
    raise AssertionError("one balloon for each bubble can always be made")
