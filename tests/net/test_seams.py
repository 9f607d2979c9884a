"""Seams of every kind, looked at from outside: parity, planarity, matching."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import networkx as nx
import numpy as np
import pytest

from airweft.net.fabric import weave
from airweft.net.onto import fitted
from airweft.net.rings import border_rings, facing
from airweft.net.seam import Seam, find_seam
from airweft.net.seams import add_loops
from airweft.net.sewing import sewn, told
from airweft.records.arrays import pairs, points
from airweft.records.design import Box, Ring, Tube, Turned
from airweft.records.net import Net
from airweft.surface.build import build

UP = np.array([0.0, 0.0, 1.0])


def _tube(around: int, *, bubble: int = 3000, above: float = 0.0) -> Net:
    net = weave(build(Tube(around=around, rows=4), bubble=bubble), bubble=bubble, size="260")
    counted = pairs([(0, 0)] * net.bubble_count)
    names = tuple(f"{around} {above} {name}" for name in net.joint_names)
    return replace(net, joints=points(net.joints + above * UP), counted=counted, joint_names=names)


def _seam(low: Net, high: Net) -> Seam:
    return find_seam(
        low,
        range(low.joint_count),
        high,
        rings=border_rings(low),
        way=UP,
        names=("low", "high"),
    )


@pytest.mark.parametrize(
    ("low", "high", "bubble"),
    [(12, 20, 3000), (20, 12, 3000), (24, 16, 3000), (16, 24, 2000), (30, 12, 5000),
     (12, 32, 1200), (40, 8, 6000), (8, 40, 700)],
)  # fmt: skip
def test_rings_of_unequal_counts_are_stitched_evenly(low: int, high: int, bubble: int) -> None:
    one = _tube(low)
    other = _tube(high, bubble=bubble, above=80)
    seam = _seam(one, other)
    net, _ = sewn(one, other, seam)
    n, m = sorted((low // 2, high // 2))
    used = min(m, 3 * n)
    assert not seam.locked and len(seam.stitches) == 2 * used
    stitches = Counter(j for j, kind in enumerate(net.kinds) if kind == "frame")
    assert len(stitches) == 2 * used
    # Euler: every joint even. M12: eight ends at most. The whole hangs together.
    graph = nx.MultiGraph(net.ends.tolist())
    assert nx.is_eulerian(graph)
    assert max(map(len, net.ends_at())) <= 8
    # A band of stitches between two tubes is a tube: planar, no two stitches cross.
    assert nx.check_planarity(nx.Graph(graph))[0]
    # Evenly spread: around the smaller ring the numbers of stitches differ by one pair at most,
    # in any run of joints as in any other of that length.
    small = 0 if low <= high else 1
    each = Counter(pair[1 - small] for pair in seam.stitches)
    counts = set(each.values())
    assert len(each) == n and max(counts) - min(counts) <= 2 and all(c % 2 == 0 for c in counts)
    assert all(kind in ("fabric", "frame") for kind in net.kinds)
    free = m - used
    assert sum(seam.left) == free
    lengths = {int(net.lengths[b]) for b, kind in enumerate(net.kinds) if kind == "frame"}
    assert len(lengths) == 1 and lengths == {seam.stitch}
    message = told(net, seam).message
    assert f"{2 * used} stitches" in message and "evenly spread" in message


def test_runs_of_the_smaller_ring_take_their_share() -> None:
    seam = _seam(_tube(40), _tube(28, bubble=4200, above=80))
    assert len(seam.stitches) == 40
    order = list(dict.fromkeys(joint for joint, _ in seam.stitches))
    each = [Counter(joint for joint, _ in seam.stitches)[joint] // 2 for joint in order]
    # Balanced words: in runs of equal length, sums differ by at most one (as in even rhythms).
    around = each * 2
    for run in range(1, len(each)):
        sums = {sum(around[k : k + run]) for k in range(len(each))}
        assert max(sums) - min(sums) <= 1


def test_like_rings_are_locked_and_unlike_by_few_leave_few_free() -> None:
    seam = _seam(_tube(16), _tube(14, above=60))
    assert len(seam.locked) == 7 and seam.left == (1, 0) and not seam.stitches
    net, _ = sewn(_tube(16), _tube(14, above=60), seam)
    assert nx.is_eulerian(nx.MultiGraph(net.ends.tolist()))


@pytest.mark.parametrize("seed", range(8))
def test_a_border_meets_a_side_in_as_many_joints_as_can_be(seed: int) -> None:
    chance = np.random.default_rng(seed)
    spots = np.c_[chance.uniform(0, 6, (9, 2)), np.zeros(9)]
    side = np.c_[chance.uniform(0, 6, (14, 2)), np.zeros(14)]
    room = (chance.uniform(size=(9, 14)) > 0.2).astype(float)
    fit = fitted(spots, side, UP, 1.0, room, may_move=False)
    apart = np.linalg.norm(spots[:, None] - side[None], axis=2)
    graph = nx.Graph()
    graph.add_nodes_from(("a", k) for k in range(9))
    for k, t in zip(*np.nonzero((apart <= 1.1) & (room > 0)), strict=True):
        graph.add_edge(("a", int(k)), ("b", int(t)))
    most = nx.bipartite.hopcroft_karp_matching(graph, [("a", k) for k in range(9)])
    assert len(fit.pairs) == len(most) // 2
    assert len({t for _, t in fit.pairs}) == len(fit.pairs)
    assert all(room[k, t] and apart[k, t] <= 1.1 for k, t in fit.pairs)


def test_borders_face_away_from_their_part() -> None:
    tube = _tube(12)
    every = range(tube.joint_count)
    rings = border_rings(tube)
    assert len(rings) == 2
    (top,) = facing(tube, every, rings, UP)
    (foot,) = facing(tube, every, rings, -UP)
    assert tube.joints[top, 2].min() > tube.joints[foot, 2].max()
    assert facing(tube, every, rings, np.array([1.0, 0, 0])) == []
    assert facing(tube, every, rings, UP, sewn=top[:1]) == []
    half = weave(build(Ring(across=24000, thick=7000, arc=180), bubble=3000), bubble=3000, size="")
    both = facing(half, range(half.joint_count), border_rings(half), np.array([-1.0, 0, 0]))
    assert len(both) == 2


def test_a_border_with_loops_is_a_border_still() -> None:
    box = add_loops(
        weave(
            build(Box(across=6, deep=4, high=4, open=("top",)), bubble=3000), bubble=3000, size=""
        )
    )
    (ring,) = border_rings(box)
    assert len(facing(box, range(box.joint_count), (ring,), UP)) == 1


def test_cells_beside_each_other_at_joints_where_parts_meet() -> None:
    side = weave(
        build(Turned(profile=((9000, 0), (9000, 24000))), bubble=3000), bubble=3000, size=""
    )
    lone = side.beside()
    # As many pairs as joints inside the surface, and each pair shares its joint.
    inside = sum(count == 2 for count in Counter(j for c in side.cells for j in c.joints).values())
    assert len(lone) == inside
    side = replace(side, counted=pairs([(0, 0)] * side.bubble_count))
    tube = _tube(8)
    flat = np.stack([tube.joints[:, 2], tube.joints[:, 1], tube.joints[:, 0]], axis=1)
    tube = replace(tube, joints=points(flat + np.array([95.0, 0, 120.0])))
    seam = find_seam(
        side, range(side.joint_count), tube, rings=border_rings(side), way=np.array([1.0, 0, 0]),
        names=("a", "b"),
    )  # fmt: skip
    assert len(seam.locked) >= 3
    net, _ = sewn(side, tube, seam)
    expected = inside + len(tube.beside())
    found = net.beside()
    assert len(found) == expected
    for (one, k), (two, m) in found:
        assert net.cells[one].joints[k] == net.cells[two].joints[m]
        # Never a cell of one part with a cell of the other, where three meet.
        assert (one < len(side.cells)) == (two < len(side.cells))
