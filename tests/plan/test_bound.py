"""The lower bound against brute force, and its arguments one by one."""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import networkx as nx
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from airweft.balloon.sizes import SIZES
from airweft.check.replay import replay
from airweft.plan.bound import bound_parts
from airweft.plan.capacity import Capacity
from airweft.plan.kinds import prepare
from airweft.plan.make import make_plan
from airweft.records.design import Sheet
from tests.plan.nets import design, fabric, frame

BUDGET = SIZES["260"].budget


def fewest_by_trying(edges: list[tuple[int, int]], most: int) -> int:
    """Fewest trails of at most `most` edges that cover a small graph, by trying everything."""

    @cache
    def more(left: frozenset[int], at: int, room: int) -> int:
        if not left:
            return 0
        best = len(left) + 1
        for i in left:
            for u, v in (edges[i], edges[i][::-1]):
                if room and u == at:
                    best = min(best, more(left - {i}, v, room - 1))
                else:
                    best = min(best, 1 + more(left - {i}, v, most - 1))
        return best

    return more(frozenset(range(len(edges))), -1, 0)


def two_connected(edges: list[tuple[int, int]]) -> bool:
    graph = nx.Graph(edges)
    return graph.number_of_nodes() > 2 and nx.is_connected(graph) and not nx.has_bridges(graph)


SMALL = st.lists(
    st.tuples(st.integers(0, 4), st.integers(0, 4)).filter(lambda e: e[0] < e[1]),
    min_size=3,
    max_size=7,
    unique=True,
).filter(two_connected)


@settings(max_examples=60, deadline=None, derandomize=True, phases=[Phase.generate])
@given(edges=SMALL, most=st.integers(1, 7))
def test_bound_optimum_and_plan_stand_in_this_order(edges, most):
    names = sorted({j for edge in edges for j in edge})
    small = [(names.index(a), names.index(b)) for a, b in edges]
    plan = make_plan(design(most=most), frame(small))
    best = fewest_by_trying(small, most)
    assert plan.bound.balloons <= best <= len(plan.balloons)
    assert plan.bound.proven == (len(plan.balloons) == plan.bound.balloons)
    assert replay(plan).findings == ()


def test_each_argument_can_bind():
    cap = Capacity(BUDGET, most_bubbles=None, fixed_tail=None, step=500)
    limit = Capacity(BUDGET, most_bubbles=3, fixed_tail=None, step=500)
    ring = [(i, (i + 1) % 8) for i in range(8)]

    def binds(net, capacity):
        (part,) = bound_parts(prepare(net, {"260": capacity}, 4))
        return part.balloons, part.binds

    assert binds(frame(ring), limit) == (3, "count")
    assert binds(frame(ring, length=60_000), cap) == (4, "count")
    assert binds(frame(ring, length=100_000), cap) == (8, "count")
    assert binds(frame([*ring, (0, 4), (1, 5), (2, 6), (3, 7)]), cap) == (4, "ends")
    assert binds(frame(ring), cap) == (1, "one")


@given(st.integers(1, 40), st.integers(500, 9000), st.sampled_from([None, 17_780, 9_000]))
def test_the_table_and_the_formula_agree(count, length, tail):
    capacity = Capacity(BUDGET, most_bubbles=None, fixed_tail=tail, step=500)
    fits = BUDGET.tail_for(count, count * length, step=500, fixed=tail) is not None
    assert capacity.fits(count, count * length) == fits


def test_parts_of_one_colour_are_bounded_apart():
    net = fabric(Sheet(columns=8, rows=2), lambda n, b: "RWWR"[int(n.places[b][0]) // 2])
    parts = bound_parts(
        prepare(net, {"260": Capacity(BUDGET, most_bubbles=None, fixed_tail=None, step=500)}, 4)
    )
    assert [len(p.bubbles) for p in parts] == [4, 8, 4]
    assert all(a.kind != b.kind for a, b in pairwise(parts))
