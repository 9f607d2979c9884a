"""The fewest trails by a constraint solver: OR-tools CP-SAT, an outside referee for the planner.

A bubble's end may be paired with an end of another bubble at the same joint; trails are the chains
of pairs, so m bubbles with p pairs make m - p of them. Every bubble has a direction and a place in
its trail, and a pair counts on by one along it, so that no chain closes or gets too long.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from ortools.sat.python import cp_model


def fewest_trails(
    ends: Sequence[tuple[int, int]], lengths: Sequence[int], most_length: Sequence[int]
) -> int:
    """The proven fewest; `most_length[n]` is the greatest length of n bubbles of one balloon."""
    model = cp_model.CpModel()
    count, longest = len(ends), max(most_length)
    forward = [model.new_bool_var("") for _ in ends]
    place = [model.new_int_var(1, min(len(most_length) - 1, count), "") for _ in ends]
    reach = [model.new_int_var(length, longest, "") for length in lengths]
    at: dict[int, list[tuple[int, int]]] = {}
    for bubble, (a, b) in enumerate(ends):
        at.setdefault(a, []).append((bubble, 0))
        at.setdefault(b, []).append((bubble, 1))
        limit = model.new_int_var(0, longest, "")
        model.add_element(place[bubble], list(most_length), limit)
        model.add(reach[bubble] <= limit)
    pairs = []
    of_end: dict[tuple[int, int], list[cp_model.IntVar]] = {}
    for here in at.values():
        for (e, side_e), (f, side_f) in combinations(here, 2):
            if e == f:
                continue
            pair = model.new_bool_var("")
            pairs.append(pair)
            of_end.setdefault((e, side_e), []).append(pair)
            of_end.setdefault((f, side_f), []).append(pair)
            comes_e = forward[e] if side_e else ~forward[e]
            comes_f = forward[f] if side_f else ~forward[f]
            model.add(comes_e + comes_f == 1).only_enforce_if(pair)
            for one, other, comes in ((e, f, comes_e), (f, e, comes_f)):
                model.add(place[other] == place[one] + 1).only_enforce_if(pair, comes)
                model.add(reach[other] >= reach[one] + lengths[other]).only_enforce_if(pair, comes)
    for group in of_end.values():
        model.add_at_most_one(group)
    model.maximize(sum(pairs))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 0
    assert solver.solve(model) == cp_model.OPTIMAL
    return count - round(solver.objective_value)
