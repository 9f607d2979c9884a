"""What the maker of a design should know before starting: risks, notes, assumptions."""

from __future__ import annotations

from airweft.base.findings import Finding
from airweft.base.nearest import said_list
from airweft.colour.paint import paint_notes
from airweft.records.design import Design
from airweft.records.net import Net
from airweft.surface.build import form_notes


def notes(design: Design, net: Net) -> tuple[Finding, ...]:
    """What is to be said of the design, and of the figures that it leaves to be assumed."""
    found = notes_while_editing(design, net)
    if not design.assumed:
        return found
    figures = (
        "all six figures"
        if len(design.assumed) == 6
        else f"the figures {said_list(design.assumed)}"
    )
    return (
        *found,
        Finding(
            code="budget-assumed",
            severity="note",
            where="balloon.budget",
            message=f"{figures} of the {design.size}'s length budget are shipped assumptions, not "
            "measured on your balloons",
            remedy="Twist one balloon as a test strip, measure it, and put your own figures under "
            "[balloon.budget] in the design.",
        ),
    )


def notes_while_editing(design: Design, net: Net) -> tuple[Finding, ...]:
    """What is to be said of the text, the form and the colours."""
    return (
        *design.findings,
        *form_notes(design.form, bubble=design.bubble, units=design.units),
        *paint_notes(net, design.pattern, design.palette),
    )
