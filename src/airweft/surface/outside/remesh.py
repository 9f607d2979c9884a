"""Remeshing: cells of one size all over a surface, for bubbles of a wanted length."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from airweft.base.progress import Progress
from airweft.records.arrays import Indices, Points
from airweft.surface.outside.isotropic import even_triangles
from airweft.surface.outside.medial import Fabric, bubble_lengths, fabric_of
from airweft.surface.outside.nearest_point import Lines, Surface
from airweft.surface.outside.quads import quad_cells
from airweft.surface.outside.triangles import face_normals

FabricKind = Literal["kagome", "diamond"]

_FIRST, _MORE, _TRIES = 10, 4, 5
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
    of few cells it may stay farther off.
    """
    vertices, faces = surface.vertices, surface.faces
    edge = bubble_mm * (2 if fabric == "kagome" else 2.149 * math.sqrt(2))
    wanted, turns = edge, _FIRST
    best: tuple[float, Cells] | None = None
    for attempt in range(_TRIES):
        vertices, faces = even_triangles(
            surface,
            lines,
            vertices,
            faces,
            edge=wanted,
            turns=turns,
            seed=seed + attempt,
            progress=progress,
        )
        cells = _cells(surface, lines, vertices, faces, fabric)
        mean = float(bubble_lengths(cells.fabric, cells.fabric.middles(cells.vertices)).mean())
        off = abs(mean / bubble_mm - 1)
        if best is None or off < best[0]:
            best = off, cells
        if off <= _NEAR:
            break
        wanted *= min(1.2, max(0.8, bubble_mm / mean))
        turns = _MORE
    assert best is not None
    return best[1]


def _cells(
    surface: Surface, lines: Lines, vertices: Points, faces: Indices, fabric: FabricKind
) -> Cells:
    if fabric == "kagome":
        polygons = [tuple(face) for face in faces.tolist()]
        return Cells(vertices, polygons, fabric_of(polygons))
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
    """Vertices of quads moved to the middle of their neighbours, along the surface."""
    quads = np.array(polygons)
    normals = np.zeros_like(vertices)
    for k in range(4):
        corner = quads[:, [k, (k + 1) % 4, (k + 3) % 4]]
        np.add.at(normals, quads[:, k], face_normals(vertices, corner))
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
