"""The surface: a polygon mesh of the form, one cell of which becomes one ring of bubbles."""

from __future__ import annotations

from dataclasses import dataclass

from airweft.records.arrays import Points


@dataclass(frozen=True, slots=True)
class Face:
    """One cell of the surface.

    `corners` are vertex indices, anticlockwise seen from outside. In a rectangular panel they start
    at the lower left as seen from outside: lower left, lower right, upper right, upper left; and
    `column`, `row` are the cell's 0-based place in the panel, counted from the lower left.
    """

    corners: tuple[int, ...]
    panel: str = ""
    column: int = -1
    row: int = -1


@dataclass(frozen=True, slots=True)
class Mesh:
    """A polygon mesh; every edge belongs to one or two faces. Lengths in millimetres.

    `vertices` has shape (v, 3). `panels` lists the panel names in building order. x is to the
    right, y away from the viewer, z up; the front of a form faces the viewer (towards -y).
    """

    vertices: Points
    faces: tuple[Face, ...]
    panels: tuple[str, ...] = ()
