"""One part of a joined form: a line that opens to everything that can be settled about it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from airweft.web.controls import Choice, Line
from airweft.web.form_inputs import FormInputs
from airweft.web.kit import Words, box, button
from airweft.web.locking import Locking
from airweft.web.pattern import PatternEditor, own_panels
from airweft.workshop.inputs import inputs_of, place_inputs, said_at, with_parts
from airweft.workshop.sewing import pairs_of, parts_of, renamed

if TYPE_CHECKING:
    from airweft.records.design import Colour
    from airweft.web.parts import Parts

_SIDES = ("top", "bottom", "front", "back", "left", "right")
_LOCKED = "locked"  # no side of a part is called so


class Card:
    """One part: a line that opens to its inputs."""

    def __init__(
        self,
        parts: Parts,
        at: int,
        part: Mapping[str, Any],
        before: list[str],
        names: list[str],
        *,
        last: bool,
    ) -> None:
        self.name = str(part.get("name", ""))
        self._path: tuple[str | int, ...] = ("form", "part", at)
        self.place, self._sew_place = said_at(self._path), said_at((*self._path, "sew"))
        self._at, self._parts, self._before = at, parts, before
        kind = str(part.get("kind", ""))
        stalk = kind == "stalk"
        self.opened = False
        self._groups: list[FormInputs] = []
        self._locking: Locking | None = None
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
                    own = place_inputs(stalk=stalk)
                    self._spot: ui.element | None = None
                    for inputs in (
                        inputs_of(kind),
                        tuple(one for one in own if one.key == "at"),
                        tuple(one for one in own if one.key != "at"),
                    ):
                        if not inputs:
                            continue
                        with box("inputs-grid") as grid:
                            self._groups.append(
                                FormInputs(parts.hand, self._path, inputs, parts.unit)
                            )
                        if inputs[0].key == "at":
                            self._spot = grid
                    self._pattern = PatternEditor(parts.hand, part=at, kind=kind)
                    if not stalk and names:
                        self._locking = Locking(parts.hand, at, self.name, names, parts.aim)
                    if isinstance(part.get("file"), str):
                        Words(f"From the file {part['file']}", "p", "quiet")
                    with box("part-do"):
                        if at:
                            button("Build earlier", partial(parts.move, at, -1))
                        if not last:
                            button("Build later", partial(parts.move, at, 1))
                        button("Take out", partial(parts.remove, at), kind="danger", symbol="bin")

    def show(
        self, part: Mapping[str, Any], palette: tuple[Colour, ...], panels: Sequence[str]
    ) -> None:
        """Show what the piece says."""
        self._name.show(str(part.get("name", "")))
        if self._on is not None:
            sewn = "sew" in part and "at" not in part
            self._on.show(str(part.get("on", _LOCKED if sewn else "")))
            if self._spot is not None:  # where it is set on another part, it has no other place
                self._spot.set_visibility("at" in part or not ("on" in part or sewn))
        for group in self._groups:
            group.show(part)
        names = [str(one.get("name")) for one in parts_of(self._parts.hand.desk.text)]
        self._pattern.show(palette, own_panels(panels, self.name, names))
        if self._locking is not None:
            self._locking.show(part)

    def wrong(self, reasons: Mapping[str, str]) -> None:
        """What findings say of it."""
        for group in self._groups:
            group.wrong(reasons)
        if self._locking is not None:
            own_reason = reasons.get(f"part {self.name}", "") if self._locking.whole else ""
            self._locking.wrong(reasons.get(self._sew_place, own_reason))
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
        if place == self._sew_place and self._locking is not None:
            self._locking.focus()
            return True
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
        offered = [("", "At a place of its own"), (_LOCKED, "Where its joints are locked")]
        offered += [
            (f"{side} of {name}", f"{side.capitalize()} of {name}")
            for name in reversed(before)
            for side in _SIDES
        ]
        return Choice("Goes on", "", offered, self._put_on)

    async def _put_on(self, said: str) -> str:
        name, at = self.name, self._at
        if said == _LOCKED and not pairs_of(parts_of(self._parts.hand.desk.text)[at]):
            return "Lock a joint of it first, further down."

        def placed(parts: list[dict[str, Any]]) -> list[dict[str, Any]]:
            part = parts[at]
            if said:
                part.pop("at", None)
            if said in ("", _LOCKED):
                part.pop("on", None)
            else:
                part["on"] = said
            if not said and "at" not in part:
                part["at"] = [0, 0, 0]
            return parts

        where = {"": "its own place", _LOCKED: "its locked joints"}.get(said, said)
        await self._parts.hand.remake(
            lambda text: with_parts(text, placed), gesture=f"{name} on {where}"
        )
        return ""

    async def _rename(self, said: str) -> str:
        name, at = said.strip(), self._at
        if not name:
            return "A part needs a name."
        if any(str(p.get("name")) == name for p in parts_of(self._parts.hand.desk.text)):
            return f"There is another part called {name}."
        await self._parts.hand.remake(
            lambda text: with_parts(text, lambda parts: renamed(parts, at, name)),
            gesture=f"Part renamed: {name}",
        )
        return ""
