"""Colours in stock that could stand in for one that is short."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from airweft.balloon.stock import Entry, Stock, entry_for
from airweft.colour.difference import difference, lab_of
from airweft.colour.legible import NEARLY_THE_SAME
from airweft.records.design import Colour


@dataclass(frozen=True, slots=True, kw_only=True)
class Near:
    """A colour in stock, how far it is from the wanted one, and from the piece's other colours.

    Differences are CIEDE2000. `apart` is the least to another colour of the piece, `beside` that
    colour's name; infinite and "" where the piece has no other.
    """

    entry: Entry
    difference: float
    apart: float
    beside: str

    @property
    def distinct(self) -> bool:
        """Whether it is easily told from the piece's other colours."""
        return self.apart >= NEARLY_THE_SAME


def near_colours(
    wanted: Colour, size: str, used: Iterable[Colour], stock: Stock
) -> tuple[Near, ...]:
    """Usable colours of `size` in stock, those nearest to `wanted` first.

    `used` are the colours of the piece. Entries that serve one of them are left out, since two
    marks would become one colour.
    """
    others = [colour for colour in used if colour.mark != wanted.mark]
    taken = {entry_for(stock, colour, size) for colour in (*others, wanted)}
    target = lab_of(wanted.hex)
    found = []
    for entry in stock.entries:
        if entry.size != size or not entry.usable or entry in taken:
            continue
        lab = lab_of(entry.hex)
        beside = [(difference(lab, lab_of(other.hex)), other.name) for other in others]
        apart, name = min(beside, default=(float("inf"), ""))
        found.append(
            Near(entry=entry, difference=difference(target, lab), apart=apart, beside=name)
        )
    return tuple(sorted(found, key=lambda near: (near.difference, near.entry.name)))
