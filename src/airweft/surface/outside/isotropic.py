"""Even triangles on a surface: split, collapse, flip and relax, many edges at a time.

After M. Botsch and L. Kobbelt, A remeshing approach to multiresolution modeling, Symposium on
Geometry Processing (2004): edges longer than 4/3 of the wanted length are split, those shorter than
4/5 collapsed, edges flipped towards six faces at each vertex, vertices moved along the surface to
the middle of their neighbours. Each step works on edges that do not touch each other, so that the
whole is array arithmetic and the same on every machine. The surface keeps its shape as a manifold:
no collapse or flip closes a hole, a handle or a tube.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from airweft.base.progress import Progress
from airweft.records.arrays import Indices, Points
from airweft.surface.outside.nearest_point import Lines, Surface
from airweft.surface.outside.triangles import (
    Edges,
    Mask,
    drop_unused,
    edges_of,
    face_normals,
    unit,
    vertex_normals,
)

LONG, SHORT = 4 / 3, 4 / 5
_FINE = 0.4  # of the wanted edge: finer triangles only cost time
_ROUNDS = 200  # a guard against endless to and fro; a few dozen are usual
_TURN = 0.6  # edges that a wholly different direction counts as when shares are dealt out
_FEWEST = 16  # triangles below which nothing more is collapsed


def even_triangles(
    surface: Surface,
    lines: Lines,
    vertices: Points,
    faces: Indices,
    *,
    edge: float,
    turns: int,
    seed: int,
    progress: Progress,
) -> tuple[Points, Indices]:
    """Triangles with edges of about `edge` on the surface, starting from any clean mesh on it."""
    chance = np.random.default_rng(seed)
    for turn in range(turns):
        progress.report(turn, turns, "making even triangles")
        vertices, faces = _split(vertices, faces, LONG * edge)
        vertices, faces = _collapse(vertices, faces, SHORT * edge, LONG * edge, chance)
        faces = _flip(vertices, faces, chance)
        for _ in range(3):
            vertices = _relax(surface, lines, vertices, faces, edge)
    return vertices, faces


def thinned(vertices: Points, faces: Indices, *, edge: float, seed: int) -> tuple[Points, Indices]:
    """The mesh without triangles far finer than `edge`, so that it is a quick start for others."""
    chance = np.random.default_rng(seed)
    return _collapse(vertices, faces, _FINE * edge, SHORT * edge, chance)


def neighbours(count: int, edges: Edges) -> csr_array:
    """(v, v) matrix with a one for each two vertices joined by an edge."""
    a, b = edges.ends[:, 0], edges.ends[:, 1]
    rows, columns = np.concatenate((a, b)), np.concatenate((b, a))
    return csr_array((np.ones(len(rows)), (rows, columns)), shape=(count, count))


def _lengths(vertices: Points, ends: Indices) -> NDArray[np.float64]:
    return np.asarray(np.linalg.norm(vertices[ends[:, 0]] - vertices[ends[:, 1]], axis=1))


def _border_vertices(count: int, edges: Edges) -> Mask:
    on = np.zeros(count, dtype=bool)
    on[edges.ends[edges.border].reshape(-1)] = True
    return on


def _split(vertices: Points, faces: Indices, longest: float) -> tuple[Points, Indices]:
    """Split edges at their middle until none is longer."""
    for _ in range(_ROUNDS):
        edges = edges_of(faces)
        length = _lengths(vertices, edges.ends)
        wanted = np.where(length > longest, length, 0.0)
        if not wanted.any():
            break
        # Each face asks for its longest edge; an edge is split when all its faces ask for it.
        choice = edges.of_face[np.arange(len(faces)), np.argmax(wanted[edges.of_face], axis=1)]
        asked = np.bincount(choice, minlength=len(wanted))
        won = (wanted > 0) & (asked == np.where(edges.border, 1, 2))
        if not won.any():  # equal lengths in a ring: let the first of them go
            won[np.argmax(wanted)] = True
        middle = np.full(len(wanted), -1, dtype=np.int64)
        middle[won] = len(vertices) + np.arange(won.sum())
        ends = edges.ends[won]
        vertices = np.concatenate((vertices, (vertices[ends[:, 0]] + vertices[ends[:, 1]]) / 2))
        cut = won[edges.of_face]
        which = np.argmax(cut, axis=1)
        touched = cut.any(axis=1)
        rows, k = np.flatnonzero(touched), which[touched]
        m = middle[edges.of_face[rows, k]]
        a, b, c = (faces[rows, (k + j) % 3] for j in range(3))
        faces = np.concatenate(
            (faces[~touched], np.stack((a, m, c), axis=1), np.stack((m, b, c), axis=1))
        )
    return vertices, faces


def _collapse(
    vertices: Points, faces: Indices, shortest: float, longest: float, chance: np.random.Generator
) -> tuple[Points, Indices]:
    """Collapse short edges where the surface stays whole and does not fold."""
    refused = np.zeros(0, dtype=np.int64)
    wide = np.int64(len(vertices))
    for _ in range(_ROUNDS):
        edges = edges_of(faces)
        length = _lengths(vertices, edges.ends)
        a, b = edges.ends[:, 0], edges.ends[:, 1]
        keys = np.minimum(a, b) * wide + np.maximum(a, b)
        wanted = (length < shortest) & ~np.isin(keys, refused)
        if not wanted.any() or len(faces) <= _FEWEST:
            break
        rows = np.flatnonzero(wanted)
        wanted[rows] = _may_collapse(len(vertices), edges, rows)
        won = _apart(len(vertices), edges, wanted, length / shortest, chance)
        if not won.any():
            break
        picked = np.flatnonzero(won)[: max(1, (len(faces) - _FEWEST) // 2)]
        keep, gone = a[picked], b[picked]
        on = _border_vertices(len(vertices), edges)
        goal = (vertices[keep] + vertices[gone]) / 2
        goal[on[keep] & ~on[gone]] = vertices[keep[on[keep] & ~on[gone]]]
        goal[on[gone] & ~on[keep]] = vertices[gone[on[gone] & ~on[keep]]]
        moved = vertices.copy()
        moved[keep], moved[gone] = goal, goal
        owner = np.full(len(vertices), -1, dtype=np.int64)
        owner[keep], owner[gone] = np.arange(len(picked)), np.arange(len(picked))
        bad = _spoilt(vertices, moved, faces, owner, max(longest, 1.001 * length[picked].max()))
        good = np.ones(len(picked), dtype=bool)
        good[bad] = False
        refused = np.union1d(refused, keys[picked[~good]])
        vertices = vertices.copy()
        vertices[keep[good]] = goal[good]
        renamed = np.arange(len(vertices))
        renamed[gone[good]] = keep[good]
        faces = renamed[faces]
        x, y, z = faces.T
        faces = faces[(x != y) & (y != z) & (z != x)]
    return drop_unused(vertices, faces)


def _may_collapse(count: int, edges: Edges, rows: Indices) -> Mask:
    """The link condition of the edges `rows`: the ends' common neighbours are just the corners
    across the edge."""
    near = neighbours(count, edges)
    a, b, border = edges.ends[rows, 0], edges.ends[rows, 1], edges.border[rows]
    common = np.asarray((near[a].multiply(near[b])).sum(axis=1)).reshape(-1)
    on = _border_vertices(count, edges)
    faces_at = np.where(border, 1, 2)
    allowed = (common == faces_at) & ~(on[a] & on[b] & ~border)
    valence = np.bincount(edges.ends.reshape(-1), minlength=count)
    for k in range(2):
        across = edges.across[rows, k]
        allowed &= (across < 0) | (valence[across] > np.where(on[across], 2, 3))
    return np.asarray(allowed & (valence[a] + valence[b] - 4 <= 9))


def _apart(
    count: int, edges: Edges, wanted: Mask, rank: NDArray[np.float64], chance: np.random.Generator
) -> Mask:
    """Wanted edges whose surroundings do not overlap; the worst go first, chance decides ties."""
    order = np.floor(3 * rank) + chance.random(len(wanted))
    order = np.where(wanted, order, np.inf)
    least = np.full(count, np.inf)
    a, b = edges.ends[:, 0], edges.ends[:, 1]
    np.minimum.at(least, a, order)
    np.minimum.at(least, b, order)
    for _ in range(2):
        wider = least.copy()
        np.minimum.at(wider, a, least[b])
        np.minimum.at(wider, b, least[a])
        least = wider
    return np.asarray(wanted & (order <= np.minimum(least[a], least[b])))


def _spoilt(
    before: Points, after: Points, faces: Indices, owner: Indices, longest: float
) -> Indices:
    """Numbers of the collapses that would fold a face or make an edge too long."""
    of = owner[faces]
    which = of.max(axis=1)
    touched = which >= 0
    both = ((of >= 0).sum(axis=1) > 1) & touched  # the faces that vanish
    rows = np.flatnonzero(touched & ~both)
    old, new = face_normals(before, faces[rows]), face_normals(after, faces[rows])
    turned = np.einsum("ij,ij->i", unit(old), unit(new)) < 0.3
    corners = after[faces[rows]]
    stretch = np.linalg.norm(corners - np.roll(corners, -1, axis=1), axis=2).max(axis=1)
    flat = np.linalg.norm(new, axis=1) < 0.05 * stretch**2
    was = before[faces[rows]]
    grown = stretch > np.linalg.norm(was - np.roll(was, -1, axis=1), axis=2).max(axis=1)
    return np.unique(which[rows[turned | (flat & grown) | ((stretch > longest) & grown)]])


def _flip(vertices: Points, faces: Indices, chance: np.random.Generator) -> Indices:
    """Flip edges while that brings the number of faces at the vertices nearer to six."""
    for _ in range(20):
        edges = edges_of(faces)
        count = len(vertices)
        a, b = edges.ends[:, 0], edges.ends[:, 1]
        p, q = edges.across[:, 0], edges.across[:, 1]
        valence = np.bincount(edges.ends.reshape(-1), minlength=count)
        excess = valence - np.where(_border_vertices(count, edges), 4, 6)
        was = sum(np.abs(excess[v]) for v in (a, b, p, q))
        now = sum(np.abs(excess[v] + step) for v, step in ((a, -1), (b, -1), (p, 1), (q, 1)))
        wanted = ~edges.border & (now < was) & (p != q)
        wanted &= (valence[a] > 3) & (valence[b] > 3)
        rows = np.flatnonzero(wanted)
        if not len(rows):
            break
        near = neighbours(count, edges)
        wanted[rows] &= np.asarray(near[p[rows], q[rows]]).reshape(-1) == 0
        one, other = np.stack((p, a, q), axis=1), np.stack((q, b, p), axis=1)
        old = face_normals(vertices, faces)
        rows = np.flatnonzero(wanted)
        up = unit(unit(old[edges.sides[rows, 0]]) + unit(old[edges.sides[rows, 1]]))
        wanted[rows] &= (_dot(unit(face_normals(vertices, one[rows])), up) > 0.3) & (
            _dot(unit(face_normals(vertices, other[rows])), up) > 0.3
        )
        order = np.where(wanted, now - was + chance.random(len(wanted)) * 0.9, np.inf)
        least = np.full(count, np.inf)
        for v in (a, b, p, q):
            np.minimum.at(least, v[wanted], order[wanted])
        won = wanted & np.isfinite(order)
        for v in (a, b, p, q):
            won &= order <= least[v]
        if not won.any():
            break
        faces = faces.copy()
        faces[edges.sides[won, 0]] = one[won]
        faces[edges.sides[won, 1]] = other[won]
    return faces


def _relax(surface: Surface, lines: Lines, vertices: Points, faces: Indices, edge: float) -> Points:
    """Move vertices along the surface, each to the middle of its share of it, and back onto it.

    Half of the move is to the middle of the neighbours, half to the middle of all places that are
    nearer to this vertex than to others (S. Lloyd, Least squares quantization in PCM, 1982). The
    second keeps the ends of thin limbs in place, which the first alone would draw in.
    """
    edges = edges_of(faces)
    on = _border_vertices(len(vertices), edges)
    near = neighbours(len(vertices), edges)
    valence = np.asarray(near.sum(axis=1)).reshape(-1, 1)
    normals = vertex_normals(vertices, faces)
    step = near @ vertices / valence - vertices
    step -= normals * _dot(step, normals)[:, None]
    step = (step + surface.share(vertices, normals, _TURN * edge) - vertices) / 2
    if on.any():
        rim = edges.ends[edges.border]
        total = np.zeros_like(vertices)
        np.add.at(total, rim[:, 0], vertices[rim[:, 1]])
        np.add.at(total, rim[:, 1], vertices[rim[:, 0]])
        step[on] = (total[on] / 2 - vertices[on]) * 0.5
    spots, _ = surface.nearest(vertices + 0.9 * step, normals)
    if on.any() and lines.some:
        spots[on] = lines.nearest((vertices + step)[on])
    return _unfolded(vertices, spots, faces)


def _unfolded(before: Points, after: Points, faces: Indices) -> Points:
    """The moved points; where a face would turn over, its corners stay where they were."""
    old = unit(face_normals(before, faces))
    for _ in range(4):
        new = unit(face_normals(after, faces))
        turned = _dot(old, new) < 0
        if not turned.any():
            break
        after = after.copy()
        after[faces[turned]] = before[faces[turned]]
    return after


def _dot(one: Points, other: Points) -> NDArray[np.float64]:
    return np.asarray(np.einsum("ij,ij->i", one, other))
