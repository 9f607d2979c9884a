"""When something small goes into a piece, and what is to be said where it cannot."""

from __future__ import annotations

from math import pi

from airweft.base.findings import Finding
from airweft.base.units import show_length
from airweft.plan.reach import last_row_open
from airweft.records.design import Design
from airweft.records.plan import Plan
from airweft.records.steps import Instructions
from airweft.words.inside import put_inside
from airweft.workshop.claims import widest_mm

FINGERS_MM = 60.0
"""What two fingers that hold it take of the way round an opening, in mm. An assumption."""


def inside_row(plan: Plan, design: Design) -> int | None:
    """The last row after which what goes inside still fits through an opening.

    0 where it never fits; None where nothing goes inside, or the piece never closes. The opening is
    as wide as between the joints, less a bubble's thickness.
    """
    inside = design.choices.inside
    if inside is None:
        return None
    around = pi * (inside.across / 100 + widest_mm(plan)) + FINGERS_MM
    return last_row_open(plan, around_mm=around)


def with_inside(instructions: Instructions, plan: Plan, design: Design) -> Instructions:
    """The instructions with a note at the row where something goes inside, if anything does."""
    row, inside = inside_row(plan, design), design.choices.inside
    if not row or inside is None:
        return instructions
    return put_inside(instructions, what=inside.what, row=row)


def inside_findings(plan: Plan, design: Design) -> tuple[Finding, ...]:
    """Why no row announces what goes inside, or that one does."""
    inside = design.choices.inside
    if inside is None:
        return ()
    row = inside_row(plan, design)
    if row == 0:
        across = show_length(inside.across, design.units)
        return (
            Finding(
                code="inside-does-not-fit",
                severity="risky",
                where="plan, inside",
                message=f"{inside.what}, {across} across, is too large for this piece: no opening "
                "is ever large enough, so no step announces it",
                remedy="Put in something smaller, or nothing.",
            ),
        )
    if row is None:
        return (
            Finding(
                code="inside-stays-open",
                severity="note",
                where="plan, inside",
                message=f"the piece does not close, so {inside.what} can go in at any time, and "
                "can fall out; no step announces it",
                remedy="Put it in at the end, or close the form.",
            ),
        )
    return ()
