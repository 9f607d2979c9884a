"""How much of some bubbles shows: the share of fixed points of their outlines that nothing covers.

Cheaper than a filled grid (`cover`) when only the few new bubbles of a step are asked for. What is
seen from inside counts half, because work seen from inside is mirrored.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from math import cos, pi, sin

import numpy as np

from airweft.draw.body import Outlines
from airweft.draw.camera import Floats
from airweft.draw.cover import inside
from airweft.records.arrays import Indices

INNER = 0.5  # weight of what is seen from inside
EDGE = 0.08  # facing below this counts as seen from inside

# Points of a unit disc: the middle and two rings.
_POINTS: Floats = np.array(
    [(0.0, 0.0)]
    + [(0.5 * cos(pi * k / 3), 0.5 * sin(pi * k / 3)) for k in range(6)]
    + [(0.86 * cos(pi * k / 6), 0.86 * sin(pi * k / 6)) for k in range(12)]
)
_CHUNK = 2_000_000


def visible_shares(shape: Outlines, shown: Collection[int] | Indices, new: Sequence[int]) -> Floats:
    """For each bubble of `new` the share of its outline that shows, weighted by its facing.

    `shown` are the bubble indices that may hide it. Time grows with len(new) x len(shown).
    """
    there = np.array(list(shown) if not isinstance(shown, np.ndarray) else shown, dtype=np.int64)
    asked = np.array(list(new), dtype=np.int64)
    half = np.sqrt((shape.extents() ** 2).sum(axis=1))
    covered = np.zeros((len(asked), len(_POINTS)), dtype=bool)
    step = max(1, _CHUNK // max(1, len(there)))
    for first in range(0, len(asked), step):
        some = asked[first : first + step]
        covered[first : first + step] = _covered(shape, there, some, half)
    share = 1.0 - covered.mean(axis=1)
    facing = shape.facing[asked]
    result: Floats = share * np.where((facing != 0.0) & (facing < EDGE), INNER, 1.0)
    return result


def _covered(shape: Outlines, there: Indices, some: Indices, half: Floats) -> Indices:
    """Which sample points of `some` lie under a nearer body of `there`; bool, (len(some), 19)."""
    near, mine = shape.nears[there][None, :], shape.nears[some][:, None]
    nearer = (near > mine) | ((near == mine) & (there[None, :] > some[:, None]))
    gap = np.abs(shape.centres[there][None, :, :] - shape.centres[some][:, None, :]).max(axis=2)
    pairs = np.argwhere(nearer & (gap <= half[there][None, :] + half[some][:, None]))
    points = _samples(shape, some)
    result = np.zeros(points.shape[:2], dtype=np.int64)
    which, over = pairs[:, 0], there[pairs[:, 1]]
    dx = points[which, :, 0] - shape.centres[over, :1]
    dy = points[which, :, 1] - shape.centres[over, 1:]
    np.maximum.at(result, which, inside(shape, over, dx, dy).astype(np.int64))
    return result


def _samples(shape: Outlines, some: Indices) -> Floats:
    """Fixed points inside outlines, shape (len(some), 19, 2)."""
    u = shape.axes[some][:, None, :]
    n = np.stack([-u[..., 1], u[..., 0]], axis=-1)
    along, across = _POINTS[None, :, :1], _POINTS[None, :, 1:]
    result: Floats = (
        shape.centres[some][:, None, :]
        + along * shape.majors[some][:, None, None] * u
        + np.sign(along) * shape.straights[some][:, None, :]
        + across * shape.minors[some][:, None, None] * n
    )
    return result
