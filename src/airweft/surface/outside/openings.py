"""Openings of a surface: which of them are holes to be closed and which belong to its shape."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import ConvexHull, QhullError, cKDTree

from airweft.records.arrays import Indices, Points
from airweft.surface.outside.nearest_point import Surface
from airweft.surface.outside.triangles import edge_table, half_edges

Wish = Literal["keep", "close"]
"""What the maker wants of openings; without a wish small ones are closed and wide ones kept."""

SMALL_HOLE = 0.1
"""Holes up to this part of the model's size are slips of a scanner, closed whatever is wished."""

WIDE = 0.25
"""Openings wider than this part of the model, seen straight into the opening, are kept."""

WALL = 1.5
"""How much wider the surface grows within an opening's width, where that is a hole in a wall.

A pipe stays as wide as its end, so that its ends are kept; the flat bottom of a scanned figure
grows threefold."""

_STEP = 1 / 64  # of the model's size: how fine the surroundings of an opening are looked at
_MOST = 400  # corners of a rim that are all tried against each other
_ROUND = 0.02  # what long thin triangles cost more, so that flat lids get round ones


@dataclass(frozen=True, slots=True)
class Opening:
    """An opening as it was found: greatest width and middle in the model's numbers, and its fate.

    `tiny` are those up to SMALL_HOLE.
    """

    width: float
    place: tuple[float, float, float]
    closed: bool
    tiny: bool


def rims(faces: Indices) -> list[Indices]:
    """The open borders of a clean mesh, each as vertices in the order of its triangles' edges."""
    halves = half_edges(faces)
    wide = np.int64(faces.max(initial=0)) + 1
    keys, back = halves[:, 0] * wide + halves[:, 1], halves[:, 1] * wide + halves[:, 0]
    left = {int(a): int(b) for a, b in halves[~np.isin(keys, back)]}
    found = []
    while left:
        start = next(iter(left))
        rim = [start]
        while (to := left.pop(rim[-1])) != start:
            rim.append(to)
        found.append(np.array(rim, dtype=np.int64))
    return found


def with_lids(
    vertices: Points, faces: Indices, wish: Wish | None
) -> tuple[Points, Indices, tuple[Opening, ...]]:
    """The clean mesh with lids on the openings that are to be closed, and all openings it had.

    Without a wish the openings above SMALL_HOLE are closed only all together: where one of them
    belongs to the shape, as the back of a mask, the others may be its eyes.
    """
    found = rims(faces)
    if not found:
        return vertices, faces, ()
    size = float((vertices.max(axis=0) - vertices.min(axis=0)).max())
    extents = [vertices[rim].max(axis=0) - vertices[rim].min(axis=0) for rim in found]
    tiny = [float(np.linalg.norm(extent)) <= SMALL_HOLE * size for extent in extents]
    rest = [rim for rim, small in zip(found, tiny, strict=True) if not small]
    close = wish == "close" or (wish is None and _all_holes(vertices, faces, rest, size))
    across = _across(faces, found, len(vertices))
    openings, lids = [], [faces]
    for rim, small, extent, taken in zip(found, tiny, extents, across, strict=True):
        shut = small or close
        x, y, z = vertices[rim].mean(axis=0).tolist()
        openings.append(Opening(float(extent.max()), (x, y, z), shut, small))
        if shut:
            vertices, lid = _lid(vertices, rim, taken)
            lids.append(lid)
    return vertices, np.concatenate(lids), tuple(openings)


def _all_holes(vertices: Points, faces: Indices, found: Sequence[Indices], size: float) -> bool:
    """True if every opening is a small hole in a wall."""
    if not found:
        return False
    places = Surface(vertices, faces, step=_STEP * size).middles
    return all(_is_hole(places, vertices[rim]) for rim in found)


def _is_hole(places: Points, rim: Points) -> bool:
    middle = rim.mean(axis=0)
    _, _, axes = np.linalg.svd(rim - middle, full_matrices=False)
    look = axes[:2].T
    own = _width((rim - middle) @ look)
    if own > WIDE * _width((places - middle) @ look):
        return False
    near = cKDTree(rim).query(places)[0] < own
    return _width(np.concatenate((places[near], rim)) @ look) > WALL * own


