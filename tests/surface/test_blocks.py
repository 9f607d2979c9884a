"""Blocks against brute force: exposed faces counted one by one, touching cubes pair by pair."""

from __future__ import annotations

from collections import Counter
from itertools import combinations, pairwise, product

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airweft.base.errors import CannotMake
from airweft.net.fabric import weave
from airweft.net.facts import net_facts
from airweft.records.design import Blocks, Box
from airweft.surface.build import build, form_notes
from airweft.surface.limits import cell_edge_mm
from airweft.surface.sound import is_sound, part_of_faces

STEPS = ((1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1))
Layers = tuple[tuple[str, ...], ...]


def _findings(layers: Layers, *, cell: int = 2, open_sides: tuple[str, ...] = ()) -> list:
    with pytest.raises(CannotMake) as caught:
        build(Blocks(cell=cell, layers=layers, open=open_sides), bubble=2500)  # type: ignore
    return list(caught.value.findings)


def _cubes(layers: Layers) -> set[tuple[int, int, int]]:
    """x right, y away, z up; the first line of a layer is the back one."""
    return {
        (x, len(layer) - 1 - line, z)
        for z, layer in enumerate(layers)
        for line, text in enumerate(layer)
        for x, mark in enumerate(text)
        if mark == "#"
    }


def _filled(cubes: set[tuple[int, int, int]]) -> set[tuple[int, int, int]]:
    """With every place that cannot be reached from outside, by networkx on the empty places."""
    room = list(product(range(-1, 5), repeat=3))
    empty = nx.Graph()
    empty.add_nodes_from(p for p in room if p not in cubes)
    for p in list(empty):
        for step in STEPS:
            q = tuple(a + b for a, b in zip(p, step, strict=True))
            if q in empty:
                empty.add_edge(p, q)
    outside = nx.node_connected_component(empty, (-1, -1, -1))
    return {p for p in room if p not in outside}


def _can_close(cubes: set[tuple[int, int, int]]) -> bool:
    """No two cubes that share an edge or corner without a way between them through shared faces
    of the cubes around that edge or corner; and all in one part."""
    graph = nx.Graph()
    graph.add_nodes_from(cubes)
    for c in cubes:
        for step in STEPS:
            d = tuple(a + b for a, b in zip(c, step, strict=True))
            if d in cubes:
                graph.add_edge(c, d)
    if not nx.is_connected(graph):
        return False
    for c, d in combinations(sorted(cubes), 2):
        if max(abs(a - b) for a, b in zip(c, d, strict=True)) != 1:
            continue
        between = product(*({a, b} for a, b in zip(c, d, strict=True)))
        near = graph.subgraph(p for p in between if p in cubes)
        if not nx.has_path(near, c, d):
            return False
    return True


