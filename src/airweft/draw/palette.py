"""Colours as the painter needs them: shades of a balloon, the veil, luminance and contrast."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from airweft.base.light import curved, linear
from airweft.records.design import Colour

INK = "#1b1b22"  # outlines and marks
PAPER = "#ffffff"
UNKNOWN = "#c9c6c0"  # a bubble without a colour
SHADOW = "#14142a"  # what shaded sides turn towards

Rgb = tuple[float, float, float]


def rgb(hex_colour: str) -> Rgb:
    """Red, green, blue from 0 to 1 of `#rrggbb` or `#rgb`; the unknown grey for anything else."""
    digits = hex_colour.strip().lstrip("#")
    if len(digits) == 3:
        digits = "".join(d * 2 for d in digits)
    try:
        value = int(digits, 16) if len(digits) == 6 else -1
    except ValueError:
        value = -1
    if value < 0:
        return rgb(UNKNOWN)
    return ((value >> 16 & 255) / 255, (value >> 8 & 255) / 255, (value & 255) / 255)


def to_hex(colour: Rgb) -> str:
    """`#rrggbb`, or the short `#rgb` where it says the same."""
    text = "".join(f"{min(255, max(0, round(c * 255))):02x}" for c in colour)
    if text[0] == text[1] and text[2] == text[3] and text[4] == text[5]:
        return f"#{text[0]}{text[2]}{text[4]}"
    return f"#{text}"


def mix(a: str, b: str, share: float) -> str:
    """`a` with `share` (0 to 1) of `b` mixed in, in sRGB values as a painter's program does."""
    u, v = rgb(a), rgb(b)
    return to_hex(
        (
            u[0] + (v[0] - u[0]) * share,
            u[1] + (v[1] - u[1]) * share,
            u[2] + (v[2] - u[2]) * share,
        )
    )


def luminance(hex_colour: str) -> float:
    """Relative luminance from 0 to 1 (WCAG 2.1, "relative luminance", sRGB)."""
    red, green, blue = map(linear, rgb(hex_colour))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(a: str, b: str) -> float:
    """Contrast ratio from 1 to 21 (WCAG 2.1)."""
    light, dark = sorted((luminance(a), luminance(b)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def grey(hex_colour: str) -> str:
    """What a grey printer makes of a colour: the grey of the same luminance."""
    v = curved(luminance(hex_colour))
    return to_hex((v, v, v))


@dataclass(frozen=True, slots=True, kw_only=True)
class Shades:
    """One balloon colour in all the tones that the painter uses, as hex.

    `glint`, `light`, `base`, `deep` go from the highlight to the shaded edge; `inside` is the flat
    tone of a bubble whose outer side faces away from the viewer; `veil` and `veil_inside` are the
    flat pale tones of finished work and `veil_line` its outline.
    """

    mark: str
    name: str
    glint: str
    light: str
    base: str
    deep: str
    inside: str
    veil: str
    veil_inside: str
    veil_line: str


def shades(colour: Colour) -> Shades:
    """The tones of a palette entry. Very light and very dark balloons get gentler steps."""
    own = to_hex(rgb(colour.hex))
    bright = luminance(own)
    pale, dark = bright > 0.6, bright < 0.012
    # White and black are moved a little inwards, so that their shading shows.
    base = mix(own, INK, 0.05) if bright > 0.9 else mix(own, PAPER, 0.13) if dark else own
    veil = mix(own, PAPER, 0.85 if dark else 0.78)
    return Shades(
        mark=colour.mark,
        name=colour.name,
        glint=mix(own, PAPER, 0.92),
        light=mix(own, PAPER, 0.75 if pale else 0.34),
        base=base,
        deep=own if dark else mix(own, SHADOW, 0.22 if pale else 0.36),
        inside=own if dark else mix(own, SHADOW, 0.18 if pale else 0.3),
        veil=veil,
        veil_inside=mix(veil, "#9090a0", 0.16),
        veil_line=mix(mix(own, INK, 0.35), PAPER, 0.5),
    )


def shades_of(palette: Iterable[Colour], marks: Iterable[str]) -> dict[str, Shades]:
    """Tones for every mark in `marks`, in the palette's order; unknown ones are grey."""
    known = {colour.mark: colour for colour in palette}
    wanted = sorted(set(marks))
    order = [m for m in known if m in wanted] + [m for m in wanted if m not in known]
    return {m: shades(known.get(m, Colour(m, m or "no colour yet", UNKNOWN))) for m in order}
