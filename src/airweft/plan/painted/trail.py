"""Trails: what the pairing of bubble ends makes of the bubbles, and how it is changed.

A trail is *sound* if one balloon can make it (making rule M4) and at most one was started in it.
Changes are logged, so that a move can be tried and taken back.
"""

from __future__ import annotations

import numpy as np

from airweft.plan.painted.compiled import compiled
from airweft.plan.painted.state import (
    BEFORE,
    CHANGED,
    CLOSE,
    CLOSEST,
    DECIDED,
    DICE,
    EFFORT,
    KIND,
    KNOTTED,
    LENGTH,
    LOGGED,
    MATE,
    NEW_KNOT,
    NOZZLE,
    Now,
)
from airweft.records.arrays import Indices

_EASED = 0.08  # what a pair on a small ring is worth, in trails


@compiled
def thrown(tally: Indices, place: int, sides: int) -> np.int64:
    """A number from 0 to sides - 1 (xorshift; G. Marsaglia, J. Stat. Softw. 8 (2003), no. 14).

    The state of the dice is `tally[place]`.
    """
    x = np.uint64(tally[place])
    x ^= x << np.uint64(13)
    x ^= x >> np.uint64(7)
    x ^= x << np.uint64(17)
    tally[place] = np.int64(x)
    return np.int64((x >> np.uint64(11)) % np.uint64(sides))


@compiled
def throw(now: Now, sides: int) -> np.int64:
    """A number from 0 to sides - 1, from the dice of the run."""
    return thrown(now.tally, DICE, sides)


@compiled
def follow(now: Now, bubble: int) -> tuple[int, int, int, int]:
    """The trail through a bubble: bubbles, their length, the lowest of them, balloons started."""
    mate, nozzle = now.ends[:, MATE], now.ends[:, NOZZLE]
    lowest, bubbles, length = bubble, 1, now.bubbles[bubble, LENGTH]
    started = nozzle[2 * bubble] + nozzle[2 * bubble + 1]
    for side in range(2):
        end = mate[2 * bubble + 1 - side]
        while end >= 0:
            here = end >> 1
            if here == bubble:  # closed
                now.tally[EFFORT] += bubbles
                return bubbles, length, lowest, started
            lowest = min(lowest, here)
            bubbles += 1
            length += now.bubbles[here, LENGTH]
            started += nozzle[end] + nozzle[end ^ 1]
            end = mate[end ^ 1]
    now.tally[EFFORT] += bubbles
    return bubbles, length, lowest, started


@compiled
def one_balloon(now: Now, kind: int, bubbles: int, length: int, started: int) -> bool:
    """True if one balloon of a kind can make so many bubbles, and no second was started there."""
    if started > 1 or bubbles > now.most[kind, 0]:
        return False
    return bool(length <= now.most[kind, bubbles])


@compiled
def is_sound(now: Now, bubble: int) -> bool:
    """True if one balloon can make the trail through a bubble."""
    bubbles, length, _, started = follow(now, bubble)
    return one_balloon(now, now.bubbles[bubble, KIND], bubbles, length, started)


@compiled
def has_start(now: Now, bubble: int) -> bool:
    """True if a balloon was started in the trail through a bubble."""
    return follow(now, bubble)[3] > 0


@compiled
def count_trails(now: Now) -> int:
    """Trails in all, which is the number of balloons."""
    trails = 0
    for bubble in range(len(now.bubbles)):
        if follow(now, bubble)[2] == bubble:
            trails += 1
    return trails


@compiled
def _set(now: Now, end: int, mate: int) -> None:
    i = now.tally[LOGGED]
    now.log[i, CHANGED] = end
    now.log[i, BEFORE] = now.ends[end, MATE]
    now.tally[LOGGED] = i + 1
    now.ends[end, MATE] = mate


@compiled
def knot(now: Now, end: int) -> None:
    """A balloon is started by leaving through an end; logged."""
    now.log[now.tally[KNOTTED], NEW_KNOT] = end
    now.tally[KNOTTED] += 1
    now.ends[end, NOZZLE] = 1


@compiled
def take_back(now: Now) -> None:
    """Undo all logged changes; the log keeps its entries until it is cleared."""
    for i in range(now.tally[LOGGED] - 1, -1, -1):
        now.ends[now.log[i, CHANGED], MATE] = now.log[i, BEFORE]
    for i in range(now.tally[KNOTTED]):
        now.ends[now.log[i, NEW_KNOT], NOZZLE] = 0


@compiled
def clear_log(now: Now) -> None:
    """Forget what was changed."""
    now.tally[LOGGED] = 0
    now.tally[KNOTTED] = 0


@compiled
def pair(now: Now, x: int, y: int) -> bool:
    """Pair two ends; their former mates are paired with each other if that is sound."""
    mate, decided = now.ends[:, MATE], now.ends[:, DECIDED]
    if mate[x] == y:
        return True
    if decided[x] or decided[y] or now.bubbles[x >> 1, KIND] != now.bubbles[y >> 1, KIND]:
        return False
    u, v = mate[x], mate[y]
    _set(now, x, y)
    _set(now, y, x)
    if u >= 0:
        _set(now, u, -1)
    if v >= 0:
        _set(now, v, -1)
    if u >= 0 and v >= 0:
        _set(now, u, v)
        _set(now, v, u)
        if not is_sound(now, u >> 1):
            mate[u] = mate[v] = -1
            now.tally[LOGGED] -= 2
    return True


