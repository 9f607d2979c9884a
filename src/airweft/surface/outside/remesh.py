"""Remeshing: cells of one size all over a surface, for bubbles of a wanted length."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from airweft.base.progress import Progress
from airweft.records.arrays import Indices, Points
from airweft.surface.outside.isotropic import even_triangles, thinned
from airweft.surface.outside.medial import Fabric, bubble_lengths, fabric_of
from airweft.surface.outside.nearest_point import Lines, Surface
from airweft.surface.outside.quads import paired_cells, quad_cells
from airweft.surface.outside.triangles import face_normals

FabricKind = Literal["kagome", "diamond"]

MISSED = 1.5
"""Bubble lengths that a place of the surface may lie from the cells before it counts as lost."""

_TURNS, _TRIES = 8, 4
# Edge of the triangles for a bubble of one; two triangles have the area of one quad.
_EDGES = {"kagome": 2.0, "diamond": 2.149 * math.sqrt(2), "paired": 2.149 / math.sqrt(2)}
_NEAR = 0.02  # content when the mean bubble is this near to the wanted one


@dataclass(frozen=True, slots=True)
class Cells:
    """A surface in cells: `vertices` (v, 3), `faces` of corner indices, and its `fabric`."""

    vertices: Points
    faces: list[tuple[int, ...]]
    fabric: Fabric


def remesh(
    surface: Surface,
    lines: Lines,
    *,
    bubble_mm: float,
    fabric: FabricKind,
    seed: int,
    progress: Progress,
) -> Cells:
    """Triangles (kagome) or quads (diamond) whose bubbles are `bubble_mm` long on average.

    The surface has to be clean; the cells are clean too, with the same handles and borders. The
    edge length is corrected a few times until the mean bubble is within two per cent; on surfaces
    of few cells it may stay farther off. Diamond cells come from large triangles, which lose thin
    limbs; where that happens, small triangles are paired instead, less regular.
    """
    found = _search(surface, lines, bubble_mm, fabric, seed, progress)
    if fabric == "diamond" and missed(surface, found, bubble_mm)[0] > MISSED:
        other = _search(surface, lines, bubble_mm, "paired", seed, progress)
        if missed(surface, other, bubble_mm)[0] < missed(surface, found, bubble_mm)[0]:
            found = other
    return found


def missed(surface: Surface, cells: Cells, bubble_mm: float) -> tuple[float, Points]:
    """How far, in bubbles, the place lies that the cells miss most; and that place."""
    triangles = np.array(
        [(f[0], f[k], f[k + 1]) for f in cells.faces for k in range(1, len(f) - 1)], dtype=np.int64
    )
    made = Surface(cells.vertices, triangles, step=bubble_mm)
    spots, _ = made.nearest(surface.middles, surface.normals)
    far = np.linalg.norm(spots - surface.middles, axis=1)
    return float(far.max()) / bubble_mm, surface.middles[int(np.argmax(far))]


def _search(
    surface: Surface, lines: Lines, bubble_mm: float, way: str, seed: int, progress: Progress
) -> Cells:
    """Cells by one way, with the edge length corrected until bubbles are as long as wanted."""
    wanted = bubble_mm * _EDGES[way]
    start = thinned(surface.vertices, surface.faces, edge=wanted, seed=seed)
    best: tuple[float, Cells] | None = None
    for _ in range(_TRIES):
        vertices, faces = even_triangles(
            surface,
            lines,
            *start,
            edge=wanted,
            turns=_TURNS,
            seed=seed,
            progress=progress,
        )
        cells = _cells(surface, lines, vertices, faces, way)
        mean = float(bubble_lengths(cells.fabric, cells.fabric.middles(cells.vertices)).mean())
        off = abs(mean / bubble_mm - 1)
        if best is None or off < best[0]:
            best = off, cells
        if off <= _NEAR:
            break
        wanted *= min(1.2, max(0.8, bubble_mm / mean))
    assert best is not None
    return best[1]


def _cells(surface: Surface, lines: Lines, vertices: Points, faces: Indices, way: str) -> Cells:
    if way == "kagome":
        polygons = [tuple(face) for face in faces.tolist()]
        return Cells(vertices, polygons, fabric_of(polygons))
    if way == "paired":
        polygons = paired_cells(vertices, faces)
    else:
        vertices, polygons = quad_cells(vertices, faces)
    woven = fabric_of(polygons)
    for _ in range(12):
        vertices = _relax_cells(surface, lines, vertices, polygons, woven)
    return Cells(vertices, polygons, woven)


def _relax_cells(
    surface: Surface,
    lines: Lines,
    vertices: Points,
    polygons: list[tuple[int, ...]],
    woven: Fabric,
) -> Points:
    """Vertices of cells moved to the middle of their neighbours, along the surface."""
    normals = np.zeros_like(vertices)
    for size in (3, 4):
        cells = np.array([f for f in polygons if len(f) == size], dtype=np.int64).reshape(-1, size)
        for k in range(size):
            corner = cells[:, [k, (k + 1) % size, k - 1]]
            np.add.at(normals, cells[:, k], face_normals(vertices, corner))
    normals /= np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-300)
    a, b = woven.corners.T
    rim = woven.around[:, 2] < 0
    on = np.zeros(len(vertices), dtype=bool)
    on[woven.corners[rim].reshape(-1)] = True
    total, count = np.zeros_like(vertices), np.zeros(len(vertices))
    for one, other in ((a, b), (b, a)):
        use = ~on[one] | rim
        np.add.at(total, one[use], vertices[other[use]])
        np.add.at(count, one[use], 1)
    step = total / np.maximum(count, 1)[:, None] - vertices
    step -= np.where(on[:, None], 0, normals * np.einsum("ij,ij->i", step, normals)[:, None])
    spots, _ = surface.nearest(vertices + 0.7 * step, normals)
    if on.any() and lines.some:
        spots[on] = lines.nearest((vertices + 0.5 * step)[on])
    return spots


def cell_normals(cells: Cells) -> Points:
    """(f, 3) outward unit normal of each cell."""
    normals = []
    for face in cells.faces:
        spots = cells.vertices[list(face)]
        normals.append(np.cross(spots, np.roll(spots, -1, axis=0)).sum(axis=0))
    array = np.array(normals)
    return np.asarray(array / np.maximum(np.linalg.norm(array, axis=1, keepdims=True), 1e-300))
