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
    ANY,
    AWAY,
    BEGUN,
    EASE,
    EFFORT,
    FIRST,
    HAND,
    HANGS,
    HEAD,
    KNOTS,
    LOGGED,
    MEET,
    NOISE,
    PEAK,
    PRICE,
    SIZE,
    STAGE,
    TAIL,
    WALK,
    Flat,
    Now,
)
from airweft.plan.painted.trail import (
    clear_log,
    follow,
    has_start,
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
def decide(flat: Flat, now: Now, size: int, meet: int, head: int, tail: int, knots: int) -> bool:
    """Pair and part all ends that the move in `now.walk` settles; False if it cannot be made."""
    walk = now.walk
    for i in range(size):
        if flat.against[walk[i] if i < meet else walk[i] ^ 1]:
            return False
    if meet > 0:
        if head >= 0:
            if not pair(flat, now, head, walk[0]):
                return False
        else:
            if not part(now, walk[0]):
                return False
            knot(now, walk[0])
    if meet < size:
        end = walk[size - 1] ^ 1
        if tail >= 0:
            if not pair(flat, now, tail, end):
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
        elif not pair(flat, now, walk[i - 1] ^ 1, walk[i]):
            return False
    return True


@compiled
def _concerned(flat: Flat, now: Now, size: int, sound: bool) -> int:
    """How many trails run through the walk and the changed ends; -1 if one is not sound."""
    seen = np.empty(48, np.int64)
    changes = now.tally[LOGGED]
    trails = 0
    for t in range(changes + size):
        bubble = (now.log[t, 0] if t < changes else now.walk[t - changes]) >> 1
        bubbles, length, lowest, started = follow(flat, now, bubble)
        if sound and not one_balloon(flat, flat.kind[bubble], bubbles, length, started):
            return -1
        known = False
        for z in range(trails):
            known = known or seen[z] == lowest
        if not known:
            seen[trails] = lowest
            trails += 1
    return trails


@compiled
def price(flat: Flat, now: Now, size: int, meet: int, head: int, tail: int, knots: int) -> int:
    """Trails more than before if the move in `now.walk` is made, IMPOSSIBLE if it cannot be."""
    after = -1
    if decide(flat, now, size, meet, head, tail, knots):
        after = _concerned(flat, now, size, True)
    take_back(now)
    cost = IMPOSSIBLE
    if after >= 0:
        cost = after - _concerned(flat, now, size, False)
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
    flat: Flat, now: Now, size: int, meet: int, head: int, tail: int, knots: int, cost: int,
    hangs: bool,
) -> None:  # fmt: skip
    """Keep a move if it is better than the best so far: price, ease, then tidy work."""
    peak = _peak(size, meet, knots, hangs and meet == size)
    if peak > flat.hands:
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
            at, to = flat.joint_of[hand], now.joints[0]
            for axis in range(3):
                far += abs(flat.place[at, axis] - flat.place[to, axis])
        level = 0
        for i in range(size + 1):
            level = max(level, now.level[now.joints[i]])
        key = key << 1 | (peak > now.tally[EASE])
        key = key << 1 | away
        key = key << 3 | fresh
        key = key << 1 | (noise == 1 and throw(now, 4) == 0)
        key = key << 16 | min(level, 65535)
        key = key << 10 | min(far, 1023)
        key = key << 3 | size
        key = key << 17 | (now.walk[0] * 7 + now.walk[size - 1]) % (1 << 17)
    if key < now.best_key[0]:
        now.best_key[0] = key
        best = now.best
        best[SIZE], best[MEET], best[HEAD], best[TAIL] = size, meet, head, tail
        best[PRICE], best[PEAK], best[KNOTS] = cost, peak, knots
        best[HANGS], best[AWAY] = hangs and meet == size, away
        for i in range(size):
            best[WALK + i] = now.walk[i]


