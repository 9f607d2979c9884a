"""The whole net as one CP-SAT model, without any construction, hint or order of making.

Every bubble is run through one way or the other; at a joint it is followed by a bubble of its kind
or by nothing. Trails are counted where they leave an imagined depot, and the count and the length
of what a balloon has made grow along every trail, up to what one balloon can make. Written as
somebody would who knows the solver and not the craft: the order of making is not in it at all, so
that its value may be below what two hands can do.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from benchmarks.laying import Trail
from benchmarks.nets.case import Case

_DEPOT = 0  # node 1 + 2 b runs bubble b from its first end to its second, node 2 + 2 b back


@dataclass(frozen=True, slots=True)
class Paired:
    """How far the solver came: trails (none if no solution was found), and its lower bound."""

    trails: list[Trail]
    bound: int
    optimal: bool


@dataclass(slots=True)
class _Model:
    cp: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    count: list[cp_model.IntVar] = field(default_factory=list)
    length: list[cp_model.IntVar] = field(default_factory=list)
    arcs: list[tuple[int, int, cp_model.IntVar]] = field(default_factory=list)


def paired(case: Case, *, seconds: float, seed: int = 0) -> Paired:
    """Solve for so many seconds of one worker's time; building the model is not counted."""
    model = _Model()
    _capacity(model, case)
    _walks(model, case)
    model.cp.minimize(sum(goes for a, _, goes in model.arcs if a == _DEPOT))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    status = solver.solve(model.cp)
    bound = max(0, math.ceil(solver.best_objective_bound - 1e-6))
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Paired([], bound, False)
    return Paired(_trails(model, case, solver), bound, status == cp_model.OPTIMAL)


def _capacity(model: _Model, case: Case) -> None:
    """What a balloon has made when it ends a bubble: how many, and how long in all (M4)."""
    net, cp = case.net, model.cp
    capacities = {size: case.capacity(size) for size in case.budgets}
    alike = len(set(zip(net.sizes, net.lengths.tolist(), strict=True))) == 1
    for bubble in range(net.bubble_count):
        capacity, own = capacities[net.sizes[bubble]], int(net.lengths[bubble])
        table = capacity.most_length
        most = capacity.most_of(own) if alike else len(table) - 1  # alike: counting is enough
        model.count.append(cp.new_int_var(1, most, ""))
        if alike:
            continue
        model.length.append(cp.new_int_var(own, max(table), ""))
        room = cp.new_int_var(0, max(table), "")
        cp.add_element(model.count[-1], table, room)
        cp.add(model.length[-1] <= room)


def _walks(model: _Model, case: Case) -> None:
    """Every bubble once, in trails of one kind that leave the depot and come back to it."""
    net, cp = case.net, model.cp
    nodes = range(1, 2 * net.bubble_count + 1)
    leaving: dict[tuple[int, str, str], list[int]] = {}
    idle: list[cp_model.IntVar] = []
    for node in nodes:
        bubble, back = divmod(node - 1, 2)
        at = (int(net.ends[bubble, back]), net.colours[bubble], net.sizes[bubble])
        leaving.setdefault(at, []).append(node)
        first, last, unused = (cp.new_bool_var("") for _ in range(3))
        model.arcs += [(_DEPOT, node, first), (node, _DEPOT, last), (node, node, unused)]
        idle.append(unused)
    for bubble in range(net.bubble_count):
        cp.add_exactly_one(idle[2 * bubble : 2 * bubble + 2])
    for node in nodes:
        bubble, back = divmod(node - 1, 2)
        at = (int(net.ends[bubble, 1 - back]), net.colours[bubble], net.sizes[bubble])
        for after in leaving.get(at, []):
            other = (after - 1) // 2
            if other == bubble:
                continue
            goes = cp.new_bool_var("")
            model.arcs.append((node, after, goes))
            cp.add(model.count[other] >= model.count[bubble] + 1).only_enforce_if(goes)
            if model.length:
                grown = model.length[bubble] + int(net.lengths[other])
                cp.add(model.length[other] >= grown).only_enforce_if(goes)
    cp.add_multiple_circuit(model.arcs)


def _trails(model: _Model, case: Case, solver: cp_model.CpSolver) -> list[Trail]:
    gone = [(a, b) for a, b, goes in model.arcs if a != b and solver.value(goes)]
    after = {a: b for a, b in gone if a != _DEPOT}
    trails: list[Trail] = []
    for node in (b for a, b in gone if a == _DEPOT):
        start = int(case.net.ends[divmod(node - 1, 2)])
        bubbles = []
        while node != _DEPOT:
            bubbles.append((node - 1) // 2)
            node = after[node]
        trails.append((start, bubbles))
    return trails
