"""The constraint solver in the exact method, where a sweep may not look at anything."""

from __future__ import annotations

from random import Random

import pytest

from airweft.base.progress import Progress
from airweft.check.replay import replay
from airweft.plan.bound import bound_parts
from airweft.plan.capacity import capacities
from airweft.plan.exact import QUICK, ExactLimit, exact_method
from airweft.plan.kinds import prepare
from airweft.plan.make import make_plan
from airweft.plan.order import Trail
from airweft.records.design import Box, Sheet, Tube
from tests.plan.nets import chance, columns, design, fabric

pytest.importorskip("ortools")
BLIND = ExactLimit(states=0, laying=60_000, ways=0, solving=2.0)


@pytest.mark.parametrize("seed", range(6))
def test_solver_and_sweep_prove_the_same(seed):
    dice = Random(seed)
    form = dice.choice(
        (Box(across=2, deep=2, high=2), Tube(around=4, rows=4), Sheet(columns=4, rows=4))
    )
    made = design(most=dice.choice((3, 4, 5)))
    net = fabric(form, chance(2, seed))
    work = prepare(net, capacities(made, {made.size: made.budget}), made.hands)
    bounds = bound_parts(work)
    singles = [Trail(a, (bubble,)) for bubble, (a, _) in enumerate(work.ends)]
    answers = [
        exact_method(work, bounds, singles, limit=limit, seed=0, progress=Progress())
        for limit in (BLIND, ExactLimit(ways=0, solving=0))
    ]
    assert answers[0].least == answers[1].least
    assert all(answer.script is not None for answer in answers)
    assert len(answers[0].script.strands) == len(answers[1].script.strands)


def test_the_same_part_gives_the_same_answer():
    net = fabric(Tube(around=6, rows=6), columns("RRW"))
    plans = [make_plan(design(most=5), net, exact=BLIND) for _ in "ab"]
    assert plans[0] == plans[1]
    assert replay(plans[0]).findings == ()


def test_quick_never_asks_the_solver():
    assert QUICK.solving == 0
