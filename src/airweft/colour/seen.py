"""A palette as other eyes see it, and as a grey printer prints it.

Full deficiency of one kind of cone by the matrices of Machado, Oliveira and Fernandes, "A
Physiologically-based Model for Simulation of Color Vision Deficiency", IEEE Transactions on
Visualization and Computer Graphics 15 (2009), severity 1.0, in linear sRGB (those for red
and green compared with published tables, those for blue from memory; every line of a matrix adds up
to one, so that grey stays grey).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from airweft.base.light import curved, linear
from airweft.colour.legible import nearly_the_same
from airweft.records.design import Colour

Eyes = Literal["usual", "grey", "red", "green", "blue"]
EYES: tuple[Eyes, ...] = ("usual", "grey", "red", "green", "blue")

_GREY = ((0.2126, 0.7152, 0.0722),) * 3  # luminance of sRGB, IEC 61966-2-1
_MATRICES = {
    "grey": _GREY,
    "red": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "green": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "blue": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}


@dataclass(frozen=True, slots=True)
class Alike:
    """Two colours that are easily mixed up, and how far they are apart (CIEDE2000)."""

    one: Colour
    other: Colour
    apart: float


def seen_by(palette: Sequence[Colour], eyes: Eyes) -> tuple[Colour, ...]:
    """The palette with the colours that such eyes see, or a grey printer prints."""
    return tuple(replace(colour, hex=hex_seen(colour.hex, eyes)) for colour in palette)


def hex_seen(hex_colour: str, eyes: Eyes) -> str:
    """#rrggbb as such eyes see it.

    >>> hex_seen("#808080", "green"), hex_seen("#ff0000", "usual")
    ('#808080', '#ff0000')
    """
    if eyes == "usual":
        return hex_colour
    light = [linear(int(hex_colour[k : k + 2], 16) / 255) for k in (1, 3, 5)]
    seen = [sum(m * c for m, c in zip(line, light, strict=True)) for line in _MATRICES[eyes]]
    return "#" + "".join(f"{round(255 * curved(min(1.0, max(0.0, c)))):02x}" for c in seen)


def alike(palette: Sequence[Colour], eyes: Eyes) -> tuple[Alike, ...]:
    """Every two colours that such eyes easily mix up, the likest first; as they are by themselves.

    The colours told of are those of the palette, not as they are seen.
    """
    pairs = nearly_the_same([colour.hex for colour in seen_by(palette, eyes)])
    found = [Alike(palette[i], palette[j], apart) for i, j, apart in pairs]
    return tuple(sorted(found, key=lambda pair: pair.apart))
