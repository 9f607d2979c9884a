"""Numbers a maker can count, against common practice and against counting by networkx."""

from __future__ import annotations

from typing import Any

import networkx as nx
import pytest

from airweft.base.errors import CannotMake
from airweft.net.fabric import weave
from airweft.net.facts import corner_rings, net_facts, parts, size_mm
from airweft.net.frame import frame
from airweft.net.seams import add_loops
from airweft.records.design import Blocks, Box, Sheet, Tube
from airweft.records.net import Net
from airweft.surface.build import build
from tests.solids import SOLIDS, solid_mesh


def _net(form: Any, bubble: int = 2500) -> Net:
    return weave(build(form, bubble=bubble), bubble=bubble, size="260")


def test_cube_of_common_practice() -> None:
    # Common practice, no source: six 6x6 panels have 216 bubbles; the net has 108 joints, all with
    # 4 ends, 8 three-bubble cells at the corners and 102 four-bubble cells.
    facts = net_facts(_net(Box(across=6, deep=6, high=6)))
    assert (facts.bubbles, facts.joints) == (216, 108)
    assert facts.ends == {4: 108}
    assert facts.cells == {3: 8, 4: 102}
    assert facts.odd_joints == 0
    assert facts.borders == ()
    assert facts.parts == 1
    assert set(facts.panels.values()) == {36}


@pytest.mark.parametrize(
    ("form", "borders"),
    [
        # A border zigzags: one bubble for each column or row along it.
        (Sheet(columns=8, rows=4), (24 - 4,)),
        (Sheet(columns=2, rows=2), (4,)),
        (Tube(around=16, rows=6), (16, 16)),
        (Tube(around=4, rows=2), (4, 4)),
        (Box(across=6, deep=4, high=8, open=("top",)), (20,)),
        (Box(across=6, deep=4, high=8, open=("top", "bottom")), (20, 20)),
        (Box(across=6, deep=6, high=6), ()),
    ],
)
def test_borders(form: Any, borders: tuple[int, ...]) -> None:
    net = _net(form)
    facts = net_facts(net)
    assert facts.borders == borders
    # Every joint with two ends lies on a border, and every ring or chain is really one.
    closed, chains = corner_rings(net)
    for ring in closed:
        ends = [j for b in ring for j in net.ends[b].tolist()]
        assert all(ends.count(j) == 2 for j in ends)
    tips = [j for chain in chains for j in _tips(net, chain)]
    border = [j for j, around in enumerate(net.ends_at()) if len(around) == 2]
    assert sorted(tips) == sorted(border * 2)
    assert sorted(b for ring in closed + chains for b in ring) == list(range(net.bubble_count))


def _tips(net: Net, chain: list[int]) -> list[int]:
    graph = nx.MultiGraph(net.ends[chain].tolist())
    assert nx.is_connected(graph)
    return [j for j, degree in graph.degree() if degree == 1]


@pytest.mark.parametrize(
    "form", [Box(across=6, deep=4, high=2, open=("top",)), Blocks(cell=4, layers=(("##", "#."),))]
)
def test_cells_close_the_euler_count(form: Any) -> None:
    # joints - bubbles + openings + borders = 2 on anything ball-like.
    facts = net_facts(_net(form))
    holes = sum(facts.cells.values()) + len(facts.borders)
    assert facts.joints - facts.bubbles + holes == 2


@pytest.mark.parametrize("name", list(SOLIDS))
def test_frames(name: str) -> None:
    solid = SOLIDS[name]
    net = frame(solid_mesh(solid, edge_mm=63.5), size="260")
    assert sorted(tuple(sorted(e)) for e in net.ends.tolist()) == sorted(solid.edges)
    assert set(net.lengths.tolist()) == {6350}
    assert set(net.kinds) == {"frame"}
    facts = net_facts(net)
    graph = nx.Graph(list(solid.edges))
    assert facts.odd_joints == sum(d % 2 for _, d in graph.degree())
    assert facts.cells == {}
    assert frame(solid_mesh(solid), size="260", bubble=3000).lengths.tolist() == (
        [3000] * len(solid.edges)
    )


def test_parts() -> None:
    net = _net(Sheet(columns=2, rows=2))
    assert parts(net) == [[0, 1, 2, 3]]


def test_size_is_the_form_and_one_bubble() -> None:
    # A closed box is as large as its cells, and half a bubble more on each side.
    width, depth, height = size_mm(_net(Box(across=6, deep=4, high=8)), diameter_mm=20)
    edge = 25 * 2**0.5
    assert (width, depth, height) == pytest.approx((3 * edge + 20, 2 * edge + 20, 4 * edge + 20))
    # A sheet is as thick as a bubble.
    assert size_mm(_net(Sheet(columns=8, rows=4)), diameter_mm=20)[1] == pytest.approx(20)
    # One upright bubble is as tall as it is long and as wide as it is thick.
    one = frame(solid_mesh(SOLIDS["cube"], edge_mm=100), size="260")
    assert size_mm(one, diameter_mm=20) == pytest.approx((120, 120, 120))


@pytest.mark.parametrize(
    "form",
    [
        Box(across=6, deep=6, high=6),
        Box(across=4, deep=6, high=2, open=("top",)),
        Blocks(cell=2, layers=(("##", "#."), ("#.", ".."))),
    ],
)
def test_extra_bubbles(form: Any) -> None:
    net = _net(form)
    looped = add_loops(net)
    new = range(net.bubble_count, looped.bubble_count)
    # One loop at each joint where bubbles of two panels meet, and nowhere else.
    met = [{net.bubble_panels[b] for b in around} for around in net.ends_at()]
    seam = [j for j, panels in enumerate(met) if len(panels) == 2]
    assert [looped.ends[b].tolist() for b in new] == [[j, j] for j in seam]
    for b, joint in zip(new, seam, strict=True):
        assert looped.kinds[b] == "loop"
        assert looped.bubble_names[b] == f"loop {net.joint_names[joint]}"
        assert looped.bubble_panels[b] == min(met[joint], key=net.panels.index)
        assert looped.lengths[b] == 2500
        assert looped.sizes[b] == "260"
        assert looped.places[b].tolist() == [-1, -1]
    assert max(map(len, looped.ends_at())) <= 8  # M12, a loop counts two
    assert net_facts(looped).kinds == {"fabric": net.bubble_count, "loop": len(seam)}
    assert net_facts(looped).cells == net_facts(net).cells
    assert add_loops(looped).bubble_count == looped.bubble_count
    assert set(add_loops(net, length=2000).lengths.tolist()) == {2000, 2500}


def test_no_seams_no_loops() -> None:
    net = _net(Tube(around=8, rows=4))
    assert add_loops(net) is net


def test_too_crowded_for_loops() -> None:
    with pytest.raises(CannotMake) as caught:
        add_loops(_net(Box(across=2, deep=2, high=2)), most_ends=5)
    (finding,) = caught.value.findings
    assert finding.rule == "M12"
    assert len(finding.joints) == 12
