"""The shipped solids against their independent twin, published tables and the planner.

The twin (tests/solids.py) has coordinates, the shipped solids mirrors; both are held against the
closed forms of tests/net/test_solids.py. Fewest balloons: E. D. Demaine, M. L. Demaine, V. Hart,
"Computational Balloon Twisting", CCCG 2008: half the odd joints, or 1.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from airweft.balloon.sizes import SIZES
from airweft.colour.paint import paint
from airweft.design.read import design_from_text
from airweft.net.fabric import weave
from airweft.net.frame import frame
from airweft.plan.make import make_plan
from airweft.records.design import Colour, Pattern, Solid
from airweft.surface.build import build
from airweft.surface.solids import NAMES, divided, shape_of
from tests.solids import SOLIDS

ANTIPRISM_R = {3: 0.707107, 4: 0.822664, 5: 0.951057, 6: 1.087664, 8: 1.375549}
PRISM_R = {3: 0.763763, 4: 0.866025, 5: 0.986715, 6: 1.118034, 8: 1.398966}


def _apart(spots: np.ndarray) -> np.ndarray:
    return np.sort(np.linalg.norm(spots[:, None] - spots[None], axis=2).ravel())


def test_all_eighteen_are_shipped() -> None:
    assert list(NAMES) == list(SOLIDS)


@pytest.mark.parametrize("name", NAMES)
def test_shipped_solids_are_congruent_with_their_twins(name: str) -> None:
    shape, twin = shape_of(name), SOLIDS[name]
    assert shape is not None
    # All distances between corners, sorted, are those of the twin; so are the sizes of faces.
    np.testing.assert_allclose(_apart(shape.corners), _apart(twin.positions), atol=1e-9)
    assert sorted(map(len, shape.faces)) == sorted(map(len, twin.faces))
    for ring in shape.faces:
        spots = shape.corners[list(ring)]
        side = np.roll(spots, -1, axis=0) - spots
        np.testing.assert_allclose(np.linalg.norm(side, axis=1), 1, atol=1e-9)
        turns = np.cross(side, np.roll(side, -1, axis=0))
        np.testing.assert_allclose(turns, np.broadcast_to(turns[0], turns.shape), atol=1e-9)
        assert turns[0] @ spots.mean(axis=0) > 0


@pytest.mark.parametrize("name", NAMES)
def test_solids_stand_on_a_largest_face(name: str) -> None:
    shape = shape_of(name)
    assert shape is not None
    low = shape.corners[:, 2].min()
    on_ground = np.flatnonzero(shape.corners[:, 2] < low + 1e-9)
    assert len(on_ground) == max(map(len, shape.faces))


@pytest.mark.parametrize(("kind", "table"), [("prism", PRISM_R), ("antiprism", ANTIPRISM_R)])
def test_prisms_have_the_known_radius(kind: str, table: dict[int, float]) -> None:
    # From R^2 = (1 + 1 / sin^2(pi/n)) / 4 and R^2 = (4 + 1 / sin^2(pi/2n)) / 16, in decimals.
    for count, radius in table.items():
        shape = shape_of(f"{kind} {count}")
        assert shape is not None
        np.testing.assert_allclose(np.linalg.norm(shape.corners, axis=1), radius, atol=1e-6)
        assert len(shape.corners) == 2 * count
        assert len(shape.faces) == (count + 2 if kind == "prism" else 2 * count + 2)


@pytest.mark.parametrize("name", ["", "Cube", "prism", "prism 2", "prism 61", "antiprism 03x"])
def test_other_names_are_none(name: str) -> None:
    assert shape_of(name) is None


@pytest.mark.parametrize(
    ("name", "v", "e"), [("tetrahedron", 2, 6), ("octahedron", 4, 12), ("icosahedron", 10, 30)]
)
@pytest.mark.parametrize("times", [1, 2, 3, 5])
def test_geodesic_counts(name: str, v: int, e: int, times: int) -> None:
    """V = v n^2 + 2, E = e n^2, F = 2 E / 3 (class I); every corner on the sphere."""
    shape = shape_of(name)
    assert shape is not None
    fine = divided(shape, times)
    radius = np.linalg.norm(fine.corners, axis=1)
    np.testing.assert_allclose(radius, radius[0], rtol=1e-12)
    edges = {frozenset((ring[k - 1], ring[k])) for ring in fine.faces for k in range(3)}
    assert len(fine.corners) == v * times**2 + 2
    assert len(edges) == e * times**2
    assert len(fine.faces) == e * times**2 * 2 // 3


_DESIGN = design_from_text("""
airweft = 1
name = "Solid"
units = "cm"
[balloon]
size = "260"
bubble = 2.5
[form]
kind = "solid"
name = "cube"
[colours]
R = "red"
[pattern]
kind = "plain"
colour = "R"
""")


def _balloons(form: Solid) -> tuple[int, int]:
    """Balloons of the plan and odd joints, with balloons so long that length does not bind."""
    mesh = build(form, bubble=2500)
    if form.build == "frame":
        net = frame(mesh, size="260")
    else:
        net = weave(mesh, bubble=2500, size="260")
    net = paint(net, Pattern(kind="plain", repeat="R"), (Colour("R", "red", "#ff0000"),))
    shipped = SIZES["260"].budget
    budget = replace(shipped, flat=20 * shipped.flat, full=20 * shipped.full)
    design = replace(_DESIGN, budget=budget)
    plan = make_plan(design, net, style="rounds")
    odd = sum(len(ends) % 2 for ends in net.ends_at())
    return len(plan.balloons), odd


@pytest.mark.parametrize("times", [1, 2, 3])
@pytest.mark.parametrize(
    ("name", "fewest"), [("icosahedron", 6), ("octahedron", 1), ("tetrahedron", 2)]
)
def test_geodesic_frames_need_as_many_balloons_whatever_the_frequency(
    name: str, fewest: int, times: int
) -> None:
    balloons, odd = _balloons(Solid(name=name, build="frame", divide=times))
    assert max(1, odd // 2) == fewest
    assert balloons == fewest


@pytest.mark.parametrize("count", [3, 4, 5, 6, 8, 9])
def test_prisms_need_n_balloons_and_antiprisms_one(count: int) -> None:
    assert _balloons(Solid(name=f"prism {count}", build="frame")) == (count, 2 * count)
    assert _balloons(Solid(name=f"antiprism {count}", build="frame")) == (1, 0)


@pytest.mark.parametrize("name", ["tetrahedron", "cube", "cuboctahedron", "snub cube"])
def test_fabric_on_a_solid_is_one_trail(name: str) -> None:
    """All joints of a medial graph have four ends, so that one balloon would do (Euler)."""
    assert _balloons(Solid(name=name, build="fabric")) == (1, 0)


@pytest.mark.parametrize("name", NAMES)
def test_fabric_bubbles_of_the_eighteen_are_equally_long(name: str) -> None:
    net = weave(build(Solid(name=name), bubble=2500), bubble=2500, size="260")
    apart = np.linalg.norm(net.joints[net.ends[:, 0]] - net.joints[net.ends[:, 1]], axis=1)
    np.testing.assert_allclose(apart, 25, rtol=0.005)


def test_medial_of_the_cube_is_the_cuboctahedron() -> None:
    net = weave(build(Solid(name="cube"), bubble=2500), bubble=2500, size="260")
    np.testing.assert_allclose(
        _apart(net.joints), _apart(SOLIDS["cuboctahedron"].positions * 25), atol=1e-6
    )
    assert math.isclose(float(np.ptp(net.joints[:, 2])), 25 * math.sqrt(2), rel_tol=1e-9)
