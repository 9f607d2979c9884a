"""Colours: published contrast values, and marks that stay legible in colour and in grey."""

from __future__ import annotations

import re

import pytest

from airweft.draw.paint import mark_symbol
from airweft.draw.palette import (
    INK,
    PAPER,
    contrast,
    grey,
    luminance,
    mix,
    rgb,
    shades,
    shades_of,
    to_hex,
)
from airweft.records.design import Colour

# Sixteen colours of the CSS keywords, from black to white.
NAMED = [
    *("#000000", "#ffffff", "#ff0000", "#00ff00", "#0000ff", "#ffff00", "#ffc0cb", "#808080"),
    *("#ffa500", "#800080", "#008080", "#a52a2a", "#000080", "#f5f5dc", "#c0c0c0", "#40e0d0"),
]


@pytest.mark.parametrize(
    ("colour", "value"),
    [
        ("#ffffff", 1.0),
        ("#000000", 0.0),
        ("#ff0000", 0.2126),
        ("#00ff00", 0.7152),
        ("#00f", 0.0722),
    ],
)
def test_luminance_of_the_primaries(colour: str, value: float) -> None:
    """The weights of WCAG 2.1 (sRGB primaries)."""
    assert luminance(colour) == pytest.approx(value, abs=1e-9)


def test_known_contrasts() -> None:
    """Black on white is 21:1 by definition; #767676 is the lightest grey with 4.5:1 on white."""
    assert contrast("#000", "#fff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)
    assert contrast("#777777", "#ffffff") < 4.5


@pytest.mark.parametrize("colour", NAMED)
def test_marks_are_legible_in_colour_and_in_grey(colour: str) -> None:
    """What a mark is drawn in, and what it stands on, as really written in the SVG."""
    symbol = mark_symbol("W", 8.0)
    ground = re.findall(r'<circle[^>]*fill="(#\w+)"', symbol)
    pen = re.findall(r'<path[^>]*stroke="(#\w+)"', symbol)
    assert ground == [PAPER] and pen == [INK]
    for convert in (str, grey):
        assert contrast(convert(pen[0]), convert(ground[0])) >= 4.5
    # The outline of new work also stands out against its balloon's lit part or the white rim.
    tone = shades(Colour("X", "x", colour))
    assert max(contrast(grey(INK), grey(tone.light)), contrast(grey(INK), grey(PAPER))) >= 4.5


@pytest.mark.parametrize("colour", NAMED)
def test_the_veil_is_pale_and_new_work_is_not(colour: str) -> None:
    tone = shades(Colour("X", "x", colour))
    assert luminance(tone.veil) >= 0.55
    assert luminance(tone.veil) >= luminance(tone.base) - 1e-9
    assert contrast(tone.veil_line, PAPER) < contrast(INK, PAPER) / 2
    assert luminance(tone.glint) >= luminance(tone.light) >= luminance(tone.base)
    assert luminance(tone.base) >= luminance(tone.deep)
    assert luminance(tone.inside) <= luminance(tone.base)


def test_grey_keeps_luminance() -> None:
    for colour in NAMED:
        assert luminance(grey(colour)) == pytest.approx(luminance(colour), abs=0.006)


def test_reading_and_writing_colours() -> None:
    assert to_hex(rgb("#D11F3A")) == "#d11f3a"
    assert to_hex(rgb("#fff")) == "#fff"
    assert rgb("nonsense") == rgb("") == rgb("#12") == rgb("#c9c6c0")
    assert mix("#000000", "#ffffff", 0.5) == "#808080"
    assert mix("#102030", "#ffffff", 0.0) == "#102030"


def test_shades_come_in_the_order_of_the_palette() -> None:
    palette = (Colour("B", "blue", "#00f"), Colour("A", "red", "#f00"))
    assert list(shades_of(palette, ["A", "?", "B", "A"])) == ["B", "A", "?"]
    assert shades_of((), [""])[""].name == "no colour yet"