@compiled
def _source(flat: Flat, now: Now, end: int) -> int:
    """What leaves through an end by the pairing: a parked end, -1 a fresh balloon, -2 nothing."""
    mate = now.mate[end]
    if mate >= 0:
        return mate if now.tip[mate] else -2
    return -2 if has_start(flat, now, end >> 1) else -1


@compiled
def _paired(flat: Flat, now: Now, size: int, landing: int, hangs: bool) -> None:
    """Offer the ways to make a walk that keep to the pairing."""
    walk, mate = now.walk, now.mate
    head = _source(flat, now, walk[0])
    tail = -2
    if landing != OWN or hangs:
        tail = _source(flat, now, walk[size - 1] ^ 1)
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
            if mate[end] < 0 and not has_start(flat, now, end >> 1):
                knots |= 1 << i
            else:
                keeps = False
                break
        if keeps and price(flat, now, size, meet, head, tail, knots) <= 0:
            _offer(flat, now, size, meet, head, tail, knots, 0, hangs)


@compiled
def _any(flat: Flat, now: Now, size: int, landing: int, hangs: bool) -> None:
    """Offer every way to make a walk, with what it costs to change the pairing for it."""
    walk = now.walk
    near, far = now.joints[0], now.joints[size]
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
                    fits = fits and flat.kind[walk[i - 1] >> 1] == flat.kind[walk[i] >> 1]
            if not fits or _peak(size, meet, knots, hangs and meet == size) > flat.hands:
                continue
            heads = flat.at[near + 1] - flat.at[near] if meet > 0 else 0
            tails = flat.at[far + 1] - flat.at[far] if meet < size and landing == HELD else 0
            for h in range(-1, heads):
                head = flat.ends_at[flat.at[near] + h] if h >= 0 else -1
                if head >= 0 and not now.tip[head]:
                    continue
                for t in range(-1, tails):
                    tail = flat.ends_at[flat.at[far] + t] if t >= 0 else -1
                    if tail >= 0 and (not now.tip[tail] or tail == head):
                        continue
                    cost = price(flat, now, size, meet, head, tail, knots)
                    if cost < IMPOSSIBLE:
                        _offer(flat, now, size, meet, head, tail, knots, cost, hangs)


@compiled
def _may_be_made(flat: Flat, now: Now, bubble: int) -> bool:
    """True if it is the bubble's turn."""
    if now.made[bubble]:
        return False
    if now.tally[ANY]:
        return True
    return bool(flat.stage[bubble] <= now.tally[STAGE] and flat.rank[bubble] <= now.tally[BEGUN])


@compiled
def look(flat: Flat, now: Now, start: int, deepest: int, paired: bool) -> None:
    """Offer the moves of every walk of at most `deepest` bubbles that leaves a touched joint.

    `paired`: only those that keep to the pairing, which is far quicker.
    """
    walk, joints, turn = now.walk, now.joints, now.turn
    joints[0] = start
    turn[0] = flat.at[start]
    depth = 0
    while depth >= 0:
        here = joints[depth]
        if turn[depth] >= flat.at[here + 1]:
            depth -= 1
            continue
        end = flat.ends_at[turn[depth]]
        turn[depth] += 1
        bubble = end >> 1
        if not _may_be_made(flat, now, bubble):
            continue
        again = False
        for i in range(depth):
            again = again or walk[i] >> 1 == bubble
        if again:
            continue
        to = flat.joint_of[end ^ 1]
        now.tally[EFFORT] += _WALK
        walk[depth] = end
        joints[depth + 1] = to
        size = depth + 1
        hangs = flat.hangs[bubble] == 1 and end == 2 * bubble
        own = False
        for i in range(depth + 1):
            own = own or joints[i] == to
        if now.touched[to]:
            landing = HELD
        elif hangs or own:
            landing = OWN
        else:
            landing = LEANS
        if landing != LEANS or size <= 3:
            if paired:
                _paired(flat, now, size, landing, hangs)
            else:
                _any(flat, now, size, landing, hangs)
        if landing == LEANS and size < deepest:
            depth += 1
            turn[depth] = flat.at[to]
