"""The pattern under what is painted by hand, or that of one part: its kind and what it repeats."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from airweft.web.controls import Choice, Line
from airweft.web.hand import Hand
from airweft.web.kit import Words, box, button
from airweft.workshop.palette import (
    PATTERNS,
    base_of,
    known_marks,
    painted_by_hand,
    part_pattern,
    with_pattern,
    without_hand,
)
from airweft.workshop.sewing import owner_of, parts_of

if TYPE_CHECKING:
    from airweft.records.design import Colour

_WORDS = {
    "plain": "One colour",
    "columns": "Upright stripes",
    "rows": "Level stripes",
    "checks": "Checks",
    "panels": "A colour for each panel",
    "given": "As the net's file says",
}
_OF_A_CHAIN = {"plain": "One colour", "rows": "Colours in turn"}
_CHECKED = ("checks",)  # these need two marks or more


class Patterns:
    """The pattern of the piece and, of a joined form, those of its parts; to be made in a box."""

    def __init__(self, hand: Hand) -> None:
        self._hand = hand
        self._whole = PatternEditor(hand)
        self._box = box("patterns")
        self._shape: object = None
        self._parts: list[tuple[str, PatternEditor, Words]] = []

    def show(self, palette: tuple[Colour, ...]) -> None:
        """Show what the piece says."""
        desk = self._hand.desk
        panels = desk.net.panels if desk.net is not None else ()
        self._whole.show(palette, panels)
        parts = parts_of(desk.text)
        names = [str(part.get("name")) for part in parts]
        shape = [(part.get("name"), part.get("kind")) for part in parts]
        if shape != self._shape:
            self._shape = shape
            self._box.clear()
            self._parts = []
            with self._box:
                if parts:
                    Words("Of single parts", "h3")
                for at, part in enumerate(parts):
                    self._part(at, str(part.get("name", "")), str(part.get("kind", "")))
        for at, (name, editor, told) in enumerate(self._parts):
            editor.show(palette, own_panels(panels, name, names))
            own = "" if part_pattern(desk.text, at)[1] else "as the whole piece"
            if told.text != own:
                told.text = own

    def _part(self, at: int, name: str, kind: str) -> None:
        with box("part"), box("", "details"):
            with box("", "summary"):
                Words(name or "A part without a name", classes="part-name")
                told = Words("", classes="quiet")
            with box("part-inputs"):
                editor = PatternEditor(self._hand, part=at, kind=kind)
        self._parts.append((name, editor, told))


def own_panels(panels: Sequence[str], part: str, parts: Sequence[str]) -> tuple[str, ...]:
    """The panels of one of the parts, by the names that they have within it."""
    owned = (owner_of(panel, parts) for panel in panels)
    return tuple(name for owner, name in owned if owner == part)


class PatternEditor:
    """The kind of pattern and what it repeats; to be made in a box.

    With `part` it is the pattern of that part of a joined form, which may have none of its own.
    """

    def __init__(self, hand: Hand, *, part: int | None = None, kind: str = "") -> None:
        self._hand, self._part = hand, part
        self._chain = kind == "stalk"
        self._own_file = kind == "net"
        self._shape: object = None
        self._shows: list[Callable[[Mapping[str, Any]], None]] = []
        self._box = box("pattern")

    def show(self, palette: tuple[Colour, ...], panels: Sequence[str]) -> None:
        """Show what the piece says; `panels` are those that can have a colour each."""
        text = self._hand.desk.text
        path, base = base_of(text) if self._part is None else part_pattern(text, self._part)
        by_hand = self._part is None and bool(painted_by_hand(text))
        kind = str(base.get("kind", "given" if self._part is None else ""))
        shape = (path, kind, palette, tuple(panels) if kind == "panels" else (), by_hand)
        if shape != self._shape:
            self._shape = shape
            self._box.clear()
            self._shows = []
            with self._box:
                self._build(path, kind, palette, panels, by_hand)
        for call in self._shows:
            call(base)

    def _offered(self, kind: str) -> list[tuple[str, str]]:
        words = _OF_A_CHAIN if self._chain else _WORDS
        offered = [(one, words[one]) for one in PATTERNS if one in words]
        if self._own_file:
            offered = offered[:1]
        if self._part is not None:
            none = "As its file says" if self._own_file else "As the whole piece has it"
            offered.insert(0, ("", none))
        if kind not in dict(offered):
            offered.insert(0, (kind, _WORDS.get(kind, kind)))
        return offered

    def _build(
        self,
        path: tuple[str | int, ...],
        kind: str,
        palette: tuple[Colour, ...],
        panels: Sequence[str],
        by_hand: bool,
    ) -> None:
        name = "Pattern" if self._part is None else "Pattern of its own"
        Choice(name, kind, self._offered(kind), self._choose)
        if kind == "plain":
            self._one("Colour", (*path, "colour"), "colour", palette)
        elif kind == "panels":
            with box("inputs-grid", "fieldset"):
                Words("Colours of the panels", "legend")
                for panel in panels:
                    self._one(panel.capitalize(), (*path, panel), panel, palette, rest=True)
                self._one("All others", (*path, "rest"), "rest", palette)
        elif kind in PATTERNS:
            self._repeat(path, kind, palette)
        if by_hand:
            button("Take all painting by hand away", self._clear, symbol="restore")

    def _repeat(self, path: tuple[str | int, ...], kind: str, palette: tuple[Colour, ...]) -> None:
        marks = {colour.mark: colour for colour in palette}

        async def settle(said: str) -> str:
            wrong = known_marks(said, marks, least=2 if kind in _CHECKED else 1)
            if not wrong:
                await self._hand.set(
                    (*path, "repeat"), "".join(said.split()), gesture=f"Repeat {said.strip()}"
                )
            return wrong

        hint = "Marks that take turns, such as " + "".join(list(marks)[:2]) + "."
        line = Line("Repeat", "", settle, hint=hint, most=400)
        self._shows.append(lambda base: line.show(str(base.get("repeat", ""))))

    def _one(
        self,
        name: str,
        path: tuple[str | int, ...],
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
        part, desk = self._part, self._hand.desk

        def changed(text: str) -> str:
            where = None if part is None else part_pattern(text, part)
            return with_pattern(text, kind, called=desk.name, where=where)

        said = dict(self._offered(kind)).get(kind, kind)
        await self._hand.remake(changed, gesture=f"Pattern: {said[:1].lower()}{said[1:]}")
        return ""

    async def _clear(self) -> None:
        desk = self._hand.desk
        await self._hand.remake(
            lambda text: without_hand(text, called=desk.name), gesture="Painting by hand taken away"
        )
