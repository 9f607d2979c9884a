"""Timed trails: a share-out with directions and an order that two hands can keep, for changing.

Whoever changes trails here and there need not lay the whole piece again. With trails and directions
given, what can be laid after some bubbles is the same however these were come by (`plan/order.py`).
So an order that holds is kept, and after a change only a *window* of it is laid anew: from the
first bubble at the changed joints to the last one. If every bubble of the window comes out again,
all that follows holds as before.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from airweft.plan.painted.compiled import compiled
from airweft.plan.painted.state import FREE, JOINT, KIND, LENGTH, Now
from airweft.records.arrays import Indices

# Places in `Timed.tally`.
STAMP = 0  # marks what was laid in the latest trial
EFFORT = 1  # tips looked at
MEETING = 2  # marks where tips meet in the latest look round
DICE = 3  # the state of the random numbers
CHANGES = 4  # rows in `log`
SPOTS = 5  # joints in `spots`
EARLIEST = 6  # the first and
LATEST = 7  # one past the last time of a bubble that was turned round
TIPS = 8  # balloons in `tips`
COUNTS = 9

# Rows of `Timed.tries`, by bubble, the last two by joint.
LAID = 0  # the stamp of the trial that laid it
AGAIN = 1  # the new order
FIRST = 2  # where its chain begins in the new order
# Rows of `Timed.queued`, by end.
WAITS = 0  # stamp: a balloon's tip in the queue
LISTED = 1  # the look round in which a tip was listed
# Rows of `Timed.met`, by joint.
MET = 0  # the look round in which a tip came by
BY = 1  # that tip
AFTER = 2  # and its bubbles up to there

_LOOP = 8  # more bubbles than hands hold


class Timed(NamedTuple):
    """A net, directed trails on it with an order, and what is needed to change them; all int64.

    joint (2m,), at, ends_at    as in `Now`; kind, length, free (m,), most as in `Now`
    mate (2m,)      the end paired with this one, -1 for none; no trail is closed
    lead (m,)       the end by which a balloon leaves for the bubble
    time, order     when a bubble is made, and the bubbles by time
    chain (m,)      by time: when the chain of bubbles begins that is locked at its end
    tries, queued, met, queue, tips   work space of a trial
    log (rows, 3), spots        changes not yet kept, and the joints concerned
    tally (COUNTS,)
    """

    joint: Indices
    at: Indices
    ends_at: Indices
    kind: Indices
    length: Indices
    free: Indices
    most: Indices
    mate: Indices
    lead: Indices
    time: Indices
    order: Indices
    chain: Indices
    tries: Indices
    queued: Indices
    met: Indices
    queue: Indices
    tips: Indices
    log: Indices
    spots: Indices
    tally: Indices


def timed(start: Now, mate: Indices, lead: Indices, hands: int, seed: int) -> Timed | None:
    """An order for directed trails, some of them cut in two where hands cannot go on otherwise.

    None where even that does not help.
    """
    m, n = len(start.bubbles), len(start.joints)
    state = Timed(
        joint=np.ascontiguousarray(start.ends[:, JOINT]),
        at=start.at,
        ends_at=start.ends_at,
        kind=np.ascontiguousarray(start.bubbles[:, KIND]),
        length=np.ascontiguousarray(start.bubbles[:, LENGTH]),
        free=np.ascontiguousarray(start.bubbles[:, FREE]),
        most=start.most,
        mate=mate.copy(),
        lead=lead.copy(),
        time=np.arange(m, dtype=np.int64),
        order=np.arange(m, dtype=np.int64),
        chain=np.arange(m, dtype=np.int64),
        tries=np.zeros((3, m), np.int64),
        queued=np.zeros((2, 2 * m), np.int64),
        met=np.zeros((3, n), np.int64),
        queue=np.zeros(2 * m + _LOOP, np.int64),
        tips=np.zeros(4 * m + 64, np.int64),
        log=np.zeros((12 * m + 64, 3), np.int64),
        spots=np.zeros(256, np.int64),
        tally=np.zeros(COUNTS, np.int64),
    )
    state.tally[DICE] = (seed * 2654435761 + 88172645463325252) % (1 << 62)
    while lay_window(state, hands, 0, m, 0)[0] > 0:
        if not _cut_ahead(state, hands):
            return None
    keep_window(state, 0, m)
    return state


@compiled
def _cut_ahead(now: Timed, hands: int) -> bool:
    """Cut a trail that stands still so that it lands on the nozzle of its rest; False if none."""
    for z in range(now.tally[TIPS]):
        end = now.tips[z] ^ 1
        for _ in range(hands - 1):
            if now.mate[end] >= 0:
                end = now.mate[end] ^ 1
        rest = now.mate[end]
        if rest >= 0:
            now.mate[end] = now.mate[rest] = -1
            return True
    return False


@compiled
def _made(time: Indices, laid: Indices, stamp: int, begin: int, bubble: int) -> bool:
    """True if a bubble was made before the window or in this trial."""
    return bool(time[bubble] < begin or laid[bubble] == stamp)


@compiled
def _lies(
    at: Indices, ends_at: Indices, mate: Indices, lead: Indices, time: Indices, laid: Indices,
    stamp: int, begin: int, joint: int,
) -> bool:  # fmt: skip
    """True if something lies at a joint: a bubble's end or a nozzle."""
    for a in range(at[joint], at[joint + 1]):
        end = ends_at[a]
        bubble = end >> 1
        if time[bubble] < begin or laid[bubble] == stamp:
            return True
        if mate[end] < 0 and lead[bubble] == end:
            return True
    return False


