"""Bubble fabric: the medial graph of a polygon mesh.

A joint lies at the middle of every mesh edge; at every corner of every cell a bubble joins the
joints of the two edges that meet there. Joints = mesh edges, bubbles = sum of the cells' sizes.
"""

from __future__ import annotations

import numpy as np

from airweft.records.arrays import Points, pairs, points, whole
from airweft.records.mesh import Face, Mesh
from airweft.records.net import BubbleKind, Cell, Net

# Where corner k of a rectangular panel's cell lies in the panel's chart of bubbles, two columns and
# two rows to a cell: lower left, lower right, upper right, upper left.
_CORNER_PLACE = ((0, 0), (1, 0), (1, 1), (0, 1))


def weave(mesh: Mesh, *, bubble: int, size: str) -> Net:
    """The fabric on `mesh`, with bubbles `bubble` hundredths of a millimetre long of one `size`.

    Joints are numbered in the order in which the mesh's cells first use their edges, bubbles cell
    by cell and corner by corner. Positions are the middles of the mesh's edges.
    """
    rings, edges = mesh.rings()
    joint_names = [""] * len(edges)
    joint_panels: list[set[str]] = [set() for _ in edges]
    ends: list[tuple[int, int]] = []
    bubble_names: list[str] = []
    bubble_panels: list[str] = []
    places: list[tuple[int, int]] = []
    counted: list[tuple[int, int]] = []
    cells: list[Cell] = []
    for number, (face, ring) in enumerate(zip(mesh.faces, rings, strict=True)):
        first, count = len(ends), len(ring)
        for k, joint in enumerate(ring):
            joint_panels[joint].add(face.panel)
            if not joint_names[joint]:
                joint_names[joint] = _joint_name(face, number, k)
            ends.append((ring[k - 1], joint))
            place = _place(face.column, face.row, k, count)
            places.append(place)
            counted.append(face.counted[k] if face.counted else (-1, -1))
            bubble_panels.append(face.panel)
            bubble_names.append(_bubble_name(face.panel, place, number, k))
        bubbles = tuple(range(first, first + count))
        cells.append(Cell(ring, bubbles, face.panel, face.column, face.row))
    m = len(ends)
    fabric: BubbleKind = "fabric"
    return Net(
        joints=edge_middles(mesh, edges),
        ends=pairs(ends),
        lengths=whole([bubble] * m),
        colours=("",) * m,
        sizes=(size,) * m,
        kinds=(fabric,) * m,
        joint_names=tuple(joint_names),
        bubble_names=tuple(bubble_names),
        bubble_panels=tuple(bubble_panels),
        places=pairs(places),
        cells=tuple(cells),
        seams=tuple(j for j, met in enumerate(joint_panels) if len(met) > 1),
        panels=mesh.panels,
        origins=tuple((2 * column, 2 * row) for column, row in mesh.origins),
        around=2 * mesh.around,
        counted=pairs(counted) if any(face.counted for face in mesh.faces) else None,
    )


def _place(column: int, row: int, corner: int, count: int) -> tuple[int, int]:
    """Column and row of the bubble at a corner, in its panel's chart."""
    if column < 0 or count != 4:
        return -1, -1
    dx, dy = _CORNER_PLACE[corner]
    return 2 * column + dx, 2 * row + dy


def _bubble_name(panel: str, place: tuple[int, int], cell: int, corner: int) -> str:
    """`front 3.2` (column 3, row 2, both from 1) on a chart, else `top cell 7.1`, `cell 7.1`."""
    if place[0] < 0:
        return f"{panel} cell {cell + 1}.{corner + 1}".lstrip()
    return f"{panel} {place[0] + 1}.{place[1] + 1}"


def _joint_name(face: Face, cell: int, edge: int) -> str:
    """`front (3, 2)` by the lattice of the panel's chart, else `top cell 7 edge 1`."""
    if face.column < 0 or len(face.corners) != 4:
        return f"{face.panel} cell {cell + 1} edge {edge + 1}".lstrip()
    dx, dy = ((1, 0), (2, 1), (1, 2), (0, 1))[edge]
    return f"{face.panel} ({2 * face.column + dx}, {2 * face.row + dy})"


def edge_middles(mesh: Mesh, edges: list[tuple[int, int]]) -> Points:
    """(e, 3) middle of each edge, in mm."""
    if mesh.middles is not None:
        return mesh.middles
    ends = np.array(edges, dtype=np.int64).reshape(-1, 2)
    return points((mesh.vertices[ends[:, 0]] + mesh.vertices[ends[:, 1]]) / 2)
