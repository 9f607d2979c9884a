"""What the maker settles about the plan: what counts how much, and who builds."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any

from airweft.base.errors import AirweftError
from airweft.web.findings import explain
from airweft.web.kit import Field, Words, box, button
from airweft.web.pages.plan_words import MEASURES, Measure
from airweft.workshop.weighing import USUAL_WEIGHTS

if TYPE_CHECKING:
    from airweft.workshop.desk import Desk

_MOST_WEIGHT = 1_000_000.0
_MOST_CREW = 8


def weights_part(desk: Desk) -> Callable[[], None]:
    """A field for each weight and one for the crew; returns what brings them up to date."""
    Words("What counts for you", "h2")
    Words(
        "So many minutes you would gladly give to be spared one more. 0 leaves a thing out.",
        "p",
    )
    fields: list[Callable[[], None]] = []
    with box("weights"):
        for measure in MEASURES:
            fields.append(_weight(desk, measure))
    with box("plan-actions"):
        button(
            "The usual weights",
            partial(_edit, desk, ("plan", "weights"), None, "The usual weights"),
            kind="quiet", symbol="restore",
        )  # fmt: skip
    Words("Who builds", "h2")
    with box("crew"):
        fields.append(_crew(desk))

    def show() -> None:
        for field in fields:
            field()

    return show


def _weight(desk: Desk, measure: Measure) -> Callable[[], None]:
    usual = USUAL_WEIGHTS[measure.name]
    field = Field(measure.title, most=20, hint=f"for {measure.unit}; usually {usual:g}")
    field.input.props["inputmode"] = "decimal"

    def keep(event: Any) -> None:
        text = str(event.args).strip().replace(",", ".")
        try:
            value = float(text) if text else usual
        except ValueError:
            value = -1.0
        if not 0 <= value <= _MOST_WEIGHT:
            field.wrong("A number such as 2 or 0,5; 0 leaves it out.")
            return
        field.wrong("")
        own = None if value == usual else int(value) if value == int(value) else value
        _edit(
            desk, ("plan", "weights", measure.name), own,
            f"Weight: {measure.title.lower()} {value:g}", f"weight-{measure.name}",
        )  # fmt: skip

    field.input.on("change", keep, js_handler="(e) => emit(e.target.value)")

    def show() -> None:
        own = dict(desk.design.choices.weights) if desk.design is not None else {}
        _fill(field, f"{own.get(measure.name, usual):g}")

    return show


def _crew(desk: Desk) -> Callable[[], None]:
    field = Field(
        "People who build at once",
        most=2,
        hint=f"1 to {_MOST_CREW}; with more than one there is a way in parts",
    )
    field.input.props["inputmode"] = "numeric"

    def keep(event: Any) -> None:
        text = str(event.args).strip() or "1"
        if not (text.isascii() and text.isdigit() and 1 <= int(text) <= _MOST_CREW):
            field.wrong(f"A whole number from 1 to {_MOST_CREW}.")
            return
        field.wrong("")
        count = int(text)
        style = desk.design.choices.style if desk.design is not None else ""
        if count == 1 and style == "parts":  # nobody can share it out alone
            _edit(desk, ("plan", "style"), None, f"Crew: {count}", "crew")
        _edit(desk, ("plan", "crew"), None if count == 1 else count, f"Crew: {count}", "crew")

    field.input.on("change", keep, js_handler="(e) => emit(e.target.value)")

    def show() -> None:
        crew = desk.design.choices.crew if desk.design is not None else 0
        _fill(field, str(crew or 1))

    return show


def _fill(field: Field, text: str) -> None:
    """Another value for a field, unless it stands there already."""
    if field.value != text:
        field.value = text
        field.input.props["value"] = text
        field.input.update()


def _edit(
    desk: Desk, path: tuple[str | int, ...], value: object, gesture: str, merge: str = ""
) -> None:
    try:
        desk.set(path, value, gesture=gesture, merge=merge)
    except AirweftError as refusal:
        explain("This cannot be written into the design", refusal.findings)
