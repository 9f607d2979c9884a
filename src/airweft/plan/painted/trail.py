"""Trails: what the pairing of bubble ends makes of the bubbles, and how it is changed.

A trail is *sound* if one balloon can make it (making rule M4) and at most one was started in it.
Changes are logged, so that a move can be tried and taken back.
"""

from __future__ import annotations

import numpy as np

from airweft.plan.painted.compiled import compiled
from airweft.plan.painted.state import EFFORT, KNOTTED, LOGGED, Flat, Now
from airweft.records.arrays import Indices

_EASED = 0.08  # what a pair on a small ring is worth, in trails


@compiled
def throw(now: Now, sides: int) -> np.int64:
    """A number from 0 to sides - 1 (xorshift; G. Marsaglia, J. Stat. Softw. 8 (2003), no. 14)."""
    x = now.dice[0]
    x ^= x << np.uint64(13)
    x ^= x >> np.uint64(7)
    x ^= x << np.uint64(17)
    now.dice[0] = x
    return np.int64((x >> np.uint64(11)) % np.uint64(sides))


@compiled
def follow(flat: Flat, now: Now, bubble: int) -> tuple[int, int, int, int]:
    """The trail through a bubble: bubbles, their length, the lowest of them, balloons started."""
    mate, nozzle = now.mate, now.nozzle
    lowest, bubbles, length = bubble, 1, flat.length[bubble]
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
            length += flat.length[here]
            started += nozzle[end] + nozzle[end ^ 1]
            end = mate[end ^ 1]
    now.tally[EFFORT] += bubbles
    return bubbles, length, lowest, started


@compiled
def one_balloon(flat: Flat, kind: int, bubbles: int, length: int, started: int) -> bool:
    """True if one balloon of a kind can make so many bubbles, and no second was started there."""
    first = flat.most_at[kind]
    if started > 1 or bubbles >= flat.most_at[kind + 1] - first:
        return False
    return bool(length <= flat.most[first + bubbles])


@compiled
def is_sound(flat: Flat, now: Now, bubble: int) -> bool:
    """True if one balloon can make the trail through a bubble."""
    bubbles, length, _, started = follow(flat, now, bubble)
    return one_balloon(flat, flat.kind[bubble], bubbles, length, started)


@compiled
def has_start(flat: Flat, now: Now, bubble: int) -> bool:
    """True if a balloon was started in the trail through a bubble."""
    return follow(flat, now, bubble)[3] > 0


@compiled
def count_trails(flat: Flat, now: Now) -> int:
    """Trails in all, which is the number of balloons."""
    trails = 0
    for bubble in range(len(flat.length)):
        if follow(flat, now, bubble)[2] == bubble:
            trails += 1
    return trails


@compiled
def _set(now: Now, end: int, mate: int) -> None:
    i = now.tally[LOGGED]
    now.log[i, 0] = end
    now.log[i, 1] = now.mate[end]
    now.tally[LOGGED] = i + 1
    now.mate[end] = mate


@compiled
def knot(now: Now, end: int) -> None:
    """A balloon is started by leaving through an end; logged."""
    now.knot_log[now.tally[KNOTTED]] = end
    now.tally[KNOTTED] += 1
    now.nozzle[end] = 1


@compiled
def take_back(now: Now) -> None:
    """Undo all logged changes; the log keeps its entries until it is cleared."""
    for i in range(now.tally[LOGGED] - 1, -1, -1):
        now.mate[now.log[i, 0]] = now.log[i, 1]
    for i in range(now.tally[KNOTTED]):
        now.nozzle[now.knot_log[i]] = 0


@compiled
def clear_log(now: Now) -> None:
    """Forget what was changed."""
    now.tally[LOGGED] = 0
    now.tally[KNOTTED] = 0


@compiled
def pair(flat: Flat, now: Now, x: int, y: int) -> bool:
    """Pair two ends; their former mates are paired with each other if that is sound."""
    mate, decided = now.mate, now.decided
    if mate[x] == y:
        return True
    if decided[x] or decided[y] or flat.kind[x >> 1] != flat.kind[y >> 1]:
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
        if not is_sound(flat, now, u >> 1):
            mate[u] = mate[v] = -1
            now.tally[LOGGED] -= 2
    return True


@compiled
def part(now: Now, x: int) -> bool:
    """Make an end the end of its trail."""
    u = now.mate[x]
    if u < 0:
        return True
    if now.decided[x]:
        return False
    _set(now, x, -1)
    _set(now, u, -1)
    return True


@compiled
def open_ends(flat: Flat, now: Now, joints: Indices, many: int) -> tuple[Indices, Indices]:
    """Ends that may be paired anew at the first `many` of some joints, by joint and kind."""
    room = 0
    for i in range(many):
        room += flat.at[joints[i] + 1] - flat.at[joints[i]]
    ends = np.empty(room, np.int64)
    groups = np.empty(room + 1, np.int64)
    groups[0] = 0
    count = total = 0
    for i in range(many):
        first, last = flat.at[joints[i]], flat.at[joints[i] + 1]
        for a in range(first, last):
            kind = flat.kind[flat.ends_at[a] >> 1]
            seen = False
            for c in range(first, a):
                seen = seen or flat.kind[flat.ends_at[c] >> 1] == kind
            if seen:
                continue
            start = total
            for c in range(a, last):
                end = flat.ends_at[c]
                if flat.kind[end >> 1] == kind and not now.decided[end]:
                    ends[total] = end
                    total += 1
            if total - start >= 2:
                count += 1
                groups[count] = total
            else:
                total = start
    return groups[: count + 1], ends[:total]


@compiled
def _held(flat: Flat, x: int, y: int) -> int:
    """1 if two ends are paired and lie on a small ring, so that the joint between is soon held."""
    if x >= 0 and y >= 0:
        for i in range(flat.close.shape[1]):
            if flat.close[x, i] == y:
                return 1
    return 0


@compiled
def anneal(
    flat: Flat,
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
    mate = now.mate
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
        kind = flat.kind[x >> 1]
        most = flat.most_at[kind + 1] - flat.most_at[kind] - 1
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
        before, energy = 0, 0.0
        for t in range(many):
            bubbles, length, lowest, started = follow(flat, now, concerned[t] >> 1)
            known = False
            for z in range(before):
                known = known or seen[z] == lowest
            if not known:
                seen[before] = lowest
                before += 1
                energy -= 1 - 0.3 * (bubbles / most) ** 2
        eased = 0
        if u == y:
            mate[x] = mate[y] = -1
            eased -= _held(flat, x, y)
        else:
            mate[x], mate[y] = y, x
            eased += _held(flat, x, y) - _held(flat, x, u) - _held(flat, y, v)
            joined = u >= 0 and v >= 0 and throw(now, 5) > 0
            if u >= 0:
                mate[u] = v if joined else -1
            if v >= 0:
                mate[v] = u if joined else -1
            if joined:
                eased += _held(flat, u, v)
        energy -= _EASED * eased
        after, sound = 0, True
        for t in range(many):
            bubbles, length, lowest, started = follow(flat, now, concerned[t] >> 1)
            if not one_balloon(flat, kind, bubbles, length, started):
                sound = False
                break
            known = False
            for z in range(after):
                known = known or seen[z] == lowest
            if not known:
                seen[after] = lowest
                after += 1
                energy += 1 - 0.3 * (bubbles / most) ** 2
        if sound and (energy <= 0 or throw(now, 1 << 30) / (1 << 30) < np.exp(-energy / heat)):
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
