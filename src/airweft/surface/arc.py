"""A part of a ring: handles, arches, horseshoes."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from airweft.records.arrays import points
from airweft.records.mesh import Mesh


def cut_arc(mesh: Mesh, degrees: int) -> Mesh:
    """The cells of a ring about the z axis that lie in `degrees` of it, their middle on the right.

    `mesh` has named edges and middles. Cells are kept whole, so that the open ends are as near to
    the wished angle as a cell allows. Stands on z = 0 where it stood.
    """
    assert mesh.middles is not None
    rings, _ = mesh.rings()
    half = math.radians(degrees) / 2
    kept = []
    for face, ring in zip(mesh.faces, rings, strict=True):
        x, y, _ = mesh.middles[list(ring)].mean(axis=0).tolist()
        if abs(math.atan2(y, x)) <= half:
            kept.append((face, ring))
    used = sorted({corner for face, _ in kept for corner in face.corners})
    number = {corner: k for k, corner in enumerate(used)}
    faces = tuple(
        replace(face, corners=tuple(number[corner] for corner in face.corners)) for face, _ in kept
    )
    order = list(dict.fromkeys(edge for _, ring in kept for edge in ring))
    panels = tuple(panel for panel in mesh.panels if any(f.panel == panel for f in faces))
    return Mesh(
        points(mesh.vertices[used]),
        faces,
        panels,
        points(np.asarray(mesh.middles)[order]),
        origins=tuple((0, 0) for _ in panels),
    )