@compiled
def _wake(
    at: Indices, ends_at: Indices, mate: Indices, lead: Indices, time: Indices, laid: Indices,
    waits: Indices, queue: Indices,
    hands: int, stamp: int, begin: int, end: int, joint: int, last: int,
) -> int:  # fmt: skip
    """Queue the tips that may land at a joint now; where the queue ends then."""
    for a in range(at[joint], at[joint + 1]):
        leaving = ends_at[a] ^ 1
        bubble = leaving >> 1
        if lead[bubble] != leaving or time[bubble] >= end:
            continue
        if _made(time, laid, stamp, begin, bubble):
            continue
        for _ in range(hands):
            before = mate[leaving]
            if before < 0 or _made(time, laid, stamp, begin, before >> 1):
                if time[leaving >> 1] < end and waits[leaving] != stamp:
                    waits[leaving] = stamp
                    queue[last % len(queue)] = leaving
                    last += 1
                break
            leaving = before ^ 1
    return last


@compiled
def _landing(
    joint: Indices, at: Indices, ends_at: Indices, mate: Indices, lead: Indices, time: Indices,
    laid: Indices, free: Indices, seen: Indices,
    hands: int, stamp: int, begin: int, end: int, tip: int,
) -> int:  # fmt: skip
    """The bubbles after which a balloon lands on something by itself, or 0."""
    leaving = tip
    for i in range(min(hands, len(seen) - 1) + 1):
        bubble = leaving >> 1
        if time[bubble] >= end:
            return 0
        if free[bubble] and leaving == 2 * bubble:
            return i + 1
        if i >= hands:
            return 0
        to = joint[leaving ^ 1]
        for z in range(i):
            if seen[z] == to:
                return i + 1
        if _lies(at, ends_at, mate, lead, time, laid, stamp, begin, to):
            return i + 1
        seen[i] = to
        leaving = mate[leaving ^ 1]
        if leaving < 0:
            return 0
    return 0


