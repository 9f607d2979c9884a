"""What hides what: every outline is filled into a grid, nearest on top; what is left is seen.

The grid holds for each little square the place in the draw order of the nearest body there. It
tells how much of each bubble can be seen, which ones are hidden altogether, and where a mark fits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, sqrt
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airweft.draw.body import Outlines
from airweft.draw.camera import Floats

Mask = NDArray[np.bool_]
_LARGEST = 1800  # squares across the grid, at most
_TOTAL = 1_600_000  # squares filled in all, about
_CHUNK = 1_000_000
WHOLE = 0.97  # from this share on a bubble counts as not hidden at all


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """The filled grid of one picture.

    `order` lists the drawn bubbles from far to near, `rank` (m,) is a bubble's place in it (-1 if
    not drawn), `grid` (h, w) the rank seen in each square (-1 for none), `square` the squares' size
    and `corner` the grid's upper left in the picture. `share` (m,) is the seen part of each
    bubble's area, 0 to 1; bubbles smaller than a square count as seen.
    """

    order: tuple[int, ...]
    rank: NDArray[np.int64]
    grid: NDArray[np.int32]
    square: float
    corner: tuple[float, float]
    share: Floats


def cover(shape: Outlines, order: Sequence[int]) -> Cover:
    """Fill the outlines of `order` (far to near) into a grid."""
    m = len(shape.majors)
    rank = np.full(m, -1, dtype=np.int64)
    drawn = np.array(list(order), dtype=np.int64)
    rank[drawn] = np.arange(len(drawn))
    share = np.zeros(m)
    if not len(drawn):
        return Cover(
            order=(),
            rank=rank,
            grid=np.full((1, 1), -1, dtype=np.int32),
            square=1.0,
            corner=(0.0, 0.0),
            share=share,
        )
    half = shape.extents()[drawn]
    low = (shape.centres[drawn] - half).min(axis=0)
    high = (shape.centres[drawn] + half).max(axis=0)
    area = float(
        (np.pi * shape.majors[drawn] * shape.minors[drawn]).sum()
        + 4 * (np.abs(shape.straights[drawn]).max(axis=1) * shape.minors[drawn]).sum()
    )
    wanted = min(max(_TOTAL / len(drawn), 30.0), 500.0) * len(drawn)
    across = min(_LARGEST, 400 + 60 * sqrt(len(drawn)))
    square = max(sqrt(area / wanted), float((high - low).max()) / across, 1e-12)
    columns, rows = (ceil(float(v) / square) + 2 for v in high - low)
    grid = np.full(rows * columns, -1, dtype=np.int32)
    own = np.zeros(len(drawn), dtype=np.int64)
    windows = np.ceil(half.max(axis=1) / square).astype(np.int64) + 1
    classes = np.ceil(np.log(windows) / np.log(1.3)).astype(np.int64)
    for size in np.unique(classes).tolist():
        members = np.nonzero(classes == size)[0]
        reach = int(windows[members].max())
        step = max(1, _CHUNK // (2 * reach + 1) ** 2)
        for first in range(0, len(members), step):
            some = members[first : first + step]
            ranks, squares = _fill(shape, drawn, some, reach, square, low, columns, rows)
            np.maximum.at(grid, squares, ranks.astype(np.int32))
            own += np.bincount(ranks, minlength=len(drawn))
    seen = np.bincount(grid[grid >= 0], minlength=len(drawn))
    share[drawn] = np.where(own > 0, seen / np.maximum(own, 1), 1.0)
    return Cover(
        order=tuple(int(i) for i in order),
        rank=rank,
        grid=grid.reshape(rows, columns),
        square=square,
        corner=(float(low[0]), float(low[1])),
        share=share,
    )


def inside(shape: Outlines, bubbles: NDArray[np.int64], dx: NDArray[Any], dy: NDArray[Any]) -> Mask:
    """Whether points at (dx, dy) from the bubbles' centres lie in their outlines.

    `dx`, `dy` broadcast against `bubbles` along the first axis.
    """
    tail = (1,) * (dx.ndim - 1)
    ux = shape.axes[bubbles, 0].reshape(-1, *tail)
    uy = shape.axes[bubbles, 1].reshape(-1, *tail)
    straight = np.sqrt((shape.straights[bubbles] ** 2).sum(axis=1)).reshape(-1, *tail)
    along = np.maximum(np.abs(dx * ux + dy * uy) - straight, 0.0)
    across = dx * uy - dy * ux
    major = shape.majors[bubbles].reshape(-1, *tail)
    minor = shape.minors[bubbles].reshape(-1, *tail)
    result: Mask = (along / major) ** 2 + (across / minor) ** 2 <= 1.0
    return result


def _fill(
    shape: Outlines,
    drawn: NDArray[np.int64],
    some: NDArray[np.int64],
    reach: int,
    square: float,
    low: Floats,
    columns: int,
    rows: int,
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Ranks and flat grid places of all squares inside the outlines of ranks `some`."""
    bubbles = drawn[some]
    place = (shape.centres[bubbles] - low) / square
    offsets = np.arange(-reach, reach + 1)
    ix = np.floor(place[:, 0]).astype(np.int64)[:, None] + offsets
    iy = np.floor(place[:, 1]).astype(np.int64)[:, None] + offsets
    dx = ((ix + 0.5) - place[:, :1]) * square
    dy = ((iy + 0.5) - place[:, 1:]) * square
    mask: NDArray[np.bool_] = inside(shape, bubbles, dx[:, None, :], dy[:, :, None])
    mask &= ((ix >= 0) & (ix < columns))[:, None, :] & ((iy >= 0) & (iy < rows))[:, :, None]
    hit = np.argwhere(mask)
    which, v, u = hit[:, 0], hit[:, 1], hit[:, 2]
    return some[which], iy[which, v] * columns + ix[which, u]


