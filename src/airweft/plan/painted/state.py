"""The flat arrays that the compiled loops work on.

Bubble `b` has two ends, numbered `2b` and `2b + 1`; `e ^ 1` is the other end of the same bubble.
"""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

import numpy as np

from airweft.plan.kinds import Work
from airweft.plan.pins import Pins
from airweft.records.arrays import Indices

# Columns of `Now.ends`, one row for each bubble end.
JOINT = 0  # where it is
AGAINST = 1  # 1: no balloon may leave its joint by this end (a maker's wish)
PINNED = 2  # the end that has to be paired with this one; -1 none, -2 no end at all
MATE = 3  # the end paired with this one, -1 for none
DECIDED = 4  # 1: the pairing of this end is laid, or wished for by the maker
NOZZLE = 5  # 1: a balloon was started here
TIP = 6  # 1: a balloon is parked here
CLOSE = 7  # from here on ends at the joint that lie with this one on a ring of at most four bubbles
CLOSEST = 4  # so many of them, -1 for none; pairs of these are soon held

# Columns of `Now.bubbles`.
KIND = 0
LENGTH = 1  # hundredths of a millimetre
FREE = 2  # 1: the second end hangs free
TURN = 3  # stage and rank say whose turn it is (pins.py); -1 at any time
RANK = 4
MADE = 5

# Columns of `Now.joints`.
PLACE = 0  # three columns, in quarters of a bubble length
LEVEL = 3  # bubbles away from the first knot
TOUCHED = 4
DIRTY = 5  # two columns: what the joint offers is to be asked again, by the pairing and otherwise
KEY = 7  # two columns: the key of the best move it offered

# Places in `Now.tally`.
LOGGED = 0  # changed pairings in `log`
EFFORT = 1  # bubbles followed along trails: the measure of effort that is the same everywhere
KNOTTED = 2  # new knots in `log`
STAGE = 3  # bubbles of later stages wait
BEGUN = 4  # bubbles of higher ranks wait
ANY = 5  # 1 while neither stages nor ranks are minded, because nothing else can be made
HAND = 6  # the end where the balloon in hand lies, or -1
FIRST = 7  # 1 while the first move is chosen, which must leave the first knot
EASE = 8  # loose twists wanted at most; more only where nothing else can be made
NOISE = 9  # 0 tidy, 1 shuffles equals now and then, 2 minds nothing but the number of balloons
LEFT = 10  # bubbles still to be made
MOVES = 11  # moves made
HANDS = 12  # loose twists allowed
DICE = 13  # the state of the random numbers
BEST_KEY = 14  # the key of the best move offered since it was set to NEVER
COUNTS = 15

# Columns of `Now.log`.
CHANGED = 0  # an end, and
BEFORE = 1  # its mate before
NEW_KNOT = 2  # an end where a balloon was started

# Rows of `Now.scratch`.
WALKED = 0  # the ends by which the walk looked at leaves its joints
PASSED = 1  # its joints
NEXT = 2  # for each of them which end comes next
BEST = 3  # the best move offered

# Rows of `Now.left`.
STAGES = 0  # bubbles of each stage not made yet
RANKS = 1  # 1 for a rank not begun

# Columns of a move.
SIZE = 0  # bubbles of the walk
MEET = 1  # where its two sides meet: 0 all from the far end, SIZE all from the start
HEAD = 2  # the end of the parked balloon that goes on from the start, or -1 for a fresh one
TAIL = 3  # the same at the far end
PRICE = 4  # trails more than before
PEAK = 5  # loose twists on the way
KNOTS = 6  # bit i: a fresh balloon starts at the walk's joint i
HANGS = 7  # 1 if the walk runs out into a free end
AWAY = 8  # 1 if another balloon than the one in hand is taken up
WALK = 9  # from here on the ends by which the walk leaves its joints
LONGEST = 6  # bubbles in a walk
WIDTH = WALK + LONGEST

NEVER = 1 << 62  # a key that every move undercuts


class Now(NamedTuple):
    """A net and the state of one run on it; all int64. See the constants for rows and columns.

    ends (2m, 11), bubbles (m, 6), joints (n, 9)
    at, ends_at     the ends at joint j are ends_at[at[j]:at[j + 1]]
    most            the longest total of i bubbles of kind k is most[k, i]; most[k, 0] is the most
                    bubbles a balloon of that kind makes
    tally (COUNTS,), log (256, 3), scratch (4, WIDTH), left (2, s)
    moves (m + 1, WIDTH)   the moves so far
    """

    ends: Indices
    bubbles: Indices
    joints: Indices
    at: Indices
    ends_at: Indices
    most: Indices
    tally: Indices
    log: Indices
    scratch: Indices
    left: Indices
    moves: Indices


