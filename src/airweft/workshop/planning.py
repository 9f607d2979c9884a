"""Planning with every safeguard: minutes and size put in, and the independent checker asked."""

from __future__ import annotations

from airweft.base.findings import Finding
from airweft.base.progress import Progress
from airweft.check.replay import Replay
from airweft.costing.minutes import Minutes
from airweft.records.design import Design
from airweft.records.net import Net
from airweft.records.plan import Plan
from airweft.workshop.choosing import AS_USUAL, Search, choose_plan
from airweft.workshop.claims import budgets_of, must_pass, with_claims
from airweft.workshop.options import Style


def checked_plan(
    design: Design,
    net: Net,
    *,
    style: Style,
    seed: int,
    progress: Progress,
    size: tuple[float, float, float] | None = None,
    search: Search = AS_USUAL,
) -> tuple[Plan, Replay, Minutes, tuple[Finding, ...]]:
    """A plan that has passed the checker, what the checker counted, the minutes it takes, and the
    styles left out as `Chosen` has them.

    `size` is the predicted outside in mm; without it the size is that of the joints as they lie.

    Raises CannotMake where no plan can be made, and where the checker refuses the plan: that would
    be a fault of the planner, and nothing may be made from such a plan.
    """
    chosen = choose_plan(
        design,
        net,
        style=style,
        seed=seed,
        progress=progress,
        budgets=budgets_of(design, net),
        search=search,
    )
    plan, minutes = with_claims(chosen.plan, size)
    return plan, must_pass(plan), minutes, chosen.left_out
