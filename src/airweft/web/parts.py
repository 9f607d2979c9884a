"""The parts of a joined form as a list: each opens to its inputs, moves, is copied or taken out."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Any

from nicegui import ui

from airweft.base.units import Unit
from airweft.web.controls import Choice, Line
from airweft.web.form_inputs import FormInputs
from airweft.web.hand import Hand
from airweft.web.kit import Words, box, button
from airweft.workshop.inputs import (
    inputs_of,
    new_part,
    part_kinds,
    place_inputs,
    said_at,
    with_parts,
)

_SIDES = ("top", "bottom", "front", "back", "left", "right")


class Parts:
    """The list, kept up to date; to be made within a box."""

    def __init__(self, hand: Hand, unit: Unit) -> None:
        self._hand, self._unit = hand, unit
        self._parts: list[dict[str, Any]] = []
        self._shape: object = None
        self._cards: list[_Card] = []
        with box("parts"):
            with box("parts-head"):
                Words("Parts", "h3")
                Words("In building order. Press a part, here or in the picture.", "p", "quiet")
            self._list = box("parts-list", "ol")
            with box("parts-add"):
                _Adder(self._add)

    def show(self, value: object) -> None:
        """Show what the piece says."""
        parts = [p for p in value if isinstance(p, dict)] if isinstance(value, list) else []
        # The names are in it since each part offers those before it to go on.
        shape = [(p.get("kind"), p.get("name")) for p in parts]
        if shape != self._shape:
            self._shape = shape
            self._build(parts)
        self._parts = parts
        for card, part in zip(self._cards, parts, strict=True):
            card.show(part)

    def wrong(self, reasons: Mapping[str, str]) -> None:
        """What findings say, beside what they are about."""
        for card in self._cards:
            card.wrong(reasons)

    def focus(self, place: str) -> bool:
        """Go to what a finding is about."""
        for card in self._cards:
            if place in (f"part {card.name}", card.place):
                card.open()
                return True
            if card.focus(place):
                card.open()
                return True
        return False

    def open(self, panel: str) -> None:
        """Open the part to which a panel of the net belongs."""
        fitting = [c for c in self._cards if panel == c.name or panel.startswith(f"{c.name} ")]
        if fitting:
            max(fitting, key=lambda card: len(card.name)).open()

    def _build(self, parts: list[dict[str, Any]]) -> None:
        opened = {card.name for card in self._cards if card.opened}
        self._list.clear()
        self._cards = []
        with self._list:
            for at, part in enumerate(parts):
                before = [str(p.get("name")) for p in parts[:at] if p.get("kind") != "stalk"]
                card = _Card(self, at, part, before, last=at == len(parts) - 1)
                if card.name in opened:
                    card.open(look=False)
                self._cards.append(card)

    async def _add(self, kind: str) -> None:
        def more(text: str) -> str:
            return with_parts(text, lambda parts: [*parts, new_part(text, kind)])

        await self._hand.remake(more, gesture=f"Part added: {kind}")

    async def move(self, at: int, way: int) -> None:
        """Let a part be built earlier or later."""
        to = at + way
        if 0 <= to < len(self._parts):
            name = self._parts[at].get("name", "")

            def moved(parts: list[dict[str, Any]]) -> list[dict[str, Any]]:
                parts[at], parts[to] = parts[to], parts[at]
                return parts

            await self._hand.remake(
                lambda text: with_parts(text, moved), gesture=f"Part moved: {name}"
            )

    async def remove(self, at: int) -> None:
        """Take a part out."""
        name = self._parts[at].get("name", "")
        await self._hand.set(("form", "part", at), None, gesture=f"Part taken out: {name}")

    @property
    def hand(self) -> Hand:
        """What edits the piece."""
        return self._hand

    @property
    def unit(self) -> Unit:
        """The unit of plain numbers."""
        return self._unit


class _Adder:
    """What kind of part is to be added, and the button that adds it."""

    def __init__(self, add: Any) -> None:
        self._kind = "ball"
        kinds = [(kind, kind.capitalize()) for kind in part_kinds()]
        Choice("Another part", self._kind, kinds, self._choose)

        async def go() -> None:
            await add(self._kind)

        button("Add it", go, symbol="plus")

    async def _choose(self, kind: str) -> str:
        self._kind = kind
        return ""


class _Card:
    """One part: a line that opens to its inputs."""

    def __init__(
        self, parts: Parts, at: int, part: Mapping[str, Any], before: list[str], *, last: bool
    ) -> None:
        self.name = str(part.get("name", ""))
        self._path: tuple[str | int, ...] = ("form", "part", at)
        self.place = said_at(self._path)
        self._at, self._parts, self._before = at, parts, before
        kind = str(part.get("kind", ""))
        stalk = kind == "stalk"
        self.opened = False
        self._groups: list[FormInputs] = []
        with box("part", "li"):
            self._details = box("", "details")
            self._details.on("toggle", self._toggled, js_handler="(e) => emit(e.target.open)")
            with self._details:
                with box("", "summary"):
                    Words(self.name or "A part without a name", classes="part-name")
                    Words(kind, classes="quiet")
                    self._mark = Words("", classes="part-wrong")
                with box("part-inputs"):
                    self._name = Line("Name", self.name, self._rename)
                    self._on = None if stalk or not before else self._place_choice(before)
                    for inputs in (inputs_of(kind), place_inputs(stalk=stalk)):
                        with box("inputs-grid"):
                            self._groups.append(
                                FormInputs(parts.hand, self._path, inputs, parts.unit)
                            )
                    if isinstance(part.get("file"), str):
                        Words(f"From the file {part['file']}", "p", "quiet")
                    with box("part-do"):
                        if at:
                            button("Build earlier", partial(parts.move, at, -1))
                        if not last:
                            button("Build later", partial(parts.move, at, 1))
                        button("Take out", partial(parts.remove, at), kind="danger", symbol="bin")

    def show(self, part: Mapping[str, Any]) -> None:
        """Show what the piece says."""
        self._name.show(str(part.get("name", "")))
        if self._on is not None:
            self._on.show(str(part.get("on", "")))
        for group in self._groups:
            group.show(part)

    def wrong(self, reasons: Mapping[str, str]) -> None:
        """What findings say of it."""
        for group in self._groups:
            group.wrong(reasons)
        own = any(
            place == f"part {self.name}"
            or place == self.place
            or place.startswith(f"{self.place} ")
            for place in reasons
        )
        if self._mark.text != (text := "see findings" if own else ""):
            self._mark.text = text

    def focus(self, place: str) -> bool:
        """Go to the input at a place."""
        return any(group.focus(place) for group in self._groups)

    def open(self, *, look: bool = True) -> None:
        """Open it, and bring it into sight."""
        self.opened = True
        self._details.props["open"] = True
        self._details.update()
        if look:
            ui.run_javascript(
                f"getHtmlElement({self._details.id})?.scrollIntoView({{block: 'nearest'}})"
            )

    def _toggled(self, event: Any) -> None:
        self.opened = event.args is True
        if self.opened:
            self._details.props["open"] = True
        else:
            self._details.props.pop("open", None)

    def _place_choice(self, before: list[str]) -> Choice:
        offered = [("", "At a place of its own")]
        offered += [
            (f"{side} of {name}", f"{side.capitalize()} of {name}")
            for name in reversed(before)
            for side in _SIDES
        ]
        return Choice("Goes on", "", offered, self._put_on)

    async def _put_on(self, said: str) -> str:
        name = self.name

        def placed(parts: list[dict[str, Any]]) -> list[dict[str, Any]]:
            part = parts[self._at]
            part.pop("on" if not said else "at", None)
            if said:
                part["on"] = said
            elif "at" not in part:
                part["at"] = [0, 0, 0]
            return parts

        await self._parts.hand.remake(
            lambda text: with_parts(text, placed), gesture=f"{name} on {said or 'its own place'}"
        )
        return ""

    async def _rename(self, said: str) -> str:
        name = said.strip()
        if not name:
            return "A part needs a name."
        old = self.name

        def renamed(parts: list[dict[str, Any]]) -> list[dict[str, Any]]:
            for part in parts[self._at + 1 :]:
                on = part.get("on")
                if isinstance(on, str) and on.endswith(f" of {old}"):
                    part["on"] = f"{on.removesuffix(old)}{name}"
                for key in ("begin", "end"):
                    if part.get(key) == old:
                        part[key] = name
            parts[self._at]["name"] = name
            return parts

        await self._parts.hand.remake(
            lambda text: with_parts(text, renamed), gesture=f"Part renamed: {name}"
        )
        return ""
