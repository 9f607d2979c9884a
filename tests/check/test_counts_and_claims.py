"""Claims, bound, limits of the budget to the hundredth, and replays of records out of range."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airweft.base.errors import BadInput
from airweft.check.file import check_plan_file
from airweft.check.replay import replay
from airweft.records.plan import Action, Bound
from airweft.records.planfile import write_plan
from tests.check.broken_plans import with_balloon, with_net
from tests.check.hand_plans import HAND_PLANS, net_of, plan_of, ring_of_four, triangle


def codes(plan: Any) -> list[str]:
    return [finding.code for finding in replay(plan).findings]


@pytest.mark.parametrize("key", ["joints", "bubbles", "balloons", "peak_loose"])
def test_a_claim_that_differs_is_told_where(key: str) -> None:
    plan = triangle()
    said = getattr(plan.claims, key) + 1
    wrong = replace(plan, claims=replace(plan.claims, **{key: said}))
    replayed = replay(wrong)
    (finding,) = replayed.findings
    assert finding.where == f"claims.{key}" and str(said) in finding.message
    assert replayed.keeps_rules and not replayed.sound


def test_a_bound_above_the_plan_is_no_bound() -> None:
    assert codes(replace(triangle(), bound=Bound(balloons=2, reason="", proven=False))) == [
        "bound-not-so"
    ]


def test_fewest_is_only_proven_by_meeting_the_bound() -> None:
    plan = HAND_PLANS["tied pair"]()
    assert codes(replace(plan, bound=Bound(balloons=1, reason="", proven=True))) == [
        "bound-not-met"
    ]
    assert codes(replace(plan, bound=Bound(balloons=2, reason="", proven=True))) == []


def test_body_is_enough_to_the_hundredth() -> None:
    # 3 bubbles: 3 l + 3 x (5 - 15) + 10 = (300 - 100) x 5 - 10 gives 3 l = 1010 mm in all.
    plan = triangle()
    assert codes(with_net(plan, lengths=np.array([33666, 33667, 33667]))) == []
    assert codes(with_net(plan, lengths=np.array([33667, 33667, 33667]))) == ["m4-not-enough-body"]


def test_tail_is_enough_to_the_hundredth() -> None:
    # 4 pinches push 60 mm of body on, 12 mm of flat tail at a stretch of 5.
    assert codes(with_balloon(ring_of_four(), 0, tail=1200)) == ["m4-odd-tail"]
    found = codes(with_balloon(ring_of_four(), 0, tail=1199))
    assert found == ["m4-not-enough-tail", "m4-odd-tail"]


@pytest.mark.parametrize("tail", [17780, 10000, 635, 10795])
def test_tails_of_whole_steps_are_not_remarked_on(tail: int) -> None:
    # 7 in, 100 mm, 1/4 in and 4 1/4 in; too short a tail is another matter.
    assert "m4-odd-tail" not in codes(with_balloon(triangle(), 0, tail=tail))


def test_a_tail_of_no_step_is_a_note_only() -> None:
    replayed = replay(with_balloon(triangle(), 0, tail=10001))
    assert [f.severity for f in replayed.findings] == ["note"]
    assert replayed.sound


def test_two_balloons_of_one_code_are_refused() -> None:
    plan = HAND_PLANS["two parts"]()
    assert "code-twice" in codes(with_balloon(plan, 3, code="G1"))


def test_a_plan_of_nothing_is_no_piece() -> None:
    plan = plan_of(net_of([]), [], [], peak=0)
    assert codes(plan) == ["m10-no-piece", "bound-not-so"]


def test_one_slip_is_told_once() -> None:
    """Leaving out a start is one fault, not one for each of the balloon's bubbles."""
    plan = ring_of_four()
    assert codes(replace(plan, actions=plan.actions[1:])) == ["m2-not-started"]


def test_too_many_loose_twists_are_told_once_for_each_stretch() -> None:
    finding = replay(replace(ring_of_four(), hands=2)).findings[0]
    assert finding.action == 3 and "actions[4]" in finding.message and "4 twists" in finding.message


numbers = st.integers(-3, 6)
some_codes = st.sampled_from(["R1", "W1", "R2", "", "?"])
any_action = st.builds(
    Action,
    st.sampled_from(["tie", "start", "twist", "lock", "finish", "wave"]),  # type: ignore[arg-type]
    st.lists(some_codes, max_size=3).map(tuple),
    numbers,
    numbers,
)


@settings(max_examples=300, deadline=None)
@given(
    st.sampled_from(sorted(HAND_PLANS)),
    st.lists(any_action, max_size=25),
    st.integers(0, 30),
    st.lists(numbers, max_size=6),
)
def test_never_falls_over_whatever_the_records_hold(
    name: str, actions: list[Action], at: int, trail: list[int]
) -> None:
    plan = HAND_PLANS[name]()
    mixed = (*plan.actions[:at], *actions, *plan.actions[at:])
    plan = with_balloon(replace(plan, actions=mixed), 0, bubbles=tuple(trail))
    replayed = replay(plan)
    assert len(replayed.made) == len(mixed)
    assert all(count >= 0 for count in (*replayed.loose, *replayed.in_work))


def test_a_plan_file_is_checked_from_its_path(tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    path.write_text(write_plan(triangle()), encoding="utf-8")
    assert check_plan_file(path) == ()
    path.write_text(write_plan(replace(ring_of_four(), hands=3)), encoding="utf-8")
    assert [f.rule for f in check_plan_file(path)] == ["M8"]
    path.write_text("{}", encoding="utf-8")
    with pytest.raises(BadInput):
        check_plan_file(path)
