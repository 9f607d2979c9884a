"""Meshes of square cells on the points of a cubic lattice: boxes and blocks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from airweft.records.arrays import Points, points
from airweft.records.mesh import Face, Mesh

Spot = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class View:
    """How a side is looked at from outside: the directions of its rightward, upward and outward."""

    right: Spot
    up: Spot
    out: Spot


# The four upright sides stand as they are. The top is seen from above with the front edge down, the
# bottom from below with the front edge up: the two fold open above and below the front.
VIEWS: dict[str, View] = {
    "bottom": View((1, 0, 0), (0, -1, 0), (0, 0, -1)),
    "front": View((1, 0, 0), (0, 0, 1), (0, -1, 0)),
    "right": View((0, 1, 0), (0, 0, 1), (1, 0, 0)),
    "back": View((-1, 0, 0), (0, 0, 1), (0, 1, 0)),
    "left": View((0, -1, 0), (0, 0, 1), (-1, 0, 0)),
    "top": View((1, 0, 0), (0, 1, 0), (0, 0, 1)),
}
"""The six sides in building order: bottom, the upright sides anticlockwise seen from above, top."""


@dataclass(frozen=True, slots=True)
class Square:
    """One square cell: its panel, its place there, its side, and its lower left lattice point."""

    panel: str
    column: int
    row: int
    side: str
    spot: Spot

    def corners(self) -> tuple[Spot, Spot, Spot, Spot]:
        """Lower left, lower right, upper right, upper left, as seen from outside."""
        (x, y, z), view = self.spot, VIEWS[self.side]
        (rx, ry, rz), (ux, uy, uz) = view.right, view.up
        return (
            (x, y, z),
            (x + rx, y + ry, z + rz),
            (x + rx + ux, y + ry + uy, z + rz + uz),
            (x + ux, y + uy, z + uz),
        )


def lattice_mesh(squares: Sequence[Square], *, panels: Sequence[str], edge_mm: float) -> Mesh:
    """The mesh of these cells; it stands on z = 0, in the middle of the x and y axes.

    Columns run on around the bounding box from front to right, back and left, as if each upright
    side filled its side of that box, so that stripes meet at the corners of a box and line up
    on all panels that look the same way; rows count up from the foot. Top and bottom count from
    their own lower left corner of the bounding box.
    """
    number: dict[Spot, int] = {}
    faces = [
        Face(
            tuple(number.setdefault(spot, len(number)) for spot in square.corners()),
            square.panel,
            square.column,
            square.row,
        )
        for square in squares
    ]
    spots = np.array(list(number), dtype=np.float64)
    low, high = spots.min(axis=0), spots.max(axis=0)
    middle = (low + high) / 2
    middle[2] = low[2]
    wide, deep, _high = (int(n) for n in high - low)
    start = {"front": 0, "right": wide, "back": wide + deep, "left": 2 * wide + deep}
    origins: dict[str, tuple[int, int]] = {}
    side_of: dict[str, str] = {}
    for square in squares:
        if square.panel in origins:
            continue
        view = VIEWS[square.side]
        side_of[square.panel] = square.side
        column = _from_edge(square.spot, view.right, low, high) - square.column
        row = _from_edge(square.spot, view.up, low, high) - square.row
        origins[square.panel] = (start.get(square.side, 0) + column, row)
    upright = sorted(side for side in side_of.values() if side in start)
    return Mesh(
        points((spots - middle) * edge_mm),
        tuple(faces),
        tuple(panels),
        origins=tuple(origins[panel] for panel in panels),
        around=2 * (wide + deep) if upright == ["back", "front", "left", "right"] else 0,
    )


def _from_edge(spot: Spot, way: Spot, low: Points, high: Points) -> int:
    """Cells from the edge of the bounding box where `way` begins to `spot`."""
    axis = next(a for a in range(3) if way[a])
    return int(spot[axis] - low[axis] if way[axis] > 0 else high[axis] - spot[axis])
