"""What is to be said of a plan that was made from stock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from airweft.base.findings import Finding
from airweft.base.nearest import said_list
from airweft.base.units import show_length
from airweft.costing.shopping import Line, packs_text
from airweft.costing.supply import Supply
from airweft.records.budget import Budget
from airweft.records.design import Colour, Design
from airweft.workshop.near_colours import near_colours
from airweft.workshop.stocked import Stocked, Store

_MOST_NAMED = 12


def stock_findings(
    design: Design,
    store: Store,
    stocked: Stocked,
    shopping: Sequence[Line],
    figures: Mapping[str, Budget],
) -> tuple[Finding, ...]:
    """Shortages first, then spares, part-used balloons, and what was chosen because of the stock.

    `figures` are the lengths that were taken from the stock, by size.
    """
    found: list[Finding] = []
    for line in shopping:
        supply = line.supply
        assert supply is not None, "a shopping list that asked no stock"
        if supply.missing:
            found.append(_short(line, supply, design, store, stocked))
        elif line.packs:
            found.append(_few_spares(line, supply))
        if supply.part_used:
            found.append(_part_used(line, supply, design))
    return (*found, *_chosen(stocked), *_figures(figures))


def used_colours(design: Design, marks: Sequence[str]) -> tuple[Colour, ...]:
    """The palette's colours that the piece has."""
    return tuple(colour for colour in design.palette if colour.mark in marks)


def _short(line: Line, supply: Supply, design: Design, store: Store, stocked: Stocked) -> Finding:
    missing = len(supply.missing)
    there = f"{supply.had:,} {'is' if supply.had == 1 else 'are'} in stock"
    if supply.state == "not listed":
        there = "the stock has none of this colour and size"
    elif supply.state == "do not use":
        there = "the stock's are set aside (do not use)"
    elif supply.part_used:
        there += f", {len(supply.part_used)} more can be made from part-used ones"
    message = (
        f"{line.need:,} balloon{'s are' if line.need != 1 else ' is'} needed, {there}: "
        f"{missing:,} {'is' if missing == 1 else 'are'} missing."
    )
    if stocked.tried > 1:
        message += f" {stocked.tried} plans were looked at; none suffices."
    elif stocked.least == stocked.supplied.missing:
        message += " No plan for this design does with less than is missing in all."
    return Finding(
        code="stock-short",
        severity="cannot" if store.only else "risky",
        where=f"{line.name} ({line.mark}), {line.size}",
        message=message,
        remedy=_remedy(line, design, store, stocked),
        balloons=supply.missing,
    )


def _remedy(line: Line, design: Design, store: Store, stocked: Stocked) -> str:
    said = [f"Buy {packs_text(line.packs)} (spares included)."]
    if stocked.other:
        said.append(f"The style {stocked.other} lacks fewer.")
    wanted = next((colour for colour in design.palette if colour.mark == line.mark), None)
    if wanted is not None:
        marks = sorted(set(stocked.plan.net.colours))
        near = next(
            (
                near
                for near in near_colours(
                    wanted, line.size, used_colours(design, marks), store.stock
                )
                if near.distinct
                and (near.entry.state == "unlimited" or near.entry.count >= line.need)
            ),
            None,
        )
        if near is not None:
            said.append(
                f"The nearest colour in stock that suffices is {near.entry.name} (difference "
                f"{near.difference:.0f}; below 10 looks nearly the same)."
            )
    said.append("The command airweft substitutes shows other colours and sizes.")
    return " ".join(said)


def _few_spares(line: Line, supply: Supply) -> Finding:
    over = supply.had - len(supply.whole)
    return Finding(
        code="stock-spares-short",
        severity="note",
        where=f"{line.name} ({line.mark}), {line.size}",
        message=f"the {line.need:,} needed are in stock, but of {line.spare:,} "
        f"spare{'' if line.spare == 1 else 's'} {'none' if not over else f'only {over}'}",
        remedy=f"Buy {packs_text(line.packs)}, or go without.",
    )


def _part_used(line: Line, supply: Supply, design: Design) -> Finding:
    units = design.units
    named = [
        f"{made.code} of {show_length(made.length, units)} ({show_length(made.flat, units)})"
        for made in supply.part_used[:_MOST_NAMED]
    ]
    more = len(supply.part_used) - len(named)
    if more:
        named.append(f"{more} more, see the shopping list")
    return Finding(
        code="stock-part-used",
        severity="note",
        where=f"{line.name} ({line.mark}), {line.size}",
        message=f"made from part-used balloons, by what they inflate to (and their empty length): "
        f"{said_list(named)}",
        remedy="Lay these out first and write the codes on them. Latex that was stretched before "
        "is softer: take a whole one where in doubt.",
        balloons=tuple(one.code for one in supply.part_used),
    )


def _chosen(stocked: Stocked) -> tuple[Finding, ...]:
    """A note where the stock asked for another plan than the planner's own choice."""
    if not stocked.instead:
        return ()
    now = len(stocked.plan.balloons)
    more = now - stocked.fewest
    count = "as many as the planner's own choice has"
    if more:
        count = f"{abs(more)} {'more' if more > 0 else 'fewer'} than the planner's own choice has"
    return (
        Finding(
            code="stock-other-plan",
            severity="note",
            where=f"style {stocked.plan.style}, seed {stocked.plan.seed}",
            message=f"a plan of {now} balloons was taken, {count}, because the stock "
            + ("suffices for it" if not stocked.supplied.missing else "lacks fewer for it"),
            remedy="Plan without --stock to see the other one.",
        ),
    )


def _figures(figures: Mapping[str, Budget]) -> tuple[Finding, ...]:
    if not figures:
        return ()
    return (
        Finding(
            code="stock-figures",
            severity="note",
            where="the length budget",
            message=f"the lengths of balloons of size {said_list(sorted(figures))} are those of "
            "the stock; where its colours differ, they suit all of them",
            remedy="Nothing is to be done; measure again when a new bag is opened.",
        ),
    )
