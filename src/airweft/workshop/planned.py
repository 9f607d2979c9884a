"""A plan with all that goes along with it, made from the maker's stock where one is given."""

from __future__ import annotations

from dataclasses import dataclass

from airweft.balloon.stock import Stock
from airweft.base.findings import Finding
from airweft.base.progress import Progress
from airweft.check.replay import Replay
from airweft.costing.minutes import Minutes
from airweft.costing.shopping import Line, shop
from airweft.costing.supply import Supplied
from airweft.plan.exact import ExactLimit
from airweft.records.budget import Budget
from airweft.records.design import Design
from airweft.records.net import Net
from airweft.records.plan import Plan
from airweft.workshop.choosing import choice_findings
from airweft.workshop.claims import budgets_of
from airweft.workshop.options import Style
from airweft.workshop.planning import checked_plan
from airweft.workshop.stock_findings import stock_findings
from airweft.workshop.stocked import (
    MORE_SEEDS,
    Plans,
    Store,
    for_design,
    own_figures,
    plan_from,
    with_figures,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """A checked plan, what the checker counted, minutes, shopping, and findings about the stock
    and the maker's choices.

    `design` has the lengths of balloons that were planned with. `stock` (its figures completed from
    the design) and what it supplies are None without one.
    """

    design: Design
    plan: Plan
    counted: Replay
    minutes: Minutes
    shopping: tuple[Line, ...]
    findings: tuple[Finding, ...] = ()
    stock: Stock | None = None
    supplied: Supplied | None = None

    @property
    def flats(self) -> dict[str, int]:
        """The empty length of each part-used balloon, by the code of what is made from it."""
        supplies = self.supplied.supplies if self.supplied is not None else ()
        return {code: flat for supply in supplies for code, flat in supply.flats.items()}


def planned(
    design: Design,
    net: Net,
    *,
    style: Style,
    seed: int,
    progress: Progress,
    size: tuple[float, float, float] | None = None,
    store: Store | None = None,
    exact: ExactLimit | None = None,
    effort: float = 1.0,
    after: Plan | None = None,
) -> Planned:
    """A plan as `checked_plan` makes it, or one made from `store`. Raises CannotMake likewise.

    What the stock lacks is among the findings; it raises nothing here.
    """
    if store is None:
        plan, counted, minutes = checked_plan(
            design,
            net,
            style=style,
            seed=seed,
            progress=progress,
            size=size,
            exact=exact,
            effort=effort,
            after=after,
        )
        return Planned(
            design=design,
            plan=plan,
            counted=counted,
            minutes=minutes,
            shopping=shop(plan, design.palette),
            findings=choice_findings(design, plan),
        )
    stock = for_design(store.stock, design)
    figures = own_figures(design, net, stock)
    design = with_figures(design, figures)
    budgets = {**budgets_of(design, net), **figures}
    plans = Plans(design, net, budgets, progress)
    return from_stock(plans, design, stock, store, figures, style=style, seed=seed, size=size)


def from_stock(
    plans: Plans,
    design: Design,
    stock: Stock,
    store: Store,
    figures: dict[str, Budget],
    *,
    style: Style,
    seed: int,
    size: tuple[float, float, float] | None,
    more_seeds: int = MORE_SEEDS,
) -> Planned:
    """What `planned` does, with the figures taken from the stock and answers kept in `plans`."""
    made = plan_from(plans, design, stock, style=style, seed=seed, size=size, more_seeds=more_seeds)
    shopping = shop(made.plan, design.palette, supplies=made.supplied.supplies)
    return Planned(
        design=design,
        plan=made.plan,
        counted=made.counted,
        minutes=made.minutes,
        shopping=shopping,
        findings=stock_findings(design, store, made, shopping, figures),
        stock=stock,
        supplied=made.supplied,
    )
