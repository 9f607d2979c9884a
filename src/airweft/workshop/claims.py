"""What every plan gets after it was made: minutes and size, and the independent checker's word."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from airweft.balloon.sizes import SIZES
from airweft.base.errors import CannotMake
from airweft.base.findings import Finding, blocks
from airweft.check.replay import Replay, replay
from airweft.costing.air import nominal
from airweft.costing.minutes import Minutes, estimate
from airweft.net.facts import size_mm
from airweft.records.budget import Budget
from airweft.records.design import Design
from airweft.records.net import Net
from airweft.records.plan import Plan


def budgets_of(design: Design, net: Net) -> dict[str, Budget]:
    """The length budget of every balloon size in the net: the design's own, or what is shipped."""
    shipped = {code: SIZES[code].budget for code in dict.fromkeys(net.sizes) if code in SIZES}
    return {**shipped, design.size: design.budget}


def with_claims(plan: Plan, size: tuple[float, float, float] | None = None) -> tuple[Plan, Minutes]:
    """The plan with minutes and size among its claims, and the minutes."""
    minutes = estimate(plan)
    wide, deep, high = size or size_mm(plan.net, diameter_mm=widest_mm(plan))
    claims = replace(
        plan.claims,
        minutes_low=minutes.low,
        minutes_high=minutes.high,
        size_mm=(round(wide, 2), round(deep, 2), round(high, 2)),  # as the plan file writes it
    )
    return replace(plan, claims=claims), minutes


def widest_mm(plan: Plan) -> float:
    """The nominal diameter of the widest balloon; 0 where no size code tells one."""
    known = [nominal(size) for size in sorted({balloon.size for balloon in plan.balloons})]
    return max((diameter for diameter, _ in filter(None, known)), default=0.0)


def ended_early(plan: Plan) -> Finding:
    """The note that goes with a plan whose search was asked to end early."""
    least = plan.bound.balloons
    return Finding(
        code="plan-search-ended",
        severity="note",
        where="plan, search",
        message=f"the search was ended early: this is the best plan until then, with "
        f"{len(plan.balloons)} balloons, at least {least}",
        remedy="Make it again with --go-on to search on from this plan.",
    )


def left_out(style: str, findings: Sequence[Finding]) -> Finding:
    """The note that a style was left out of a choice, by a fault of airweft that `findings` say."""
    said = next((f for f in findings if f.rule), findings[0])
    why = (
        f"the checker refuses its plan ({said.rule}: {said.message})" if said.rule else said.message
    )
    return Finding(
        code="plan-style-left-out",
        severity="note",
        where=f"style {style}",
        message=f"the style {style} was left out of the choice: {why}",
        remedy="The plan that was chosen is not touched by it. Please report it with the design "
        "file.",
    )


def must_pass(plan: Plan) -> Replay:
    """What the checker says of the plan. Raises CannotMake if the plan breaks a making rule."""
    counted = replay(plan)
    if blocks(counted.findings):
        raise CannotMake(
            (
                Finding(
                    code="plan-refused",
                    severity="cannot",
                    where=plan.design_name,
                    message=f"the planner made a plan in the style {plan.style} (seed {plan.seed}) "
                    "that the checker refuses. This is a fault of airweft, not of the design; "
                    "nothing was written.",
                    remedy="Try another --style or --seed, and report this with the design file.",
                ),
                *counted.findings,
            )
        )
    return counted
