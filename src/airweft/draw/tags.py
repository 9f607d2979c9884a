"""Names of joints in a picture: small plates that never cover each other."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from airweft.draw.glyph import text_width
from airweft.draw.numbers import num
from airweft.draw.paint import write
from airweft.draw.palette import INK, PAPER


@dataclass(frozen=True, slots=True)
class Tag:
    """A name and the point it belongs to, px."""

    text: str
    x: float
    y: float


def tags(wanted: Iterable[Tag], *, height: float, dark: bool) -> str:
    """Plates with the names, the first ones first; a name that would cover another is left out.

    `height` is that of the capitals; `dark` plates are ink with white letters, light ones the
    other way round with a thin edge.
    """
    ground, letters = (INK, PAPER) if dark else (PAPER, INK)
    tall = height * 2.2
    taken: list[tuple[float, float, float]] = []
    out: list[str] = []
    for tag in wanted:
        half = max(text_width(tag.text, height) / 2 + height * 0.85, tall / 2)
        if not tag.text or any(
            abs(tag.x - x) < half + w + 1 and abs(tag.y - y) < tall + 1 for x, y, w in taken
        ):
            continue
        taken.append((tag.x, tag.y, half))
        edge = f' stroke="{PAPER if dark else INK}" stroke-width=".9"'
        out.append(
            f'<rect x="{num(tag.x - half)}" y="{num(tag.y - tall / 2)}" width="{num(2 * half)}"'
            f' height="{num(tall)}" rx="{num(tall / 2)}" fill="{ground}"{edge}/>'
            + write(tag.text, tag.x, tag.y + height / 2, height, anchor="middle", colour=letters)
        )
    return "".join(out)