def _width(flat: Points) -> float:
    """Side of a square as large as the hull of (n, 2) places."""
    try:
        return float(np.sqrt(ConvexHull(flat).volume))
    except (QhullError, ValueError):  # all on one line, or fewer than three
        return 0.0


def _across(faces: Indices, found: Sequence[Indices], count: int) -> list[set[tuple[int, int]]]:
    """For each rim the edges of the surface between two of its corners, both ways round."""
    of = np.full(count, -1, dtype=np.int64)
    for number, rim in enumerate(found):
        of[rim] = number
    ends, _, _ = edge_table(faces)
    ends = ends[(of[ends[:, 0]] >= 0) & (of[ends[:, 0]] == of[ends[:, 1]])]
    taken: list[set[tuple[int, int]]] = [set() for _ in found]
    for (a, b), number in zip(ends.tolist(), of[ends[:, 0]].tolist(), strict=True):
        taken[number] |= {(a, b), (b, a)}
    return taken


def _lid(vertices: Points, rim: Indices, taken: set[tuple[int, int]]) -> tuple[Points, Indices]:
    """Triangles over an opening, of little area and round, after G. Barequet and M. Sharir (1995).

    No edge that the surface has already (`taken`) is used again; where that cannot be, all corners
    are joined to a new one in the middle.
    """
    ring, ears = rim[::-1].tolist(), []
    taken = set(taken)
    while len(ring) > _MOST:
        kept, k = [], 0
        while k < len(ring):
            kept.append(ring[k])
            corner = ring[k : k + 3]
            if len(corner) == 3 and (corner[0], corner[2]) not in taken:
                ears.append(corner)
                taken |= {(corner[0], corner[2]), (corner[2], corner[0])}
                k += 2
            else:
                k += 1
        if len(kept) == len(ring):
            break
        ring = kept
    inner = _triangles(vertices[ring], ring, taken) if len(ring) <= _MOST else None
    if inner is None:
        ring, ears, hub = rim[::-1].tolist(), [], len(vertices)
        inner = [[a, b, hub] for a, b in zip(ring, [*ring[1:], ring[0]], strict=True)]
        vertices = np.concatenate((vertices, vertices[rim].mean(axis=0)[None]))
    return vertices, np.array(ears + inner, dtype=np.int64).reshape(-1, 3)


def _triangles(
    spots: Points, ring: Sequence[int], taken: set[tuple[int, int]]
) -> list[list[int]] | None:
    """Triangles of a ring of corners that cost least in all; None if there are none. O(n^3)."""
    count = len(ring)
    cost = np.full((count, count), np.inf)
    at = np.zeros((count, count), dtype=np.int64)
    cost[np.arange(count - 1), np.arange(1, count)] = 0
    for gap in range(2, count):
        first = np.arange(count - gap)[:, None]
        between = first + np.arange(1, gap)[None, :]
        last = first + gap
        each = _cost(spots[first], spots[between], spots[last])
        total = cost[first, between] + cost[between, last] + each
        best = np.argmin(total, axis=1)
        rows = first[:, 0]
        cost[rows, rows + gap] = total[rows, best]
        at[rows, rows + gap] = between[rows, best]
        if gap < count - 1:
            used = [k for k in rows.tolist() if (ring[k], ring[k + gap]) in taken]
            cost[used, np.array(used, dtype=np.int64) + gap] = np.inf
    if not np.isfinite(cost[0, -1]):
        return None
    found, open_gaps = [], [(0, count - 1)]
    while open_gaps:
        i, j = open_gaps.pop()
        if j - i > 1:
            k = int(at[i, j])
            found.append([ring[i], ring[k], ring[j]])
            open_gaps += [(i, k), (k, j)]
    return found


def _cost(a: Points, b: Points, c: Points) -> NDArray[np.float64]:
    one, other = b - a, c - a
    third = other - one
    area = np.linalg.norm(np.cross(one, other), axis=-1) / 2
    edges = (one**2).sum(axis=-1) + (other**2).sum(axis=-1) + (third**2).sum(axis=-1)
    return np.asarray(area + _ROUND * edges)
