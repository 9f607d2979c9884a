"""Weight and air: plain arithmetic of tubes and cylinders."""

from __future__ import annotations

import math

import pytest

from airweft.balloon.sizes import SIZES
from airweft.records.design import Box
from airweft.shape.weight import balloon_grams, weigh
from tests.shape.nets import woven

BUDGETS = {"260": SIZES["260"].budget}


def test_a_balloon_is_a_tube_of_rubber() -> None:
    # Natural rubber: specific gravity 0.93 (Thermopedia).
    volume_cm3 = math.pi * 5.08 / 4.6 * 27 * 0.022
    assert balloon_grams(50.8, 270) == pytest.approx(0.93 * volume_cm3)
    assert balloon_grams(-1, 270) == 0 == balloon_grams(50.8, -1)


def test_bubbles_take_their_share() -> None:
    net = woven(Box(across=6, deep=6, high=6))
    found = weigh(net, BUDGETS, {"260": 50.8}, balloons=["260"] * 18)
    # 216 bubbles of 25 mm and 14 mm for the twist, of bodies of 1524 mm.
    assert found.latex_g == pytest.approx(216 * 39 / 1524 * balloon_grams(50.8, 270))
    assert found.air_l == pytest.approx(216 * math.pi / 4 * 50.8**2 * 25 / 1e6)
    assert found.balloons_g == pytest.approx(18 * balloon_grams(50.8, 270))
    assert found.latex_g < found.balloons_g
    assert found.strokes == math.ceil(found.air_l / 0.3)


def test_unknown_sizes_are_left_out() -> None:
    net = woven(Box(across=4, deep=4, high=4))
    found = weigh(net, {}, {}, balloons=["260"])
    assert (found.latex_g, found.air_l, found.balloons_g) == (0, 0, 0)
