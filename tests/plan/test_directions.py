"""Directions of strips: against all choices, and against networkx's minimum cut."""

from __future__ import annotations

from itertools import product

import networkx as nx
import numpy as np
import pytest

from airweft.base.progress import Progress
from airweft.plan.capacity import capacities
from airweft.plan.directions import _cost, _edges, directions
from airweft.plan.kinds import prepare
from airweft.plan.strips import Lanes
from airweft.records.design import Blocks, Box, Sheet, Tube
from tests.plan.nets import chance, design, fabric


def lanes_of(form, colouring=None):
    made = design()
    net = fabric(form, colouring)
    return Lanes(prepare(net, capacities(made, {made.size: made.budget}), 4))


def ends_of(lanes, ways):
    return _cost(np.array(ways), *_edges(lanes))


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize(
    "form",
    [
        Sheet(columns=6, rows=4),
        Tube(around=6, rows=4),
        Box(across=2, deep=2, high=2),
        Box(across=4, deep=2, high=2, open=("top",)),
        Blocks(cell=2, layers=(("##", "#."),)),
    ],
)
@pytest.mark.parametrize("colouring", [None, chance(2, 7)])
def test_no_choice_has_fewer_strip_ends(form, colouring, seed):
    lanes = lanes_of(form, colouring)
    cells = len(lanes.ways)
    assert cells <= 16
    least = min(ends_of(lanes, ways) for ways in product((0, 1), repeat=cells))
    assert ends_of(lanes, directions(lanes, seed, Progress())) == least


def test_strip_ends_are_twice_the_strips_that_do_not_close():
    lanes = lanes_of(Box(across=6, deep=4, high=8, open=("top",)))
    ways = directions(lanes, 0, Progress())
    open_strips = [
        strip
        for strip in lanes.strips(ways)
        if lanes.after(strip[-1], ways) is None or lanes.before(strip[0], ways) is None
    ]
    assert ends_of(lanes, ways) == 2 * len(open_strips)


@pytest.mark.parametrize(("columns", "rows"), [(8, 4), (4, 10), (12, 12)])
def test_a_sheet_is_a_minimum_cut(columns, rows):
    """Carried through a sheet the directions contradict nowhere: networkx finds the same cut."""
    lanes = lanes_of(Sheet(columns=columns, rows=rows), chance(2, columns))
    edges, ends = _edges(lanes)
    graph = nx.DiGraph()
    for cell, (upright, level) in enumerate(ends):
        graph.add_edge("upright", cell, capacity=level)
        graph.add_edge(cell, "level", capacity=upright)
    for a, b, at_a, at_b in edges:
        assert at_a == at_b  # all cells of a sheet are turned alike
        graph.add_edge(a, b, capacity=1)
        graph.add_edge(b, a, capacity=1)
    least, _ = nx.minimum_cut(graph, "upright", "level")
    assert ends_of(lanes, directions(lanes, 0, Progress())) == least