@given(
    st.lists(
        st.lists(st.text("#.", min_size=3, max_size=3), min_size=3, max_size=3),
        min_size=1,
        max_size=3,
    ),
    st.sampled_from([2, 4]),
)
@settings(max_examples=150, deadline=None)
def test_random_drawings_against_brute_force(drawing: list[list[str]], cell: int) -> None:
    layers = tuple(tuple(layer) for layer in drawing)
    cubes = _cubes(layers)
    form = Blocks(cell=cell, layers=layers)
    if not cubes or not _can_close(_filled(cubes)):
        with pytest.raises(CannotMake) as caught:
            build(form, bubble=2500)
        assert all(f.remedy and f.where.startswith("blocks") for f in caught.value.findings)
        return
    filled = _filled(cubes)
    mesh = build(form, bubble=2500)
    exposed = Counter[tuple[int, int, int]]()
    for c in filled:
        for step in STEPS:
            if tuple(a + b for a, b in zip(c, step, strict=True)) not in filled:
                exposed[step] += 1
    assert len(mesh.faces) == sum(exposed.values()) * (cell // 2) ** 2
    assert is_sound(mesh)
    assert set(part_of_faces(mesh)) == {0}
    # The skin encloses just the cubes (divergence theorem), so it looks outward everywhere.
    volume = 0.0
    for face in mesh.faces:
        a, *rest = mesh.vertices[list(face.corners)]
        volume += sum(float(a @ np.cross(b, c)) for b, c in pairwise(rest)) / 6
    assert volume == pytest.approx(len(filled) * (cell // 2 * cell_edge_mm(2500)) ** 3)
    # A closed orientable surface in one part: V - E + F = 2 - 2 * (number of handles).
    euler = len(mesh.vertices) - len(mesh.rings()[1]) + len(mesh.faces)
    assert euler <= 2
    assert euler % 2 == 0
    net = weave(mesh, bubble=2500, size="260")
    assert set(map(len, net.ends_at())) == {4}
    # Angle defects of a closed surface sum to 360 degrees times V - E + F (Descartes;
    # Gauss-Bonnet). All angles are square, so corners of k cells weigh 4 - k quarter turns.
    facts = net_facts(net)
    around_corners = Counter(facts.cells)
    around_corners[4] -= len(mesh.faces)
    assert sum((4 - k) * count for k, count in around_corners.items()) == 4 * euler
    assert bool(form_notes(form, bubble=2500)) == (filled != cubes)


@pytest.mark.parametrize(
    ("layers", "places"),
    [
        ((("#.", ".#"),), ("layer 1, line 2, column 2", "layer 1, line 1, column 1")),
        ((("#.",), (".#",)), ("layer 1, line 1, column 1", "layer 2, line 1, column 2")),
        ((("#", "."), (".", "#")), ("layer 1, line 1, column 1", "layer 2, line 2, column 1")),
        (
            (("#.", ".."), ("..", ".#")),
            ("layer 1, line 1, column 1", "layer 2, line 2, column 2"),
        ),
        # Cubes joined elsewhere still must not touch along an edge.
        ((("##", "##"), ("#.", ".#")), ("layer 2, line 2, column 2", "layer 2, line 1, column 1")),
    ],
)
def test_touching_only_is_refused_with_both_places(layers: Layers, places: tuple[str, str]) -> None:
    (finding,) = _findings(layers)
    assert finding.code == "touching-only"
    for place in places:
        assert place in finding.message
    assert finding.remedy


def test_separate_parts_name_both_places() -> None:
    (finding,) = _findings((("#.#",),))
    assert finding.code == "separate-parts"
    assert "layer 1, line 1, column 1" in finding.message
    assert "layer 1, line 1, column 3" in finding.message


def test_all_problems_of_drawing_and_count_come_together() -> None:
    findings = _findings((("#x", "##"), ("#",)), cell=3)
    assert [f.code for f in findings] == [
        "odd-count",
        "unknown-mark",
        "uneven-layers",
        "uneven-layers",
    ]
    assert findings[1].where == "blocks, layer 1, line 1, column 2"


@pytest.mark.parametrize("layers", [(), ((),), (("..",),), (("",),)])
def test_no_cubes(layers: Layers) -> None:
    assert [f.code for f in _findings(layers)] == ["no-cubes"]


def test_long_lists_of_problems_are_cut_with_their_number() -> None:
    findings = _findings((("#.#." * 6, ".#.#" * 6),))
    assert len(findings) == 13
    assert "more places" in findings[-1].message


def test_a_huge_drawing_is_refused_before_it_is_read() -> None:
    assert _findings((("#" * 1000,) * 200,))[0].code == "too-many-cubes"


def test_a_closed_hollow_is_left_out_with_a_note() -> None:
    full, ring = ("###", "###", "###"), ("###", "#.#", "###")
    hollow = Blocks(cell=2, layers=(full, ring, full))
    solid = Blocks(cell=2, layers=(full, full, full))
    assert build(hollow, bubble=2500).faces == build(solid, bubble=2500).faces
    (note,) = form_notes(hollow, bubble=2500)
    assert note.severity == "note"
    assert "layer 2, line 2, column 2" in note.where


def test_panels_are_counted_from_outermost_then_lowest_then_leftmost() -> None:
    # Seen from the front: an arch. Two feet, and a lintel set back by one.
    layers = (("###", "#.#"), ("###", "..."))
    mesh = build(Blocks(cell=2, layers=layers), bubble=2500)
    edge = cell_edge_mm(2500)
    corner = {
        (f.panel): mesh.vertices[f.corners[0]] / edge
        for f in reversed(mesh.faces)  # the first face of a panel stays
    }
    assert [p for p in mesh.panels if p.startswith("front")] == ["front", "front 2", "front 3"]
    np.testing.assert_allclose(corner["front"], [-1.5, -1, 0])
    np.testing.assert_allclose(corner["front 2"], [0.5, -1, 0])
    # The set-back panel is T-shaped: its bounding rectangle starts at the left, its cells do not.
    first = next(f for f in mesh.faces if f.panel == "front 3")
    assert (first.column, first.row) == (1, 0)
    assert sum(f.panel == "front 3" for f in mesh.faces) == 4


def test_an_open_side_takes_only_the_outermost_plane_and_keeps_the_names() -> None:
    stairs: Layers = (("##",), ("#.",))
    closed = build(Blocks(cell=2, layers=stairs), bubble=2500)
    opened = build(Blocks(cell=2, layers=stairs, open=("top",)), bubble=2500)
    assert set(closed.panels) - set(opened.panels) == {"top"}
    assert "top 2" in opened.panels


def test_opening_that_cuts_the_skin_is_refused() -> None:
    # Two towers on a plate one cube high: without front, back and both ends only lids are left.
    findings = _findings((("###",),), open_sides=("front", "back", "left", "right"))
    assert [f.code for f in findings] == ["separate-parts"]


def test_one_cube_is_the_box() -> None:
    box = build(Box(across=6, deep=6, high=6), bubble=2500)
    blocks = build(Blocks(cell=6, layers=(("#",),)), bubble=2500)
    assert box.faces == blocks.faces
    np.testing.assert_allclose(box.vertices, blocks.vertices)
    assert (box.panels, box.origins, box.around) == (blocks.panels, blocks.origins, blocks.around)
