"""The ways to make a design weighed anew, and the maker's fixed choices one by one.

Weights and the style that was chosen change nothing about the plans compared, only their order; so
the rows stay while those change, and are told apart from rows of another design.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from airweft.base.findings import Finding
from airweft.plan.comfort import WEIGHTS, Measures, score, weights_of
from airweft.records.choices import KeepBefore, KeepPanels, KeepToward, KeepTrail
from airweft.records.design import Design
from airweft.records.plan import Plan
from airweft.workshop.changes import changes
from airweft.workshop.choosing import choice_findings
from airweft.workshop.inputs import section
from airweft.workshop.side_by_side import NotFor, Row, with_best

USUAL_WEIGHTS = WEIGHTS
"""What each measure weighs where the maker does not say."""
_NOT_THE_PLANS = ("plan: style ", "plan: seed ", "plan, weights", "plan: weights ", "plan changed")


@dataclass(frozen=True, slots=True)
class Fixed:
    """A fixed choice of the maker's. `place` is where it stands in [[plan.keep]], None for the
    start; `finding` says why it is not kept, None while it is or no plan tells."""

    title: str
    place: int | None
    finding: Finding | None


def reweighed(rows: Sequence[Row | NotFor], design: Design) -> tuple[Row | NotFor, ...]:
    """The rows with scores by the weights of the design as it is now, and the best of them."""
    weights = weights_of(design.choices.weights)
    return with_best(
        [
            replace(row, score=score(_measures(row), weights)) if isinstance(row, Row) else row
            for row in rows
        ]
    )


def other_than(before: str, now: str) -> tuple[str, ...]:
    """What changed between two texts that makes other plans: all but weights, style and seed."""
    return tuple(said for said in changes(before, now) if not said.startswith(_NOT_THE_PLANS))


def fixed_choices(text: str, design: Design, plan: Plan | None) -> tuple[Fixed, ...]:
    """Every fixed choice in the order of the file, with what the plan does instead if it is not
    kept. `plan` is None where none was made for the design as it is."""
    told = {f.where: f for f in choice_findings(design, plan)} if plan is not None else {}
    found: list[tuple[str, int | None]] = []
    if design.choices.start:
        found.append((f"start {design.choices.start}", None))
    tables = section(text, "plan").get("keep", [])
    found += [(_title(table), place) for place, table in enumerate(tables)]
    return tuple(Fixed(title, place, told.get(f"plan, {title}")) for title, place in found)


def _title(table: dict[str, object]) -> str:
    for key, kind in (("trail", KeepTrail), ("panels", KeepPanels), ("before", KeepBefore)):
        names = table.get(key)
        if isinstance(names, list):
            return kind(tuple(map(str, names))).title
    toward = table.get("toward")
    if isinstance(toward, list) and len(toward) == 2:
        return KeepToward(str(toward[0]), str(toward[1])).title
    return "a choice that cannot be read"


def _measures(row: Row) -> Measures:
    return Measures(
        balloons=row.balloons,
        waste=row.waste_mm / 1000,
        minutes=sum(row.minutes) / 2,
        loose=row.peak_loose,
        lines=row.lines,
        colour_changes=row.colour_changes,
        travel=row.travel_mm / 1000,
        turning=row.turning,
        awkward=row.awkward,
    )
