"""The painted style: trails by pairing ends, an order that keeps to them, the maker's wishes."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from random import Random

import networkx as nx
import numpy as np
import pytest

from airweft.base.errors import CannotMake
from airweft.base.progress import Progress, Stopped
from airweft.check.kept import not_kept
from airweft.check.replay import replay
from airweft.plan.capacity import capacities
from airweft.plan.kinds import prepare
from airweft.plan.make import make_plan
from airweft.plan.order import Trail
from airweft.plan.painted.search import _pair_up, painted
from airweft.plan.painted.state import MATE, fresh, lay_out
from airweft.plan.painted.trail import anneal, count_trails, follow, open_ends
from airweft.plan.painted.write import trails_of
from airweft.records.choices import Choices, KeepBefore, KeepPanels, KeepToward, KeepTrail
from airweft.records.design import Box, Sheet, Tube
from benchmarks.nets.all import cases
from tests.plan.nets import chance, columns, design, fabric, frame, panels, rows

BOX = Box(across=4, deep=4, high=4)
SHORT = 0.05  # a twentieth of the usual effort


def work_of(made, net):
    return prepare(net, capacities(made, {made.size: made.budget}), made.hands)


@pytest.mark.parametrize("seed", range(8))
def test_a_pairing_has_as_many_trails_as_the_graph_of_its_ends_has_parts(seed):
    """Ends are nodes, bubbles and pairs are edges; networkx counts the connected parts."""
    dice = Random(seed)
    net = fabric(BOX, chance(3, seed))
    made = design(most=dice.choice((5, 9, None)))
    now = fresh(lay_out(work_of(made, net)), seed)
    groups, ends = open_ends(now, np.arange(net.joint_count), net.joint_count)
    anneal(now, groups, ends, 4000, 0.5, 0.1)
    graph = nx.Graph((2 * b, 2 * b + 1) for b in range(net.bubble_count))
    graph.add_edges_from((e, int(m)) for e, m in enumerate(now.ends[:, MATE]) if m >= 0)
    parts = list(nx.connected_components(graph))
    assert count_trails(now) == len(parts)
    most = made.most_bubbles or 1000
    for part in parts:
        bubbles, length, lowest, started = follow(now, min(part) >> 1)
        assert (bubbles, lowest, started) == (len(part) // 2, min(part) >> 1, 0)
        assert length == 2500 * bubbles
        assert bubbles <= most
        assert len({net.colours[end >> 1] for end in part}) == 1
    for end, mate in enumerate(now.ends[:, MATE]):
        assert mate < 0 or now.ends[mate, MATE] == end
        assert mate < 0 or net.ends[end >> 1][end & 1] == net.ends[mate >> 1][mate & 1]


@pytest.mark.parametrize("seed", range(4))
def test_trails_of_a_pairing_are_walks_over_every_bubble_once(seed):
    net = fabric(BOX, chance(2, seed), loops=seed % 2 == 1)
    work = work_of(design(most=7), net)
    now = fresh(lay_out(work), seed)
    groups, ends = open_ends(now, np.arange(net.joint_count), net.joint_count)
    anneal(now, groups, ends, 4000, 0.5, 0.1)
    trails = trails_of(work, now.ends[:, MATE].tolist())
    assert len(trails) == count_trails(now)
    assert sorted(b for trail in trails for b in trail.bubbles) == list(range(net.bubble_count))
    for trail in trails:
        for (here, to), bubble in zip(pairwise(trail.joints(work)), trail.bubbles, strict=True):
            assert sorted((here, to)) == sorted(work.ends[bubble])


@pytest.mark.parametrize(
    ("form", "colouring"),
    [
        # Odd joints over two for each colour: no balloon is ever full (Demaine, Demaine and Hart,
        # CCCG 2008, theorem 2).
        (BOX, chance(3, 1)),
        (Tube(around=8, rows=10), chance(2, 2)),
        (Sheet(columns=8, rows=8), chance(4, 3)),
    ],
)
def test_where_no_balloon_is_full_the_odd_joints_say_how_many(form, colouring):
    net = fabric(form, colouring)
    plan = make_plan(design(), net, style="painted")
    assert replay(plan).findings == ()
    balloons = 0
    for colour in set(net.colours):
        graph = nx.MultiGraph(
            (a, b) for (a, b), c in zip(net.ends.tolist(), net.colours, strict=True) if c == colour
        )
        for part in nx.connected_components(graph):
            odd = sum(degree & 1 for joint, degree in graph.degree(part))
            balloons += max(1, odd // 2)
    assert len(plan.balloons) == balloons


def test_stripes_on_a_lantern_with_twelve_bubbles_to_a_balloon():
    """23 is the least for the trails alone: a second method goes through all of them."""
    case = next(cases(only="lantern, columns"))
    plan = make_plan(case.design, case.net, budgets=case.budgets)
    assert replay(plan).findings == ()
    assert len(plan.balloons) == 23


@pytest.mark.parametrize("seed", range(12))
def test_every_plan_can_be_made(seed):
    dice = Random(seed)
    form = dice.choice((BOX, Tube(around=6, rows=6), Sheet(columns=6, rows=6)))
    colouring = dice.choice((chance(3, seed), rows("RW"), columns("RWW"), panels))
    made = design(most=dice.choice((4, 7, 12, None)), hands=dice.choice((3, 4, 6)))
    net = fabric(form, colouring, loops=dice.random() < 0.4 and form is BOX)
    try:
        plan = make_plan(made, net, style="painted", seed=seed, effort=SHORT)
    except CannotMake as refusal:
        assert made.hands == 3, refusal.findings
        return
    counted = replay(plan)
    assert counted.findings == ()
    assert counted.peak_loose <= made.hands
    assert len(plan.balloons) >= plan.bound.balloons


def test_rings_too_long_for_the_hands_are_refused_in_words():
    ring = [(i, (i + 1) % 9) for i in range(9)]
    with pytest.raises(CannotMake) as refusal:
        make_plan(design(), frame(ring), style="painted")
    assert [f.code for f in refusal.value.findings] == ["plan-painted-stuck"]


def test_same_seed_same_plan():
    net = fabric(BOX, chance(2, 5))
    plans = [make_plan(design(most=6), net, style="painted", seed=9, effort=SHORT) for _ in "ab"]
    assert plans[0] == plans[1]


class Patience(Progress):
    """Asks to stop after so many reports."""

    def __init__(self, reports: int) -> None:
        super().__init__(self._count)
        self.left = reports

    def _count(self, done: int, total: int, text: str) -> None:
        self.left -= 1
        if self.left <= 0:
            self.stop()


def test_stopped_early_the_best_so_far_is_given():
    net = fabric(Box(across=10, deep=10, high=10), chance(2, 5))
    plan = make_plan(design(most=5), net, style="painted", progress=(patience := Patience(20)))
    assert patience.stopping
    assert replay(plan).findings == ()


def test_stopped_before_there_is_a_plan():
    net = fabric(Box(across=10, deep=10, high=10), chance(2, 5))
    with pytest.raises(Stopped):
        make_plan(design(most=5), net, style="painted", progress=Patience(1))


def test_going_on_from_a_plan_is_never_worse():
    net = fabric(BOX, chance(2, 5))
    first = make_plan(design(most=6), net, effort=SHORT)
    second = make_plan(design(most=6), net, effort=SHORT, after=first)
    assert len(second.balloons) <= len(first.balloons)


def test_a_share_out_given_as_a_hint_is_paired_as_it_says():
    net = fabric(BOX, chance(2, 5))
    made = design(most=6)
    plan = make_plan(made, net, style="rounds")
    work = work_of(made, net)
    now = fresh(lay_out(work), 0)
    _pair_up(work, now, [Trail(b.start, b.bubbles) for b in plan.balloons])
    assert count_trails(now) == len(plan.balloons)


# --- the maker's wishes ---------------------------------------------------------------------------


def wished(net, *keep, start="", most=12, seed=0):
    made = replace(design(most=most), choices=Choices(start=start, keep=keep))
    plan = make_plan(made, net, style="painted", seed=seed, effort=SHORT)
    assert replay(plan).findings == ()
    return not_kept(made.choices, plan)


@pytest.mark.parametrize("seed", range(4))
def test_first_knot_where_the_maker_wants_it(seed):
    net = fabric(BOX, chance(2, 1))
    assert wished(net, start=net.joint_names[7 * seed + 3], seed=seed) == ()


@pytest.mark.parametrize("seed", range(4))
def test_a_trail_the_maker_has_fixed(seed):
    net = fabric(BOX)
    graph = nx.MultiGraph()
    graph.add_edges_from((a, b, n) for n, (a, b) in enumerate(net.ends.tolist()))
    circuit = [key for _, _, key in nx.eulerian_circuit(graph, source=seed, keys=True)]
    trail = tuple(net.bubble_names[b] for b in circuit[10:18])
    assert wished(net, KeepTrail(bubbles=trail), seed=seed) == ()


def test_panels_are_begun_in_the_order_wanted():
    net = fabric(BOX, panels)
    names = list(net.panels)
    for order in ((names[0], names[2]), (names[3], names[1], names[0])):
        assert wished(net, KeepPanels(panels=order)) == ()


def test_one_colour_before_the_other_where_that_can_be():
    net = fabric(Sheet(columns=8, rows=8), rows("RRRRWWWW"))
    assert wished(net, KeepBefore(marks=("R", "W"))) == ()
    assert wished(net, KeepBefore(marks=("W", "R"))) == ()


def test_a_balloon_goes_the_way_wanted():
    net = fabric(BOX)
    for bubble in (0, 17, 40):
        a, b = net.ends[bubble].tolist()
        keep = KeepToward(net.joint_names[a], net.joint_names[b])
        assert wished(net, keep) == ()


def test_consecutive_bubbles_of_every_trail_share_their_joint():
    net = fabric(BOX, chance(3, 4))
    made = design(most=9)
    work = work_of(made, net)
    script = painted(work, bound=0, seed=1, progress=Progress(), effort=SHORT)
    for strand in script.strands:
        for one, other in pairwise(strand.bubbles):
            assert set(work.ends[one]) & set(work.ends[other])
