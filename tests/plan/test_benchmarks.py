"""The benchmark nets: the file of best plans, the planner on the smaller nets, mutated plans."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path
from random import Random

import pytest

from airweft.check.replay import replay
from airweft.plan.make import Style, make_plan
from airweft.records.plan import Action, Plan
from benchmarks.best import Best, better, read_best, write_best
from benchmarks.euler import euler_trails
from benchmarks.laying import lay
from benchmarks.nets.all import NAMES, cases
from benchmarks.nets.case import Case
from tests.check.twin import first_fault, still_faults

Mutation = Callable[[Plan, Random], Plan]

BEST = read_best()
PLANNED = [name for name in NAMES if BEST[name].bubbles <= 250]
MUTATED = (
    "die", "confetti die", "bookmark, confetti", "star lantern, icosahedron", "crab, stick figure",
    "sailor, stick figure", "wave drum, antiprism of nine", "crow's nest, 2 colours", "ribbon",
    "long and short, rhombicuboctahedron",
)  # fmt: skip

CAPPED = (
    "die", "star lantern, icosahedron", "compass rose, cuboctahedron", "crab, stick figure",
    "capstan, truncated octahedron", "crow's nest, 2 colours", "wave drum, antiprism of nine",
    "fish crate, panels", "pennant", "buoy cube",
)  # fmt: skip


@cache
def case_of(name: str) -> Case:
    return next(cases(names=frozenset([name])))


@cache
def plan_of(name: str) -> Plan:
    """The best of the styles; where the bound was never met only rounds, which gives up sooner."""
    case, best = case_of(name), BEST[name]
    style: Style = "fewest" if best.balloons == best.bound else "rounds"
    return make_plan(case.design, case.net, style=style, budgets=case.budgets)


# The file of best plans.


def test_the_set_is_as_large_as_promised_and_the_file_complete() -> None:
    assert len(NAMES) >= 60
    assert len(set(NAMES)) == len(NAMES)
    assert tuple(BEST) == NAMES
    sizes = [best.bubbles for best in BEST.values()]
    assert min(sizes) <= 12
    assert sum(size >= 10_000 for size in sizes) == 2
    assert max(sizes) <= 20_000
    assert {1, 2, 3, 6} <= {best.colours for best in BEST.values()}


def test_every_entry_is_of_the_net_that_is_made() -> None:
    for case in cases():
        best = BEST[case.name]
        told = (best.fingerprint, best.bubbles, best.joints, best.colours)
        net = case.net
        made = (case.fingerprint, net.bubble_count, net.joint_count, len(set(net.colours)))
        assert told == made, f"{case.name}: python -m benchmarks.best --renew --update, if meant"


@pytest.mark.parametrize("name", NAMES)
def test_entries_make_sense(name: str) -> None:
    best = BEST[name]
    assert 1 <= best.bound <= best.balloons <= best.bubbles
    assert 1 <= best.loose <= 4
    assert best.finder and len(best.date) == len("2026-11-26")


def test_only_better_plans_are_entered(tmp_path: Path) -> None:
    old = Best(fingerprint="f", bubbles=9, joints=6, colours=1, bound=3, balloons=5, loose=3,
               finder="one", date="2026-11-01")  # fmt: skip
    fewer, looser = replace(old, balloons=4, finder="two"), replace(old, loose=4, finder="three")
    assert better(fewer, old)[0] == fewer
    assert better(looser, old) == (old, "")
    assert better(replace(old, balloons=6), old) == (old, "worse than known: 6, known 5")
    assert better(replace(looser, bound=4), old)[0] == replace(old, bound=4)
    assert better(replace(fewer, bound=2), old)[0] == fewer  # the higher bound stays
    for wrong in (replace(fewer, fingerprint="g"), replace(old, bound=6), replace(old, balloons=2)):
        with pytest.raises(ValueError):
            better(wrong, old)
    kept = {NAMES[0]: old, NAMES[-1]: fewer}
    write_best(kept, tmp_path / "best.toml")
    assert read_best(tmp_path / "best.toml") == kept
    assert read_best(tmp_path / "none.toml") == {}


# The planner.


@pytest.mark.parametrize("name", PLANNED)
def test_plans_pass_the_checker_and_stay_above_the_bound(name: str) -> None:
    plan, best = plan_of(name), BEST[name]
    counted = replay(plan)
    assert counted.findings == ()
    assert counted.peak_loose <= plan.hands
    assert len(plan.balloons) >= max(plan.bound.balloons, best.bound)
    assert plan.bound.balloons <= best.balloons  # that plan was checked: no bound may deny it
    assert plan.bound.proven == (len(plan.balloons) == plan.bound.balloons)


@pytest.mark.parametrize("name", CAPPED)
def test_more_room_in_a_balloon_never_means_more_balloons(name: str) -> None:
    case = case_of(name)

    def fewest(most: int) -> int:
        design = replace(case.design, most_bubbles=most)
        return len(make_plan(design, case.net, budgets=case.budgets).balloons)

    for most in (4, 7, 12):
        assert fewest(most) >= fewest(most + 1) >= fewest(2 * most)


# The plain ways that the planner is set beside.


@pytest.mark.parametrize("name", [name for name in NAMES if BEST[name].bubbles <= 150])
def test_euler_trails_make_every_bubble_once_within_their_length(name: str) -> None:
    """The one rule that trails laid in order may break is the one of hands (M8)."""
    case = case_of(name)
    trails = euler_trails(case)
    assert sorted(b for _, bubbles in trails for b in bubbles) == list(range(case.net.bubble_count))
    laid = lay(case, trails, bound=1)
    assert laid.balloons == len(trails)
    assert set(laid.broken) == ({"M8"} if laid.loose > case.design.hands else set())


def test_one_balloon_round_a_hoop_is_loose_all_the_way() -> None:
    laid = lay(case_of("hoop of twelve"), euler_trails(case_of("hoop of twelve")), bound=1)
    assert (laid.balloons, laid.loose, laid.broken) == (1, 12, ("M8",))


@pytest.mark.parametrize(
    ("name", "fewest"), [("hoop of twelve", 1), ("bookmark", 1), ("bookmark, confetti", 6)]
)
def test_the_plain_model_finds_the_fewest_trails(name: str, fewest: int) -> None:
    pytest.importorskip("ortools")
    from benchmarks.pairing import paired

    answer = paired(case_of(name), seconds=30)
    assert (len(answer.trails), answer.bound, answer.optimal) == (fewest, fewest, True)


# Mutated plans.


def _drop(plan: Plan, dice: Random) -> Plan:
    k = dice.randrange(len(plan.actions))
    return replace(plan, actions=plan.actions[:k] + plan.actions[k + 1 :])


def _swap_twists(plan: Plan, dice: Random) -> Plan:
    twists = [k for k, action in enumerate(plan.actions) if action.do == "twist"]
    one, other = dice.sample(twists, 2)
    actions = list(plan.actions)
    actions[one], actions[other] = actions[other], actions[one]
    return replace(plan, actions=tuple(actions))


def _move_lock(plan: Plan, dice: Random) -> Plan:
    actions = list(plan.actions)
    locks = [k for k, action in enumerate(actions) if action.do == "lock"]
    lock = actions.pop(dice.choice(locks))
    actions.insert(dice.randrange(len(actions) + 1), lock)
    return replace(plan, actions=tuple(actions))


def _lock_elsewhere(plan: Plan, dice: Random) -> Plan:
    locks = [k for k, action in enumerate(plan.actions) if action.do == "lock"]
    k = dice.choice(locks)
    return _edited(plan, k, replace(plan.actions[k], joint=dice.randrange(plan.net.joint_count)))


def _colour(plan: Plan, dice: Random) -> Plan:
    k = dice.randrange(len(plan.balloons))
    other = "G" if plan.balloons[k].colour != "G" else "R"
    return _balloon(plan, k, colour=other)


def _exchange(plan: Plan, dice: Random) -> Plan:
    """One action done with another balloon."""
    k = dice.randrange(len(plan.actions))
    codes = tuple(dice.choice(plan.balloons).code for _ in plan.actions[k].balloons)
    return _edited(plan, k, replace(plan.actions[k], balloons=codes))


def _exchange_all(plan: Plan, dice: Random) -> Plan:
    """Two balloons change places in every action, but not their trails."""
    one, other = (dice.choice(plan.balloons).code for _ in range(2))
    turn = {one: other, other: one}
    actions = (
        replace(a, balloons=tuple(turn.get(code, code) for code in a.balloons))
        for a in plan.actions
    )
    return replace(plan, actions=tuple(actions))


def _shorten_tail(plan: Plan, dice: Random) -> Plan:
    k = dice.randrange(len(plan.balloons))
    return _balloon(plan, k, tail=plan.balloons[k].tail * dice.randrange(4) // 4)


def _lengthen_tail(plan: Plan, dice: Random) -> Plan:
    k = dice.randrange(len(plan.balloons))
    return _balloon(plan, k, tail=plan.balloons[k].tail + dice.randrange(1, 26_000))


def _shorten_trail(plan: Plan, dice: Random) -> Plan:
    k = dice.randrange(len(plan.balloons))
    return _balloon(plan, k, bubbles=plan.balloons[k].bubbles[:-1])


def _twist_again(plan: Plan, dice: Random) -> Plan:
    twists = [k for k, action in enumerate(plan.actions) if action.do == "twist"]
    k = dice.choice(twists)
    return replace(plan, actions=(*plan.actions[: k + 1], *plan.actions[k:]))


def _fewer_hands(plan: Plan, dice: Random) -> Plan:
    return replace(plan, hands=dice.randrange(1, plan.hands))


def _edited(plan: Plan, k: int, action: Action) -> Plan:
    return replace(plan, actions=(*plan.actions[:k], action, *plan.actions[k + 1 :]))


def _balloon(plan: Plan, k: int, **changes: object) -> Plan:
    changed = replace(plan.balloons[k], **changes)  # type: ignore[arg-type]
    return replace(plan, balloons=(*plan.balloons[:k], changed, *plan.balloons[k + 1 :]))


# Each with the least share of changed plans that must break a rule: some change nothing that
# matters (two locks in the other order, a tail with room to spare), and the twin then agrees.
MUTATIONS: dict[Mutation, float] = {
    _drop: 0.9,
    _swap_twists: 0.9,
    _move_lock: 0.5,
    _lock_elsewhere: 0.9,
    _colour: 1.0,
    _exchange: 0.5,
    _exchange_all: 0.5,
    _shorten_tail: 0.2,
    _lengthen_tail: 0.2,
    _shorten_trail: 1.0,
    _twist_again: 1.0,
    _fewer_hands: 0.3,
}


@pytest.mark.parametrize("mutation", MUTATIONS, ids=lambda m: m.__name__.strip("_"))
def test_mutated_plans_are_caught_or_truly_good(mutation: Mutation) -> None:
    """The checker and its independent twin say the same of every changed plan."""
    dice = Random(mutation.__name__)
    caught: Counter[bool] = Counter()
    for name in MUTATED:
        for _ in range(6):
            plan = mutation(plan_of(name), dice)
            if plan == plan_of(name):
                continue
            good = first_fault(plan) is None and not still_faults(plan)
            assert replay(plan).keeps_rules == good, (name, first_fault(plan), still_faults(plan))
            caught[not good] += 1
    assert caught[True] >= MUTATIONS[mutation] * caught.total()
