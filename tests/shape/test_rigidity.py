"""Mechanisms and self-stresses against published and computed counts, PyRigi and plain ranks.

Sources: J. C. Maxwell, Phil. Mag. 27 (1864) 294; C. R. Calladine, Int. J. Solids Structures 14
(1978) 161 (m - s = 3j - 6 - b, and the truncated tetrahedron with j = 12, b = 24); Cauchy and Dehn
for closed convex frames of triangles. The counts were reckoned apart from this program, the six
marked also with PyRigi.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as examples
from hypothesis import strategies as st

from airweft.records.design import Box, Tube
from airweft.records.shape import Rigidity
from airweft.shape import rigidity as module
from airweft.shape.predict import predict
from airweft.shape.rigidity import count_frame, rigidity, rigidity_findings
from tests.shape.frames import KNOWN, SOLID_COUNTS, geodesic, solid, torus, tube
from tests.shape.nets import bars, woven
from tests.solids import SOLIDS


def counted(frame: tuple[np.ndarray, np.ndarray]) -> Rigidity:
    spots, ends = frame
    return count_frame(spots, ends, dimensions=spots.shape[1])


@pytest.mark.parametrize("name", KNOWN)
def test_known_frames(name: str) -> None:
    make, joints, count, rank, mechanisms, stresses = KNOWN[name]
    found = counted(make())
    assert (found.joints, found.bars) == (joints, count)
    assert (found.rank, found.mechanisms, found.self_stresses) == (rank, mechanisms, stresses)


@pytest.mark.parametrize("name", SOLID_COUNTS)
def test_the_eighteen_solids(name: str) -> None:
    joints, count, mechanisms = SOLID_COUNTS[name]
    found = counted(solid(name))
    assert (found.joints, found.bars, found.rank) == (joints, count, count)
    assert (found.mechanisms, found.self_stresses) == (mechanisms, 0)
    assert found.count == 3 * joints - 6 - count


@pytest.mark.parametrize(
    ("name", "most"), [("tetrahedron", 6), ("octahedron", 5), ("icosahedron", 3)]
)
def test_geodesic_spheres_are_just_rigid(name: str, most: int) -> None:
    for frequency in range(1, most + 1):
        found = counted(geodesic(name, frequency))
        assert found.bars == 3 * found.joints - 6
        assert (found.mechanisms, found.self_stresses) == (0, 0)


@pytest.mark.parametrize("around", [5, 6, 9])
def test_an_open_tube_of_triangles_has_two_for_each_rim_joint_less_six(around: int) -> None:
    assert counted(tube(around, 4)).mechanisms == 2 * around - 6


@pytest.mark.parametrize(
    "name", ["tetrahedron", "octahedron", "icosahedron", "cube", "cuboctahedron"]
)
def test_pyrigi_agrees(name: str) -> None:
    from pyrigi import Framework, Graph

    found = SOLIDS[name]
    frame = Framework(
        Graph([(int(a), int(b)) for a, b in found.edges]),
        {i: [float(x) for x in p] for i, p in enumerate(found.positions)},
    )
    rank = int(frame.rigidity_matrix_rank(numerical=True, tolerance=1e-9))
    mine = counted(solid(name))
    assert rank == mine.rank
    assert frame.is_inf_rigid(numerical=True, tolerance=1e-9) == (mine.mechanisms == 0)


@examples(max_examples=120, deadline=None)
@given(data=st.data())
def test_mechanisms_less_stresses_is_maxwells_count(data: st.DataObject) -> None:
    dimensions = data.draw(st.sampled_from([2, 3]))
    joints = data.draw(st.integers(1, 9))
    place = st.tuples(*[st.integers(-4, 4)] * dimensions)
    spots = np.array(data.draw(st.lists(place, min_size=joints, max_size=joints)), dtype=float)
    index = st.integers(0, joints - 1)
    ends = data.draw(st.lists(st.tuples(index, index), max_size=25))
    found = count_frame(
        spots.reshape(joints, dimensions),
        np.array(ends, dtype=np.int64).reshape(-1, 2),
        dimensions=dimensions,
    )
    assert found.mechanisms >= 0 and found.self_stresses >= 0
    expected = dimensions * joints - found.rigid_motions - found.bars
    assert found.mechanisms - found.self_stresses == expected == found.count
    assert found.rigid_motions == plain_rigid_motions(spots.reshape(joints, dimensions))


def plain_rigid_motions(spots: np.ndarray) -> int:
    """Rank of shifts and turns written out."""
    joints, d = spots.shape
    moves = [np.tile(axis, (joints, 1)) for axis in np.eye(d)]
    for i in range(d):
        for k in range(i + 1, d):
            turn = np.zeros((d, d))
            turn[i, k], turn[k, i] = 1, -1
            moves.append((spots - spots.mean(axis=0)) @ turn)
    return int(np.linalg.matrix_rank(np.array([m.ravel() for m in moves]), tol=1e-9))


def test_the_quick_way_agrees_with_the_plain_one(monkeypatch: pytest.MonkeyPatch) -> None:
    frames: list[Any] = [torus(8, 5), tube(8, 5), solid("rhombicosidodecahedron")]
    for name in ("double banana", "cube + 12 diagonals", "hexagon wheel", "tube 6 x 4"):
        frames.append(KNOWN[name][0]())
    net = woven(Box(across=4, deep=4, high=4))
    frames.append((np.asarray(net.joints), net.ends))
    plain = [counted(frame) for frame in frames]
    monkeypatch.setattr(module, "_DENSE", 0)
    assert [counted(frame) for frame in frames] == plain


@pytest.mark.parametrize("form", [Box(across=6, deep=6, high=6), Box(across=12, deep=8, high=8)])
def test_closed_fabric_has_joints_less_six_mechanisms_and_no_stress(form: Any) -> None:
    net = woven(form)
    shape = predict(net, diameter_mm=50.8, stand="free")
    for spots in (None, shape.positions):
        found = rigidity(net, spots)
        assert (found.mechanisms, found.self_stresses) == (net.joint_count - 6, 0)
    assert not rigidity_findings(net, found)


def test_open_fabric_has_more_mechanisms() -> None:
    net = woven(Tube(around=12, rows=8))
    found = rigidity(net)
    assert found.self_stresses == 0
    assert found.mechanisms == 3 * net.joint_count - 6 - net.bubble_count


def test_a_frame_is_told_when_it_is_loose() -> None:
    cube = bars(SOLIDS["cube"].positions, SOLIDS["cube"].edges)
    (finding,) = rigidity_findings(cube, rigidity(cube))
    assert finding.code == "frame-loose" and "6 ways" in finding.message and finding.remedy
    firm = bars(SOLIDS["octahedron"].positions, SOLIDS["octahedron"].edges)
    assert not rigidity_findings(firm, rigidity(firm))
