"""Plans that keep every rule are found to keep them, with the right counts."""

from __future__ import annotations

import pytest

from airweft.check.replay import replay
from tests.check.hand_plans import HAND_PLANS, free_bubbles, sheet_of_cells, triangle


@pytest.mark.parametrize("name", HAND_PLANS)
def test_nothing_is_found_in_a_sound_plan(name: str) -> None:
    plan = HAND_PLANS[name]()
    replayed = replay(plan)
    assert replayed.findings == ()
    assert replayed.sound and replayed.keeps_rules
    assert replayed.peak_loose == plan.claims.peak_loose


@pytest.mark.parametrize("name", HAND_PLANS)
def test_counts_end_with_everything_made_and_nothing_open(name: str) -> None:
    plan = HAND_PLANS[name]()
    replayed = replay(plan)
    for counts in (
        replayed.made, replayed.loose, replayed.in_work, replayed.used, replayed.locks
    ):  # fmt: skip
        assert len(counts) == len(plan.actions)
    assert replayed.made[-1] == plan.net.bubble_count
    assert replayed.loose[-1] == 0
    assert replayed.in_work[-1] == 0
    assert replayed.used[-1] == len(plan.balloons)
    assert replayed.locks[-1] == sum(action.do == "lock" for action in plan.actions)


def test_counts_after_each_action_of_the_triangle() -> None:
    replayed = replay(triangle())
    assert replayed.made == (0, 1, 2, 3, 3, 3)
    assert replayed.loose == (0, 1, 2, 3, 0, 0)  # the lock makes the two before it fast (M5)
    assert replayed.in_work == (1, 1, 1, 1, 1, 0)
    assert replayed.used == (1, 1, 1, 1, 1, 1)
    assert replayed.locks == (0, 0, 0, 0, 1, 1)


def test_a_free_end_is_fast_and_so_is_the_twist_before_it() -> None:
    assert replay(free_bubbles()).loose == (0, 1, 2, 3, 0, 1, 0, 0)


def test_a_pair_of_columns_never_needs_more_than_four_hands() -> None:
    replayed = replay(sheet_of_cells())
    assert replayed.peak_loose == 4
    assert max(replayed.in_work) == 4
