"""The planner against published theorems and counts.

Sources: E. D. Demaine, M. L. Demaine, V. Hart, "Computational Balloon Twisting: The Theory of
Balloon Polyhedra", CCCG 2008, theorems 1 and 2 (a connected net with o odd joints needs o/2
balloons, one if o = 0); counts of the solids as in H. S. M. Coxeter, Regular Polytopes, and
MathWorld. The length-limited optima were found by exact cover with a constraint solver.
"""

from __future__ import annotations

from dataclasses import replace

import networkx as nx
import pytest

from airweft.check.replay import replay
from airweft.plan.make import make_plan
from airweft.records.plan import Plan
from tests.plan.nets import design, frame, solid
from tests.solids import SOLIDS

FEWEST = {
    "tetrahedron": 2, "cube": 4, "octahedron": 1, "dodecahedron": 10, "icosahedron": 6,
    "truncated tetrahedron": 6, "cuboctahedron": 1, "truncated cube": 12,
    "truncated octahedron": 12, "rhombicuboctahedron": 1, "truncated cuboctahedron": 24,
    "snub cube": 12, "icosidodecahedron": 1, "truncated dodecahedron": 30,
    "truncated icosahedron": 30, "rhombicosidodecahedron": 1, "truncated icosidodecahedron": 60,
    "snub dodecahedron": 30,
}  # fmt: skip

# Balloons for at most 1, 2, 3 … bubbles a balloon, where balloons may be made in any order.
LIMITED = {
    "tetrahedron": (6, 3, 2),
    "cube": (12, 6, 4),
    "octahedron": (12, 6, 4, 3, 3, 2),
    "dodecahedron": (30, 15, 10),
    "icosahedron": (30, 15, 10, 8, 6),
}

# The two smallest nets where counting says 2 and the truth is 3, with 3 bubbles a balloon.
COUNTEREXAMPLES = [
    [(0, 5), (1, 5), (2, 5), (3, 4), (3, 5), (4, 5)],
    [(0, 1), (0, 2), (0, 3), (3, 4), (3, 5), (4, 5)],
]


def planned(net, *, long: bool = False, **options) -> Plan:
    """A plan that the checker has passed; `long` balloons are four times as long as usual."""
    wish = design(**options)
    if long:
        wish = replace(wish, budget=replace(wish.budget, flat=108_000, full=609_600))
    plan = make_plan(wish, net)
    counted = replay(plan)
    assert counted.findings == ()
    assert counted.peak_loose <= plan.hands
    return plan


@pytest.mark.parametrize("name", FEWEST)
def test_every_solid_meets_its_minimum(name):
    """With balloons that are long enough: 120 bubbles of 6 mm for the largest of one balloon."""
    plan = planned(solid(name), long=True)
    assert len(plan.balloons) == FEWEST[name] == plan.bound.balloons
    assert plan.bound.proven


@pytest.mark.parametrize(
    ("name", "limit"), [(n, i + 1) for n in LIMITED for i in range(len(LIMITED[n]))]
)
def test_length_limited_solids(name, limit):
    best = LIMITED[name][limit - 1]
    plan = planned(solid(name), most=limit)
    assert plan.bound.balloons == best
    assert len(plan.balloons) == best
    assert plan.bound.proven


@pytest.mark.parametrize("edges", COUNTEREXAMPLES)
def test_where_counting_falls_short_going_through_all_proves_three(edges):
    plan = planned(frame(edges), most=3)
    assert plan.bound.balloons == 3
    assert len(plan.balloons) == 3
    assert plan.bound.proven
    assert "every way to share them out was tried" in plan.bound.reason


FAMILIES = [
    *((f"prism {n}", nx.circular_ladder_graph(n), n) for n in range(3, 8)),
    *((f"antiprism {n}", nx.circulant_graph(2 * n, [1, 2]), 1) for n in range(3, 8)),
    *((f"wheel {n}", nx.wheel_graph(n + 1), -(-n // 2)) for n in range(3, 9)),
    *((f"complete {n}", nx.complete_graph(n), 1 if n % 2 else n // 2) for n in range(3, 9)),
    ("hypercube 4", nx.hypercube_graph(4), 1),
    ("hypercube 3", nx.hypercube_graph(3), 4),
    *((f"sheet {a}x{b}", nx.grid_2d_graph(a, b), a + b - 4) for a in (3, 4) for b in (3, 5)),
]  # fmt: skip


@pytest.mark.parametrize(("name", "graph", "fewest"), FAMILIES, ids=[f[0] for f in FAMILIES])
def test_closed_form_families(name, graph, fewest):
    plain = nx.convert_node_labels_to_integers(graph, ordering="sorted")
    plan = planned(frame(sorted(plain.edges)))
    assert plan.bound.balloons == fewest
    assert len(plan.balloons) == fewest


@pytest.mark.parametrize("name", FEWEST)
def test_the_trails_are_euler_trails_of_their_own_part(name):
    """Outside twin: every balloon's bubbles are an Euler trail by networkx, and all are used."""
    net = solid(name)
    plan = make_plan(design(), net)
    used: list[int] = []
    for balloon in plan.balloons:
        part = nx.MultiGraph([tuple(net.ends[b]) for b in balloon.bubbles])
        assert nx.has_eulerian_path(part)
        used += balloon.bubbles
    assert sorted(used) == list(range(net.bubble_count))
    assert nx.is_connected(nx.Graph(list(SOLIDS[name].edges)))
