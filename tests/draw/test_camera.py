"""The camera against plain linear algebra."""

from __future__ import annotations

from math import cos, isclose, pi, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airweft.draw.camera import Camera, project, scene_of

angle = st.floats(-7, 7)


def rotation(axis: tuple[float, float, float], by: float) -> np.ndarray:
    """Rotation matrix by Rodrigues' formula."""
    x, y, z = axis
    k = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]], dtype=float)
    return np.eye(3) + sin(by) * k + (1 - cos(by)) * (k @ k)


@given(angle, angle)
def test_axes_are_the_front_view_turned_round_and_then_raised(turn: float, tilt: float) -> None:
    # At the front: right is +x, up is +z, the viewer stands at -y. Walking round to the right is a
    # rotation about z; rising afterwards is a rotation about the camera's own right axis.
    front = np.array([[1.0, 0, 0], [0, 0, 1], [0, -1, 0]])
    walked = front @ rotation((0, 0, 1), turn).T
    right = walked[0]
    raised = walked @ rotation((right[0], right[1], right[2]), -tilt).T
    axes = Camera(turn=turn, tilt=tilt).axes()
    assert np.allclose(axes, raised, atol=5e-12)
    assert np.allclose(axes @ axes.T, np.eye(3), atol=5e-12)
    assert isclose(float(np.linalg.det(axes)), 1.0, abs_tol=5e-12)


@pytest.mark.parametrize(
    ("turn", "tilt", "toward"),
    [
        (0, 0, (0, -1, 0)),
        (pi / 2, 0, (1, 0, 0)),
        (pi, 0, (0, 1, 0)),
        (-pi / 2, 0, (-1, 0, 0)),
        (0, pi / 2, (0, 0, 1)),
        (1.0, -pi / 2, (0, 0, -1)),
    ],
)
def test_where_the_viewer_stands(
    turn: float, tilt: float, toward: tuple[float, float, float]
) -> None:
    assert np.allclose(Camera(turn=turn, tilt=tilt).axes()[2], toward, atol=5e-12)


@given(
    angle,
    angle,
    st.floats(2, 40),
    st.tuples(st.floats(-9, 9), st.floats(-9, 9), st.floats(-9, 9)),
)
def test_perspective_is_the_meeting_of_sight_line_and_picture_plane(
    turn: float, tilt: float, reach: float, point: tuple[float, float, float]
) -> None:
    cloud = np.array([(-10.0, -10, -10), (10, 10, 10)])
    scene = scene_of(cloud)
    camera = Camera(turn=turn, tilt=tilt, reach=reach)
    right, up, toward = camera.axes()
    eye = np.array(scene.centre) + reach * scene.radius * toward
    p = np.array(point)
    t = ((np.array(scene.centre) - eye) @ toward) / ((p - eye) @ toward)
    met = eye + t * (p - eye) - np.array(scene.centre)
    flat, near, scale = project(camera, scene, p[None, :])
    # Depths and places are rounded to a millionth of a millimetre.
    assert np.allclose(flat[0], (met @ right, -(met @ up)), atol=5e-6)
    assert near[0] == pytest.approx((p - np.array(scene.centre)) @ toward, abs=1e-6)
    assert scale[0] == pytest.approx(t, rel=1e-6)


def test_without_perspective_sizes_stay() -> None:
    scene = scene_of(np.array([(0.0, 0, 0), (4, 0, 0)]))
    flat, _, scale = project(
        Camera(turn=0, tilt=0, reach=0), scene, np.array([(4.0, 9, 0), (4, -9, 1)])
    )
    assert flat.tolist() == [[2.0, 0.0], [2.0, -1.0]]
    assert scale.tolist() == [1.0, 1.0]


def test_a_point_behind_the_eye_does_no_harm() -> None:
    scene = scene_of(np.array([(0.0, 0, 0), (1, 0, 0)]))
    flat, _, scale = project(Camera(turn=0, tilt=0, reach=3), scene, np.array([(0.0, -1e6, 5)]))
    assert np.isfinite(flat).all()
    assert scale[0] > 0


def test_nothing_to_look_at() -> None:
    assert scene_of(np.zeros((0, 3))).radius == 1.0
    assert scene_of(np.zeros((1, 3))).radius > 0
