"""The softest ways: against a plain eigenvalue solver, on frames whose softest way is known."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from airweft.net.seams import add_loops
from airweft.records.arrays import pairs, points, whole
from airweft.records.design import Box, Sheet, Tube
from airweft.records.net import Net
from airweft.records.shape import Shape
from airweft.shape import soft
from airweft.shape.advice import rim_joints
from airweft.shape.predict import predict
from airweft.shape.settings import Settings
from airweft.shape.soft import softest
from tests.shape.nets import bars, woven
from tests.solids import SOLIDS


def shaped(net: Net) -> Shape:
    return predict(net, diameter_mm=50.8, stand="free")


@pytest.mark.parametrize("form", [Box(across=6, deep=4, high=4), Tube(around=8, rows=8)])
def test_as_a_plain_solver_finds(form: Any) -> None:
    net = woven(form)
    shape = shaped(net)
    seen: list[np.ndarray] = []
    keep = soft._stiffness

    def noted(*what: Any) -> Any:
        matrix = keep(*what)
        seen.append(matrix.toarray())
        return matrix

    soft._stiffness = noted  # type: ignore[assignment]
    try:
        found = softest(net, shape, count=4)
    finally:
        soft._stiffness = keep
    (stiffness,) = seen
    assert np.allclose(stiffness, stiffness.T)
    barred = soft._whole_moves(shape.positions / 25)
    assert barred.shape[1] == 6
    square = np.eye(len(stiffness)) - barred @ barred.T
    values = np.linalg.eigvalsh(square @ stiffness @ square)
    assert np.abs(values[:6]).max() < 1e-9
    assert [m.stiffness for m in found.modes] == pytest.approx(values[6:10].tolist(), rel=1e-6)


def test_moves_are_no_motions_of_the_whole() -> None:
    net = woven(Box(across=6, deep=6, high=6, open=("top",)))
    shape = shaped(net)
    for mode in softest(net, shape).modes:
        moves, about = mode.moves, shape.positions - shape.positions.mean(axis=0)
        assert np.sqrt((moves**2).sum(axis=1)).max() == pytest.approx(1)
        assert np.abs(moves.sum(axis=0)).max() < 1e-6
        assert np.abs(np.cross(about, moves).sum(axis=0)).max() < 1e-4
        assert mode.joints and mode.give > 0


def test_an_open_box_is_softest_at_its_rim_and_softer_than_a_closed_one() -> None:
    closed, opened = (woven(Box(across=6, deep=6, high=6, open=o)) for o in ((), ("top",)))
    firm, loose = softest(closed, shaped(closed)), softest(opened, shaped(opened))
    assert loose.modes[0].stiffness < firm.modes[0].stiffness / 2
    rim = set(rim_joints(opened).tolist())
    assert len(rim) == 12
    assert rim & set(loose.modes[0].joints)
    assert not firm.findings


def test_a_cube_frame_is_softer_than_with_braces() -> None:
    cube = SOLIDS["cube"]
    even = [i for i, p in enumerate(cube.positions) if (p > 0).sum() % 2 == 0]
    braces = [(a, b) for a in even for b in even if a < b]
    plain = bars(cube.positions, cube.edges)
    braced = bars(cube.positions, [*cube.edges, *braces])
    lengths = np.array(braced.lengths)
    lengths[12:] = round(2500 * 2**0.5)
    braced = replace(braced, lengths=lengths)
    one, two = softest(plain, shaped(plain)), softest(braced, shaped(braced))
    assert two.modes[0].stiffness > 2 * one.modes[0].stiffness


def test_a_wide_fabric_gets_advice() -> None:
    net = woven(Box(across=18, deep=18, high=6))
    found = softest(net, shaped(net))
    (finding,) = found.findings
    assert finding.code == "soft-seams" and "extra bubbles" in finding.remedy
    assert "panel" in finding.where and finding.joints
    sheet = woven(Sheet(columns=10, rows=10))
    (finding,) = softest(sheet, shaped(sheet)).findings
    assert finding.code == "soft-sheet" and finding.remedy
    high = woven(Box(across=6, deep=6, high=24, open=("top",)))
    (finding,) = softest(high, shaped(high)).findings
    assert finding.code == "soft-opening" and "opening" in finding.remedy


def test_loops_hanging_bubbles_and_other_parts_are_left_out() -> None:
    plain = woven(Box(across=4, deep=4, high=4))
    looped = add_loops(plain)
    one, two = softest(plain, shaped(plain)), softest(looped, shaped(looped))
    assert two.modes[0].stiffness == pytest.approx(one.modes[0].stiffness, rel=0.2)
    triangle = [(0, 0, 0), (1, 0, 0), (0.5, 0.8, 0)]
    away = bars(
        [*SOLIDS["octahedron"].positions, *(np.array(triangle) + 6)],
        [*SOLIDS["octahedron"].edges, (6, 7), (7, 8), (6, 8)],
    )
    mode = softest(away, shaped(away)).modes[0]
    assert not mode.moves[6:].any() and mode.stiffness > 1e-3


@pytest.mark.parametrize(
    "net",
    [
        bars(np.zeros((0, 3)), []),
        bars([(0, 0, 0)], [(0, 0)], kind="loop"),
        bars([(0, 0, 0), (1, 0, 0)], [(0, 1)]),
        bars([(k, 0, 0) for k in range(6)], [(k, k + 1) for k in range(5)]),
        bars([(0, 0, 0), (1, 0, 0), (0, 1, 0)], [(0, 1), (1, 2), (2, 0)]),
    ],
    ids=["nothing", "loop", "bubble", "line", "triangle"],
)
def test_hardly_anything_does_no_harm(net: Net) -> None:
    found = softest(net, predict(net, diameter_mm=20, settings=Settings(steps=100)))
    for mode in found.modes:
        assert np.isfinite(mode.moves).all() and np.isfinite(mode.stiffness)


def test_a_limp_stalk_is_told_apart_from_the_fabric() -> None:
    net = woven(Box(across=6, deep=6, high=6))
    top = int(np.argmax(net.joints[:, 2]))
    count = net.joint_count
    stalk = np.array([net.joints[top] + [0, 0, 30.0 * (k + 1)] for k in range(4)])
    ends = [(top, count), *((count + k, count + k + 1) for k in range(3))]
    grown = replace(
        net,
        joints=points(np.concatenate([net.joints, stalk])),
        ends=pairs([*net.ends.tolist(), *ends]),
        lengths=whole([*net.lengths.tolist(), *[3000] * 4]),
        colours=net.colours + ("",) * 4,
        sizes=net.sizes + ("260",) * 4,
        kinds=(*net.kinds, "frame", "frame", "frame", "free"),
        joint_names=net.joint_names + tuple(f"mast joint {k + 1}" for k in range(4)),
        bubble_names=net.bubble_names + tuple(f"mast {k + 1}" for k in range(4)),
        bubble_panels=net.bubble_panels + ("mast",) * 4,
        places=pairs([*net.places.tolist(), *[(-1, -1)] * 4]),
    )
    found = softest(grown, shaped(grown))
    plain = softest(net, shaped(net))
    assert [f.code for f in found.findings] == ["soft-stalk"]
    assert found.findings[0].where == "part mast" and "the top" in found.findings[0].message
    # The ways shown are those of the fabric.
    assert found.modes[0].stiffness == pytest.approx(plain.modes[0].stiffness, rel=0.3)
    assert not found.modes[0].moves[count:].any()
