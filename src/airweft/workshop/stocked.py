"""Planning from the maker's stock: a plan that it suffices for, and what is to be said of it."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

from airweft.balloon.stock import Stock, entry_for, shared_budget
from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.base.progress import Progress
from airweft.check.replay import Replay
from airweft.costing.minutes import Minutes
from airweft.costing.supply import Supplied, least_missing, supply_plan
from airweft.design.stock_file import read_stock
from airweft.plan.make import STYLES, compare
from airweft.records.budget import Budget
from airweft.records.design import Design, colour_of
from airweft.records.net import Net
from airweft.records.plan import Plan
from airweft.workshop.choosing import Chosen, choose_plan
from airweft.workshop.claims import budgets_of, left_out, must_pass, with_claims
from airweft.workshop.options import Style

MORE_SEEDS = 3
"""So many further seeds are tried where the stock is too small for the plan, but not surely."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Store:
    """The maker's stock and the name of its file; `only` refuses what it does not suffice for."""

    stock: Stock
    name: str
    only: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Stocked:
    """A checked plan made from stock.

    `least` is how many balloons any plan lacks, `tried` how many plans were looked at, `fewest` how
    many balloons the planner's own choice has, and `instead` whether another plan was taken because
    of the stock. `other` is a style, not the wanted one, for which fewer would be missing.
    """

    plan: Plan
    counted: Replay
    minutes: Minutes
    supplied: Supplied
    least: int
    tried: int
    fewest: int
    instead: bool
    other: str = ""


def open_store(path: Path, *, only: bool = False) -> Store:
    """The stock in a file. Raises BadInput with every finding."""
    return Store(stock=read_stock(path), name=str(path), only=only)


def for_design(stock: Stock, design: Design) -> Stock:
    """The stock, its own figures laid over those of the design where the size is the design's."""
    return replace(
        stock,
        entries=tuple(
            replace(
                entry,
                budget=replace(design.budget, **{f: getattr(entry.budget, f) for f in entry.own}),
            )
            if entry.budget is not None and entry.size == design.size
            else entry
            for entry in stock.entries
        ),
    )


def own_figures(design: Design, net: Net, stock: Stock) -> dict[str, Budget]:
    """The length budget of each size, where the stock has figures for a colour of it.

    Where colours of one size differ, a budget that suits all of them.
    """
    usual = budgets_of(design, net)
    found: dict[str, list[Budget]] = {}
    own: set[str] = set()
    for mark, size in sorted(set(zip(net.colours, net.sizes, strict=True))):
        entry = entry_for(stock, colour_of(mark, design.palette), size)
        if entry is not None and entry.budget is not None:
            own.add(size)
            found.setdefault(size, []).append(entry.budget)
        elif size in usual:
            found.setdefault(size, []).append(usual[size])
    return {size: shared_budget(found[size]) for size in sorted(own)}


def with_figures(design: Design, own: dict[str, Budget]) -> Design:
    """The design with the stock's figures for its size in place of its own."""
    budget = own.get(design.size)
    if budget is None or budget == design.budget:
        return design
    same = tuple(f for f in design.assumed if getattr(budget, f) == getattr(design.budget, f))
    return replace(design, budget=budget, assumed=same)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """A design and a stock, each with the other's length budgets where it has none of its own.

    `figures` are the budgets that come from the stock, `budgets` those of all sizes of the net.
    """

    design: Design
    stock: Stock
    figures: dict[str, Budget]
    budgets: dict[str, Budget]


def fitted(design: Design, net: Net, stock: Stock) -> Fitted:
    """The design to be made from the stock."""
    stock = for_design(stock, design)
    figures = own_figures(design, net, stock)
    design = with_figures(design, figures)
    return Fitted(
        design=design,
        stock=stock,
        figures=figures,
        budgets={**budgets_of(design, net), **figures},
    )


def supply_design(plan: Plan, design: Design, stock: Stock) -> Supplied:
    """What a plan for `design` takes from the stock."""
    return supply_plan(plan, design.palette, stock, step=design.tail_step)


