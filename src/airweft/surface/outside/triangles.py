"""Triangle soup and triangle meshes as plain arrays: edges, borders, parts, normals."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airweft.records.arrays import Indices, Points

Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class RawMesh:
    """Triangles as they come from outside: `vertices` (v, 3) and `faces` (f, 3) of their indices.

    Nothing is promised: lengths are in the file's own unit, triangles may lie anyhow. `up` is the
    axis that points up in the file, "y" or "z".
    """

    vertices: Points
    faces: Indices
    up: str = "z"


@dataclass(frozen=True, slots=True)
class Edges:
    """The edges of a manifold triangle mesh, e of them, each once.

    ends      (e, 2) vertices, in the order in which the first face runs along it
    sides     (e, 2) faces left and right of it; -1 where there is none
    across    (e, 2) the corner opposite the edge in each of these faces; -1 where there is none
    of_face   (f, 3) edge k of a face runs from its corner k to the next
    """

    ends: Indices
    sides: Indices
    across: Indices
    of_face: Indices

    @property
    def border(self) -> Mask:
        """(e,) True where only one face lies at the edge."""
        return np.asarray(self.sides[:, 1] < 0)


def half_edges(faces: Indices) -> Indices:
    """(3f, 2) directed edges, face by face."""
    return np.stack((faces, np.roll(faces, -1, axis=1)), axis=2).reshape(-1, 2)


def edge_table(faces: Indices) -> tuple[Indices, Indices, Indices]:
    """Edges of any triangle soup: (e, 2) ends, (3f,) edge of each half-edge, (e,) its uses."""
    halves = np.sort(half_edges(faces), axis=1)
    wide = np.int64(faces.max(initial=0)) + 1
    keys, inverse, uses = np.unique(
        halves[:, 0] * wide + halves[:, 1], return_inverse=True, return_counts=True
    )
    ends = np.stack((keys // wide, keys % wide), axis=1)
    return ends, inverse.reshape(-1), uses


def edges_of(faces: Indices) -> Edges:
    """The edges of a mesh with at most two faces at each edge. O(f log f)."""
    plain, of_half, _ = edge_table(faces)
    order = np.argsort(of_half, kind="stable")
    sorted_edges = of_half[order]
    first = np.ones(len(order), dtype=bool)
    first[1:] = sorted_edges[1:] != sorted_edges[:-1]
    ends = half_edges(faces)[order[first]]
    sides = np.full((len(plain), 2), -1, dtype=np.int64)
    across = np.full((len(plain), 2), -1, dtype=np.int64)
    opposite = np.roll(faces, -2, axis=1).reshape(-1)
    for column, chosen in ((0, order[first]), (1, order[~first])):
        sides[of_half[chosen], column] = chosen // 3
        across[of_half[chosen], column] = opposite[chosen]
    return Edges(ends, sides, across, of_half.reshape(-1, 3))


def face_normals(vertices: Points, faces: Indices) -> Points:
    """(f, 3) normals, as long as twice the area."""
    a, b, c = (vertices[faces[:, k]] for k in range(3))
    return np.asarray(np.cross(b - a, c - a))


def unit(vectors: Points) -> Points:
    """The vectors at length 1; those without length stay zero."""
    length = np.linalg.norm(vectors, axis=-1, keepdims=True)
    return np.asarray(vectors / np.where(length > 0, length, 1.0))


def vertex_normals(vertices: Points, faces: Indices) -> Points:
    """(v, 3) unit normals, faces weighted by their area."""
    normals = face_normals(vertices, faces)
    total = np.zeros_like(vertices)
    for k in range(3):
        np.add.at(total, faces[:, k], normals)
    return unit(total)


def part_of(count: int, links: Indices) -> Indices:
    """(count,) number of the connected part of each thing, by (n, 2) links; parts count up."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    ones = np.ones(len(links), dtype=np.int8)
    graph = coo_array((ones, (links[:, 0], links[:, 1])), shape=(count, count))
    _, part = connected_components(graph, directed=False)
    # Number the parts by their first member, whatever the library's order is.
    _, first, inverse = np.unique(part, return_index=True, return_inverse=True)
    rank = np.empty(len(first), dtype=np.int64)
    rank[np.argsort(first)] = np.arange(len(first))
    return rank[inverse.reshape(-1)]


def drop_unused(vertices: Points, faces: Indices) -> tuple[Points, Indices]:
    """The same triangles without vertices that no triangle uses."""
    used, inverse = np.unique(faces, return_inverse=True)
    return vertices[used], inverse.reshape(faces.shape).astype(np.int64)


def euler(faces: Indices) -> int:
    """Vertices - edges + faces."""
    ends, _, _ = edge_table(faces)
    return len(np.unique(faces)) - len(ends) + len(faces)


def is_clean(faces: Indices) -> bool:
    """True if the mesh is a consistently oriented two-manifold, with or without borders."""
    if len(faces) == 0:
        return False
    _, _, uses = edge_table(faces)
    halves = half_edges(faces)
    wide = np.int64(faces.max()) + 1
    once = len(np.unique(halves[:, 0] * wide + halves[:, 1])) == len(halves)
    return bool(uses.max() <= 2) and once and not len(pinched(faces))


def pinched(faces: Indices) -> Indices:
    """Vertices where two fans of faces meet in a bare point."""
    _, first = np.unique(_fans(faces), return_index=True)
    vertices, fans = np.unique(faces.reshape(-1)[first], return_counts=True)
    return np.asarray(vertices[fans > 1])


def split_fans(vertices: Points, faces: Indices) -> tuple[Points, Indices]:
    """The same triangles with a vertex of its own for each fan, also at edges of three faces.

    Faces hang together only over edges that exactly two faces share, run opposite ways.
    """
    part = _fans(faces)
    _, first = np.unique(part, return_index=True)
    return vertices[faces.reshape(-1)[first]], part.reshape(-1, 3)


def _fans(faces: Indices) -> Indices:
    """(3f,) the fan that each corner belongs to."""
    _, of_half, uses = edge_table(faces)
    halves = half_edges(faces)
    inner = np.flatnonzero(uses[of_half] == 2)
    order = inner[np.argsort(of_half[inner], kind="stable")].reshape(-1, 2)
    here, there = order[halves[order[:, 0], 0] != halves[order[:, 1], 0]].T
    following = np.roll(np.arange(3 * len(faces)).reshape(-1, 3), -1, axis=1).reshape(-1)
    links = np.concatenate(
        (np.stack((here, following[there]), axis=1), np.stack((following[here], there), axis=1))
    )
    return part_of(3 * len(faces), links)
