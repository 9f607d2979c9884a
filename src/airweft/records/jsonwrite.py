"""Pieces of canonical JSON text: the same value always gives the same bytes."""

from __future__ import annotations

import json
from collections.abc import Iterable
from math import floor

_ENCODER = json.JSONEncoder(ensure_ascii=False)


def quoted(text: str) -> str:
    """A text as JSON, in UTF-8 and not in escapes."""
    return _ENCODER.encode(text)


def mm_of(hundredths: int) -> str:
    """Whole hundredths of a millimetre as the shortest decimal of millimetres: 2540 is 25.4."""
    whole, rest = divmod(abs(hundredths), 100)
    sign = "-" if hundredths < 0 else ""
    if not rest:
        return f"{sign}{whole}"
    return f"{sign}{whole}.{rest:02d}".rstrip("0")


def rounded_mm(millimetres: float) -> str:
    """A position in millimetres, rounded to the nearest hundredth (halves up), shortest decimal."""
    return mm_of(floor(millimetres * 100 + 0.5))


def listed(items: Iterable[str]) -> str:
    """A list in one line."""
    return "[" + ", ".join(items) + "]"


def keyed(items: Iterable[tuple[str, str]]) -> str:
    """An object in one line, keys in the order given."""
    return "{" + ", ".join(f'"{key}": {value}' for key, value in items) + "}"


def stacked(items: Iterable[str], indent: int) -> str:
    """A list with one item a line, so that two plans can be compared line by line."""
    lines = list(items)
    if not lines:
        return "[]"
    gap = "\n" + " " * indent
    return "[" + gap + f",{gap}".join(lines) + "\n" + " " * (indent - 2) + "]"
