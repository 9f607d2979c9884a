"""The lines of the summary that no run of a small piece shows."""

from __future__ import annotations

from dataclasses import replace

from airweft.cli.show_made import against_bound, plan_facts
from airweft.records.plan import Bound
from tests.costing.plans import counted_plan

PLAN = counted_plan([("R", "260", 6000, 12)] * 3, locks=18)


def facts(**claims: object) -> dict[str, str]:
    plan = replace(PLAN, claims=replace(PLAN.claims, **claims))  # type: ignore[arg-type]
    return dict(plan_facts(plan, "in"))


def test_fewest_is_said_only_with_a_proof() -> None:
    assert against_bound(3, Bound(balloons=3, reason="", proven=True)) == "the fewest there can be"
    unproven = against_bound(5, Bound(balloons=3, reason="", proven=False))
    assert unproven == "2 more than the least conceivable, 3"
    assert "fewest" not in unproven


def test_long_work_is_told_in_hours() -> None:
    assert facts(minutes_low=15, minutes_high=36)["Time"] == "15 to 36 minutes, practised hands"
    assert facts(minutes_low=138, minutes_high=317)["Time"].startswith("2 h 18 min to 5 h 17 min")


def test_sizes_are_no_truer_than_they_are() -> None:
    said = facts(size_mm=(156.87, 101.6, 25.4))["Size"]
    assert said == "about 6 in wide, 4 in deep, 1 in high"


def test_a_plan_from_elsewhere_without_claims_says_less() -> None:
    assert not {"Time", "Size"} & facts().keys()
