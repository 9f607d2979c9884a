"""Pictures of how a piece gives: arrows where they belong, legible, the same every time."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from airweft.draw.body import bodies_of, outlines
from airweft.draw.camera import Camera
from airweft.draw.motion import ARROW, MOST_ARROWS, arrow_svg, motion, motion_camera
from airweft.draw.palette import contrast, grey, shades
from airweft.draw.raster import to_png
from airweft.records.arrays import Points, pairs, points, whole
from airweft.records.net import Net
from tests.draw.pieces import PALETTE, PIECES, chest, cube, loose, sheet

LEVEL = Camera(turn=0.0, tilt=0.0, reach=0.0)
Xy = tuple[float, float]


def moving(net: Net, way: tuple[float, float, float], joints: range | list[int]) -> Points:
    """Moves of `joints` by `way`, of all others by nothing."""
    moves = np.zeros((net.joint_count, 3))
    moves[list(joints)] = way
    return points(moves)


def arrows(svg: str) -> list[tuple[Xy, Xy]]:
    """Where each arrow starts and points to, read from the picture: its dot and its tip."""
    found = []
    own = [e for e in ElementTree.fromstring(svg).iter() if e.get("fill") == ARROW]
    for path, dot in zip(own[::2], own[1::2], strict=True):
        corners = re.findall(r"[ML]([-.\d]+) ([-.\d]+)", path.get("d", ""))
        tip = (float(corners[3][0]), float(corners[3][1]))
        found.append(((float(dot.get("cx", "")), float(dot.get("cy", ""))), tip))
    return found


@pytest.mark.parametrize("name", PIECES)
def test_every_piece_gets_arrows_inside_the_picture(name: str) -> None:
    net = PIECES[name]()
    rng = np.random.default_rng(1)
    moves = points(rng.uniform(-0.5, 0.5, (net.joint_count, 3)))
    joints = list(range(net.joint_count))
    camera = motion_camera(net, moves)
    svg = motion(net, PALETTE, camera, moves, joints, length_mm=25, title='It <gives> & "so"')
    root = ElementTree.fromstring(svg)
    wide, tall = (float(root.get(side, "")) for side in ("width", "height"))
    found = arrows(svg)
    assert 2 <= len(found) <= MOST_ARROWS
    for ends in found:
        for x, y in ends:
            assert 0 <= x <= wide and 0 <= y <= tall
    assert next(e.text for e in root.iter() if e.tag.endswith("title")) == 'It <gives> & "so"'
    assert to_png(svg)[:4] == b"\x89PNG"


def test_arrows_point_the_way_the_joints_go() -> None:
    """Seen level from the front, x is to the right and z up (the camera's own definition)."""
    net = sheet()
    joints = list(range(net.joint_count))
    for way, sign in (((1, 0, 0), (1, 0)), ((0, 0, 1), (0, -1)), ((-1, 0, 0), (-1, 0))):
        svg = motion(net, PALETTE, LEVEL, moving(net, way, joints), joints, length_mm=25)
        for (x, y), (u, v) in arrows(svg):
            assert np.sign(round(u - x, 1)) == sign[0] and np.sign(round(v - y, 1)) == sign[1]


def test_lengths_keep_their_proportions() -> None:
    net = loose([(0, 0, 0), (100, 0, 0), (200, 0, 0), (300, 0, 0)], [(0, 1), (1, 2), (2, 3)])
    moves = moving(net, (0, 0, 1), [0])
    half = points(moves + moving(net, (0, 0, 0.5), [3]))
    svg = motion(net, PALETTE, LEVEL, half, [0, 3], length_mm=100)
    (long, short) = sorted((abs(v - y) for (_, y), (_, v) in arrows(svg)), reverse=True)
    assert short == pytest.approx(long / 2, abs=0.02)
    # 100 mm of movement look like the 100 mm between two joints.
    starts = sorted(x for (x, _), _ in arrows(svg))
    assert long == pytest.approx((starts[1] - starts[0]) / 3, rel=0.01)


def test_the_camera_looks_across_the_motion() -> None:
    net = cube()
    for way in np.eye(3):
        moves = moving(net, tuple(way.tolist()), range(net.joint_count))
        right, up, _ = motion_camera(net, moves).axes()
        assert float(np.hypot(right @ way, up @ way)) > 0.6
    still = points(np.zeros((net.joint_count, 3)))
    assert motion_camera(net, still) == motion_camera(net, still)


def test_a_sheet_that_folds_is_seen_neither_flat_nor_edge_on() -> None:
    net = sheet()
    camera = motion_camera(net, moving(net, (0, 1, 0), range(net.joint_count)))
    right, up, _ = camera.axes()
    assert np.hypot(right[1], up[1]) > 0.5
    seen = outlines(bodies_of(net), camera).centres
    wide, tall = (seen.max(axis=0) - seen.min(axis=0)).tolist()
    assert wide > 0.6 * tall


def test_joints_behind_are_left_out_and_those_at_an_open_rim_are_not() -> None:
    closed, front = cube(), Camera(turn=0.0, tilt=0.1)
    back = [j for j in range(closed.joint_count) if closed.joints[j][1] > 140]
    near = [j for j in range(closed.joint_count) if closed.joints[j][1] < 1]
    moves = moving(closed, (1, 0, 0), back + near)
    both = arrows(motion(closed, PALETTE, front, moves, back + near, length_mm=25))
    ahead = arrows(motion(closed, PALETTE, front, moves, near, length_mm=25))
    assert len(both) <= len(ahead) + 4  # at the outline a few of the back do show
    opened = chest()
    top = float(opened.joints[:, 2].max())
    rim = [j for j in range(opened.joint_count) if opened.joints[j][2] > top - 20]
    above = Camera(turn=0.0, tilt=0.8)
    drawn = arrows(
        motion(opened, PALETTE, above, moving(opened, (1, 0, 0), rim), rim, length_mm=25)
    )
    heights = [y for (_, y), _ in drawn]
    assert max(heights) - min(heights) > 150  # the near rim and the far one


def test_arrows_leave_room_and_the_farthest_moving_come_first() -> None:
    net = cube()
    joints = list(range(net.joint_count))
    found = arrows(motion(net, PALETTE, LEVEL, moving(net, (1, 0, 0), joints), joints, length_mm=9))
    for n, (a, _) in enumerate(found):
        for b, _ in found[:n]:
            assert np.hypot(a[0] - b[0], a[1] - b[1]) > 30
    one = arrows(motion(net, PALETTE, LEVEL, moving(net, (1, 0, 0), joints), [40], length_mm=9))
    assert len(one) == 1


def test_arrows_stand_out_from_every_veil_in_grey() -> None:
    """At least 3 to 1, as graphics need it (WCAG 2.1, 1.4.11)."""
    for colour in PALETTE:
        for veil in (shades(colour).veil, shades(colour).veil_inside):
            assert contrast(grey(ARROW), grey(veil)) > 3


def test_same_bytes_every_time() -> None:
    net = chest()
    moves = points(np.random.default_rng(3).uniform(-1, 1, (net.joint_count, 3)))
    joints = list(range(net.joint_count))
    made = {motion(net, PALETTE, LEVEL, moves, joints, length_mm=25) for _ in range(3)}
    assert len(made) == 1


@pytest.mark.parametrize("length", [0.0, -3.0, float("nan"), float("inf"), 1e9])
def test_any_length_gives_a_picture(length: float) -> None:
    net = sheet()
    svg = motion(net, PALETTE, LEVEL, moving(net, (1, 0, 0), [0]), [0], length_mm=length)
    assert "nan" not in svg and "inf" not in svg
    assert len(arrows(svg)) == 1


def test_degenerate_input_gives_a_picture() -> None:
    net = loose([(0, 0, 0)] * 2, [(0, 1)])
    empty = Net(
        joints=points(np.zeros((0, 3))), ends=pairs(np.zeros((0, 2))), lengths=whole([]),
        colours=(), sizes=(), kinds=(), joint_names=(), bubble_names=(), bubble_panels=(),
        places=pairs(np.zeros((0, 2))),
    )  # fmt: skip
    wild = replace(net, joints=points([[np.nan, 0, 0], [np.inf, 1, 1]]))
    for piece in (net, empty, wild):
        count = piece.joint_count
        for moves in (np.zeros((count, 3)), np.full((count, 3), np.nan), np.ones((7, 3))):
            camera = motion_camera(piece, points(moves))
            svg = motion(piece, PALETTE, camera, points(moves), [-1, 0, 1, 99], length_mm=25)
            assert ElementTree.fromstring(svg).tag.endswith("svg")
            assert not arrows(svg)
            assert "nan" not in svg


def test_an_arrow_of_no_length_is_drawn_without_fault() -> None:
    assert "nan" not in arrow_svg(1, 1, 0, 0, 3)
