"""The fewest trails of a part by a constraint solver, where the frontier is too wide to sweep.

Model: a bubble's end may be paired with one end of another bubble at the same joint; the trails are
the chains of pairs, so a part of m bubbles with p pairs has m - p of them. Every bubble has a
direction and a place in its trail, a pair counts on by one along the direction, and so no chain
closes into a ring or gets longer than a balloon. The solver is OR-tools CP-SAT with one worker, a
fixed seed and effort counted by itself, so that the same part gives the same answer.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import combinations, pairwise
from threading import Thread
from typing import Any

from airweft.plan.capacity import Capacity

_LOOK = 0.1  # seconds between two looks whether anybody wants to stop


def solve(
    ends: Sequence[tuple[int, int]],
    lengths: Sequence[int],
    capacity: Capacity,
    *,
    most: int,
    at_least: int,
    known: Sequence[Sequence[int]],
    effort: float,
    go_on: Callable[[], bool],
) -> tuple[list[list[int]], int]:
    """The best trails found, as lists of bubbles, and the proven least number.

    `known` are trails to begin with and `at_least` what is proven already; `effort` is the solver's
    own deterministic time. `go_on()` is asked ten times a second; False ends the search.
    """
    from ortools.sat.python import cp_model  # takes most of a second to load

    model = cp_model.CpModel()
    count = len(ends)
    one_length = len(set(lengths)) == 1
    forward = [model.new_bool_var(f"forward{b}") for b in range(count)]
    place = [model.new_int_var(1, min(most, count), f"place{b}") for b in range(count)]
    longest = max(capacity.most_length)
    reach = [model.new_int_var(n, longest, f"reach{b}") for b, n in enumerate(lengths)]
    at: dict[int, list[tuple[int, int]]] = {}
    for bubble, (a, b) in enumerate(ends):
        at.setdefault(a, []).append((bubble, 0))
        at.setdefault(b, []).append((bubble, 1))
        if not one_length:
            model.add_element(
                place[bubble],
                capacity.most_length[: most + 1],
                limit := (model.new_int_var(0, longest, f"limit{bubble}")),
            )
            model.add(reach[bubble] <= limit)
    pairs: dict[tuple[tuple[int, int], tuple[int, int]], Any] = {}
    of_end: dict[tuple[int, int], list[Any]] = {}
    for joint in sorted(at):
        for first, second in combinations(at[joint], 2):
            (e, side_e), (f, side_f) = first, second
            if e == f:
                continue
            pair = pairs[first, second] = model.new_bool_var(f"pair{e}.{side_e}-{f}.{side_f}")
            of_end.setdefault(first, []).append(pair)
            of_end.setdefault(second, []).append(pair)
            # The trail comes in by one of the two and goes out by the other.
            comes_e = forward[e] if side_e else ~forward[e]
            comes_f = forward[f] if side_f else ~forward[f]
            model.add(comes_e + comes_f == 1).only_enforce_if(pair)
            model.add(place[f] == place[e] + 1).only_enforce_if(pair, comes_e)
            model.add(place[e] == place[f] + 1).only_enforce_if(pair, comes_f)
            if not one_length:
                model.add(reach[f] >= reach[e] + lengths[f]).only_enforce_if(pair, comes_e)
                model.add(reach[e] >= reach[f] + lengths[e]).only_enforce_if(pair, comes_f)
    for end in sorted(of_end):
        model.add_at_most_one(of_end[end])
    made = sum(pairs.values())
    model.add(made <= count - at_least)
    model.add(made >= count - len(known))
    model.maximize(made)
    chosen = _pairs_of(known, ends)
    for key, variable in pairs.items():
        model.add_hint(variable, key in chosen)

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 0
    solver.parameters.max_deterministic_time = effort
    solver.parameters.catch_sigint_signal = False  # Ctrl-C is minded here
    status: list[Any] = []
    work = Thread(target=lambda: status.append(solver.solve(model)), daemon=True)
    work.start()
    try:
        while work.is_alive():
            work.join(_LOOK)
            if not go_on():
                solver.stop_search()
                work.join()
    except BaseException:
        solver.stop_search()
        work.join()
        raise
    if status and status[0] in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        bound = max(at_least, count - int(solver.best_objective_bound + 1e-6))
        kept = [key for key, variable in pairs.items() if solver.boolean_value(variable)]
        return _trails_of(kept, count), bound
    return [list(trail) for trail in known], at_least


def _pairs_of(
    trails: Sequence[Sequence[int]], ends: Sequence[tuple[int, int]]
) -> set[tuple[tuple[int, int], tuple[int, int]]]:
    """The pairs of bubble ends of trails, each with the lower bubble first."""
    result: set[tuple[tuple[int, int], tuple[int, int]]] = set()
    for trail in trails:
        for start in ends[trail[0]]:
            here, sides = start, []  # the end by which each bubble is come to
            for bubble in trail:
                if here not in ends[bubble]:
                    break
                side = ends[bubble].index(here)
                sides.append(side)
                here = ends[bubble][1 - side]
            else:
                ways = list(zip(trail, sides, strict=True))
                for (before, came), (after, enters) in pairwise(ways):
                    one, other = (before, 1 - came), (after, enters)
                    result.add((min(one, other), max(one, other)))
                break
    return result


def _trails_of(
    pairs: Sequence[tuple[tuple[int, int], tuple[int, int]]], count: int
) -> list[list[int]]:
    """The chains that pairs of bubble ends make."""
    other: dict[tuple[int, int], tuple[int, int]] = {}
    for first, second in pairs:
        other[first] = second
        other[second] = first
    seen = bytearray(count)
    result = []
    for bubble in range(count):
        for side in (0, 1):
            if seen[bubble] or (bubble, side) in other:
                continue
            trail, end = [bubble], (bubble, 1 - side)
            seen[bubble] = 1
            while end in other:
                after, enters = other[end]
                trail.append(after)
                seen[after] = 1
                end = (after, 1 - enters)
            result.append(trail)
    return result
