"""The tones of a colour on the phone page."""

from __future__ import annotations

from airweft.draw.palette import shades
from airweft.records.design import Colour


def tones(colour: Colour) -> list[str]:
    """The tones of a palette entry in the order in which the page reads them."""
    tone = shades(colour)
    return [
        tone.base,
        tone.glint,
        tone.light,
        tone.deep,
        tone.inside,
        tone.veil,
        tone.veil_inside,
        tone.veil_line,
    ]
