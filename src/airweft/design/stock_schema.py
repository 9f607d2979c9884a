"""The keys of a stock file: what each is called, what it may hold, and an example of it."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, ValidationInfo
from pydantic_core import PydanticCustomError

from airweft.balloon.stock import MOST_PART_USED
from airweft.base.units import NotALength, read_length
from airweft.design.report import said
from airweft.design.schema import Length, Part, SizeCodeText, Title, key, refuse

VERSION = 1
"""The newest version of the stock file that this program reads."""


def _lengths(value: Any, info: ValidationInfo) -> tuple[int, ...]:
    """A list of lengths."""
    example = 'Write a list such as: part_used = ["20 cm", "31 cm"]'
    if not isinstance(value, list):
        raise refuse("wrong-type", f"It is a list of lengths, not {said(value)}.", example)
    if len(value) > MOST_PART_USED:
        raise refuse(
            "out-of-range",
            f"There are {len(value):,} lengths.",
            f"Give at most {MOST_PART_USED}: the longest are the most useful.",
        )
    unit = (info.context or {}).get("unit", "mm")
    found = []
    for number, length in enumerate(value, start=1):
        try:
            found.append(read_length(length, unit))
        except NotALength as error:
            raise _entry(number, error) from None
    return tuple(found)


def _entry(number: int, error: NotALength) -> PydanticCustomError:
    return refuse("bad-length", f"Entry {number}: {error.message}", error.remedy)


Lengths = Annotated[tuple[int, ...], BeforeValidator(_lengths)]


class StockTop(Part):
    """What stands above the first balloon."""

    units: Literal["mm", "cm", "in"] = key("the unit of plain numbers", 'units = "cm"')
    keep_from: Length | None = key(
        "the shortest rest that is kept, inflated", 'keep_from = "30 cm"', default=None
    )


class EntryPart(Part):
    """One colour and size."""

    size: SizeCodeText = key("the balloon size", 'size = "260"')
    colour: str = key("a CSS colour name or #rrggbb", 'colour = "red"')
    name: Title | None = key("what you call the colour", 'name = "cherry"', default=None)
    state: Literal["limited", "unlimited", "do not use"] = key(
        "whether there are so many, always enough, or none to be used",
        'state = "limited"',
        default="limited",
    )
    count: int | None = key("how many whole balloons", "count = 40", default=None, ge=0, le=10**6)
    part_used: Lengths = key(
        "what is left of part-used balloons, inflated to the tip",
        'part_used = ["20 cm", "31 cm"]',
        default=(),
    )
    part_used_flat: Lengths = key(
        "what is left of part-used balloons, lying empty",
        'part_used_flat = ["6 cm", "8 cm"]',
        default=(),
    )
    pack: int | None = key(
        "how many are sold in a pack", "pack = 100", default=None, ge=1, le=10_000
    )
    budget: Any = key(
        "your own figures for these balloons", "budget = { flat = 26.5 }", default=None
    )
