"""Moves: short walks from a touched joint, shared out among balloons, and their price in trails.

A walk of up to four bubbles runs over untouched joints until something holds it. It is made from
its start, from its far end, or from both ends up to a meeting, where one lock takes in all; on the
way a fresh balloon may be knotted to what lies loose. Its price is how many trails more there are
when the pairing is changed so that it allows the move.
"""

from __future__ import annotations

import numpy as np

from airweft.plan.painted.compiled import compiled
from airweft.plan.painted.state import (
    AGAINST,
    ANY,
    AWAY,
    BEGUN,
    BEST,
    BEST_KEY,
    CHANGED,
    EASE,
    EFFORT,
    FIRST,
    FREE,
    HAND,
    HANDS,
    HANGS,
    HEAD,
    JOINT,
    KIND,
    KNOTS,
    LEVEL,
    LOGGED,
    MADE,
    MATE,
    MEET,
    NEXT,
    NOISE,
    PASSED,
    PEAK,
    PLACE,
    PRICE,
    RANK,
    SIZE,
    STAGE,
    TAIL,
    TIP,
    TOUCHED,
    TURN,
    WALK,
    WALKED,
    Now,
)
from airweft.plan.painted.trail import (
    clear_log,
    follow,
    has_start,
    is_new,
    knot,
    one_balloon,
    pair,
    part,
    take_back,
    throw,
)

HELD = 0  # the walk lands on a touched joint
OWN = 1  # on a joint of its own, or it runs out into a free end
LEANS = 2  # on an untouched joint where only a nozzle can begin
IMPOSSIBLE = 99
_WALK = 250  # what looking at a walk costs, counted in bubbles followed along a trail


@compiled
def decide(now: Now, size: int, meet: int, head: int, tail: int, knots: int) -> bool:
    """Pair and part all ends that the move in `now.scratch` settles; False if it cannot be made."""
    walk = now.scratch[WALKED]
    for i in range(size):
        if now.ends[walk[i] if i < meet else walk[i] ^ 1, AGAINST]:
            return False
    if meet > 0:
        if head >= 0:
            if not pair(now, head, walk[0]):
                return False
        else:
            if not part(now, walk[0]):
                return False
            knot(now, walk[0])
    if meet < size:
        end = walk[size - 1] ^ 1
        if tail >= 0:
            if not pair(now, tail, end):
                return False
        else:
            if not part(now, end):
                return False
            knot(now, end)
    for i in range(1, size):
        if i == meet:
            continue
        if knots >> i & 1:
            end = walk[i] if i < meet else walk[i - 1] ^ 1
            if not part(now, end):
                return False
            knot(now, end)
        elif not pair(now, walk[i - 1] ^ 1, walk[i]):
            return False
    return True


@compiled
def _concerned(now: Now, size: int, sound: bool) -> int:
    """How many trails run through the walk and the changed ends; -1 if one is not sound."""
    seen = np.empty(48, np.int64)
    changes = now.tally[LOGGED]
    trails = 0
    for t in range(changes + size):
        bubble = (now.log[t, CHANGED] if t < changes else now.scratch[WALKED][t - changes]) >> 1
        bubbles, length, lowest, started = follow(now, bubble)
        if sound and not one_balloon(now, now.bubbles[bubble, KIND], bubbles, length, started):
            return -1
        if is_new(seen, trails, lowest):
            trails += 1
    return trails


@compiled
def price(now: Now, size: int, meet: int, head: int, tail: int, knots: int) -> int:
    """Trails more than before if the move in `now.scratch` is made; IMPOSSIBLE if it cannot be."""
    after = -1
    if decide(now, size, meet, head, tail, knots):
        after = _concerned(now, size, True)
    take_back(now)
    cost = IMPOSSIBLE
    if after >= 0:
        cost = after - _concerned(now, size, False)
    clear_log(now)
    return cost


