"""Trails with an order: against a brute force over the making rules, and passed by the checker."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from airweft.base.progress import Progress
from airweft.plan.bound import bound_parts
from airweft.plan.exact import QUICK, Exact, ExactLimit, exact_method, order_trails
from airweft.plan.exact_all import Everything
from airweft.plan.kinds import Work
from airweft.plan.order import Trail, lay
from airweft.plan.script import Script
from airweft.records.design import Sheet
from tests.plan import brute
from tests.plan.nets import fabric, frame, solid
from tests.plan.test_exact_trails import work_of

FULL = ExactLimit()


def one_each(work: Work) -> list[Trail]:
    """A balloon for every bubble: what the exact method may begin from."""
    return [Trail(a, (bubble,)) for bubble, (a, _) in enumerate(work.ends)]


def found(work: Work, limit: ExactLimit = FULL, seed: int = 0) -> Exact:
    return exact_method(
        work, bound_parts(work), one_each(work), limit=limit, seed=seed, progress=Progress()
    )


def small_net(seed: int) -> list[tuple[int, int]]:
    """Four or five bubbles in one piece, with loops and doubled ones."""
    dice = Random(seed)
    joints = dice.randint(2, 5)
    edges = [(dice.randrange(j), j) for j in range(1, joints)]
    count = dice.randint(4, 5)
    while len(edges) < count:
        edges.append((dice.randrange(joints), dice.randrange(joints)))
    return edges


@pytest.mark.parametrize("seed", range(30))
def test_small_nets_need_what_brute_force_over_the_rules_says(seed):
    """Knots and locks at any time, all trails, all directions: nobody makes it with fewer."""
    edges, hands = small_net(seed), 1 + seed % 3
    work = replace(work_of(frame(edges), 4), hands=hands)
    free = {work.ends[b][1] for b, hangs in enumerate(work.is_free) if hangs}
    best = brute.fewest_balloons(work.ends, free, hands, 4)
    result = found(work)
    count = len(result.script.strands) if result.script else len(edges)
    assert (count, result.least) == (best, best)
    if result.script:
        assert result.script.peak <= hands


@pytest.mark.parametrize("seed", range(40))
def test_chains_once_taken_never_stand_in_the_way(seed):
    """The order search never goes back: it finds an order exactly where brute force has one."""
    dice = Random(seed)
    edges, hands = small_net(seed + 500), 1 + seed % 3
    work = replace(work_of(frame(edges)), hands=hands)
    free = {work.ends[b][1] for b, hangs in enumerate(work.is_free) if hangs}
    for _ in range(6):
        left, trails = list(range(len(edges))), []
        while left:
            start = dice.choice(work.ends[dice.choice(left)])
            here, taken = start, []
            while ways := [b for b in left if here in work.ends[b]]:
                bubble = dice.choice(ways)
                left.remove(bubble)
                taken.append(bubble)
                here = sum(work.ends[bubble]) - here
            trails.append(Trail(start, tuple(taken)))
        laid = lay(work, trails)
        way = brute.can_be_made([tuple(t.joints(work)) for t in trails], free, hands)
        assert laid.sure
        assert (laid.made == len(edges)) == way


def test_a_ring_longer_than_the_hands_needs_a_second_balloon():
    ring = [(i, (i + 1) % 7) for i in range(7)]
    result = found(work_of(frame(ring)))
    assert result.script is not None
    assert (len(result.script.strands), result.least) == (2, 2)


def test_a_chain_of_rings_needs_two_balloons_though_one_trail_covers_it():
    """Five rings of four: one trail covers them, but four hands cannot lay it; all ways tried."""
    result = found(work_of(fabric(Sheet(columns=2, rows=8))))
    assert result.script is not None
    assert (len(result.script.strands), result.least, result.by_hands) == (2, 2, True)


@pytest.mark.parametrize(("name", "most", "count"), [("cube", 3, 4), ("dodecahedron", 3, 10)])
def test_solids_of_three_bubbles_a_balloon_can_be_laid(name, most, count):
    """The published number of trails, and an order for it within four loose twists."""
    result = found(work_of(solid(name), most), QUICK)
    assert result.script is not None
    assert (len(result.script.strands), result.least) == (count, count)
    assert result.script.peak <= 4


def test_an_order_for_given_trails():
    """Any Euler trail of the octahedron, cut in two, is laid or exchanged for others."""
    work = work_of(solid("octahedron"))
    whole = found(work)
    assert whole.script is not None
    (strand,) = whole.script.strands
    cut = strand.bubbles[:5], strand.bubbles[5:]
    halfway = Trail(strand.start, tuple(cut[0])).joints(work)[-1]
    trails = [Trail(strand.start, tuple(cut[0])), Trail(halfway, tuple(cut[1]))]
    script = order_trails(work, trails, seed=1, effort=10_000, fewer_than=3)
    assert script is not None
    assert len(script.strands) <= 2
    assert order_trails(work, trails, seed=1, effort=10_000, fewer_than=2) is None


def test_same_seed_same_script():
    work = work_of(solid("snub cube"), 7)
    first, second = (found(work, QUICK, seed=3).script for _ in range(2))
    assert first is not None and second is not None
    assert first.actions == second.actions


def test_whoever_stops_gets_the_best_so_far():
    work = work_of(solid("snub cube"), 7)

    def interrupt(done: int, total: int, text: str) -> None:
        raise KeyboardInterrupt

    stopped = Progress()
    stopped.stop()
    for progress in (stopped, Progress(interrupt)):
        result = exact_method(
            work, bound_parts(work), one_each(work), limit=FULL, seed=0, progress=progress
        )
        assert result.stopped
        assert result.least == sum(p.balloons for p in bound_parts(work))


def test_a_time_limit_ends_the_search():
    """No time at all: the bound stays what counting says, and a plan is given only if it is one."""
    work = work_of(solid("snub dodecahedron"), 5)
    result = found(work, replace(FULL, seconds=0.0))
    assert result.least == 30


def test_going_through_everything_finds_a_way_or_shows_that_there_is_none():
    work = work_of(fabric(Sheet(columns=2, rows=4)))
    two = Everything(work, 2).search(10_000, lambda _: True)
    assert isinstance(two.script, Script)
    assert two.script.peak <= 4
    none = Everything(replace(work, hands=1), 1).search(10_000, lambda _: True)
    assert none.script is None and none.sure
    stopped = Everything(work_of(solid("cuboctahedron")), 1).search(5, lambda _: True)
    assert stopped.script is None and not stopped.sure
