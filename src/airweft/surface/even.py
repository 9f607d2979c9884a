"""Evening out: joints slide on their surface until the bubbles between them are equally long."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from airweft.records.arrays import Indices, Points

STEPS = 400
"""Rounds of sliding; a fixed number, so that the same form always gives the same joints."""

_MUCH = 40_000_000  # bubbles times rounds; large pieces slide less, they start nearer the goal


def even_out(
    spots: Points,
    ends: Indices,
    *,
    length: float,
    onto: Callable[[Points, Points], Points],
    steps: int = STEPS,
) -> Points:
    """The (n, 3) joints after sliding towards bubbles of `length` mm, in fixed rounds.

    Every bubble (m, 2) pulls or pushes its two joints along its line by half of what it is too long
    or too short; a joint follows the mean of its pulls. `onto(spots, wanted)` takes the joints and
    where they want to go and gives where they may go: on the surface. O(rounds x bubbles).
    """
    count = len(spots)
    if not len(ends):
        return spots
    one, two = ends[:, 0], ends[:, 1]
    held = np.bincount(ends.ravel(), minlength=count).clip(1)[:, None]
    both = np.concatenate([one, two])
    for _ in range(max(30, min(steps, _MUCH // len(ends)))):
        way = spots[two] - spots[one]
        apart = np.linalg.norm(way, axis=1, keepdims=True).clip(1e-9)
        pull = way * (0.5 - 0.5 * length / apart)
        pulls = np.concatenate([pull, -pull])
        moved = np.stack(
            [np.bincount(both, weights=pulls[:, axis], minlength=count) for axis in range(3)],
            axis=1,
        )
        spots = onto(spots, spots + 1.5 * moved / held)
    return spots


def bubble_ends(rings: list[tuple[int, ...]]) -> Indices:
    """(m, 2) the joints of every bubble of the fabric on a mesh with these rings of edges."""
    return np.array(
        [(ring[k - 1], joint) for ring in rings for k, joint in enumerate(ring)], dtype=np.int64
    ).reshape(-1, 2)


def spans(spots: Points, ends: Indices) -> Points:
    """(m,) distance between the two joints of each bubble, in mm."""
    return np.asarray(np.linalg.norm(spots[ends[:, 0]] - spots[ends[:, 1]], axis=1))