@compiled
def _peak(size: int, meet: int, knots: int, hangs: bool) -> int:
    """The largest number of loose twists while a move is made."""
    left = right = most = 0
    for i in range(meet):
        if i > 0 and knots >> i & 1:
            left = 0
        left += 1
        if not (hangs and i == size - 1):
            most = max(most, left)
    for i in range(size - 1, meet - 1, -1):
        if i < size - 1 and knots >> (i + 1) & 1:
            right = 0
        right += 1
        most = max(most, left + right)
    return most


@compiled
def _offer(
    now: Now, size: int, meet: int, head: int, tail: int, knots: int, cost: int,
    hangs: bool,
) -> None:  # fmt: skip
    """Keep a move if it is better than the best so far: price, ease, then tidy work."""
    peak = _peak(size, meet, knots, hangs and meet == size)
    if peak > now.tally[HANDS]:
        return
    hand = now.tally[HAND]
    away = 1
    if hand >= 0 and ((meet > 0 and head == hand) or (meet < size and tail == hand)):
        away = 0
    fresh = 0
    if meet > 0 and head < 0:
        fresh += 1
    if meet < size and tail < 0:
        fresh += 1
    for i in range(1, size):
        fresh += knots >> i & 1
    noise = now.tally[NOISE]
    key = np.int64(min(cost, 7) + 8)
    if noise == 2:
        key = key << 52 | throw(now, 1 << 52)
    else:
        far = 0
        if hand >= 0:
            at, to = now.ends[hand, JOINT], now.scratch[PASSED][0]
            for axis in range(PLACE, PLACE + 3):
                far += abs(now.joints[at, axis] - now.joints[to, axis])
        level = 0
        for i in range(size + 1):
            level = max(level, now.joints[now.scratch[PASSED][i], LEVEL])
        key = key << 1 | (peak > now.tally[EASE])
        key = key << 1 | away
        key = key << 3 | fresh
        key = key << 1 | (noise == 1 and throw(now, 4) == 0)
        key = key << 16 | min(level, 65535)
        key = key << 10 | min(far, 1023)
        key = key << 3 | size
        key = key << 17 | (now.scratch[WALKED][0] * 7 + now.scratch[WALKED][size - 1]) % (1 << 17)
    if key < now.tally[BEST_KEY]:
        now.tally[BEST_KEY] = key
        best = now.scratch[BEST]
        best[SIZE], best[MEET], best[HEAD], best[TAIL] = size, meet, head, tail
        best[PRICE], best[PEAK], best[KNOTS] = cost, peak, knots
        best[HANGS], best[AWAY] = hangs and meet == size, away
        for i in range(size):
            best[WALK + i] = now.scratch[WALKED][i]


@compiled
def _source(now: Now, end: int) -> int:
    """What leaves through an end by the pairing: a parked end, -1 a fresh balloon, -2 nothing."""
    mate = now.ends[end, MATE]
    if mate >= 0:
        return mate if now.ends[mate, TIP] else -2
    return -2 if has_start(now, end >> 1) else -1


@compiled
def _paired(now: Now, size: int, landing: int, hangs: bool) -> None:
    """Offer the ways to make a walk that keep to the pairing."""
    walk, mate = now.scratch[WALKED], now.ends[:, MATE]
    head = _source(now, walk[0])
    tail = -2
    if landing != OWN or hangs:
        tail = _source(now, walk[size - 1] ^ 1)
        if tail >= 0 and (landing == LEANS or hangs):
            tail = -2
    for meet in range(now.tally[FIRST], size + 1):
        if meet < size and (tail == -2 or (landing == OWN and meet > 0)):
            continue
        if meet > 0 and (head == -2 or landing == LEANS):
            continue
        knots = 0
        keeps = True
        for i in range(1, size):
            if i == meet or mate[walk[i - 1] ^ 1] == walk[i]:
                continue
            end = walk[i] if i < meet else walk[i - 1] ^ 1
            if mate[end] < 0 and not has_start(now, end >> 1):
                knots |= 1 << i
            else:
                keeps = False
                break
        if keeps and price(now, size, meet, head, tail, knots) <= 0:
            _offer(now, size, meet, head, tail, knots, 0, hangs)


