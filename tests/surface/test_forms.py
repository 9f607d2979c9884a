"""Every form of the registry keeps the same contract; a new form joins by one entry in CASES."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from itertools import pairwise
from typing import Any

import networkx as nx
import numpy as np
import pytest

from airweft.base.errors import CannotMake
from airweft.net.fabric import weave
from airweft.records.design import Blocks, Box, Sheet, Tube
from airweft.records.mesh import Mesh
from airweft.surface.build import BUILDERS, build, form_notes
from airweft.surface.limits import cell_edge_mm
from airweft.surface.sound import is_sound, part_of_faces
from tests.surface.round_cases import ROUND

# For each form: designs that close (smallest, ordinary, large), and for each count the value that
# is taken to spoil it (odd, too small).
CASES: dict[type, tuple[list[Any], list[str]]] = {
    Sheet: (
        [Sheet(columns=2, rows=2), Sheet(columns=8, rows=4), Sheet(columns=100, rows=50)],
        ["columns", "rows"],
    ),
    Tube: (
        [Tube(around=4, rows=2), Tube(around=16, rows=6), Tube(around=100, rows=50)],
        ["around", "rows"],
    ),
    Box: (
        [
            Box(across=2, deep=2, high=2),
            Box(across=6, deep=4, high=8, open=("top",)),
            Box(across=6, deep=4, high=2, open=("top", "bottom")),
            Box(across=6, deep=4, high=2, open=("front", "left", "bottom", "top")),
            Box(across=2, deep=4, high=6, open=("front", "left", "bottom", "top", "back")),
            Box(across=30, deep=28, high=26),
        ],
        ["across", "deep", "high"],
    ),
    Blocks: (
        [
            Blocks(cell=2, layers=(("#",),)),
            Blocks(cell=4, layers=(("###", "..#"), ("#..", "...")), open=("top",)),
            Blocks(cell=2, layers=(("###", "#.#", "###"),)),
            Blocks(cell=6, layers=(("#" * 5,) * 4,) * 5),
        ],
        ["cell"],
    ),
}
FORMS = [form for forms, _ in CASES.values() for form in forms]
SPOILT = [(forms[0], key) for forms, keys in CASES.values() for key in keys]
OUTWARD = {
    "bottom": (0, 0, -1),
    "front": (0, -1, 0),
    "right": (1, 0, 0),
    "back": (0, 1, 0),
    "left": (-1, 0, 0),
    "top": (0, 0, 1),
    "sheet": (0, -1, 0),
}
# Rightward as seen from outside. The bottom is seen from below with the front edge up.
RIGHTWARD = {
    "bottom": (1, 0, 0),
    "front": (1, 0, 0),
    "right": (0, 1, 0),
    "back": (-1, 0, 0),
    "left": (0, -1, 0),
    "top": (1, 0, 0),
    "sheet": (1, 0, 0),
}


def _label(form: object) -> str:
    return str(form)[:60]


def test_every_form_has_cases() -> None:
    assert set(CASES) | set(ROUND) == set(BUILDERS)


@pytest.mark.parametrize("form", FORMS, ids=_label)
def test_sound_surface_in_one_part(form: Any) -> None:
    mesh = build(form, bubble=2500)
    assert is_sound(mesh)
    assert set(part_of_faces(mesh)) == {0}
    used = {v for face in mesh.faces for v in face.corners}
    assert used == set(range(len(mesh.vertices)))
    assert not mesh.vertices.flags.writeable
    assert mesh.vertices[:, 2].min() == pytest.approx(0, abs=1e-9)
    assert {face.panel for face in mesh.faces} == set(mesh.panels)


@pytest.mark.parametrize("form", FORMS, ids=_label)
@pytest.mark.parametrize("bubble", [2500, 3333, 1])
def test_bubbles_have_exactly_their_length(form: Any, bubble: int) -> None:
    net = weave(build(form, bubble=bubble), bubble=bubble, size="260")
    apart = np.linalg.norm(net.joints[net.ends[:, 0]] - net.joints[net.ends[:, 1]], axis=1)
    # To a millionth of the length; positions are mm, lengths hundredths.
    np.testing.assert_allclose(apart, bubble / 100, rtol=1e-6)
    assert set(net.lengths.tolist()) == {bubble}


@pytest.mark.parametrize("form", FORMS, ids=_label)
def test_panels_are_charted_from_the_lower_left_seen_from_outside(form: Any) -> None:
    mesh = build(form, bubble=2500)
    edge = cell_edge_mm(2500)
    places = {(f.panel, f.column, f.row) for f in mesh.faces}
    assert len(places) == len(mesh.faces)
    for panel in mesh.panels:
        faces = [f for f in mesh.faces if f.panel == panel]
        place = np.array([(f.column, f.row) for f in faces])
        assert place.min(axis=0).tolist() == [0, 0]
        if panel == "tube":  # has its own test
            continue
        side = panel.split(" ")[0]
        right = np.array(RIGHTWARD[side]) * edge
        up = np.cross(OUTWARD[side], right)
        # Within a panel, a step of a column is one cell to the right and a step of a row one up.
        lower_left = mesh.vertices[[f.corners[0] for f in faces]]
        zero = lower_left - place[:, :1] * right - place[:, 1:] * up
        np.testing.assert_allclose(zero, np.broadcast_to(zero[0], zero.shape), atol=1e-6)
        for corner, way in ((1, right), (2, right + up), (3, up)):
            there = mesh.vertices[[f.corners[corner] for f in faces]]
            np.testing.assert_allclose(
                there - lower_left, np.broadcast_to(way, there.shape), atol=1e-6
            )


@pytest.mark.parametrize("form", FORMS, ids=_label)
def test_faces_come_panel_by_panel_and_row_by_row(form: Any) -> None:
    mesh = build(form, bubble=2500)
    order = [(mesh.panels.index(f.panel), f.row, f.column) for f in mesh.faces]
    assert order == sorted(order)


@pytest.mark.parametrize("form", FORMS, ids=_label)
def test_names_are_unique_and_joints_have_two_or_four_ends(form: Any) -> None:
    net = weave(build(form, bubble=2500), bubble=2500, size="260")
    assert len(set(net.joint_names)) == net.joint_count
    assert len(set(net.bubble_names)) == net.bubble_count
    assert set(map(len, net.ends_at())) <= {2, 4}
    charts = Counter(zip(net.bubble_panels, map(tuple, net.places.tolist()), strict=True))
    assert set(charts.values()) == {1}


@pytest.mark.parametrize("form", FORMS, ids=_label)
def test_the_same_form_gives_the_same_mesh(form: Any) -> None:
    one, other = build(form, bubble=2500), build(form, bubble=2500)
    assert one.faces == other.faces
    assert one.vertices.tobytes() == other.vertices.tobytes()


@pytest.mark.parametrize(("form", "key"), SPOILT)
@pytest.mark.parametrize("count", [-4, 0, 1, 3, 5, 7, 10**9 + 1])
def test_counts_that_cannot_close_are_refused_with_the_nearest(
    form: Any, key: str, count: int
) -> None:
    with pytest.raises(CannotMake) as caught:
        build(replace(form, **{key: count}), bubble=2500)
    (finding,) = caught.value.findings
    assert finding.severity == "cannot"
    assert key in finding.where
    assert f"{key} = {count}" in finding.message
    assert finding.remedy
    if finding.code == "odd-count":
        assert str(count + 1) in finding.remedy
        if count > 4:
            assert str(count - 1) in finding.remedy
    else:
        assert finding.code == "count-too-small"


@pytest.mark.parametrize(("form", "key"), SPOILT)
def test_absurdly_large_forms_are_refused_at_once(form: Any, key: str) -> None:
    with pytest.raises(CannotMake) as caught:
        build(replace(form, **{key: 10**9}), bubble=2500)
    assert [f.code for f in caught.value.findings] == ["too-many-bubbles"]


def test_every_wrong_count_is_told_at_once() -> None:
    with pytest.raises(CannotMake) as caught:
        build(Box(across=5, deep=0, high=7), bubble=0)
    assert [f.where for f in caught.value.findings] == [
        "box, across",
        "box, deep",
        "box, high",
        "box, bubble",
    ]


def _euler(mesh: Mesh) -> int:
    return len(mesh.vertices) - len(mesh.rings()[1]) + len(mesh.faces)


def _volume(mesh: Mesh) -> float:
    """By the divergence theorem; positive if the faces run anticlockwise seen from outside."""
    total = 0.0
    for face in mesh.faces:
        a, *rest = mesh.vertices[list(face.corners)]
        total += sum(float(a @ np.cross(b, c)) for b, c in pairwise(rest)) / 6
    return total


@pytest.mark.parametrize(
    ("form", "expected"),
    [
        # V - E + F: a disc 1, an open tube 0, a ball 2, a ring (genus 1) 0. Euler; Poincare.
        (Sheet(columns=8, rows=4), 1),
        (Tube(around=16, rows=6), 0),
        (Tube(around=4, rows=2), 0),
        (Box(across=6, deep=6, high=6), 2),
        (Box(across=6, deep=4, high=8, open=("top",)), 1),
        (Box(across=6, deep=4, high=8, open=("top", "bottom")), 0),
        (Box(across=6, deep=4, high=8, open=("front", "left", "top")), 1),
        (Blocks(cell=2, layers=(("###", "#.#", "###"),)), 0),
        (Blocks(cell=4, layers=(("#####", "#.#.#", "#####"),)), -2),
        (Blocks(cell=4, layers=(("##", "#."), ("##", "##"))), 2),
    ],
    ids=_label,
)
def test_euler_characteristic(form: Any, expected: int) -> None:
    assert _euler(build(form, bubble=2500)) == expected


def test_volume_of_a_box() -> None:
    mesh = build(Box(across=6, deep=4, high=8), bubble=2500)
    assert _volume(mesh) == pytest.approx(3 * 2 * 4 * cell_edge_mm(2500) ** 3)


def test_all_joints_of_a_tube_lie_on_one_cylinder_and_alternate() -> None:
    for around in (4, 6, 16, 50):
        net = weave(build(Tube(around=around, rows=4), bubble=2500), bubble=2500, size="260")
        radius = np.hypot(net.joints[:, 0], net.joints[:, 1])
        np.testing.assert_allclose(radius, radius[0], rtol=1e-12)
        # As much of a bubble goes around as goes up: sqrt(1/2) of it each.
        assert 2 * radius[0] * math.sin(math.pi / around) == pytest.approx(25 / math.sqrt(2))
        step = np.angle(net.joints[:, 0] + 1j * net.joints[:, 1]) + np.pi / 2
        place = np.rint(step / (2 * np.pi / around)).astype(int)
        np.testing.assert_allclose(step, place * 2 * np.pi / around, atol=1e-9)
        level = np.rint(net.joints[:, 2] / (25 / math.sqrt(2))).astype(int)
        assert set(((place + level) % 2).tolist()) == {1}


def test_tube_columns_run_to_the_right_from_the_front() -> None:
    mesh = build(Tube(around=16, rows=4), bubble=2500)
    first = mesh.vertices[list(mesh.faces[0].corners)]
    assert first[0][0] == pytest.approx(0, abs=1e-9)
    assert first[0][1] < 0  # towards the viewer
    assert first[1][0] > 0  # and on to the right
    middle = first.mean(axis=0)
    assert np.cross(first[1] - first[0], first[3] - first[0]) @ [*middle[:2], 0] > 0


def test_a_long_tube_is_as_round_as_a_circle() -> None:
    net = weave(build(Tube(around=400, rows=2), bubble=2500), bubble=2500, size="260")
    circumference = 2 * math.pi * np.hypot(*net.joints[0, :2])
    assert circumference == pytest.approx(400 * 25 / math.sqrt(2), rel=1e-4)


@pytest.mark.parametrize("columns", [2, 6, 10])
@pytest.mark.parametrize("rows", [2, 8])
def test_sheet_counts(columns: int, rows: int) -> None:
    # Lattice points (x, y) of [0, columns] x [0, rows] with x + y odd; each unit cell one bubble.
    net = weave(build(Sheet(columns=columns, rows=rows), bubble=2500), bubble=2500, size="260")
    lattice = [(x, y) for x in range(columns + 1) for y in range(rows + 1) if (x + y) % 2]
    assert net.joint_count == len(lattice)
    assert net.bubble_count == columns * rows
    assert set(net.joint_names) == {f"sheet ({x}, {y})" for x, y in lattice}


def test_cube_of_common_practice() -> None:
    # Common practice, no source: a cube of six 6x6 panels has 216 bubbles and 108 joints.
    net = weave(build(Box(across=6, deep=6, high=6), bubble=2500), bubble=2500, size="260")
    assert (net.bubble_count, net.joint_count) == (216, 108)


@pytest.mark.parametrize(
    ("open_sides", "code"),
    [
        (("top", "bottom", "front", "back", "left", "right"), "nothing-left"),
        (("front", "back", "left", "right"), "separate-parts"),
        (("top", "bottom", "left", "right"), "separate-parts"),
        (("top", "bottom", "front", "back"), "separate-parts"),
    ],
)
@pytest.mark.parametrize("kind", ["box", "blocks"])
def test_open_sides_that_leave_no_piece(open_sides: Any, code: str, kind: str) -> None:
    form: Any = Box(across=2, deep=2, high=2, open=open_sides)
    if kind == "blocks":
        form = Blocks(cell=2, layers=(("#",),), open=open_sides)
    with pytest.raises(CannotMake) as caught:
        build(form, bubble=2500)
    (finding,) = caught.value.findings
    assert finding.code == code
    assert finding.remedy


def test_every_choice_of_open_sides_agrees_with_the_graph_of_sides() -> None:
    sides = ("top", "bottom", "front", "back", "left", "right")
    touching = nx.complement(nx.Graph([sides[:2], sides[2:4], sides[4:]]))
    for mask in range(64):
        closed = [s for k, s in enumerate(sides) if not mask >> k & 1]
        form = Box(across=4, deep=2, high=6, open=tuple(s for s in sides if s not in closed))
        holds = bool(closed) and nx.is_connected(touching.subgraph(closed))
        if holds:
            mesh = build(form, bubble=2500)
            assert sorted(mesh.panels) == sorted(closed)
        else:
            with pytest.raises(CannotMake):
                build(form, bubble=2500)


def test_counted_forms_without_hollows_need_no_note() -> None:
    for form in FORMS:
        assert form_notes(form, bubble=3000) == ()
