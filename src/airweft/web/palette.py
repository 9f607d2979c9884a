"""The palette as a list to edit, and the pattern under what is painted by hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING, Any

from nicegui import ui

from airweft.web.controls import Choice, Line
from airweft.web.hand import Hand
from airweft.web.kit import Words, box, button
from airweft.workshop.palette import (
    PATTERNS,
    base_of,
    known_marks,
    painted_by_hand,
    with_colour,
    with_new_colour,
    with_pattern,
    without_hand,
)

if TYPE_CHECKING:
    from airweft.records.design import Colour
    from airweft.workshop.desk import Desk

_PATTERN_WORDS = {
    "plain": "One colour",
    "columns": "Upright stripes",
    "rows": "Level stripes",
    "checks": "Checks",
    "panels": "A colour for each panel",
    "given": "As the net's file says",
}


class PaletteEditor:
    """Every colour with its tone, its name and how many bubbles have it; to be made in a box."""

    def __init__(self, desk: Desk, hand: Hand) -> None:
        self._desk, self._hand = desk, hand
        self._rows: dict[str, _Row] = {}
        self._list = box("tones", "ul")
        button("Another colour", self._add, symbol="plus")

    def show(self, palette: tuple[Colour, ...]) -> None:
        """Show what the piece says."""
        marks = [colour.mark for colour in palette]
        if marks != list(self._rows):
            self._list.clear()
            with self._list:
                self._rows = {colour.mark: _Row(self, colour) for colour in palette}
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
        with box("tone", "li"):
            self._tone = box("tone-pick", "input", type="color")
            self._tone.on("change", self._picked, js_handler="(e) => emit(e.target.value)")
            Words(colour.mark, classes="tone-mark").props["aria-hidden"] = "true"
            self._name = Line(
                f"Name of {colour.mark}", colour.name, self._named, bare=True, most=60
            )
            self._count = Words("", classes="quiet tone-count")
            self._out = button(
                f"Take {colour.name} out", partial(self._remove), kind="quiet", symbol="bin",
                only_symbol=True,
            )  # fmt: skip

    def show(self, colour: Colour, used: int, *, last: bool) -> None:
        """Show what the piece says."""
        self._colour = colour
        self._name.show(colour.name)
        said = f"{used:,} bubble{'' if used == 1 else 's'}"
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

    async def _named(self, said: str) -> str:
        if not said.strip():
            return "A colour needs a name."
        await self._editor.change(self._colour, self._colour.hex, said.strip())
        return ""

    async def _remove(self) -> None:
        await self._editor.remove(self._colour)


class PatternEditor:
    """The kind of pattern and what it repeats; to be made in a box."""

    def __init__(self, desk: Desk, hand: Hand) -> None:
        self._desk, self._hand = desk, hand
        self._shape: object = None
        self._shows: list[Callable[[Mapping[str, Any]], None]] = []
        self._box = box("pattern")

    def show(self, palette: tuple[Colour, ...]) -> None:
        """Show what the piece says."""
        path, base = base_of(self._desk.text)
        by_hand = painted_by_hand(self._desk.text)
        net = self._desk.net
        panels = net.panels if net is not None else ()
        kind = str(base.get("kind", "given"))
        shape = (path, kind, palette, panels if kind == "panels" else (), bool(by_hand))
        if shape != self._shape:
            self._shape = shape
            self._box.clear()
            self._shows = []
            with self._box:
                self._build(path, kind, palette, panels)
        for call in self._shows:
            call(base)

    def _build(
        self,
        path: tuple[str, ...],
        kind: str,
        palette: tuple[Colour, ...],
        panels: tuple[str, ...],
    ) -> None:
        offered = [(one, _PATTERN_WORDS[one]) for one in PATTERNS]
        if kind not in PATTERNS:
            offered.insert(0, (kind, _PATTERN_WORDS.get(kind, kind)))
        Choice("Pattern", kind, offered, self._choose)
        if kind == "plain":
            self._one("Colour", (*path, "colour"), "colour", palette)
        elif kind == "panels":
            with box("inputs-grid"):
                for panel in panels:
                    self._one(panel.capitalize(), (*path, panel), panel, palette, rest=True)
                self._one("All others", (*path, "rest"), "rest", palette)
        elif kind in PATTERNS:
            marks = {colour.mark: colour for colour in palette}

            async def settle(said: str) -> str:
                wrong = known_marks(said, marks)
                if not wrong:
                    await self._hand.set(
                        (*path, "repeat"), "".join(said.split()), gesture=f"Repeat {said.strip()}"
                    )
                return wrong

            hint = "Marks that repeat, such as " + "".join(list(marks)[:2]) + "."
            line = Line("Repeat", "", settle, hint=hint, most=400)
            self._shows.append(lambda base: line.show(str(base.get("repeat", ""))))
        if painted_by_hand(self._desk.text):
            button("Take all painting by hand away", self._clear, symbol="restore")

    def _one(
        self,
        name: str,
        path: tuple[str, ...],
        key: str,
        palette: tuple[Colour, ...],
        *,
        rest: bool = False,
    ) -> None:
        async def settle(said: str) -> str:
            await self._hand.set(path, said or None, gesture=f"{name} {said}".strip())
            return ""

        offered = [(colour.mark, f"{colour.name} ({colour.mark})") for colour in palette]
        if rest or key == "rest":
            offered.insert(0, ("", "As all others" if rest else "No colour"))
        choice = Choice(name, "", offered, settle)
        self._shows.append(lambda base: choice.show(str(base.get(key, ""))))

    async def _choose(self, kind: str) -> str:
        await self._hand.remake(
            lambda text: with_pattern(text, kind, called=self._desk.name),
            gesture=f"Pattern: {_PATTERN_WORDS.get(kind, kind).lower()}",
        )
        return ""

    async def _clear(self) -> None:
        await self._hand.remake(
            lambda text: without_hand(text, called=self._desk.name),
            gesture="Painting by hand taken away",
        )


def swatch(colour: Colour) -> ui.element:
    """A disc of a colour, beside its name."""
    return box("disc", "span", style=f"--tone: {colour.hex}", aria_hidden="true")
