"""Growing: one move after the other, from the first knot to the last bubble."""

from __future__ import annotations

import numpy as np

from airweft.plan.painted.compiled import compiled
from airweft.plan.painted.move import decide, look
from airweft.plan.painted.state import (
    ANY,
    BEGUN,
    EASE,
    FIRST,
    HAND,
    HEAD,
    KNOTS,
    LEFT,
    LOGGED,
    MEET,
    MOVES,
    NEVER,
    PEAK,
    PRICE,
    SIZE,
    STAGE,
    TAIL,
    WALK,
    Flat,
    Now,
)
from airweft.plan.painted.trail import anneal, clear_log, open_ends
from airweft.records.arrays import Indices

_NEAR = 3  # how many bubbles away a change can alter a joint's moves
_MEND = 6  # how many bubbles around a changed pairing it is improved again
_SHORT = 3  # bubbles in the walks that are tried first


@compiled
def _decided(now: Now, end: int) -> None:
    now.decided[end] = 1
    now.tip[end] = 0


@compiled
def make(flat: Flat, now: Now) -> None:
    """Make the move in `now.best` for good."""
    move, walk = now.best, now.walk
    size, meet, knots = move[SIZE], move[MEET], move[KNOTS]
    for i in range(size):
        walk[i] = move[WALK + i]
    decide(flat, now, size, meet, move[HEAD], move[TAIL], knots)
    if meet > 0:
        _decided(now, walk[0])
        if move[HEAD] >= 0:
            _decided(now, move[HEAD])
    if meet < size:
        _decided(now, walk[size - 1] ^ 1)
        if move[TAIL] >= 0:
            _decided(now, move[TAIL])
    for i in range(1, size):
        x, y = walk[i - 1] ^ 1, walk[i]
        if i == meet:
            now.tip[x] = now.tip[y] = 1
        elif not knots >> i & 1:
            _decided(now, x)
            _decided(now, y)
        elif i < meet:
            _decided(now, y)
            now.tip[x] = 1
        else:
            _decided(now, x)
            now.tip[y] = 1
    if meet == size:
        hand = walk[size - 1] ^ 1
        now.tip[hand] = 1
    elif meet == 0:
        hand = walk[0]
        now.tip[hand] = 1
    else:
        hand = walk[meet - 1] ^ 1
        if now.mate[hand] < 0:
            hand = walk[meet]
    now.tally[HAND] = hand
    now.tally[ANY] = 0
    for i in range(size):
        bubble = walk[i] >> 1
        now.made[bubble] = 1
        now.touched[flat.joint_of[walk[i]]] = 1
        now.touched[flat.joint_of[walk[i] ^ 1]] = 1
        if flat.stage[bubble] >= 0:
            now.stage_left[flat.stage[bubble]] -= 1
        if flat.rank[bubble] >= 0:
            now.rank_left[flat.rank[bubble]] = 0
    now.tally[LEFT] -= size
    now.moves[now.tally[MOVES], :] = move
    now.tally[MOVES] += 1


@compiled
def _take_turns(now: Now) -> bool:
    """Let the next stage or rank begin where its turn has come; True if something changed."""
    changed = False
    while now.tally[STAGE] < len(now.stage_left) - 1 and now.stage_left[now.tally[STAGE]] == 0:
        now.tally[STAGE] += 1
        changed = True
    while now.tally[BEGUN] < len(now.rank_left) - 1 and now.rank_left[now.tally[BEGUN]] == 0:
        now.tally[BEGUN] += 1
        changed = True
    return changed


@compiled
def around(flat: Flat, joints: Indices, many: int, wide: int) -> Indices:
    """The joints at most `wide` bubbles away from some joints, these first."""
    inside = np.zeros(len(flat.at) - 1, np.int64)
    found = np.empty(len(flat.at) - 1, np.int64)
    count = 0
    for i in range(many):
        if not inside[joints[i]]:
            inside[joints[i]] = 1
            found[count] = joints[i]
            count += 1
    low = 0
    for _ in range(wide):
        high = count
        for i in range(low, high):
            for a in range(flat.at[found[i]], flat.at[found[i] + 1]):
                to = flat.joint_of[flat.ends_at[a] ^ 1]
                if not inside[to]:
                    inside[to] = 1
                    found[count] = to
                    count += 1
        low = high
    return found[:count]


@compiled
def _to_do(flat: Flat, now: Now, joint: int) -> bool:
    """True at a touched joint where something is left to make."""
    if not now.touched[joint]:
        return False
    for a in range(flat.at[joint], flat.at[joint + 1]):
        if not now.made[flat.ends_at[a] >> 1]:
            return True
    return False


