"""The ways to make a design weighed anew.

Weights and the style that was chosen change nothing about the plans compared, only their order; so
the rows stay while those change, and are told apart from rows of another design.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from airweft.plan.comfort import WEIGHTS, Measures, score, weights_of
from airweft.records.design import Design
from airweft.workshop.changes import changes
from airweft.workshop.side_by_side import NotFor, Row, with_best

USUAL_WEIGHTS = WEIGHTS
"""What each measure weighs where the maker does not say."""
_NOT_THE_PLANS = ("plan: style ", "plan: seed ", "plan, weights", "plan: weights ", "plan changed")


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
