"""Whether the colours of a palette can be told apart."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from airweft.base.findings import Finding
from airweft.colour.difference import difference, lab_of
from airweft.records.design import Colour

NEARLY_THE_SAME = 10.0
"""CIEDE2000 below which two balloon colours are easily mixed up at arm's length (assumption)."""


def nearly_the_same(tones: Sequence[str]) -> list[tuple[int, int, float]]:
    """Every two of these `#rrggbb` that are easily mixed up, by place, and how far apart."""
    labs = [lab_of(tone) for tone in tones]
    pairs = ((i, j, difference(labs[i], labs[j])) for i, j in combinations(range(len(labs)), 2))
    return [pair for pair in pairs if pair[2] < NEARLY_THE_SAME]


def palette_notes(palette: Sequence[Colour]) -> tuple[Finding, ...]:
    """A note for every two colours that look the same or nearly so."""
    notes = []
    for i, j, apart in nearly_the_same([colour.hex for colour in palette]):
        one, other = palette[i], palette[j]
        alike = "the same" if apart < 1 else "nearly the same"
        notes.append(
            Finding(
                code="like-colours",
                severity="note",
                where=f"colours, {one.mark} and {other.mark}",
                message=f"{one.name} ({one.mark}) and {other.name} ({other.mark}) look "
                f"{alike} (difference {apart:.1f}; 10 or more is easy to tell apart).",
                remedy="Go by the marks when making it, or choose a lighter or darker one.",
            )
        )
    return tuple(notes)