@compiled
def _best_of_frontier(flat: Flat, now: Now, deepest: int, paired: bool) -> bool:
    """Put the best move of the whole frontier into `now.best`; False if there is none.

    What a joint offers is remembered and asked again only near a change, and before it is used:
    a trail may have changed far away.
    """
    column = 0 if paired else 1
    keys, dirty = now.queue_key[:, column], now.dirty[:, column]
    for joint in range(len(keys)):
        if dirty[joint]:
            dirty[joint] = 0
            keys[joint] = NEVER
            if _to_do(flat, now, joint):
                now.best_key[0] = NEVER
                look(flat, now, joint, deepest, paired)
                keys[joint] = now.best_key[0]
    again = np.zeros(len(keys), np.int64)
    while True:
        joint = int(np.argmin(keys))
        if keys[joint] == NEVER:
            return False
        now.best_key[0] = NEVER
        look(flat, now, joint, deepest, paired)
        if now.best_key[0] < NEVER and (again[joint] or now.best_key[0] >> 52 <= keys[joint] >> 52):
            return True
        keys[joint] = now.best_key[0]
        again[joint] = 1


@compiled
def _choose(flat: Flat, now: Now) -> bool:
    """Put the next move into `now.best`; False if nothing can be made."""
    deepest = min(flat.hands, 4)
    hand = now.tally[HAND]
    if hand >= 0:
        joint = flat.joint_of[hand]
        now.best_key[0] = NEVER
        if _to_do(flat, now, joint):
            look(flat, now, joint, min(_SHORT, deepest), True)
            if now.best_key[0] < NEVER and now.best[PEAK] <= now.tally[EASE]:
                return True
    if _best_of_frontier(flat, now, deepest, True):
        return True
    if _best_of_frontier(flat, now, min(_SHORT, deepest), False):
        return True
    now.best_key[0] = NEVER
    for joint in range(len(now.touched)):
        if _to_do(flat, now, joint):
            look(flat, now, joint, deepest, False)
    return bool(now.best_key[0] < NEVER)


@compiled
def grow(flat: Flat, now: Now, mend: int, most_moves: int) -> bool:
    """Make so many moves, or all that are left; False if the piece cannot be gone on with.

    After a move that costs a trail the pairing around it is improved in `mend` steps.
    """
    for _ in range(most_moves):
        if now.tally[LEFT] == 0:
            return True
        if _take_turns(now):
            now.dirty[:] = 1
        if not _choose(flat, now):
            if now.tally[ANY] or (len(now.stage_left) == 1 and len(now.rank_left) == 1):
                return False
            now.tally[ANY] = 1  # better out of turn than not at all
            now.dirty[:] = 1
            continue
        make(flat, now)
        size = now.best[SIZE]
        changes = now.tally[LOGGED]
        changed = np.empty(2 * size + changes, np.int64)
        for i in range(size):
            changed[2 * i] = flat.joint_of[now.walk[i]]
            changed[2 * i + 1] = flat.joint_of[now.walk[i] ^ 1]
        for i in range(changes):
            changed[2 * size + i] = flat.joint_of[now.log[i, 0]]
        clear_log(now)
        wide = _NEAR
        if now.best[PRICE] > 0 and mend > 0:
            wide = _MEND + _NEAR
            region = around(flat, changed, len(changed), _MEND)
            groups, ends = open_ends(flat, now, region, len(region))
            anneal(flat, now, groups, ends, mend, 0.15, 0.02)
        for joint in around(flat, changed, len(changed), wide):
            now.dirty[joint, 0] = now.dirty[joint, 1] = 1
    return True


@compiled
def _measure_levels(flat: Flat, now: Now, start: int) -> None:
    """How many bubbles every joint lies away from the first knot."""
    now.level[:] = 0
    known = np.zeros(len(now.level), np.int64)
    queue = np.empty(len(now.level), np.int64)
    queue[0] = start
    known[start] = 1
    low, high = 0, 1
    while low < high:
        joint = queue[low]
        low += 1
        for a in range(flat.at[joint], flat.at[joint + 1]):
            to = flat.joint_of[flat.ends_at[a] ^ 1]
            if not known[to]:
                known[to] = 1
                now.level[to] = now.level[joint] + 1
                queue[high] = to
                high += 1


@compiled
def begin(flat: Flat, now: Now, joint: int) -> bool:
    """Lay the first knot at a joint and make the first move; False if there is none."""
    now.touched[joint] = 1
    _measure_levels(flat, now, joint)
    _take_turns(now)
    now.best_key[0] = NEVER
    now.tally[FIRST] = 1
    deepest = min(flat.hands, 4)
    look(flat, now, joint, deepest, True)
    if now.best_key[0] == NEVER or now.best[PEAK] > now.tally[EASE]:
        look(flat, now, joint, deepest, False)
    now.tally[FIRST] = 0
    if now.best_key[0] == NEVER:
        return False
    make(flat, now)
    clear_log(now)
    return True


@compiled
def repeat(flat: Flat, now: Now, moves: Indices, many: int) -> None:
    """Make the first moves of an earlier run again."""
    first = moves[0]
    start = flat.joint_of[first[WALK]]
    now.touched[start] = 1
    _measure_levels(flat, now, start)
    for i in range(many):
        _take_turns(now)
        now.best[:] = moves[i]
        make(flat, now)
        clear_log(now)
    _take_turns(now)
