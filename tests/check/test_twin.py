"""The replay and its slow plain twin agree on thousands of right and wrong plans."""

from __future__ import annotations

from random import Random

from airweft.check.replay import Replay, replay
from airweft.records.plan import Plan
from tests.check.hand_plans import HAND_PLANS
from tests.check.random_plans import legal_plan, mutated
from tests.check.twin import first_fault, still_faults

_STILL = {"M4", "M11", "M12"}


def agree(plan: Plan) -> bool:
    """Assert that both find the same; True if the plan keeps every rule."""
    replayed = replay(plan)
    first, still = first_fault(plan), still_faults(plan)
    told = [f for f in replayed.findings if f.severity == "cannot"]
    assert replayed.keeps_rules == (first is None and not still), (first, still, told, plan.actions)
    assert {f.rule for f in told} & _STILL == still & _STILL
    if first is not None:
        rule, number = first
        assert (rule, number) in {(f.rule, f.action) for f in told}, (first, told)
        in_order = [f.action for f in told if f.action is not None]
        assert (in_order[0] if in_order else None) == number, (first, told)
    _make_sense(replayed)
    return replayed.keeps_rules


def _make_sense(replayed: Replay) -> None:
    for finding in replayed.findings:
        assert finding.message and finding.remedy and finding.where
        assert finding.rule or finding.code.startswith(("code-", "claim-", "bound-"))
    assert min(replayed.loose, default=0) >= 0
    assert min(replayed.in_work, default=0) >= 0


def test_both_pass_random_legal_plans() -> None:
    bubbles = 0
    for seed in range(400):
        plan = legal_plan(seed)
        assert agree(plan), seed
        assert replay(plan).peak_loose == plan.claims.peak_loose
        bubbles += plan.net.bubble_count
    assert bubbles > 400 * 8  # the plans are worth something


def test_both_agree_on_hand_plans_with_one_change() -> None:
    random = Random(1)
    passed = sum(
        agree(mutated(HAND_PLANS[name](), random)) for name in HAND_PLANS for _ in range(250)
    )
    # Enough of either kind that agreeing means something.
    assert 0.05 < passed / (250 * len(HAND_PLANS)) < 0.6


def test_both_agree_on_random_plans_with_one_change() -> None:
    random = Random(2)
    passed = sum(agree(mutated(legal_plan(random.randrange(400)), random)) for _ in range(1500))
    assert 0.05 < passed / 1500 < 0.6


def test_both_agree_on_random_plans_with_several_changes() -> None:
    random = Random(3)
    for _ in range(600):
        plan = legal_plan(random.randrange(400))
        for _ in range(random.randrange(2, 6)):
            plan = mutated(plan, random)
        agree(plan)