@compiled
def _any(now: Now, size: int, landing: int, hangs: bool) -> None:
    """Offer every way to make a walk, with what it costs to change the pairing for it."""
    walk = now.scratch[WALKED]
    near, far = now.scratch[PASSED][0], now.scratch[PASSED][size]
    for meet in range(now.tally[FIRST], size + 1):
        if meet < size and landing == OWN and not (hangs and meet == 0):
            continue
        if meet > 0 and landing == LEANS:
            continue
        for knots in range(0, 1 << size, 2):
            if 0 < meet < size and knots >> meet & 1:
                continue
            fits = True
            for i in range(1, size):
                if i != meet and not knots >> i & 1:
                    fits = (
                        fits
                        and now.bubbles[walk[i - 1] >> 1, KIND] == now.bubbles[walk[i] >> 1, KIND]
                    )
            if not fits or _peak(size, meet, knots, hangs and meet == size) > now.tally[HANDS]:
                continue
            heads = now.at[near + 1] - now.at[near] if meet > 0 else 0
            tails = now.at[far + 1] - now.at[far] if meet < size and landing == HELD else 0
            for h in range(-1, heads):
                head = now.ends_at[now.at[near] + h] if h >= 0 else -1
                if head >= 0 and not now.ends[head, TIP]:
                    continue
                for t in range(-1, tails):
                    tail = now.ends_at[now.at[far] + t] if t >= 0 else -1
                    if tail >= 0 and (not now.ends[tail, TIP] or tail == head):
                        continue
                    cost = price(now, size, meet, head, tail, knots)
                    if cost < IMPOSSIBLE:
                        _offer(now, size, meet, head, tail, knots, cost, hangs)


@compiled
def _may_be_made(now: Now, bubble: int) -> bool:
    """True if it is the bubble's turn."""
    if now.bubbles[bubble, MADE]:
        return False
    if now.tally[ANY]:
        return True
    return bool(
        now.bubbles[bubble, TURN] <= now.tally[STAGE]
        and now.bubbles[bubble, RANK] <= now.tally[BEGUN]
    )


@compiled
def look(now: Now, start: int, deepest: int, paired: bool) -> None:
    """Offer the moves of every walk of at most `deepest` bubbles that leaves a touched joint.

    `paired`: only those that keep to the pairing, which is far quicker.
    """
    walk, joints, turn = now.scratch[WALKED], now.scratch[PASSED], now.scratch[NEXT]
    joints[0] = start
    turn[0] = now.at[start]
    depth = 0
    while depth >= 0:
        here = joints[depth]
        if turn[depth] >= now.at[here + 1]:
            depth -= 1
            continue
        end = now.ends_at[turn[depth]]
        turn[depth] += 1
        bubble = end >> 1
        if not _may_be_made(now, bubble):
            continue
        again = False
        for i in range(depth):
            again = again or walk[i] >> 1 == bubble
        if again:
            continue
        to = now.ends[end ^ 1, JOINT]
        now.tally[EFFORT] += _WALK
        walk[depth] = end
        joints[depth + 1] = to
        size = depth + 1
        hangs = now.bubbles[bubble, FREE] == 1 and end == 2 * bubble
        own = False
        for i in range(depth + 1):
            own = own or joints[i] == to
        if now.joints[to, TOUCHED]:
            landing = HELD
        elif hangs or own:
            landing = OWN
        else:
            landing = LEANS
        if landing != LEANS or size <= 3:
            if paired:
                _paired(now, size, landing, hangs)
            else:
                _any(now, size, landing, hangs)
        if landing == LEANS and size < deepest:
            depth += 1
            turn[depth] = now.at[to]
