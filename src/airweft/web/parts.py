"""The parts of a joined form as a list: they are added, moved, taken out, and each opened."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from airweft.base.units import Unit
from airweft.web.controls import Choice
from airweft.web.hand import Hand
from airweft.web.kit import Words, box, button
from airweft.web.locking import Pair
from airweft.web.part_card import Card
from airweft.workshop.inputs import new_part, part_kinds, with_parts

if TYPE_CHECKING:
    from airweft.records.design import Colour


class Parts:
    """The list, kept up to date; to be made within a box."""

    def __init__(self, hand: Hand, unit: Unit) -> None:
        self._hand, self._unit = hand, unit
        self._parts: list[dict[str, Any]] = []
        self._shape: object = None
        self._cards: list[Card] = []
        self._aimed: Pair | None = None
        with box("parts"):
            with box("parts-head"):
                Words("Parts", "h3")
                Words("In building order. Press a part, here or in the picture.", "p", "quiet")
            self._list = box("parts-list", "ol")
            with box("parts-add"):
                _Adder(self._add)

    def show(self, value: object, palette: tuple[Colour, ...]) -> None:
        """Show what the piece says."""
        parts = [p for p in value if isinstance(p, dict)] if isinstance(value, list) else []
        # The names are in it since each part offers those before it to go on.
        shape = [(p.get("kind"), p.get("name")) for p in parts]
        if shape != self._shape:
            self._shape = shape
            self._build(parts)
        self._parts = parts
        desk = self._hand.desk
        panels = desk.net.panels if desk.net is not None else ()
        for card, part in zip(self._cards, parts, strict=True):
            card.show(part, palette, panels)

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
        known = {card.name for card in self._cards}
        places = {at for at, card in enumerate(self._cards) if card.opened}
        self._aimed = None
        self._list.clear()
        self._cards = []
        with self._list:
            for at, part in enumerate(parts):
                before = [str(p.get("name")) for p in parts[:at] if p.get("kind") != "stalk"]
                names = [str(p.get("name")) for p in parts[:at]]
                card = Card(self, at, part, before, names, last=at == len(parts) - 1)
                # One of a name that was not there before is the one that stood here, renamed.
                if card.name in opened or (card.name not in known and at in places):
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

    def aim(self, pair: Pair | None) -> None:
        """Let a pair of joints take what is pressed in the picture from now on, or none."""
        before, self._aimed = self._aimed, pair
        if before is not None and before is not pair:
            before.aimed(False)
        if pair is not None:
            pair.aimed(True)

    async def pressed(self, joint: str, ends: Sequence[str]) -> bool:
        """Give what was pressed in the picture to the pair that waits for it; False for none."""
        if self._aimed is None:
            return False
        await self._aimed.pressed(joint, ends)
        return True

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
