"""Quads from triangles: pair them, then cut every cell in smaller quads.

Triangles are paired over the edge that gives the squarest quad, and chains of pairs are exchanged
where that brings two lone triangles together. Each quad is then cut in four and each triangle that
stayed alone in three, so that all cells are quads.
"""

from __future__ import annotations

from collections import deque

import numpy as np
from numpy.typing import NDArray

from airweft.records.arrays import Indices, Points
from airweft.surface.outside.triangles import edges_of, unit

_FARTHEST = 24  # triangles along a chain that is exchanged


def paired_cells(vertices: Points, faces: Indices) -> list[tuple[int, ...]]:
    """Quads from paired triangles, and the triangles that stay alone, in face order."""
    edges = edges_of(faces)
    inner = np.flatnonzero(~edges.border)
    bad = _badness(vertices, edges.ends[inner], edges.across[inner])
    sides = edges.sides
    beside: list[list[int]] = [[] for _ in faces]
    for edge in inner[np.argsort(bad, kind="stable")].tolist():
        one, other = sides[edge].tolist()
        beside[one].append(edge)
        beside[other].append(edge)
    mate = [-1] * len(faces)  # the edge over which a triangle is paired
    for edge in inner[np.argsort(bad, kind="stable")].tolist():
        one, other = sides[edge].tolist()
        if mate[one] < 0 and mate[other] < 0:
            mate[one] = mate[other] = edge
    for face in range(len(faces)):
        if mate[face] < 0:
            _exchange(face, mate, beside, sides.tolist())
    cells: list[tuple[int, ...]] = []
    for face, edge in enumerate(mate):
        if edge < 0:
            cells.append(tuple(faces[face].tolist()))
        elif sides[edge, 0] == face:
            a, b = edges.ends[edge].tolist()
            p, q = edges.across[edge].tolist()
            cells.append((a, q, b, p))
    return cells


def quad_cells(vertices: Points, faces: Indices) -> tuple[Points, list[tuple[int, ...]]]:
    """Vertices and quads, about four for each two triangles of the clean mesh given."""
    cells = paired_cells(vertices, faces)
    spots = list(vertices)
    middle: dict[tuple[int, int], int] = {}

    def between(a: int, b: int) -> int:
        key = (a, b) if a < b else (b, a)
        if key not in middle:
            middle[key] = len(spots)
            spots.append((vertices[a] + vertices[b]) / 2)
        return middle[key]

    quads: list[tuple[int, ...]] = []
    for cell in cells:
        centre = len(spots)
        spots.append(vertices[list(cell)].mean(axis=0))
        size = len(cell)
        for k, corner in enumerate(cell):
            after, before = cell[(k + 1) % size], cell[k - 1]
            quads.append((corner, between(corner, after), centre, between(before, corner)))
    return np.array(spots), quads


def _exchange(start: int, mate: list[int], beside: list[list[int]], sides: list[list[int]]) -> None:
    """Pair a lone triangle by exchanging pairs along a chain to another lone one, if any."""
    came: dict[int, tuple[int, int, int]] = {}
    seen = {start}
    queue = deque([(start, 0)])
    while queue:
        face, far = queue.popleft()
        if far > _FARTHEST:
            return
        for edge in beside[face]:
            near = sides[edge][0] if sides[edge][1] == face else sides[edge][1]
            if near in seen:
                continue
            seen.add(near)
            if mate[near] < 0:
                mate[near] = mate[face] = edge
                while face != start:
                    face, _, edge = came[face]
                    mate[face] = edge
                    other = sides[edge][0] if sides[edge][1] == face else sides[edge][1]
                    mate[other] = edge
                return
            held = mate[near]
            partner = sides[held][0] if sides[held][1] == near else sides[held][1]
            if partner in seen:
                continue
            seen.add(partner)
            came[partner] = (face, near, edge)
            queue.append((partner, far + 1))


def _badness(vertices: Points, ends: Indices, across: Indices) -> NDArray[np.float64]:
    """(n,) how far from square the quad is that two triangles make: largest cosine of a corner."""
    corners = np.stack((ends[:, 0], across[:, 1], ends[:, 1], across[:, 0]), axis=1)
    spots = vertices[corners]
    forth = unit(np.roll(spots, -1, axis=1) - spots)
    back = -np.roll(forth, 1, axis=1)
    return np.asarray(np.abs(np.einsum("nkd,nkd->nk", forth, back)).max(axis=1))
