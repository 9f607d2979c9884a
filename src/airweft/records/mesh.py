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
    `edges` names the edges (edge k runs from corner k to the next) by any numbers that tell them
    apart, for meshes where two edges join the same two vertices; else an edge is its two ends.
    `counted` is, for each corner, the column and row (in bubbles) that stripes count there, on a
    surface whose panels do not say it: columns all the way round from the front, rows from the
    foot up (below it they are negative).
    """

    corners: tuple[int, ...]
    panel: str = ""
    column: int = -1
    row: int = -1
    edges: tuple[int, ...] = ()
    counted: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Mesh:
    """A polygon mesh; every edge belongs to one or two faces. Lengths in millimetres.

    `vertices` has shape (v, 3). `panels` lists the panel names in building order. x is to the
    right, y away from the viewer, z up; the front of a form faces the viewer (towards -y).
    `middles` (e, 3) gives the middle of each edge, in the order of `rings`, where it does not lie
    midway between the ends (on a round form).
    `origins` is, for each panel, the column and row (in cells) of its lower left in a count that
    runs on from panel to panel: level around the upright sides from the front's left edge, and up
    from the foot. `around` is the number of columns (in cells) all the way round, 0 if open.
    """

    vertices: Points
    faces: tuple[Face, ...]
    panels: tuple[str, ...] = ()
    middles: Points | None = None
    origins: tuple[tuple[int, int], ...] = ()
    around: int = 0

    def rings(self) -> tuple[list[tuple[int, ...]], list[tuple[int, int]]]:
        """The numbers of each face's edges, and the two vertices of each edge.

        Edges are numbered in the order in which the faces first use them. O(corners).
        """
        number: dict[tuple[int, int, int], int] = {}
        rings: list[tuple[int, ...]] = []
        ends: list[tuple[int, int]] = []
        for face in self.faces:
            ring: list[int] = []
            for k, v in enumerate(face.corners):
                w = face.corners[(k + 1) % len(face.corners)]
                low, high = (v, w) if v < w else (w, v)
                key = (-1, -1, face.edges[k]) if face.edges else (low, high, -1)
                edge = number.get(key)
                if edge is None:
                    edge = number[key] = len(ends)
                    ends.append((low, high))
                ring.append(edge)
            rings.append(tuple(ring))
        return rings, ends
