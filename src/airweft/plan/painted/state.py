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

# Places in `Now.tally`.
LOGGED = 0  # entries in `log`
EFFORT = 1  # trails followed so far: the measure of effort that is the same everywhere
KNOTTED = 2  # entries in `knot_log`
STAGE = 3  # bubbles of later stages wait
BEGUN = 4  # bubbles of higher ranks wait
ANY = 5  # 1 while neither stages nor ranks are minded, because nothing else can be made
HAND = 6  # the end where the balloon in hand lies, or -1
FIRST = 7  # 1 while the first move is chosen, which must leave the first knot
EASE = 8  # loose twists wanted at most; more only where nothing else can be made
NOISE = 9  # 0 tidy, 1 shuffles equals now and then, 2 minds nothing but the number of balloons
LEFT = 10  # bubbles still to be made
MOVES = 11  # moves made
COUNTS = 12

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

_CLOSE = 4  # ends remembered as close to one
NEVER = 1 << 62  # a key that every move undercuts


class Flat(NamedTuple):
    """A net as arrays; nothing in it changes while a plan is searched.

    joint_of  (ends,)      the joint of each bubble end
    kind, length, hangs    (bubbles,)   hangs: the second end is free
    stage, rank            (bubbles,)   whose turn it is (pins.py); -1 at any time
    at, ends_at            the ends at joint j are ends_at[at[j]:at[j + 1]]
    most_at, most          the longest total of n bubbles of kind k is most[most_at[k] + n]
    against   (ends,)      1: no balloon may leave its joint by this end (a maker's wish)
    pinned    (ends,)      the end that has to be paired with this one; -1 none, -2 no end at all
    close     (ends, 4)    the ends at the same joint with which this one lies on a ring of at most
                           four bubbles, -1 for none; pairs of these are soon held
    place     (joints, 3)  in quarters of a bubble length
    """

    joint_of: Indices
    kind: Indices
    length: Indices
    hangs: Indices
    stage: Indices
    rank: Indices
    at: Indices
    ends_at: Indices
    most_at: Indices
    most: Indices
    against: Indices
    pinned: Indices
    close: Indices
    place: Indices
    hands: int


class Now(NamedTuple):
    """The state of one run.

    mate    (ends,)   the end paired with this one, -1 for none
    decided (ends,)   1: the pairing of this end is laid, or wished for by the maker
    nozzle  (ends,)   1: a balloon was started here
    tip     (ends,)   1: a balloon is parked here
    made    (bubbles,); touched, level (joints,)
    moves   (bubbles + 1, WIDTH)   the moves so far
    best, best_key   the best move offered since best_key was reset
    queue_key, queue, dirty    the best move from each joint of the frontier
    free_key, priced           the same for moves that change the pairing
    stage_left, rank_left      bubbles not made yet, by stage; 1 for a rank not begun
    """

    mate: Indices
    decided: Indices
    nozzle: Indices
    tip: Indices
    made: Indices
    touched: Indices
    level: Indices
    dice: Indices
    log: Indices
    knot_log: Indices
    tally: Indices
    walk: Indices
    joints: Indices
    turn: Indices
    moves: Indices
    best: Indices
    best_key: Indices
    queue_key: Indices
    dirty: Indices
    stage_left: Indices
    rank_left: Indices


def flatten(work: Work, pins: Pins | None = None) -> Flat:
    """The arrays of a prepared net, with the maker's fixed choices."""
    bubbles = len(work.ends)
    joint_of = np.array(work.ends, dtype=np.int64).reshape(-1)
    order = np.argsort(joint_of, kind="stable")
    at = np.concatenate([[0], np.cumsum(np.bincount(joint_of, minlength=work.joint_count))])
    most: list[int] = []
    most_at = [0]
    for kind in work.kinds:
        most += kind.capacity.most_length[: bubbles + 2]
        most_at.append(len(most))
    against = np.zeros(2 * bubbles, dtype=np.int64)
    pinned = np.full(2 * bubbles, -1, dtype=np.int64)
    for joint in work.passing:
        one, other = order[at[joint] : at[joint + 1]]
        pinned[one], pinned[other] = other, one
    pins = pins or Pins()
    _pin(pins, joint_of, against, pinned)
    anyhow = np.full(bubbles, -1, dtype=np.int64)
    step = max(1.0, float(np.median(work.lengths)) / 400)  # a quarter of a bubble, in mm
    return Flat(
        joint_of=joint_of,
        kind=np.array(work.kind_of, dtype=np.int64),
        length=np.array(work.lengths, dtype=np.int64),
        hangs=np.array(work.is_free, dtype=np.int64),
        stage=np.array(pins.stages, dtype=np.int64) if pins.stages else anyhow,
        rank=np.array(pins.ranks, dtype=np.int64) if pins.ranks else anyhow,
        at=at.astype(np.int64),
        ends_at=order.astype(np.int64),
        most_at=np.array(most_at, dtype=np.int64),
        most=np.array(most, dtype=np.int64),
        against=against,
        pinned=pinned,
        close=_close(work, joint_of),
        place=np.rint(work.net.joints / step).astype(np.int64),
        hands=work.hands,
    )


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
    close = np.full((len(joint_of), _CLOSE), -1, dtype=np.int64)
    near = [{to for _, to in here} for here in work.at]
    for joint, here in enumerate(work.at):
        ends = [(2 * b + int(joint_of[2 * b] != joint), to) for b, to in here]
        for end, to in ends:
            beside = [
                other
                for other, far in ends
                if other != end and (far == to or far in near[to] or near[to] & near[far] - {joint})
            ]
            close[end, : len(beside[:_CLOSE])] = beside[:_CLOSE]
    return close


def blank(flat: Flat, seed: int) -> Now:
    """The state before the first knot; only the maker's wishes are decided."""
    bubbles, joints = len(flat.length), len(flat.at) - 1

    def zeros(*shape: int) -> Indices:
        return np.zeros(shape, dtype=np.int64)

    tally = zeros(COUNTS)
    tally[HAND] = -1
    tally[EASE] = 3
    tally[LEFT] = bubbles
    stages, ranks = int(flat.stage.max()) + 1, int(flat.rank.max()) + 1
    return Now(
        mate=np.maximum(flat.pinned, -1),
        decided=(flat.pinned != -1).astype(np.int64),
        nozzle=zeros(2 * bubbles),
        tip=zeros(2 * bubbles),
        made=zeros(bubbles),
        touched=zeros(joints),
        level=zeros(joints),
        dice=np.array([(seed * 2654435761 + 88172645463325252) % (1 << 62)], dtype=np.uint64),
        log=zeros(256, 2),
        knot_log=zeros(64),
        tally=tally,
        walk=zeros(LONGEST + 1),
        joints=zeros(LONGEST + 2),
        turn=zeros(LONGEST + 2),
        moves=zeros(bubbles + 1, WIDTH),
        best=zeros(WIDTH),
        best_key=zeros(1),
        queue_key=np.full((joints, 2), NEVER, dtype=np.int64),
        dirty=np.ones((joints, 2), dtype=np.int64),
        stage_left=np.bincount(flat.stage[flat.stage >= 0], minlength=stages + 1).astype(np.int64),
        rank_left=np.concatenate([np.ones(ranks, dtype=np.int64), [0]]),
    )
