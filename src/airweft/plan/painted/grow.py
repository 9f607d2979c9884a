"""Growing: one move after the other, from the first knot to the last bubble."""

from __future__ import annotations

import numpy as np

from airweft.plan.painted.compiled import compiled
from airweft.plan.painted.move import decide, look
from airweft.plan.painted.state import (
    ANY,
    BEGUN,
    BEST,
    BEST_KEY,
    CHANGED,
    DECIDED,
    DIRTY,
    EASE,
    FIRST,
    HAND,
    HANDS,
    HEAD,
    JOINT,
    KEY,
    KNOTS,
    LEFT,
    LEVEL,
    LOGGED,
    MADE,
    MATE,
    MEET,
    MOVES,
    NEVER,
    PEAK,
    PRICE,
    RANK,
    RANKS,
    SIZE,
    STAGE,
    STAGES,
    TAIL,
    TIP,
    TOUCHED,
    TURN,
    WALK,
    WALKED,
    Now,
)
from airweft.plan.painted.trail import anneal, clear_log, open_ends
from airweft.records.arrays import Indices

_NEAR = 3  # how many bubbles away a change can alter a joint's moves
_MEND = 6  # how many bubbles around a changed pairing it is improved again
_SHORT = 3  # bubbles in the walks that are tried first


@compiled
def _decided(now: Now, end: int) -> None:
    now.ends[end, DECIDED] = 1
    now.ends[end, TIP] = 0


@compiled
def make(now: Now) -> None:
    """Make the move in `now.scratch[BEST]` for good."""
    move, walk = now.scratch[BEST], now.scratch[WALKED]
    size, meet, knots = move[SIZE], move[MEET], move[KNOTS]
    for i in range(size):
        walk[i] = move[WALK + i]
    decide(now, size, meet, move[HEAD], move[TAIL], knots)
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
            now.ends[x, TIP] = now.ends[y, TIP] = 1
        elif not knots >> i & 1:
            _decided(now, x)
            _decided(now, y)
        elif i < meet:
            _decided(now, y)
            now.ends[x, TIP] = 1
        else:
            _decided(now, x)
            now.ends[y, TIP] = 1
    if meet == size:
        hand = walk[size - 1] ^ 1
        now.ends[hand, TIP] = 1
    elif meet == 0:
        hand = walk[0]
        now.ends[hand, TIP] = 1
    else:
        hand = walk[meet - 1] ^ 1
        if now.ends[hand, MATE] < 0:
            hand = walk[meet]
    now.tally[HAND] = hand
    now.tally[ANY] = 0
    for i in range(size):
        bubble = walk[i] >> 1
        now.bubbles[bubble, MADE] = 1
        now.joints[now.ends[walk[i], JOINT], TOUCHED] = 1
        now.joints[now.ends[walk[i] ^ 1, JOINT], TOUCHED] = 1
        if now.bubbles[bubble, TURN] >= 0:
            now.left[STAGES, now.bubbles[bubble, TURN]] -= 1
        if now.bubbles[bubble, RANK] >= 0:
            now.left[RANKS, now.bubbles[bubble, RANK]] = 0
    now.tally[LEFT] -= size
    now.moves[now.tally[MOVES], :] = move
    now.tally[MOVES] += 1


@compiled
def _take_turns(now: Now) -> bool:
    """Let the next stage or rank begin where its turn has come; True if something changed."""
    changed = False
    last = now.left.shape[1] - 1
    while now.tally[STAGE] < last and now.left[STAGES, now.tally[STAGE]] == 0:
        now.tally[STAGE] += 1
        changed = True
    while now.tally[BEGUN] < last and now.left[RANKS, now.tally[BEGUN]] == 0:
        now.tally[BEGUN] += 1
        changed = True
    return changed


@compiled
def around(now: Now, joints: Indices, many: int, wide: int) -> Indices:
    """The joints at most `wide` bubbles away from some joints, these first."""
    inside = np.zeros(len(now.at) - 1, np.int64)
    found = np.empty(len(now.at) - 1, np.int64)
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
            for a in range(now.at[found[i]], now.at[found[i] + 1]):
                to = now.ends[now.ends_at[a] ^ 1, JOINT]
                if not inside[to]:
                    inside[to] = 1
                    found[count] = to
                    count += 1
        low = high
    return found[:count]


@compiled
def _to_do(now: Now, joint: int) -> bool:
    """True at a touched joint where something is left to make."""
    if not now.joints[joint, TOUCHED]:
        return False
    for a in range(now.at[joint], now.at[joint + 1]):
        if not now.bubbles[now.ends_at[a] >> 1, MADE]:
            return True
    return False


