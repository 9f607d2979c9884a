"""Fewer balloons for a piece that can be made: trails exchange what follows, the order keeps up.

Simulated annealing as in `trail.anneal`, but over trails *with* an order: what two hands cannot
lay any more is mended by further changes where the work stands still, or the change is taken back.
Trails may grow longer than a balloon, since they are cut only in the end. With fewer hands than the
plan took, the same search gives a plan with fewer loose twists.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from airweft.plan.kinds import Work
from airweft.plan.order import Trail, lay, write
from airweft.plan.painted.compiled import compiled
from airweft.plan.painted.state import Now
from airweft.plan.painted.swap import (
    forget,
    is_full,
    need,
    need_of,
    pair_anew,
    turn_round,
    undo,
)
from airweft.plan.painted.timed import (
    CHANGES,
    DICE,
    EARLIEST,
    EFFORT,
    LATEST,
    SPOTS,
    TIPS,
    Timed,
    keep_window,
    lay_window,
    still_holds,
    timed,
    window,
)
from airweft.plan.painted.trail import thrown
from airweft.plan.script import Script
from airweft.records.arrays import Indices

_EACH = 75_000  # tips looked at for each bubble of the piece
_MOST = 400_000_000  # and in all
_EASE = 140  # in search of fewer loose twists no more than this by the square of the bubbles
_CHUNK = 2_000_000  # tips looked at between two reports
_HOT, _COLD = 0.1, 0.01  # how much worse a change may be, in balloons, first and last
_WIDEST = 1000  # bubbles between the first and the last one at a change, at most
_FURTHER = 400  # bubbles after them in which the work may recover
_REPAIRS = 30  # further changes where it does not
_PROPOSED = 20  # what a change costs that is not laid, counted in tips looked at
_SIDES = 1 << 30


@compiled
def _beside(now: Timed, end: int, loose: bool) -> int:
    """Another end of the same kind at the joint, only an unpaired one if `loose`; -1 for none."""
    joint, found, many = now.joint[end], -1, 0
    for a in range(now.at[joint], now.at[joint + 1]):
        other = now.ends_at[a]
        if other == end or now.kind[other >> 1] != now.kind[end >> 1]:
            continue
        if not loose or now.mate[other] < 0:
            many += 1
            if thrown(now.tally, DICE, many) == 0:
                found = other
    return found


@compiled
def _propose(now: Timed) -> tuple[int, int]:
    """Two ends to be paired anew: often where a balloon begins or ends; the second may be -1."""
    ends, r = len(now.mate), thrown(now.tally, DICE, 10)
    x, y = int(thrown(now.tally, DICE, ends)), -1
    if r < 6:
        for _ in range(400):
            if now.mate[x] < 0:
                break
            x = int(thrown(now.tally, DICE, ends))
        if r < 5 and now.mate[x] < 0:
            y = _beside(now, x, True)
    return x, y if y >= 0 else _beside(now, x, False)


@compiled
def _weighed(now: Timed, x: int, y: int) -> tuple[int, float]:
    """Pair two ends anew; how many balloons more that takes, and how much more weight."""
    ends, lowest = np.empty(4, np.int64), np.empty(4, np.int64)
    ends[0], ends[1], ends[2], ends[3] = x, y, now.mate[x], now.mate[y]
    before, lighter = need_of(now, ends, lowest)
    pair_anew(now, x, y)
    after, heavier = need_of(now, ends, lowest)
    return after - before, heavier - lighter


@compiled
def _stuck_end(now: Timed, hands: int, tips: Indices, many: int) -> int:
    """An end on the way ahead of a balloon that stands still."""
    end = tips[thrown(now.tally, DICE, many)]
    for _ in range(thrown(now.tally, DICE, hands + 3)):
        further = now.mate[end ^ 1]
        if further < 0:
            return int(end ^ 1)
        end = further
    return int(end)


@compiled
def _recover(
    now: Timed, hands: int, begin: int, end: int, left: int, room: float
) -> tuple[int, int, int, int, float]:
    """Change on where the work stands still, by no more weight than `room`, until it goes on.

    Returns what is left over, the window, and the balloons and the weight more.
    """
    tips = now.tips[: now.tally[TIPS]].copy()
    balloons, weight = 0, 0.0
    for _ in range(_REPAIRS):
        if len(tips) == 0 or is_full(now):
            break
        x = _stuck_end(now, hands, tips, len(tips))
        mark, spots = now.tally[CHANGES], now.tally[SPOTS]
        earliest, latest = now.tally[EARLIEST], now.tally[LATEST]
        more, heavier = 0, 0.0
        if thrown(now.tally, DICE, 6) == 0:
            turn_round(now, x >> 1)
        else:
            y = _beside(now, x, False)
            if y < 0 or now.mate[x] == y:
                continue
            more, heavier = _weighed(now, x, y)
        if weight + heavier <= room:
            low, high = window(now)
            low, high = min(low, begin), max(high, end)
            still, high = lay_window(now, hands, low, high, 0)
            if still <= left:
                left, begin, end = still, low, high
                balloons += more
                weight += heavier
                if left == 0:
                    break
                tips = now.tips[: now.tally[TIPS]].copy()
                continue
        undo(now, mark)
        now.tally[SPOTS] = spots
        now.tally[EARLIEST], now.tally[LATEST] = earliest, latest
    return left, begin, end, balloons, weight


@compiled
def _anneal(now: Timed, hands: int, effort: int, hot: float, cold: float, target: int) -> int:
    """Change trails for so much effort or until they take `target` balloons; how many they take."""
    balloons = 0
    for bubble in range(len(now.lead)):
        if now.mate[now.lead[bubble]] < 0:
            balloons += need(now, bubble)[0]
    now.tally[EFFORT] = 0
    while now.tally[EFFORT] < effort and balloons > target:
        heat = hot * (cold / hot) ** (now.tally[EFFORT] / effort)
        now.tally[EFFORT] += _PROPOSED
        x, y = _propose(now)
        if y < 0:
            continue
        forget(now)
        more, weight = _weighed(now, x, y)
        room = -heat * np.log((thrown(now.tally, DICE, _SIDES) + 1) / _SIDES)
        left = 1
        if weight <= room:
            if still_holds(now, hands):
                balloons += more
                continue
            begin, end = window(now)
            if end - begin <= _WIDEST:
                left, end = lay_window(now, hands, begin, end, _FURTHER)
                if left > 0:
                    left, begin, end, further, _ = _recover(
                        now, hands, begin, end, left, room - weight
                    )
                    more += further
                if left == 0:
                    keep_window(now, begin, end)
                    balloons += more
        if left > 0:
            undo(now, 0)
    return balloons


def fewer(
    work: Work,
    start: Now,
    script: Script,
    *,
    bound: int,
    seed: int,
    effort: float,
    go_on: Callable[[int, int, int], bool],
) -> Script:
    """A script with fewer balloons than the given one, or that one.

    `start` is the blank state of the work; `go_on(effort, of, balloons)` is asked now and then, and
    ends the search with the best so far. Nets with joints that may only be passed are left alone.
    """
    limit = round(min(_MOST, _EACH * len(work.ends)) * effort)
    known = len(script.strands)
    found = _exchanged(work, start, script, work.hands, known - 1, bound, seed, limit, go_on)
    return found or script


def easier(
    work: Work,
    start: Now,
    script: Script,
    *,
    hands: int,
    seed: int,
    effort: float,
    go_on: Callable[[int, int, int], bool],
) -> Script:
    """A script with no more balloons that `hands` can make, fewer than it took; or that script.

    Trails are cut in two where so few hands cannot go on, and exchanged until the balloons are no
    more than they were. Otherwise like `fewer`.
    """
    bubbles = len(work.ends)
    limit = round(min(_MOST, _EACH * bubbles, _EASE * bubbles**2) * effort)
    known = len(script.strands)
    found = _exchanged(work, start, script, hands, known, known, seed, limit, go_on)
    return found if found is not None and found.peak < script.peak else script


def _exchanged(
    work: Work,
    start: Now,
    script: Script,
    hands: int,
    most: int,
    target: int,
    seed: int,
    limit: int,
    go_on: Callable[[int, int, int], bool],
) -> Script | None:
    """A script for `hands` with at most so many balloons, the fewest found; `target` is enough."""
    if work.passing:
        return None
    now = timed(start, *_pairing(work, script), hands, seed)
    if now is None:
        return None
    chunks = -(-limit // _CHUNK)
    balloons, best = most + 1, None
    told = len(script.strands)
    fall = (_COLD / _HOT) ** (1 / max(1, chunks))
    for chunk in range(chunks):
        if balloons <= target or not go_on(chunk * _CHUNK, limit, told):
            break
        heat = _HOT * fall**chunk
        found = int(_anneal(now, hands, _CHUNK, heat, heat * fall, target))
        if found < balloons:
            balloons = told = found
            best = (now.mate.copy(), now.lead.copy())
    if best is None:
        return None
    trails = _cut(work, *best)
    laid = lay(work, trails, hands=hands, thorough=False, complete=True)
    return write(work, trails, laid) if laid.made == len(work.ends) else None


def _pairing(work: Work, script: Script) -> tuple[Indices, Indices]:
    """The mate of every end, and the end by which every bubble is left for."""
    mate = np.full(2 * len(work.ends), -1, np.int64)
    lead = np.zeros(len(work.ends), np.int64)
    for strand in script.strands:
        before, joint = -1, strand.start
        for bubble in strand.bubbles:
            end = 2 * bubble + (work.ends[bubble][0] != joint)
            lead[bubble] = end
            if before >= 0:
                mate[before], mate[end] = end, before
            before = end ^ 1
            joint = work.ends[bubble][before & 1]
    return mate, lead


def _cut(work: Work, mate: Indices, lead: Indices) -> list[Trail]:
    """The trails in their directions, cut where a balloon is full."""
    trails: list[Trail] = []
    for first, leaving in enumerate(lead.tolist()):
        if mate[leaving] >= 0:
            continue
        capacity = work.kinds[work.kind_of[first]].capacity
        end, begin, length = leaving, leaving, 0
        bubbles: list[int] = []
        while end >= 0:
            bubble = end >> 1
            if not capacity.fits(len(bubbles) + 1, length + work.lengths[bubble]):
                trails.append(Trail(work.ends[begin >> 1][begin & 1], tuple(bubbles)))
                begin, bubbles, length = end, [], 0
            bubbles.append(bubble)
            length += work.lengths[bubble]
            end = int(mate[end ^ 1])
        trails.append(Trail(work.ends[begin >> 1][begin & 1], tuple(bubbles)))
    return trails
