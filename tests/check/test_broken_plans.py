"""Each rule broken in several ways is caught, by its number and at its place."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

import pytest

from airweft.check.replay import replay
from airweft.records.plan import Plan
from tests.check.broken_plans import ALLOWED, BROKEN
from tests.check.twin import first_fault, still_faults

RULES = [f"M{k}" for k in range(1, 13)]


@pytest.mark.parametrize(
    ("rule", "make", "action", "code"),
    [pytest.param(r, make, at, code, id=f"{r} {name}") for r, name, make, at, code in BROKEN],
)
def test_is_caught(rule: str, make: Callable[[], Plan], action: int | None, code: str) -> None:
    replayed = replay(make())
    assert not replayed.keeps_rules and not replayed.sound
    first = next(f for f in replayed.findings if f.code == code)
    assert (first.rule, first.action, first.severity) == (rule, action, "cannot")
    assert first.message and first.remedy and first.where
    # Nothing that comes before it may be blamed instead.
    told = [f for f in replayed.findings if f.action is not None]
    assert action is None or told[0].action == action


@pytest.mark.parametrize(
    ("rule", "make"), [pytest.param(r, make, id=name) for r, name, make, *_ in BROKEN]
)
def test_is_caught_by_the_twin_too(rule: str, make: Callable[[], Plan]) -> None:
    plan = make()
    if any(not 0 <= a.joint < plan.net.joint_count for a in plan.actions) or any(
        a.do == "twist" and not 0 <= a.bubble < plan.net.bubble_count for a in plan.actions
    ):
        pytest.skip("the twin is for plans whose numbers are in range")
    first = first_fault(plan)
    # What shows only at the end may show in two ways; the twin tells one.
    assert (
        rule in still_faults(plan) or (first is not None and first[0] == rule) or first[1] is None
    )


def test_every_rule_is_broken_in_at_least_three_ways() -> None:
    ways = Counter(rule for rule, *_ in BROKEN)
    assert all(ways[rule] >= 3 for rule in RULES), ways


def test_names_are_not_used_twice() -> None:
    names = [name for _, name, *_ in BROKEN]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("plan", ALLOWED)
def test_eight_ends_at_a_joint_are_allowed(plan: Plan) -> None:
    assert replay(plan).keeps_rules


def test_a_design_may_allow_more_ends_by_number() -> None:
    plan = next(make() for _, name, make, *_ in BROKEN if name == "nine_bubbles_meet")
    assert replay(plan, most_ends=9).keeps_rules