@dataclass(slots=True)
class Plans:
    """The planner's answers for one net, each made once however often it is asked for.

    They hold for every palette of the design, since plans do not depend on how a colour looks.
    `left_out` has a note for each style that was left out by a fault of airweft.
    """

    design: Design
    net: Net
    budgets: dict[str, Budget]
    progress: Progress
    left_out: list[Finding] = field(default_factory=list)
    _made: dict[tuple[str, int], Chosen | CannotMake] = field(default_factory=dict)
    _compared: dict[int, list[Plan]] = field(default_factory=dict)

    def choose(self, style: Style, seed: int) -> Plan:
        """The planner's choice. Raises CannotMake as it does."""
        if (style, seed) not in self._made:
            try:
                self._made[style, seed] = choose_plan(
                    self.design,
                    self.net,
                    style=style,
                    seed=seed,
                    progress=self.progress,
                    budgets=self.budgets,
                )
            except CannotMake as refusal:
                self._made[style, seed] = refusal
        answer = self._made[style, seed]
        if isinstance(answer, CannotMake):
            raise answer
        self._leave_out(answer.left_out)
        return answer.plan

    def styles(self, seed: int) -> list[Plan]:
        """The plans of all styles that suit and that the checker lets pass."""
        if seed not in self._compared:
            answers = compare(
                self.design, self.net, seed=seed, progress=self.progress, budgets=self.budgets
            )
            self._compared[seed] = [
                answer.plan
                for answer in answers
                if answer.plan is not None and self._passes(answer.plan)
            ]
        return self._compared[seed]

    def _passes(self, plan: Plan) -> bool:
        try:
            must_pass(plan)
            return True
        except CannotMake as refusal:
            self._leave_out([left_out(plan.style, refusal.findings)])
            return False

    def _leave_out(self, findings: Iterable[Finding]) -> None:
        self.left_out += [finding for finding in findings if finding not in self.left_out]


def plan_from(
    plans: Plans,
    design: Design,
    stock: Stock,
    *,
    style: Style,
    seed: int,
    size: tuple[float, float, float] | None = None,
    more_seeds: int = MORE_SEEDS,
) -> Stocked:
    """The planner's choice, or a plan of another style or seed where that lacks fewer balloons.

    Another style is taken only where the style was left open. `design` has the palette. Raises
    CannotMake as the planner does.
    """
    first = plans.choose(style, seed)
    own = best = supply_design(first, design, stock)
    left_open = style not in STYLES
    tried, other = 0 if left_open else 1, ""
    least = least_missing(first, design.palette, stock, most_bubbles=design.most_bubbles)
    if _at_its_least(own, design, stock):
        least = own.missing
    if best.missing > least:
        for plan in _others(plans, style, seed, more_seeds):
            tried += 1
            answer = supply_design(plan, design, stock)
            # Where something has to be bought anyhow, it is not worth more work.
            worth = not answer.missing or len(plan.balloons) <= len(first.balloons)
            fewer = answer.missing < best.missing
            if worth and (fewer or (best is not own and _key(answer) < _key(best))):
                best = answer
            if best.missing == least:
                break
    if best.missing > least and not left_open:
        fewer_in = (
            plan.style
            for plan in plans.styles(seed)
            if supply_design(plan, design, stock).missing < best.missing
        )
        other = next(fewer_in, "")
    plan, minutes = with_claims(best.plan, size)
    return Stocked(
        plan=plan,
        counted=must_pass(plan),
        minutes=minutes,
        supplied=replace(best, plan=plan),
        least=least,
        tried=tried,
        fewest=len(first.balloons),
        instead=best.plan is not own.plan,
        other=other,
    )


def _others(plans: Plans, style: Style, seed: int, more_seeds: int) -> Iterator[Plan]:
    """Further plans: all styles where the style was left open, and further seeds."""
    for number in range(seed, seed + more_seeds + 1):
        if style not in STYLES:
            yield from plans.styles(number)
        elif number > seed:
            with contextlib.suppress(CannotMake):
                yield plans.choose(style, number)


def _at_its_least(supplied: Supplied, design: Design, stock: Stock) -> bool:
    """Whether it is proven that no plan lacks fewer balloons.

    Bounds of colours add up (see docs/plan.md), so a plan that meets the whole bound meets that of
    every colour: no plan needs fewer of any. Only part-used balloons could fit another plan better.
    """
    short = [supply for supply in supplied.supplies if supply.missing]
    entries = [
        entry_for(stock, colour_of(supply.mark, design.palette), supply.size) for supply in short
    ]
    return supplied.plan.bound.proven and not any(e.part_used for e in entries if e is not None)


def _key(supplied: Supplied) -> tuple[int, int, int]:
    """Smaller is better: balloons missing, then balloons, then loose twists."""
    plan = supplied.plan
    return supplied.missing, len(plan.balloons), max(3, plan.claims.peak_loose)
