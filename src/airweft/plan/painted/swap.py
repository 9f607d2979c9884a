"""Changes of timed trails: two ends are paired anew, or a trail is turned round; all logged.

After a change no trail is closed, and each has one direction again.
"""

from __future__ import annotations

from airweft.plan.painted.compiled import compiled
from airweft.plan.painted.timed import (
    CHANGES,
    DICE,
    EARLIEST,
    EFFORT,
    LATEST,
    SPOTS,
    Timed,
)
from airweft.plan.painted.trail import is_new, thrown
from airweft.records.arrays import Indices

_AGAIN = 0.3  # what a full balloon is worth beside a balloon less: full ones leave others short


@compiled
def forget(now: Timed) -> None:
    """All changes so far are kept: begin a new log."""
    now.tally[CHANGES] = 0
    now.tally[SPOTS] = 0
    now.tally[EARLIEST] = len(now.time)
    now.tally[LATEST] = 0


@compiled
def undo(now: Timed, mark: int) -> None:
    """Take back the changes of the log from row `mark` on."""
    for i in range(now.tally[CHANGES] - 1, mark - 1, -1):
        if now.log[i, 0]:
            now.lead[now.log[i, 1]] = now.log[i, 2]
        else:
            now.mate[now.log[i, 1]] = now.log[i, 2]
    now.tally[CHANGES] = mark


@compiled
def _pair(now: Timed, end: int, mate: int) -> None:
    row = now.log[now.tally[CHANGES]]
    row[0], row[1], row[2] = 0, end, now.mate[end]
    now.tally[CHANGES] += 1
    now.mate[end] = mate


@compiled
def _turn(now: Timed, bubble: int) -> None:
    row = now.log[now.tally[CHANGES]]
    row[0], row[1], row[2] = 1, bubble, now.lead[bubble]
    now.tally[CHANGES] += 1
    now.lead[bubble] ^= 1
    now.tally[EARLIEST] = min(now.tally[EARLIEST], now.time[bubble])
    now.tally[LATEST] = max(now.tally[LATEST], now.time[bubble] + 1)


@compiled
def _concern(now: Timed, joint: int) -> None:
    """Note a joint; a full list is noticed by `is_full`."""
    for i in range(now.tally[SPOTS]):
        if now.spots[i] == joint:
            return
    now.spots[now.tally[SPOTS]] = joint
    now.tally[SPOTS] += 1


@compiled
def is_full(now: Timed) -> bool:
    """True if the log may have no room for another change."""
    return bool(
        now.tally[CHANGES] + 4 * len(now.time) + 16 > len(now.log)
        or now.tally[SPOTS] + 16 > len(now.spots)
    )


@compiled
def _put_right(now: Timed, end: int) -> None:
    """Open the trail through an end if it is closed, and lead it one way."""
    leaving, many = end, 0
    while now.mate[leaving] >= 0:
        leaving = now.mate[leaving] ^ 1
        many += 1
        if leaving == end:
            for _ in range(thrown(now.tally, DICE, many)):
                leaving = now.mate[leaving] ^ 1
            _pair(now, now.mate[leaving], -1)
            _pair(now, leaving, -1)
            _concern(now, now.joint[leaving])
            break
    first = leaving
    along = against = 0
    while True:
        if now.lead[leaving >> 1] == leaving:
            along += 1
        else:
            against += 1
        if now.mate[leaving ^ 1] < 0:
            break
        leaving = now.mate[leaving ^ 1]
    if along == 0 or against == 0:
        return
    _concern(now, now.joint[first])
    _concern(now, now.joint[leaving ^ 1])
    forward = along > against
    if thrown(now.tally, DICE, 3) == 0:
        forward = thrown(now.tally, DICE, 2) == 0
    leaving = first
    while leaving >= 0:
        if (now.lead[leaving >> 1] == leaving) != forward:
            _turn(now, leaving >> 1)
        leaving = now.mate[leaving ^ 1]


@compiled
def pair_anew(now: Timed, x: int, y: int) -> None:
    """Pair two ends at a joint, or part them if they are paired; mostly pair their former mates."""
    u, v = now.mate[x], now.mate[y]
    _concern(now, now.joint[x])
    if u == y:
        _pair(now, x, -1)
        _pair(now, y, -1)
    else:
        both = u >= 0 and v >= 0 and thrown(now.tally, DICE, 5) > 0
        _pair(now, x, y)
        _pair(now, y, x)
        if u >= 0:
            _pair(now, u, v if both else -1)
        if v >= 0:
            _pair(now, v, u if both else -1)
    _put_right(now, x)
    _put_right(now, y)
    if u >= 0:
        _put_right(now, u)
    if v >= 0:
        _put_right(now, v)


@compiled
def turn_round(now: Timed, bubble: int) -> None:
    """Make the trail through a bubble from its other end."""
    leaving = now.lead[bubble]
    while now.mate[leaving] >= 0:
        leaving = now.mate[leaving] ^ 1
    _concern(now, now.joint[leaving])
    while True:
        further = now.mate[leaving ^ 1]
        _turn(now, leaving >> 1)
        if further < 0:
            _concern(now, now.joint[leaving ^ 1])
            return
        leaving = further


@compiled
def need(now: Timed, bubble: int) -> tuple[int, float, int]:
    """What the trail through a bubble takes: balloons, their weight, and its lowest bubble.

    A trail may be longer than a balloon: it is cut where one is full. Unequal remainders are liked
    better than equal ones, since a short one is soon taken in by others.
    """
    leaving = now.lead[bubble]
    while now.mate[leaving] >= 0:
        leaving = now.mate[leaving] ^ 1
    kind, lowest = now.kind[bubble], bubble
    balloons, bubbles, length, passed = 1, 0, 0, 0
    while leaving >= 0:
        here = leaving >> 1
        lowest = min(lowest, here)
        if bubbles == now.most[kind, 0] or length + now.length[here] > now.most[kind, bubbles + 1]:
            balloons += 1
            bubbles = length = 0
        bubbles += 1
        length += now.length[here]
        passed += 1
        leaving = now.mate[leaving ^ 1]
    now.tally[EFFORT] += passed // 8
    full = length / now.most[kind, bubbles]
    return balloons, balloons - _AGAIN * (balloons - 1 + full * full), lowest


@compiled
def need_of(now: Timed, ends: Indices, lowest: Indices) -> tuple[int, float]:
    """What the trails through some ends take (-1: no end), each trail once."""
    trails = balloons = 0
    weight = 0.0
    for end in ends:
        if end >= 0:
            more, heavier, low = need(now, end >> 1)
            if is_new(lowest, trails, low):
                trails += 1
                balloons += more
                weight += heavier
    return balloons, weight
