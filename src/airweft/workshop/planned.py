"""A plan with all that goes along with it, made from the maker's stock where one is given."""

from __future__ import annotations

from dataclasses import dataclass, replace

from airweft.balloon.stock import Stock
from airweft.base.findings import Finding
from airweft.base.progress import Progress
from airweft.check.replay import Replay
from airweft.costing.minutes import Minutes
from airweft.costing.shopping import Line, shop
from airweft.costing.supply import Supplied
from airweft.records.design import Design
from airweft.records.net import Net
from airweft.records.plan import Plan
from airweft.workshop.choosing import AS_USUAL, Search, choice_findings
from airweft.workshop.options import Style
from airweft.workshop.planning import checked_plan
from airweft.workshop.stock_findings import stock_findings
from airweft.workshop.stocked import MORE_SEEDS, Fitted, Plans, Store, fitted, plan_from


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
    search: Search = AS_USUAL,
) -> Planned:
    """A plan as `checked_plan` makes it, or one made from `store`. Raises CannotMake likewise.

    What the stock lacks is among the findings; it raises nothing here. The plan says whether its
    search was told to end early; the wish has then been minded.
    """
    if store is None:
        plan, counted, minutes, left_out = checked_plan(
            design,
            net,
            style=style,
            seed=seed,
            progress=progress,
            size=size,
            search=search,
        )
        made = Planned(
            design=design,
            plan=plan,
            counted=counted,
            minutes=minutes,
            shopping=shop(plan, design.palette),
            findings=(*left_out, *choice_findings(design, plan)),
        )
    else:
        fit = fitted(design, net, store.stock)
        plans = Plans(fit.design, net, fit.budgets, progress)
        made = from_stock(plans, fit, store, style=style, seed=seed, size=size)
    return replace(made, plan=replace(made.plan, ended_early=progress.resume()))


def from_stock(
    plans: Plans,
    fit: Fitted,
    store: Store,
    *,
    style: Style,
    seed: int,
    size: tuple[float, float, float] | None,
    more_seeds: int = MORE_SEEDS,
) -> Planned:
    """What `planned` does, for a design fitted to the stock and with answers kept in `plans`."""
    design, stock = fit.design, fit.stock
    made = plan_from(plans, design, stock, style=style, seed=seed, size=size, more_seeds=more_seeds)
    shopping = shop(made.plan, design.palette, supplies=made.supplied.supplies)
    return Planned(
        design=design,
        plan=made.plan,
        counted=made.counted,
        minutes=made.minutes,
        shopping=shopping,
        findings=(
            *plans.left_out,
            *stock_findings(design, store, made, shopping, fit.figures),
        ),
        stock=stock,
        supplied=made.supplied,
    )
