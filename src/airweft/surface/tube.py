"""An upright tube, open at both ends."""

from __future__ import annotations

import math

import numpy as np

from airweft.records.arrays import points
from airweft.records.design import Tube
from airweft.records.mesh import Face, Mesh
from airweft.surface.limits import cell_edge_mm, check_counts, check_total


def tube_mesh(form: Tube, *, bubble: int) -> Mesh:
    """`around` / 2 by `rows` / 2 cells in one panel, "tube", wound round the z axis.

    All joints (the middles of the edges) lie on one cylinder, `around` of them evenly spread in
    angle, neighbours in alternating rows; its radius is such that every bubble has its length with
    as much of it going around as going up. Column 1 starts at the front (towards -y) and columns
    count to the right as seen from outside. Raises CannotMake on odd or too small counts.
    """
    check_counts(
        {"around": form.around, "rows": form.rows}, form="tube", bubble=bubble, least={"around": 4}
    )
    check_total(form.around * form.rows, form="tube")
    cells, rows = form.around // 2, form.rows // 2
    edge = cell_edge_mm(bubble)
    radius = (edge / 2) / (2 * math.sin(math.pi / form.around))
    vertices = [
        _spot(2 * column, 2 * row, radius, edge, form.around)
        for row in range(rows + 1)
        for column in range(cells)
    ]
    # Lattice place of each edge's middle, by the number that names the edge: level edges first.
    level = {
        row * cells + column: (2 * column + 1, 2 * row)
        for row in range(rows + 1)
        for column in range(cells)
    }
    first_upright = len(level)
    upright = {
        first_upright + row * cells + column: (2 * column, 2 * row + 1)
        for row in range(rows)
        for column in range(cells)
    }
    place = level | upright
    faces = []
    for row in range(rows):
        for column in range(cells):
            beside = (column + 1) % cells
            faces.append(
                Face(
                    (
                        row * cells + column,
                        row * cells + beside,
                        (row + 1) * cells + beside,
                        (row + 1) * cells + column,
                    ),
                    "tube",
                    column,
                    row,
                    (
                        row * cells + column,
                        first_upright + row * cells + beside,
                        (row + 1) * cells + column,
                        first_upright + row * cells + column,
                    ),
                )
            )
    order = dict.fromkeys(edge for face in faces for edge in face.edges)
    middles = [_spot(*place[name], radius, edge, form.around) for name in order]
    return Mesh(points(vertices), tuple(faces), ("tube",), points(middles), around=cells)


def _spot(x: int, z: int, radius: float, edge: float, around: int) -> np.ndarray:
    """The point of the cylinder at chart place (x, z), counted in bubbles."""
    angle = 2 * math.pi * x / around - math.pi / 2
    return np.array([radius * math.cos(angle), radius * math.sin(angle), z * edge / 2])
