"""Standing: hand-made cases whose tipping angle is plain geometry."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as examples
from hypothesis import strategies as st

from airweft.records.arrays import points
from airweft.records.design import Box, Sheet
from airweft.records.net import Net
from airweft.records.shape import Shape
from airweft.shape.predict import predict
from airweft.shape.standing import hull, rocks_back, stand_on, standing
from tests.shape.nets import bars, woven
from tests.shape.shapes import plain_shape

CUBE = [(x, y, z) for z in (0, 1) for y in (0, 1) for x in (0, 1)]
RING = [(0, 1), (1, 3), (3, 2), (2, 0)]
EDGES = [*RING, *((a + 4, b + 4) for a, b in RING), *((k, k + 4) for k in range(4))]


def as_drawn(net: Net) -> Shape:
    """The net with hair-thin bodies, just as it is drawn."""
    return plain_shape(net.joints, diameters=(0.0,) * net.bubble_count)


def scaled(x: float, y: float, z: float) -> Net:
    net = bars(CUBE, EDGES)
    return replace(net, joints=points(net.joints * (x, y, z)))


def test_a_cube_tips_at_45_degrees() -> None:
    net = scaled(1, 1, 1)
    found = standing(net, as_drawn(net))
    assert found.stands and found.tip_degrees == pytest.approx(45)
    assert found.centre == pytest.approx((12.5, 12.5, 12.5))
    assert len(found.base) == 4 and not found.findings


@pytest.mark.parametrize("high", [2.0, 3.0, 8.0])
def test_a_tower_tips_earlier(high: float) -> None:
    net = scaled(1, 1, high)
    found = standing(net, as_drawn(net))
    # Every edge weighs the same here: the middle of all is the middle of the tower.
    assert found.tip_degrees == pytest.approx(math.degrees(math.atan(1 / high)))
    codes = [f.code for f in found.findings]
    assert codes == (["tips-easily"] if high == 8 else [])


def test_it_tips_over_the_narrow_side() -> None:
    net = scaled(2, 0.5, 1)
    found = standing(net, as_drawn(net))
    assert found.tip_degrees == pytest.approx(math.degrees(math.atan(0.5)))
    assert found.side in {"front", "back"}


@pytest.mark.parametrize(
    ("shift", "side"),
    [
        ((2, 0), "right"),
        ((-2, 0), "left"),
        ((0, 2), "back"),
        ((0, -2), "front"),
        ((0.3, 0), "right"),
    ],
)
def test_leaning_pieces_tip_the_way_they_lean(shift: tuple[float, float], side: str) -> None:
    net = bars(CUBE, EDGES)
    spots = np.array(net.joints)
    spots[4:, :2] += np.array(shift) * 25
    found = standing(net, as_drawn(replace(net, joints=points(spots))))
    assert found.side == side
    # The middle goes half as far as the top: within the foot up to one whole width.
    assert found.stands == (abs(sum(shift)) < 1)
    if not found.stands:
        (finding,) = found.findings
        assert finding.code == "will-not-stand" and side in finding.message and finding.remedy


def test_on_a_point_or_an_edge_nothing_stands() -> None:
    for turned in ([(0, 0, 0), (0, 0, 1)], [(0, 0, 0), (1, 0, 0)]):
        net = bars(turned, [(0, 1)])
        found = standing(net, as_drawn(net))
        assert not found.stands and found.findings[0].code == "no-base"
    none = bars(np.zeros((0, 3)), [])
    assert not standing(none, as_drawn(none)).stands


def test_predicted_boxes_stand_and_a_sheet_on_its_edge_does_not() -> None:
    low = woven(Box(across=6, deep=6, high=4))
    high = woven(Box(across=4, deep=4, high=16))
    one, two = (standing(net, predict(net, diameter_mm=50.8)) for net in (low, high))
    assert one.stands and two.stands and one.tip_degrees > 2 * two.tip_degrees > 0
    sheet = woven(Sheet(columns=8, rows=8))
    assert not standing(sheet, predict(sheet, diameter_mm=50.8)).stands


@examples(max_examples=60, deadline=None)
@given(
    spots=st.lists(st.tuples(st.integers(-5, 5), st.integers(-5, 5)), min_size=1, max_size=20),
    angle=st.floats(0, 6.28),
)
def test_hulls_hold_all_spots_and_turn_left(spots: list[tuple[int, int]], angle: float) -> None:
    given_spots = np.array(spots, dtype=float)
    turn = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    corners = np.array(hull(given_spots @ turn.T)).reshape(-1, 2)
    if len(corners) < 3:
        return
    for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        side = (b[0] - a[0]) * (given_spots @ turn.T - a)[:, 1] - (b[1] - a[1]) * (
            given_spots @ turn.T - a
        )[:, 0]
        assert (side >= -1e-4).all()


def test_a_ball_rolls_and_a_weighted_one_rights_itself() -> None:
    one = np.array([[0.0, 0.0, 10.0]])
    assert rocks_back(one, np.array([10.0]), (0, 0, 10.0))[0] == 0
    assert rocks_back(one, np.array([10.0]), (0, 0, 6.0))[0] == 90
    assert rocks_back(one, np.array([10.0]), (0, 0, 14.0))[0] == 0


def test_rocking_of_a_cube_is_tipping() -> None:
    spots = np.array(CUBE, dtype=float)
    angle, towards = rocks_back(spots, np.zeros(8), (0.5, 0.5, 0.5))
    assert angle == 45 and towards % 90 == 0
    tower = spots * (1, 1, 3)
    assert rocks_back(tower, np.zeros(8), (0.5, 0.5, 1.5))[0] == pytest.approx(18.4, abs=1)
    many = np.repeat(spots, 500, axis=0)
    assert rocks_back(many, np.zeros(4000), (0.5, 0.5, 0.5))[0] == 45


def test_a_box_with_a_rounded_bottom_is_not_called_tippy() -> None:
    net = woven(Box(across=8, deep=6, high=6))
    found = standing(net, predict(net, diameter_mm=50.8))
    assert found.stands and found.tip_degrees > 25 and not found.findings


def test_standing_turns_with_the_piece() -> None:
    base = np.array([(0, 0), (4, 0), (4, 2), (0, 2)], dtype=float)
    still = stand_on(base, (1, 1, 3))
    assert still.side == "left" or still.tip_degrees == pytest.approx(
        math.degrees(math.atan(1 / 3))
    )
    turned = stand_on(base[:, ::-1] * (-1, 1), (-1, 1, 3))
    assert turned.tip_degrees == pytest.approx(still.tip_degrees)
    assert (turned.tips_towards - still.tips_towards) % 90 == pytest.approx(0)