@compiled
def _take(
    joint: Indices, at: Indices, ends_at: Indices, mate: Indices, lead: Indices, time: Indices,
    tries: Indices, waits: Indices, queue: Indices,
    hands: int, stamp: int, begin: int, end: int,
    tip: int, more: int, made: int, first: int, last: int,
) -> tuple[int, int]:  # fmt: skip
    """Lay some bubbles; how many are laid then, and where the queue ends."""
    laid = tries[LAID]
    leaving = tip
    for _ in range(more):
        bubble, to = leaving >> 1, joint[leaving ^ 1]
        lay_there = _lies(at, ends_at, mate, lead, time, laid, stamp, begin, to)
        laid[bubble] = stamp
        tries[AGAIN, made] = bubble
        tries[FIRST, made] = first
        made += 1
        if not lay_there:
            last = _wake(
                at, ends_at, mate, lead, time, laid, waits, queue,
                hands, stamp, begin, end, to, last,
            )  # fmt: skip
        leaving = mate[leaving ^ 1]
    if leaving >= 0 and begin <= time[leaving >> 1] < end and waits[leaving] != stamp:
        waits[leaving] = stamp
        queue[last % len(queue)] = leaving
        last += 1
    return made, last


@compiled
def _meeting(now: Timed, hands: int, end: int) -> tuple[int, int, int, int]:
    """Two tips that meet where nothing lies, with bubbles of times before `end`; -1 for none.

    After the two the bubbles that each makes up to there.
    """
    now.tally[MEETING] += 1
    look = now.tally[MEETING]
    kept = 0
    for z in range(now.tally[TIPS]):
        tip = now.tips[z]
        laid = now.tries[LAID, tip >> 1] == now.tally[STAMP]
        if not laid and now.queued[LISTED, tip] != look:
            now.queued[LISTED, tip] = look
            now.tips[kept] = tip
            kept += 1
    now.tally[TIPS] = kept
    now.tally[EFFORT] += kept
    one, other, its, more = -1, -1, 0, 0
    best = hands + 1
    for z in range(kept):
        leaving = now.tips[z]
        for i in range(1, hands):
            if now.time[leaving >> 1] >= end:
                break
            to = now.joint[leaving ^ 1]
            known = now.met[MET, to] == look
            if known and now.met[BY, to] != now.tips[z] and now.met[AFTER, to] + i < best:
                best = now.met[AFTER, to] + i
                one, other, its, more = now.met[BY, to], now.tips[z], now.met[AFTER, to], i
            if not known or i < now.met[AFTER, to]:
                now.met[MET, to], now.met[BY, to], now.met[AFTER, to] = look, now.tips[z], i
            leaving = now.mate[leaving ^ 1]
            if leaving < 0:
                break
    return one, other, its, more