def lay_out(work: Work, pins: Pins | None = None) -> Now:
    """The state before the first knot; only the maker's wishes are decided."""
    pins = pins or Pins()
    m, n = len(work.ends), work.joint_count
    ends = np.zeros((2 * m, CLOSE + CLOSEST), dtype=np.int64)
    joint_of = ends[:, JOINT] = np.array(work.ends, dtype=np.int64).reshape(-1)
    order = np.argsort(joint_of, kind="stable").astype(np.int64)
    at = np.concatenate([[0], np.cumsum(np.bincount(joint_of, minlength=n))]).astype(np.int64)
    ends[:, PINNED] = -1
    for joint in work.passing:
        one, other = order[at[joint] : at[joint + 1]]
        ends[one, PINNED], ends[other, PINNED] = other, one
    _pin(pins, joint_of, ends[:, AGAINST], ends[:, PINNED])
    ends[:, MATE] = np.maximum(ends[:, PINNED], -1)
    ends[:, DECIDED] = ends[:, PINNED] != -1
    ends[:, CLOSE:] = _close(work, joint_of)
    bubbles = np.zeros((m, MADE + 1), dtype=np.int64)
    bubbles[:, KIND] = work.kind_of
    bubbles[:, LENGTH] = work.lengths
    bubbles[:, FREE] = work.is_free
    bubbles[:, TURN] = pins.stages or -1
    bubbles[:, RANK] = pins.ranks or -1
    joints = np.zeros((n, KEY + 2), dtype=np.int64)
    step = max(1.0, float(np.median(work.lengths)) / 400)  # a quarter of a bubble, in mm
    joints[:, PLACE : PLACE + 3] = np.rint(work.net.joints / step)
    joints[:, DIRTY : DIRTY + 2] = 1
    joints[:, KEY : KEY + 2] = NEVER
    tables = [kind.capacity.most_length[: m + 1] for kind in work.kinds]
    most = np.zeros((len(tables), max(map(len, tables), default=1)), dtype=np.int64)
    for kind, table in enumerate(tables):
        most[kind, : len(table)] = table
        most[kind, 0] = len(table) - 1
    tally = np.zeros(COUNTS, dtype=np.int64)
    tally[HAND], tally[EASE], tally[LEFT], tally[HANDS] = -1, min(3, work.hands), m, work.hands
    turns = max(max(pins.stages, default=-1), max(pins.ranks, default=-1)) + 2
    left = np.zeros((2, turns), dtype=np.int64)
    for stage in pins.stages:
        left[STAGES, stage] += stage >= 0
    for rank in pins.ranks:
        if rank >= 0:
            left[RANKS, rank] = 1
    return Now(
        ends=ends,
        bubbles=bubbles,
        joints=joints,
        at=at,
        ends_at=order,
        most=most,
        tally=tally,
        log=np.zeros((256, 3), dtype=np.int64),
        scratch=np.zeros((BEST + 1, WIDTH), dtype=np.int64),
        left=left,
        moves=np.zeros((m + 1, WIDTH), dtype=np.int64),
    )


def fresh(start: Now, seed: int) -> Now:
    """A copy of a state, with random numbers of its own."""
    now = Now(*(array.copy() for array in start))
    now.tally[DICE] = (seed * 2654435761 + 88172645463325252) % (1 << 62)
    return now


def _pin(pins: Pins, joint_of: Indices, against: Indices, pinned: Indices) -> None:
    """Write the fixed trails and beginnings into the arrays."""
    for trail, joints in zip(pins.trails, pins.joints, strict=True):
        leave = [
            2 * b if joint_of[2 * b] == j else 2 * b + 1
            for b, j in zip(trail, joints[:-1], strict=True)
        ]
        for end in leave:
            against[end ^ 1] = 1
        for before, after in pairwise(leave):
            pinned[before ^ 1], pinned[after] = after, before ^ 1
    for joint, among in pins.toward:
        for bubble in among:
            end = 2 * bubble if joint_of[2 * bubble] == joint else 2 * bubble + 1
            if pinned[end] == -1 and not against[end]:
                pinned[end] = -2
                against[end ^ 1] = 1
                break


def _close(work: Work, joint_of: Indices) -> Indices:
    """For every end up to four others at its joint that lie on a small ring with it."""
    close = np.full((len(joint_of), CLOSEST), -1, dtype=np.int64)
    near = [{to for _, to in here} for here in work.at]
    for joint, here in enumerate(work.at):
        ends = [(2 * b + int(joint_of[2 * b] != joint), to) for b, to in here]
        for end, to in ends:
            beside = [
                other
                for other, far in ends
                if other != end and (far == to or far in near[to] or near[to] & near[far] - {joint})
            ]
            close[end, : len(beside[:CLOSEST])] = beside[:CLOSEST]
    return close
