"""Planning with every safeguard: minutes and size put in, and the independent checker asked."""

from __future__ import annotations

from dataclasses import replace

from airweft.balloon.sizes import SIZES
from airweft.base.errors import CannotMake
from airweft.base.findings import Finding, blocks
from airweft.base.progress import Progress
from airweft.check.replay import Replay, replay
from airweft.costing.air import nominal
from airweft.costing.minutes import Minutes, estimate
from airweft.net.facts import size_mm
from airweft.plan.make import make_plan
from airweft.records.budget import Budget
from airweft.records.design import Design
from airweft.records.net import Net
from airweft.records.plan import Plan
from airweft.workshop.options import Style


def checked_plan(
    design: Design,
    net: Net,
    *,
    style: Style,
    seed: int,
    progress: Progress,
    size: tuple[float, float, float] | None = None,
) -> tuple[Plan, Replay, Minutes]:
    """A plan that has passed the checker, what the checker counted, and the minutes it takes.

    `size` is the predicted outside in mm; without it the size is that of the joints as they lie.

    Raises CannotMake where no plan can be made, and where the checker refuses the plan: that would
    be a fault of the planner, and nothing may be made from such a plan.
    """
    plan, minutes = with_claims(
        make_plan(
            design, net, style=style, seed=seed, progress=progress, budgets=budgets_of(design, net)
        ),
        size,
    )
    return plan, must_pass(plan), minutes


def budgets_of(design: Design, net: Net) -> dict[str, Budget]:
    """The length budget of every balloon size in the net: the design's own, or what is shipped."""
    shipped = {code: SIZES[code].budget for code in dict.fromkeys(net.sizes) if code in SIZES}
    return {**shipped, design.size: design.budget}


def with_claims(plan: Plan, size: tuple[float, float, float] | None = None) -> tuple[Plan, Minutes]:
    """The plan with minutes and size among its claims, and the minutes."""
    minutes = estimate(plan)
    wide, deep, high = size or size_mm(plan.net, diameter_mm=_widest_mm(plan))
    claims = replace(
        plan.claims,
        minutes_low=minutes.low,
        minutes_high=minutes.high,
        size_mm=(round(wide, 2), round(deep, 2), round(high, 2)),  # as the plan file writes it
    )
    return replace(plan, claims=claims), minutes


def _widest_mm(plan: Plan) -> float:
    """The nominal diameter of the widest balloon; 0 where no size code tells one."""
    known = [nominal(size) for size in sorted({balloon.size for balloon in plan.balloons})]
    return max((diameter for diameter, _ in filter(None, known)), default=0.0)


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
                    message=f"the planner made a plan in the style {plan.style} that the checker "
                    "refuses. This is a fault of airweft, not of the design; nothing was written.",
                    remedy="Try another --style or --seed, and report this with the design file.",
                ),
                *counted.findings,
            )
        )
    return counted
