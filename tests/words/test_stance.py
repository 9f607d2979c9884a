"""How a piece stands or hangs, in words."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from airweft.records.arrays import points
from airweft.records.shape import Standing
from airweft.words.stance import placing, stance
from tests.shape.shapes import plain_shape

SHAPE = plain_shape(points(np.zeros((1, 3))), width=100.0, depth=100.0, height=100.0, stand="table")
FIRM = Standing(
    stands=True,
    centre=(0.0, 0.0, 50.0),
    base=((-50.0, -50.0), (50.0, -50.0), (0.0, 50.0)),
    tip_degrees=30.0,
    tips_towards=-90.0,
    side="front",
)


def test_what_falls_over_is_not_told_to_stand() -> None:
    falls = replace(FIRM, stands=False, tip_degrees=-4.0)
    for standing in (falls, replace(falls, side="")):
        said = placing(SHAPE, standing, flat=False)
        assert said.startswith("It does not stand by itself") and "wider foot" in said
        assert "Stand it on" not in said
        assert stance(SHAPE, standing)[1] == "not by itself"
    assert "towards the front" in placing(SHAPE, falls, flat=False)
    assert "towards the ." not in placing(SHAPE, replace(falls, side=""), flat=False)


@pytest.mark.parametrize(("degrees", "careful"), [(30.0, False), (7.0, True), (90.0, False)])
def test_what_stands_is_stood_and_what_tips_easily_is_taped(degrees: float, careful: bool) -> None:
    said = placing(SHAPE, replace(FIRM, tip_degrees=degrees), flat=False)
    assert said.startswith("Stand it on a clean, dry and smooth place")
    assert ("tape its foot down" in said) == careful


def test_sheets_and_hanging_pieces_hang() -> None:
    hung = replace(SHAPE, stand="hang")
    assert placing(hung, None, flat=False).startswith("Hang it by its highest joints")
    for shape in (None, SHAPE, hung):
        assert placing(shape, None, flat=True).startswith("Hang it from several joints")


def test_without_a_reckoning_both_ways_are_open() -> None:
    for shape in (None, replace(SHAPE, stand="free")):
        said = placing(shape, None, flat=False)
        assert "Stand it" in said and "hang it" in said