@compiled
def lay_window(now: Timed, hands: int, begin: int, end: int, further: int) -> tuple[int, int]:
    """Lay the bubbles of the times from `begin` to `end` (both where chains begin) once more.

    Where some cannot be laid, the window grows by up to about `further` bubbles. Returns how many
    are left over, and where the window ends then. `tips` are the balloons that stand still.
    """
    now.tally[STAMP] += 1
    stamp = now.tally[STAMP]
    joint, at, ends_at, mate, lead = now.joint, now.at, now.ends_at, now.mate, now.lead
    time, order, tries, queue = now.time, now.order, now.tries, now.queue
    laid, waits = tries[LAID], now.queued[WAITS]
    seen = np.empty(_LOOP, np.int64)
    bubbles = len(time)
    until = min(bubbles, end + further)
    made = last = head = 0
    now.tally[TIPS] = 0
    while True:
        for t in range(begin, end):
            leaving = lead[order[t]]
            before = mate[leaving]
            if (
                laid[order[t]] != stamp
                and (before < 0 or _made(time, laid, stamp, begin, before >> 1))
                and waits[leaving] != stamp
            ):
                waits[leaving] = stamp
                queue[last % len(queue)] = leaving
                last += 1
        while True:
            while head < last:
                tip = queue[head % len(queue)]
                head += 1
                waits[tip] = 0
                now.tally[EFFORT] += 1
                if laid[tip >> 1] == stamp:
                    continue
                more = _landing(
                    joint, at, ends_at, mate, lead, time, laid, now.free, seen,
                    hands, stamp, begin, end, tip,
                )  # fmt: skip
                if more > 0:
                    made, last = _take(
                        joint, at, ends_at, mate, lead, time, tries, waits, queue,
                        hands, stamp, begin, end, tip, more, made, made, last,
                    )  # fmt: skip
                elif now.tally[TIPS] == len(now.tips):
                    return end - begin - made, end
                else:
                    now.tips[now.tally[TIPS]] = tip
                    now.tally[TIPS] += 1
            if made == end - begin:
                return 0, end
            one, other, its, more = _meeting(now, hands, end)
            if one < 0:
                break
            first = made
            made, last = _take(
                joint, at, ends_at, mate, lead, time, tries, waits, queue,
                hands, stamp, begin, end, one, its, made, first, last,
            )  # fmt: skip
            made, last = _take(
                joint, at, ends_at, mate, lead, time, tries, waits, queue,
                hands, stamp, begin, end, other, more, made, first, last,
            )  # fmt: skip
        if end >= until:
            return end - begin - made, end
        end = min(until, end + max(32, (end - begin) // 2))
        while end < bubbles and now.chain[end] != end:
            end += 1


@compiled
def keep_window(now: Timed, begin: int, end: int) -> None:
    """Keep the order of the latest trial, in which the whole window was laid."""
    for t in range(begin, end):
        bubble = now.tries[AGAIN, t - begin]
        now.order[t] = bubble
        now.time[bubble] = t
        now.chain[t] = begin + now.tries[FIRST, t - begin]


@compiled
def window(now: Timed) -> tuple[int, int]:
    """The times between which the changes not yet kept concern anything."""
    begin, end = now.tally[EARLIEST], now.tally[LATEST]
    for i in range(now.tally[SPOTS]):
        joint = now.spots[i]
        for a in range(now.at[joint], now.at[joint + 1]):
            t = now.time[now.ends_at[a] >> 1]
            begin = min(begin, t)
            end = max(end, t + 1)
    begin = now.chain[begin]
    while end < len(now.time) and now.chain[end] != end:
        end += 1
    return begin, end


@compiled
def _chain_holds(now: Timed, hands: int, begin: int) -> bool:
    """True if the chain that begins at a time can be made at that time still."""
    end = begin + 1
    while end < len(now.time) and now.chain[end] == begin:
        end += 1
    second = end
    for t in range(begin, end):
        before = now.mate[now.lead[now.order[t]]]
        if t > begin and before == now.lead[now.order[t - 1]] ^ 1:
            continue
        if (before >= 0 and now.time[before >> 1] >= begin) or second < end:
            return False
        if t > begin:
            second = t
    leaving = now.lead[now.order[end - 1]]
    to = now.joint[leaving ^ 1]
    if second < end:
        return bool(now.joint[now.lead[now.order[second - 1]] ^ 1] == to and end - begin <= hands)
    if now.free[leaving >> 1] and not leaving & 1:
        return bool(end - begin <= hands + 1)
    if end - begin > hands:
        return False
    for t in range(begin, end - 1):
        if now.joint[now.lead[now.order[t]] ^ 1] == to:
            return True
    for a in range(now.at[to], now.at[to + 1]):
        end_there = now.ends_at[a]
        bubble = end_there >> 1
        if now.time[bubble] < begin:
            return True
        if now.mate[end_there] < 0 and now.lead[bubble] == end_there:
            return True
    return False


@compiled
def still_holds(now: Timed, hands: int) -> bool:
    """True if the order holds as it is after changes in which no trail was turned round."""
    if now.tally[LATEST] > 0:
        return False
    for i in range(now.tally[SPOTS]):
        joint = now.spots[i]
        for a in range(now.at[joint], now.at[joint + 1]):
            if not _chain_holds(now, hands, now.chain[now.time[now.ends_at[a] >> 1]]):
                return False
    return True
