"""The unit of the lengths of a design: pressed, every length is said in another one."""

from __future__ import annotations

from functools import partial

from airweft.base.units import UNITS, Unit
from airweft.web.hand import Hand
from airweft.web.kit import Words, box, button
from airweft.workshop.inputs import raw
from airweft.workshop.units import SAID, kept_lengths, why_no_units, with_units


class Units:
    """Millimetres, centimetres or inches, each a button; to be made in a box."""

    def __init__(self, hand: Hand) -> None:
        self._hand = hand
        self._buttons = {}
        with box("units"):
            with box("units-line", role="group", aria_label="Unit of lengths"):
                Words("Lengths in", classes="units-name").props["aria-hidden"] = "true"
                for unit in UNITS:
                    made = button(unit, partial(self._choose, unit)).classes("kind")
                    made.props["aria-label"] = made.props["title"] = SAID[unit].capitalize()
                    self._buttons[unit] = made
            self._kept = Words("", "p", "quiet field-hint")
            self._kept.props["role"] = "status"
            self._wrong = Words("", "p", "wrong")
            self._wrong.props["role"] = "alert"

    def show(self) -> None:
        """Show what the piece says."""
        text = self._hand.desk.text
        now = raw(text).get("units")
        for unit, made in self._buttons.items():
            pressed = "true" if unit == now else "false"
            if made.props.get("aria-pressed") != pressed:
                made.props["aria-pressed"] = pressed
                made.update()
        kept = kept_lengths(text)
        said = ""
        if kept:
            which = "One length stays" if kept == 1 else f"{kept:,} lengths stay"
            said = f"{which} in another unit, so that the piece keeps its exact size."
        if self._kept.text != said:
            self._kept.text = said
        self._wrong.text = ""

    async def _choose(self, unit: Unit) -> None:
        desk = self._hand.desk
        if raw(desk.text).get("units") == unit:
            return
        self._wrong.text = why_no_units(desk.text, unit, name=desk.name)
        if not self._wrong.text:
            await self._hand.remake(
                lambda text: with_units(text, unit, name=desk.name),
                gesture=f"Lengths in {SAID[unit]}",
            )
