"""Exchanging trails: the kept order stays one that hands can follow, and plans only get better."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import numpy as np
import pytest

from airweft.base.progress import Progress
from airweft.check.replay import replay
from airweft.plan.capacity import capacities
from airweft.plan.kinds import prepare
from airweft.plan.make import make_plan
from airweft.plan.order import Trail, lay, write
from airweft.plan.painted import search
from airweft.plan.painted.exchange import _cut, _pairing, easier, fewer
from airweft.plan.painted.search import eased
from airweft.plan.painted.state import lay_out
from airweft.plan.painted.swap import forget, pair_anew, turn_round, undo
from airweft.plan.painted.timed import (
    keep_window,
    lay_window,
    still_holds,
    timed,
    window,
)
from airweft.records.choices import Choices
from airweft.records.design import Box, Sheet, Tube
from benchmarks.nets.all import cases
from tests.plan.nets import chance, columns, design, fabric, rows

FORMS = (Box(across=4, deep=4, high=4), Tube(around=6, rows=6), Sheet(columns=6, rows=6))


def work_of(seed, most=12):
    dice = Random(seed)
    net = fabric(dice.choice(FORMS), dice.choice((chance(3, seed), rows("RW"), columns("RWW"))))
    made = design(most=most)
    return prepare(net, capacities(made, {made.size: made.budget}), made.hands)


def one_each(work):
    """A balloon for every bubble, and the script for that."""
    trails = [Trail(a, (bubble,)) for bubble, (a, _) in enumerate(work.ends)]
    return write(work, trails, lay(work, trails))


def go_on(effort, limit, balloons):
    return True


def keeps_to_the_hands(work, now):
    """Twist after twist by the making rules themselves: what is loose, whenever a chain is done."""
    lying = {int(now.joint[e]) for e in now.lead if now.mate[e] < 0}  # every nozzle is knotted on
    done = set()
    t, total = 0, len(now.order)
    while t < total:
        chain = [int(now.order[t])]
        while t + len(chain) < total and now.chain[t + len(chain)] == t:
            chain.append(int(now.order[t + len(chain)]))
        assert len(chain) <= work.hands
        visits = [int(now.joint[now.lead[bubble] ^ 1]) for bubble in chain]
        for i, bubble in enumerate(chain):
            before = int(now.mate[now.lead[bubble]])
            assert before < 0 or before >> 1 in done
            done.add(bubble)
            goes_on = (
                i + 1 < len(chain) and now.mate[now.lead[chain[i + 1]]] == now.lead[bubble] ^ 1
            )
            held = visits[i] in lying or visits.count(visits[i]) > 1
            assert held or goes_on, "the last twist of a balloon's run is locked to something"
        lying.update(visits)
        t += len(chain)
    assert len(done) == total


@pytest.mark.parametrize("seed", range(6))
def test_an_order_that_is_kept_up_holds_twist_after_twist(seed):
    work = work_of(seed)
    now = timed(lay_out(work), *_pairing(work, one_each(work)), work.hands, seed)
    dice = Random(seed)
    kept = 0
    for _ in range(3000):
        x = dice.randrange(2 * len(work.ends))
        joint = now.joint[x]
        others = [
            int(e)
            for e in now.ends_at[now.at[joint] : now.at[joint + 1]]
            if e != x and now.kind[e >> 1] == now.kind[x >> 1]
        ]
        if not others:
            continue
        forget(now)
        if dice.random() < 0.1:
            turn_round(now, x >> 1)
        else:
            pair_anew(now, x, dice.choice(others))
        if still_holds(now, work.hands):
            continue
        begin, end = window(now)
        left, end = lay_window(now, work.hands, begin, end, 40)
        if left:
            undo(now, 0)
        else:
            keep_window(now, begin, end)
            kept += 1
    assert kept > 20
    assert (now.time[now.order] == np.arange(len(work.ends))).all()
    keeps_to_the_hands(work, now)


@pytest.mark.parametrize("seed", range(6))
def test_what_is_kept_can_be_laid_by_the_search_for_an_order_too(seed):
    work = work_of(seed)
    script = fewer(
        work, lay_out(work), one_each(work), bound=1, seed=seed, effort=0.02, go_on=go_on
    )
    assert len(script.strands) < len(work.ends) // 2
    assert all(script.made)
    assert script.peak <= work.hands
    for strand in script.strands:
        assert work.kinds[strand.kind].capacity.fits(len(strand.bubbles), strand.length)


def test_same_seed_same_script_and_it_stops_when_asked():
    work = work_of(3)
    first, second = (
        fewer(work, lay_out(work), one_each(work), bound=1, seed=7, effort=0.02, go_on=go_on)
        for _ in range(2)
    )
    assert first.actions == second.actions
    script = one_each(work)
    never = fewer(work, lay_out(work), script, bound=1, seed=7, effort=1, go_on=lambda *_: False)
    assert never is script


def test_trails_longer_than_a_balloon_are_cut_where_it_is_full():
    work = work_of(1, most=5)
    mate, lead = _pairing(work, one_each(work))
    trails = _cut(work, mate, lead)
    assert sorted(b for trail in trails for b in trail.bubbles) == list(range(len(work.ends)))
    script = fewer(work, lay_out(work), one_each(work), bound=1, seed=0, effort=0.02, go_on=go_on)
    assert max(len(strand.bubbles) for strand in script.strands) == 5


def loose_of_four(name):
    """A net of the benchmark with a ring of three, and a plan for it that takes four twists."""
    case = next(case for case in cases(only=name) if case.name == name)
    work = prepare(case.net, capacities(case.design, case.budgets), case.design.hands)
    script = fewer(work, lay_out(work), one_each(work), bound=1, seed=0, effort=0.1, go_on=go_on)
    assert script.peak == 4
    return case, work, script


WITH_A_RING_OF_THREE = ("beacon, icosidodecahedron", "fender, ball", "fender, ball, rows")


@pytest.mark.parametrize("name", WITH_A_RING_OF_THREE)
def test_where_a_ring_of_three_is_at_hand_three_loose_twists_do(name):
    case, work, script = loose_of_four(name)
    easy = easier(work, lay_out(work), script, hands=3, seed=0, effort=1, go_on=go_on)
    assert len(easy.strands) <= len(script.strands)
    assert easy.peak <= 3
    assert all(easy.made)
    plan = make_plan(case.design, case.net, budgets=case.budgets)
    counted = replay(plan)
    assert counted.findings == ()
    assert counted.peak_loose <= 3
    assert len(plan.balloons) == plan.bound.balloons


def test_an_easier_plan_is_the_same_again_and_is_not_waited_for():
    _, work, script = loose_of_four("fender, ball, rows")
    again = [
        easier(work, lay_out(work), script, hands=3, seed=5, effort=1, go_on=go_on).actions
        for _ in range(2)
    ]
    assert again[0] == again[1] != script.actions
    no = easier(work, lay_out(work), script, hands=3, seed=5, effort=1, go_on=lambda *_: False)
    assert no is script
    stopped = Progress()
    stopped.stop()
    assert eased(work, script, seed=5, progress=stopped, effort=1) is script
    assert eased(work, script, seed=5, progress=Progress(), effort=1).actions == again[0]


def test_plans_that_are_easy_and_nets_without_a_ring_of_three_are_left_alone(monkeypatch):
    def never(*args, **more):
        raise AssertionError("an easier order is looked for")

    monkeypatch.setattr(search, "easier", never)
    _, work, script = loose_of_four("fender, ball, rows")
    with pytest.raises(AssertionError):
        eased(work, script, seed=0, progress=Progress(), effort=1)
    monkeypatch.setattr(search, "_NOT_LARGE", 200)
    assert eased(work, script, seed=0, progress=Progress(), effort=1) is script
    easy = one_each(work)
    assert easy.peak <= 3
    assert eased(work, easy, seed=0, progress=Progress(), effort=1) is easy
    net = fabric(Tube(around=6, rows=6))
    made = design()
    square = prepare(net, capacities(made, {made.size: made.budget}), made.hands)
    script = fewer(
        square, lay_out(square), one_each(square), bound=1, seed=0, effort=0.1, go_on=go_on
    )
    assert script.peak == 4
    assert eased(square, script, seed=0, progress=Progress(), effort=1) is script


def test_a_plan_with_fixed_choices_is_not_changed_for_ease(monkeypatch):
    case = next(cases(only="beacon, icosidodecahedron"))
    asked = []

    def noted(work, script, **more):
        asked.append(script.peak)
        return script

    monkeypatch.setattr(search, "eased", noted)
    kept = replace(case.design, choices=Choices(start=case.net.joint_names[5]))
    make_plan(kept, case.net, budgets=case.budgets)
    assert asked == []
    make_plan(case.design, case.net, budgets=case.budgets)
    assert asked == [4]