@compiled
def _best_of_frontier(now: Now, deepest: int, paired: bool) -> bool:
    """Put the best move of the whole frontier into `now.scratch[BEST]`; False if there is none.

    What a joint offers is remembered and asked again only near a change, and before it is used:
    a trail may have changed far away.
    """
    column = 0 if paired else 1
    keys, dirty = now.joints[:, KEY + column], now.joints[:, DIRTY + column]
    for joint in range(len(keys)):
        if dirty[joint]:
            dirty[joint] = 0
            keys[joint] = NEVER
            if _to_do(now, joint):
                now.tally[BEST_KEY] = NEVER
                look(now, joint, deepest, paired)
                keys[joint] = now.tally[BEST_KEY]
    again = np.zeros(len(keys), np.int64)
    while True:
        joint = int(np.argmin(keys))
        if keys[joint] == NEVER:
            return False
        now.tally[BEST_KEY] = NEVER
        look(now, joint, deepest, paired)
        if now.tally[BEST_KEY] < NEVER and (
            again[joint] or now.tally[BEST_KEY] >> 52 <= keys[joint] >> 52
        ):
            return True
        keys[joint] = now.tally[BEST_KEY]
        again[joint] = 1


@compiled
def _choose(now: Now) -> bool:
    """Put the next move into `now.scratch[BEST]`; False if nothing can be made."""
    deepest = min(now.tally[HANDS], 4)
    hand = now.tally[HAND]
    if hand >= 0:
        joint = now.ends[hand, JOINT]
        now.tally[BEST_KEY] = NEVER
        if _to_do(now, joint):
            look(now, joint, min(_SHORT, deepest), True)
            if now.tally[BEST_KEY] < NEVER and now.scratch[BEST][PEAK] <= now.tally[EASE]:
                return True
    if _best_of_frontier(now, deepest, True):
        return True
    if _best_of_frontier(now, min(_SHORT, deepest), False):
        return True
    now.tally[BEST_KEY] = NEVER
    for joint in range(len(now.joints)):
        if _to_do(now, joint):
            look(now, joint, deepest, False)
    return bool(now.tally[BEST_KEY] < NEVER)


@compiled
def grow(now: Now, mend: int, most_moves: int) -> bool:
    """Make so many moves, or all that are left; False if the piece cannot be gone on with.

    After a move that costs a trail the pairing around it is improved in `mend` steps.
    """
    for _ in range(most_moves):
        if now.tally[LEFT] == 0:
            return True
        if _take_turns(now):
            now.joints[:, DIRTY : DIRTY + 2] = 1
        if not _choose(now):
            if now.tally[ANY] or now.left.shape[1] == 1:
                return False
            now.tally[ANY] = 1  # better out of turn than not at all
            now.joints[:, DIRTY : DIRTY + 2] = 1
            continue
        make(now)
        size = now.scratch[BEST][SIZE]
        changes = now.tally[LOGGED]
        changed = np.empty(2 * size + changes, np.int64)
        for i in range(size):
            changed[2 * i] = now.ends[now.scratch[WALKED][i], JOINT]
            changed[2 * i + 1] = now.ends[now.scratch[WALKED][i] ^ 1, JOINT]
        for i in range(changes):
            changed[2 * size + i] = now.ends[now.log[i, CHANGED], JOINT]
        clear_log(now)
        wide = _NEAR
        if now.scratch[BEST][PRICE] > 0 and mend > 0:
            wide = _MEND + _NEAR
            region = around(now, changed, len(changed), _MEND)
            groups, ends = open_ends(now, region, len(region))
            anneal(now, groups, ends, mend, 0.15, 0.02)
        for joint in around(now, changed, len(changed), wide):
            now.joints[joint, DIRTY : DIRTY + 2] = 1
    return True


@compiled
def _measure_levels(now: Now, start: int) -> None:
    """How many bubbles every joint lies away from the first knot."""
    now.joints[:, LEVEL] = 0
    known = np.zeros(len(now.joints), np.int64)
    queue = np.empty(len(now.joints), np.int64)
    queue[0] = start
    known[start] = 1
    low, high = 0, 1
    while low < high:
        joint = queue[low]
        low += 1
        for a in range(now.at[joint], now.at[joint + 1]):
            to = now.ends[now.ends_at[a] ^ 1, JOINT]
            if not known[to]:
                known[to] = 1
                now.joints[to, LEVEL] = now.joints[joint, LEVEL] + 1
                queue[high] = to
                high += 1


@compiled
def begin(now: Now, joint: int) -> bool:
    """Lay the first knot at a joint and make the first move; False if there is none."""
    now.joints[joint, TOUCHED] = 1
    _measure_levels(now, joint)
    _take_turns(now)
    now.tally[BEST_KEY] = NEVER
    now.tally[FIRST] = 1
    deepest = min(now.tally[HANDS], 4)
    look(now, joint, deepest, True)
    if now.tally[BEST_KEY] == NEVER or now.scratch[BEST][PEAK] > now.tally[EASE]:
        look(now, joint, deepest, False)
    now.tally[FIRST] = 0
    if now.tally[BEST_KEY] == NEVER:
        return False
    make(now)
    clear_log(now)
    return True


@compiled
def repeat(now: Now, moves: Indices, many: int) -> None:
    """Make the first moves of an earlier run again."""
    first = moves[0]
    start = now.ends[first[WALK], JOINT]
    now.joints[start, TOUCHED] = 1
    _measure_levels(now, start)
    for i in range(many):
        _take_turns(now)
        now.scratch[BEST][:] = moves[i]
        make(now)
        clear_log(now)
    _take_turns(now)