def spot(found: Cover, shape: Outlines, bubble: int, wanted: float) -> tuple[float, float, float]:
    """Where a round mark of radius `wanted` fits on what is seen of a bubble: x, y and free radius.

    The middle of the bubble if it is free there, else the roomiest place.
    """
    cx, cy = (float(v) for v in shape.centres[bubble])
    free = float(shape.minors[bubble])
    if found.share[bubble] >= WHOLE:
        return cx, cy, free
    half = shape.extents()[bubble] if len(shape.majors) < 64 else _extent(shape, bubble)
    x0 = max(0, int((cx - half[0] - found.corner[0]) / found.square) - 1)
    y0 = max(0, int((cy - half[1] - found.corner[1]) / found.square) - 1)
    x1 = int((cx + half[0] - found.corner[0]) / found.square) + 2
    y1 = int((cy + half[1] - found.corner[1]) / found.square) + 2
    mask = np.pad(found.grid[y0:y1, x0:x1] == found.rank[bubble], 1)
    depth = np.zeros(mask.shape, dtype=np.int64)
    turn = 0
    while mask.any():
        depth += mask
        mask = _shrink(mask, corners=turn % 2 == 1)
        turn += 1
    if turn == 0:
        return cx, cy, 0.0
    places = np.argwhere(depth == depth.max())
    xs = found.corner[0] + (x0 + places[:, 1] - 0.5) * found.square
    ys = found.corner[1] + (y0 + places[:, 0] - 0.5) * found.square
    tall, wide = len(depth), len(depth[0])
    at_x = min(max(round((cx - found.corner[0]) / found.square + 0.5) - x0, 0), wide - 1)
    at_y = min(max(round((cy - found.corner[1]) / found.square + 0.5) - y0, 0), tall - 1)
    here = (int(depth[at_y, at_x]) - 0.5) * found.square
    if here >= wanted:
        return cx, cy, here
    best = int(np.argmin((xs - cx) ** 2 + (ys - cy) ** 2))
    return float(xs[best]), float(ys[best]), (float(depth.max()) - 0.5) * found.square


def _extent(shape: Outlines, bubble: int) -> Floats:
    """Half width and height of one outline's bounding box."""
    u = shape.axes[bubble]
    half = np.sqrt((u * shape.majors[bubble]) ** 2 + (u[::-1] * shape.minors[bubble]) ** 2)
    result: Floats = half + np.abs(shape.straights[bubble])
    return result


def _shrink(mask: Mask, *, corners: bool) -> Mask:
    """One layer of squares taken off a region; alternating the two kinds keeps it nearly round."""
    kept = mask.copy()
    kept[1:] &= mask[:-1]
    kept[:-1] &= mask[1:]
    kept[:, 1:] &= mask[:, :-1]
    kept[:, :-1] &= mask[:, 1:]
    if corners:
        kept[1:, 1:] &= mask[:-1, :-1]
        kept[:-1, :-1] &= mask[1:, 1:]
        kept[1:, :-1] &= mask[:-1, 1:]
        kept[:-1, 1:] &= mask[1:, :-1]
    return kept
