"""The palette as a list to edit: tone, mark and name of every colour."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from airweft.web.controls import Line, Typed
from airweft.web.hand import Hand
from airweft.web.kit import Words, box, button
from airweft.workshop.palette import (
    why_no_other_mark,
    with_colour,
    with_mark,
    with_new_colour,
)

if TYPE_CHECKING:
    from airweft.records.design import Colour
    from airweft.workshop.desk import Desk


def other_mark(before: Sequence[Colour], now: Sequence[Colour]) -> Mapping[str, str]:
    """The mark that a colour had, and the one that it has now, where just one took another."""
    gone = [colour for colour in before if colour.mark not in {c.mark for c in now}]
    new = [colour for colour in now if colour.mark not in {c.mark for c in before}]
    if len(gone) == len(new) == 1 and (gone[0].name, gone[0].hex) == (new[0].name, new[0].hex):
        return {gone[0].mark: new[0].mark}
    return {}


class PaletteEditor:
    """Every colour with its tone, mark, name and how many bubbles have it; to be made in a box.

    Colours stay where they are in the list while they are edited, and new ones come last.
    """

    def __init__(self, desk: Desk, hand: Hand) -> None:
        self._desk, self._hand = desk, hand
        self._rows: dict[str, _Row] = {}
        self._palette: tuple[Colour, ...] = ()
        self._list = box("tones", "ul")
        button("Another colour", self._add, symbol="plus")

    def show(self, palette: tuple[Colour, ...]) -> None:
        """Show what the piece says."""
        other = other_mark(self._palette, palette)
        self._palette = palette
        self._rows = {other.get(mark, mark): row for mark, row in self._rows.items()}
        marks = {colour.mark for colour in palette}
        for mark in [mark for mark in self._rows if mark not in marks]:
            self._rows.pop(mark).element.delete()
        with self._list:
            for colour in palette:
                if colour.mark not in self._rows:
                    self._rows[colour.mark] = _Row(self, colour)
        net = self._desk.net
        used = Counter(net.colours if net is not None else ())
        for colour in palette:
            self._rows[colour.mark].show(colour, used[colour.mark], last=len(palette) == 1)

    async def change(self, colour: Colour, tone: str, name: str) -> None:
        """Another tone or name for a colour."""
        gesture = f"Tone of {colour.name}" if tone != colour.hex else f"Colour called {name}"
        await self._hand.remake(
            lambda text: with_colour(text, colour, tone, name, called=self._desk.name),
            gesture=gesture,
        )

    async def mark(self, colour: Colour, mark: str) -> str:
        """Another mark for a colour, wherever the design has it; why not, in words."""
        desk = self._desk
        reason = why_no_other_mark(desk.text, desk.design, colour.mark, mark)
        if not reason:
            await self._hand.remake(
                lambda text: with_mark(text, colour.mark, mark, name=desk.name),
                gesture=f"{colour.name}: mark {mark}",
            )
        return reason

    async def remove(self, colour: Colour) -> None:
        """Take a colour out that no bubble has."""
        await self._hand.set(("colours", colour.mark), None, gesture=f"Colour out: {colour.name}")

    async def _add(self) -> None:
        await self._hand.remake(
            lambda text: with_new_colour(text, called=self._desk.name), gesture="Another colour"
        )


class _Row:
    """One colour."""

    def __init__(self, editor: PaletteEditor, colour: Colour) -> None:
        self._editor, self._colour = editor, colour
        with box("tone", "li") as self.element:
            self._tone = Typed(type="color").classes("tone-pick")
            self._tone.on("change", self._picked, js_handler="(e) => emit(e.target.value)")
            self._mark = Line("", colour.mark, self._marked, bare=True, most=2)
            self._mark.element.classes("tone-mark")
            self._mark.input.on("focus", js_handler="(e) => e.target.select()")
            self._mark.input.props["spellcheck"] = "false"
            self._mark.input.props["autocapitalize"] = "characters"
            self._name = Line("", colour.name, self._named, bare=True, most=60)
            self._name.element.classes("tone-name")
            with box("tone-use"):
                self._count = Words("", classes="quiet tone-count")
                self._out = button(
                    "Take out", partial(self._remove), kind="quiet", symbol="bin", only_symbol=True
                )

    def show(self, colour: Colour, used: int, *, last: bool) -> None:
        """Show what the piece says."""
        self._colour = colour
        self._mark.called(f"Mark of {colour.name}")
        self._mark.show(colour.mark)
        self._name.called(f"Name of {colour.mark}")
        self._name.show(colour.name)
        said = f"{used:,} bubble{'' if used == 1 else 's'}" if used else "unused"
        if self._count.text != said:
            self._count.text = said
        label = f"Tone of {colour.name} ({colour.mark})"
        if (self._tone.props.get("value"), self._tone.props.get("aria-label")) != (
            colour.hex,
            label,
        ):
            self._tone.props["value"] = colour.hex
            self._tone.props["aria-label"] = self._tone.props["title"] = label
            self._tone.update()
        self._out.set_visibility(not used and not last)
        self._out.props["aria-label"] = self._out.props["title"] = f"Take {colour.name} out"

    async def _picked(self, event: Any) -> None:
        tone = str(event.args).lower()
        if len(tone) == 7 and tone.startswith("#") and tone != self._colour.hex:
            self._tone.props["value"] = tone
            await self._editor.change(self._colour, tone, self._colour.name)

    async def _marked(self, said: str) -> str:
        mark = said.strip()
        # A small letter is meant as the large one that marks usually are.
        upper = mark.upper() if len(mark) == 1 else mark
        if upper == self._colour.mark:
            self._mark.show(upper)
            return ""
        return await self._editor.mark(self._colour, upper)

    async def _named(self, said: str) -> str:
        if not said.strip():
            return "A colour needs a name."
        await self._editor.change(self._colour, self._colour.hex, said.strip())
        return ""

    async def _remove(self) -> None:
        await self._editor.remove(self._colour)


def swatch(colour: Colour) -> ui.element:
    """A disc of a colour, beside its name."""
    return box("disc", "span", style=f"--tone: {colour.hex}", aria_hidden="true")