@compiled
def part(now: Now, x: int) -> bool:
    """Make an end the end of its trail."""
    u = now.ends[x, MATE]
    if u < 0:
        return True
    if now.ends[x, DECIDED]:
        return False
    _set(now, x, -1)
    _set(now, u, -1)
    return True


@compiled
def open_ends(now: Now, joints: Indices, many: int) -> tuple[Indices, Indices]:
    """Ends that may be paired anew at the first `many` of some joints, by joint and kind."""
    room = 0
    for i in range(many):
        room += now.at[joints[i] + 1] - now.at[joints[i]]
    ends = np.empty(room, np.int64)
    groups = np.empty(room + 1, np.int64)
    groups[0] = 0
    count = total = 0
    for i in range(many):
        first, last = now.at[joints[i]], now.at[joints[i] + 1]
        for a in range(first, last):
            kind = now.bubbles[now.ends_at[a] >> 1, KIND]
            seen = False
            for c in range(first, a):
                seen = seen or now.bubbles[now.ends_at[c] >> 1, KIND] == kind
            if seen:
                continue
            start = total
            for c in range(a, last):
                end = now.ends_at[c]
                if now.bubbles[end >> 1, KIND] == kind and not now.ends[end, DECIDED]:
                    ends[total] = end
                    total += 1
            if total - start >= 2:
                count += 1
                groups[count] = total
            else:
                total = start
    return groups[: count + 1], ends[:total]


@compiled
def is_new(seen: Indices, many: int, trail: int) -> bool:
    """Whether a trail is not among the first `many` seen; it is written down behind them then."""
    for i in range(many):
        if seen[i] == trail:
            return False
    seen[many] = trail
    return True


@compiled
def _held(now: Now, x: int, y: int) -> int:
    """1 if two ends are paired and lie on a small ring, so that the joint between is soon held."""
    if x >= 0 and y >= 0:
        for i in range(CLOSE, CLOSE + CLOSEST):
            if now.ends[x, i] == y:
                return 1
    return 0


@compiled
def _weigh(
    now: Now, ends: Indices, many: int, most: int, seen: Indices, sign: int, energy: float
) -> tuple[int, float]:
    """How many trails run through the first `many` ends, and `energy` with theirs added.

    `sign` is -1 for the trails before a change and 1 for those after it, of which it returns none
    at all if one is not sound.
    """
    trails = 0
    for i in range(many):
        bubble = ends[i] >> 1
        bubbles, length, lowest, started = follow(now, bubble)
        sound = one_balloon(now, now.bubbles[bubble, KIND], bubbles, length, started)
        if sign > 0 and not sound:
            return 0, energy
        if is_new(seen, trails, lowest):
            trails += 1
            energy += sign * (1 - 0.3 * (bubbles / most) ** 2)
    return trails, energy


@compiled
def anneal(
    now: Now,
    groups: Indices,
    ends: Indices,
    steps: int,
    hot: float,
    cold: float,
) -> int:
    """Pair ends anew at random so that there are fewer trails; returns how many fewer.

    Simulated annealing (Kirkpatrick, Gelatt and Vecchi, Science 220 (1983) 671). Besides the number
    of trails, unequal ones are liked better than equal ones, since a short one is soon taken in by
    others, and pairs on a small ring better than straight ones, since they can be laid more easily.
    """
    mate = now.ends[:, MATE]
    best = mate.copy()
    saved = saved_best = 0
    if len(groups) < 2:
        return 0
    seen = np.empty(4, np.int64)
    concerned = np.empty(4, np.int64)
    for step in range(steps):
        heat = hot * (cold / hot) ** (step / steps)
        g = throw(now, len(groups) - 1)
        low, size = groups[g], groups[g + 1] - groups[g]
        i, j = throw(now, size), throw(now, size - 1)
        if j >= i:
            j += 1
        x, y = ends[low + i], ends[low + j]
        most = now.most[now.bubbles[x >> 1, KIND], 0]
        u, v = mate[x], mate[y]
        concerned[0], concerned[1] = x, y
        many = 2
        if u != y:
            if u >= 0:
                concerned[many] = u
                many += 1
            if v >= 0:
                concerned[many] = v
                many += 1
        before, energy = _weigh(now, concerned, many, most, seen, -1, 0.0)
        eased = 0
        if u == y:
            mate[x] = mate[y] = -1
            eased -= _held(now, x, y)
        else:
            mate[x], mate[y] = y, x
            eased += _held(now, x, y) - _held(now, x, u) - _held(now, y, v)
            joined = u >= 0 and v >= 0 and throw(now, 5) > 0
            if u >= 0:
                mate[u] = v if joined else -1
            if v >= 0:
                mate[v] = u if joined else -1
            if joined:
                eased += _held(now, u, v)
        energy -= _EASED * eased
        after, energy = _weigh(now, concerned, many, most, seen, 1, energy)
        if after > 0 and (energy <= 0 or throw(now, 1 << 30) / (1 << 30) < np.exp(-energy / heat)):
            saved += before - after
            if saved > saved_best:
                saved_best = saved
                best[:] = mate
        elif u == y:
            mate[x], mate[y] = y, x
        else:
            mate[x], mate[y] = u, v
            if u >= 0:
                mate[u] = x
            if v >= 0:
                mate[v] = y
    if saved < saved_best:
        mate[:] = best
    return saved_best
