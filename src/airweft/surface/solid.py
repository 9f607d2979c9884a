"""Regular and semiregular solids, prisms and antiprisms: as meshes for fabric or for frames."""

from __future__ import annotations

import numpy as np

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.base.nearest import nearest
from airweft.records.arrays import Points, points
from airweft.records.design import Solid
from airweft.records.mesh import Face, Mesh
from airweft.surface.even import bubble_ends, even_out, spans
from airweft.surface.limits import check_counts, check_total
from airweft.surface.solids import MOST_SIDES, NAMES, Shape, divided, shape_of

MOST_DIVIDE = 40
"""Most parts that an edge is cut into."""


def solid_mesh(form: Solid, *, bubble: int) -> Mesh:
    """The solid standing on a face, in one panel called "solid".

    For a frame the edges of the mesh have the bubble's length (their mean, where they are divided).
    For fabric the middles of the edges are the joints, and all bubbles have that length, or nearly
    so: joints lie on one ball and are evened out on it. Raises CannotMake for names that are not
    known and for divisions of faces that are no triangles.
    """
    check_counts({}, form="solid", bubble=bubble)
    shape = _shape(form)
    length = bubble / 100
    faces = tuple(Face(ring, "solid") for ring in shape.faces)
    mesh = Mesh(points(shape.corners), faces, ("solid",))
    rings, ends = mesh.rings()
    two = np.array(ends)
    edges = spans(shape.corners, two)
    if form.build == "frame":
        return _stood(mesh, shape.corners * (length / float(edges.mean())), None)
    middles = (shape.corners[two[:, 0]] + shape.corners[two[:, 1]]) / 2
    links = bubble_ends(rings)
    radius = np.linalg.norm(middles, axis=1, keepdims=True)
    if float(np.ptp(spans(middles, links))) > 1e-9:
        ball = float(radius.mean())

        def onto(_: Points, wanted: Points) -> Points:
            return np.asarray(wanted / np.linalg.norm(wanted, axis=1, keepdims=True) * ball)

        middles = onto(middles, middles)
        goal = float(spans(middles, links).mean())
        for _ in range(
            6
        ):  # a larger or smaller goal, until the joints are neither crowded nor torn
            middles = even_out(middles, links, length=goal, onto=onto, steps=200)
            goal = float(spans(middles, links).mean())
    scale = length / float(spans(middles, links).mean())
    return _stood(mesh, shape.corners * scale, middles * scale)


def _shape(form: Solid) -> Shape:
    name = " ".join(form.name.lower().split())
    shape = shape_of(name)
    if shape is None:
        close = nearest(name, NAMES)
        raise CannotMake(
            Finding(
                code="unknown-solid",
                severity="cannot",
                where="solid, name",
                message=f'"{form.name[:40]}" is not a solid that is known.',
                remedy=(f'Did you mean "{close}"? ' if close else "")
                + 'There are the 18 regular and semiregular solids, such as "icosahedron" or '
                f'"snub cube", and "prism 6" or "antiprism 5" with 3 to {MOST_SIDES} sides.',
            )
        )
    if not 1 <= form.divide <= MOST_DIVIDE:
        raise CannotMake(
            Finding(
                code="divide-out-of-range",
                severity="cannot",
                where="solid, divide",
                message=f"divide = {form.divide} is not between 1 and {MOST_DIVIDE}.",
                remedy="It is the number of parts that each edge is cut into; 1 leaves it whole.",
            )
        )
    if form.divide > 1:
        if any(len(ring) != 3 for ring in shape.faces):
            raise CannotMake(
                Finding(
                    code="divide-needs-triangles",
                    severity="cannot",
                    where="solid, divide",
                    message=f"The {name} has faces that are no triangles, so its edges cannot be "
                    f"divided by {form.divide}.",
                    remedy="Take the line out, or choose the tetrahedron, octahedron or "
                    "icosahedron.",
                )
            )
        check_total(3 * len(shape.faces) * form.divide**2, form="solid")
        shape = divided(shape, form.divide)
    return shape


def _stood(mesh: Mesh, corners: Points, middles: Points | None) -> Mesh:
    """The mesh with these places, standing on z = 0 with its lowest joints."""
    low = float((corners if middles is None else middles)[:, 2].min())
    up = np.array([0.0, 0.0, -low])
    return Mesh(
        points(corners + up),
        mesh.faces,
        mesh.panels,
        None if middles is None else points(middles + up),
    )
