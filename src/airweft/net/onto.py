"""A border laid onto a side: how far it moves, and which joint comes to lie on which."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airweft.records.arrays import Points

_BESIDE = 0.8  # joints of the side this many bubbles beside a joint count as under it
_NEAR = 1.1  # joints farther apart than this many bubbles are not locked


@dataclass(frozen=True, slots=True)
class Fit:
    """`pairs` of (joint, joint of the side), the move towards the side and the least distance."""

    pairs: list[tuple[int, int]]
    gap: float
    nearest: float


def fitted(
    spots: Points, side: Points, axis: Points, bubble: float, room: Points, *, may_move: bool
) -> Fit:
    """Each of the joints `spots` (k, 3) with one of the joints `side` (n, 3), as many as can be.

    `axis` points out of the side. Where `may_move`, the spots first come nearer by `gap` mm, so
    that in the mean they lie on the side. `room` (k, n) is 0 where a pair has too many ends.
    Joints more than 1.1 bubbles apart are not paired. As many as possible are, each
    with one of its own, then no two pairs could be exchanged and come nearer. O(k n).
    """
    across = spots - np.outer(spots @ axis, axis)
    flat = side - np.outer(side @ axis, axis)
    sideways = np.linalg.norm(across[:, None] - flat[None], axis=2)
    top = np.where(sideways < _BESIDE * bubble, (side @ axis)[None], -np.inf).max(axis=1)
    under = np.isfinite(top)
    if not under.any():
        return Fit([], 0.0, float(sideways.min()))
    gap = float((spots[under] @ axis - top[under]).mean()) if may_move else 0.0
    apart = np.linalg.norm((spots - gap * axis)[:, None] - side[None], axis=2)
    allowed = (apart <= _NEAR * bubble) & (room > 0)
    mate = _most(apart, allowed)
    _exchange(mate, apart, allowed)
    return Fit(sorted(mate.items()), gap, float(apart.min()))


def _most(apart: Points, allowed: Points) -> dict[int, int]:
    """As many allowed pairs as can be, near ones first: chains of exchanges make room."""
    choices = [
        [int(t) for t in np.argsort(np.round(row, 6), kind="stable") if allowed[k, t]]
        for k, row in enumerate(apart)
    ]
    owner: dict[int, int] = {}
    nearest_first = sorted(
        (k for k in range(len(choices)) if choices[k]),
        key=lambda k: (round(float(apart[k, choices[k][0]]), 6), k),
    )
    for first in nearest_first:
        # Breadth first along joint, place, its owner, another place ... to a free place.
        came: dict[int, int] = {}  # place -> the joint that asks for it
        queue = [first]
        for k in queue:
            fresh = [t for t in choices[k] if t not in came]
            came.update((t, k) for t in fresh)
            free = next((t for t in fresh if t not in owner), None)
            if free is None:
                queue += [owner[t] for t in fresh]
                continue
            held = {k: t for t, k in owner.items()}
            while free is not None:
                k = came[free]
                owner[free] = k
                free = held.get(k)
            break
    return {k: t for t, k in owner.items()}


def _exchange(mate: dict[int, int], apart: Points, allowed: Points) -> None:
    """Exchange the places of two joints, or move one to a free place, while that brings them nearer
    (in place)."""
    keys = sorted(mate)
    for _ in range(len(keys) + 1):
        changed = False
        taken = set(mate.values())
        for k in keys:
            for t in np.flatnonzero(allowed[k]).tolist():
                if t not in taken and apart[k, t] < apart[k, mate[k]] - 1e-6:
                    taken.remove(mate[k])
                    taken.add(t)
                    mate[k] = t
                    changed = True
        for i, k in enumerate(keys):
            for other in keys[i + 1 :]:
                a, b = mate[k], mate[other]
                if not (allowed[k, b] and allowed[other, a]):
                    continue
                now = apart[k, a] ** 2 + apart[other, b] ** 2
                if apart[k, b] ** 2 + apart[other, a] ** 2 < now - 1e-6:
                    mate[k], mate[other] = b, a
                    changed = True
        if not changed:
            return
