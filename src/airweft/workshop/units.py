"""The unit of a design's plain numbers, as a page changes it."""

from __future__ import annotations

from airweft.base.errors import AirweftError
from airweft.base.units import Unit
from airweft.design.lengths import other_lengths, with_units
from airweft.workshop.inputs import raw

__all__ = ["kept_lengths", "with_units"]

SAID: dict[Unit, str] = {"mm": "millimetres", "cm": "centimetres", "in": "inches"}


def kept_lengths(text: str) -> int:
    """How many lengths of a design are said in another unit than its own."""
    return other_lengths(raw(text))


def why_no_units(text: str, unit: Unit, *, name: str) -> str:
    """Why a text cannot have another unit, in words; "" where it can."""
    try:
        with_units(text, unit, name=name)
    except AirweftError as refusal:
        return " ".join(f"{f.message.rstrip('.')}. {f.remedy}" for f in refusal.findings[:1])
    return ""
