"""Bodies and their outlines, checked against points of the body itself."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from airweft.draw.body import (
    PLUMP,
    PULL,
    Bodies,
    bodies_of,
    diameter_mm,
    draw_order,
    outlines,
)
from airweft.draw.camera import Camera, project, scene_of
from tests.draw.pieces import cube, loose, star


def one_body(half: tuple[float, float, float], waist: float, cap: float) -> Bodies:
    return Bodies(
        centres=np.zeros((1, 3)),
        halves=np.array([half]),
        waists=np.array([waist]),
        caps=np.array([cap]),
        normals=np.zeros((1, 3)),
        scene=scene_of(np.array([(-50.0, -50, -50), (50, 50, 50)])),
    )


def surface(half: np.ndarray, waist: float, cap: float) -> np.ndarray:
    """Many points of the skin: an ellipsoid of revolution pulled apart along its axis."""
    length = float(np.linalg.norm(half))
    u = half / length
    v = np.cross(u, [0.3, 0.5, 0.8])
    v /= np.linalg.norm(v)
    w = np.cross(u, v)
    points = []
    for a in np.linspace(0, pi, 90):
        shift = (length - cap) * np.sign(np.cos(a))
        for b in np.linspace(0, 2 * pi, 120, endpoint=False):
            ring = waist * np.sin(a) * (np.cos(b) * v + np.sin(b) * w)
            points.append((shift + cap * np.cos(a)) * u + ring)
    return np.array(points)


@pytest.mark.parametrize(
    ("half", "waist", "cap"),
    [
        ((12.0, 0.0, 0.0), 8.0, 12.0),
        ((7.0, -6.0, 5.0), 6.0, 10.488088481701515),
        ((0.0, 12.0, 0.0), 8.0, 12.0),  # seen end on: a circle
        ((30.0, 10.0, -8.0), 6.0, 9.0),  # a long one
        ((1.0, 30.0, 2.0), 6.0, 9.0),  # a long one nearly end on
    ],
)
def test_outline_is_the_shadow_of_the_body(
    half: tuple[float, float, float], waist: float, cap: float
) -> None:
    body = one_body(half, waist, cap)
    camera = Camera(turn=0, tilt=0, reach=0)
    seen = outlines(body, camera)
    flat, _, _ = project(camera, body.scene, surface(np.array(half), waist, cap))
    for angle in np.linspace(0, 2 * pi, 37):
        way = np.array([np.cos(angle), np.sin(angle)])
        # The farthest reach of the outline in this direction: of the ellipse, plus the pull.
        u = seen.axes[0]
        n = np.array([-u[1], u[0]])
        ellipse = np.hypot(seen.majors[0] * (way @ u), seen.minors[0] * (way @ n))
        reach = ellipse + abs(way @ seen.straights[0])
        assert reach == pytest.approx(float((flat @ way).max()), rel=2e-3)
    box = seen.extents()[0]
    assert box == pytest.approx(np.abs(flat).max(axis=0), rel=2e-3)


def test_seen_end_on_a_bubble_is_a_disc() -> None:
    seen = outlines(one_body((0.0, 12.0, 0.0), 8.0, 12.0), Camera(turn=0, tilt=0, reach=0))
    assert seen.majors[0] == pytest.approx(8.0)
    assert seen.minors[0] == pytest.approx(8.0)
    assert np.allclose(seen.straights, 0)


def test_fabric_bubbles_are_plump_and_lie_between_their_joints() -> None:
    net = cube()
    body = bodies_of(net)
    chord = net.joints[net.ends[:, 1]] - net.joints[net.ends[:, 0]]
    assert np.allclose(body.halves, chord * PULL / 2)
    assert np.allclose(body.waists, PLUMP * 25.0)
    assert np.allclose(body.centres, net.joints[net.ends].mean(axis=1))


def test_a_thin_balloon_makes_thin_bubbles() -> None:
    net = cube()
    thin = bodies_of(replace(net, sizes=("160",) * net.bubble_count, lengths=net.lengths))
    long = loose([(0, 0, 0), (400, 0, 0)], [(0, 1)], kind="fabric")
    assert thin.waists.max() <= 12.7
    assert bodies_of(long).waists[0] == pytest.approx(25.4)


def test_normals_of_a_closed_fabric_point_outwards() -> None:
    net = cube()
    body = bodies_of(net)
    away = body.centres - np.array(body.scene.centre)
    assert (np.einsum("ij,ij->i", body.normals, away) > 0).all()
    assert np.allclose(np.linalg.norm(body.normals, axis=1), 1)


def test_frame_bubbles_are_slim_and_have_no_inner_side() -> None:
    body = bodies_of(star())
    reach = np.linalg.norm(body.halves, axis=1)
    assert (body.waists < 0.45 * reach).all()
    assert not body.normals.any()


def test_loops_sit_outside_on_their_joint_and_apart_from_each_other() -> None:
    net = loose(
        [(0, 0, 0), (100, 0, 0), (50, 0, 80)],
        [(0, 1), (1, 2), (2, 0), (2, 2), (2, 2)],
        lengths=[10000, 9000, 9000, 3000, 3000],
    )
    body = bodies_of(net)
    centre = np.array(bodies_of(net).scene.centre)
    for loop in (3, 4):
        assert not body.halves[loop].any()
        out = np.linalg.norm(body.centres[loop] - centre)
        assert out > np.linalg.norm(net.joints[2] - centre)
    apart = np.linalg.norm(body.centres[3] - body.centres[4])
    assert apart > 1.5 * body.waists[3]


def test_doubled_bubbles_lie_side_by_side() -> None:
    net = loose([(0, 0, 0), (60, 0, 0)], [(0, 1), (1, 0), (0, 1)])
    body = bodies_of(net)
    assert np.allclose(body.centres.mean(axis=0), (30, 0, 0))
    gaps = np.linalg.norm(np.diff(body.centres, axis=0), axis=1)
    assert (gaps > body.waists[0]).all()


def test_far_bubbles_come_first_and_ties_keep_their_order() -> None:
    net = loose(
        [(0, -50, 0), (10, -50, 0), (0, 50, 0), (10, 50, 0), (0, 50, 20), (10, 50, 20)],
        [(0, 1), (2, 3), (4, 5)],
    )
    seen = outlines(bodies_of(net), Camera(turn=0, tilt=0))
    assert draw_order(seen) == [1, 2, 0]


@pytest.mark.parametrize(
    ("size", "mm"), [("160", 25.4), ("260", 50.8), ("350", 76.2), ("646", 152.4), ("?", 50.8)]
)
def test_diameter_of_a_size(size: str, mm: float) -> None:
    assert diameter_mm(size) == pytest.approx(mm)
