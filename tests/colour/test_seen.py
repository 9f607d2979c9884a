"""Palettes as other eyes see them, held against what is published about such eyes."""

from __future__ import annotations

import pytest

from airweft.colour.seen import EYES, Eyes, alike, hex_seen, seen_by
from airweft.records.design import Colour


def test_grey_stays_grey_for_all_eyes() -> None:
    for eyes in EYES:
        for tone in ("#000000", "#404040", "#808080", "#ffffff"):
            assert hex_seen(tone, eyes) == tone


@pytest.mark.parametrize("eyes", ["red", "green"])
def test_red_and_green_of_one_lightness_are_confused(eyes: Eyes) -> None:
    """The name of the deficiency: red and green; blue and yellow stay apart."""
    pair = (Colour("R", "red", "#b35a00"), Colour("G", "green", "#7f7f00"))
    blue = (Colour("B", "blue", "#0000ff"), Colour("Y", "yellow", "#ffff00"))
    assert not alike(pair, "usual")
    assert alike(pair, eyes)
    assert not alike(blue, eyes)


def test_a_grey_printer_mixes_up_what_is_equally_light() -> None:
    pair = (Colour("R", "red", "#e00000"), Colour("G", "green", "#007800"))
    assert not alike(pair, "usual") and alike(pair, "grey")
    assert all(len(set(c.hex[k : k + 2] for k in (1, 3, 5))) == 1 for c in seen_by(pair, "grey"))
