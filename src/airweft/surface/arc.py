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
    the wished angle as a cell allows. It stands on z = 0 with its middle on the z axis; columns
    count from its end nearer the front.
    """
    assert mesh.middles is not None
    rings, _ = mesh.rings()
    half = math.radians(degrees) / 2
    kept = []
    for face, ring in zip(mesh.faces, rings, strict=True):
        x, y, _ = mesh.middles[list(ring)].mean(axis=0).tolist()
        if abs(math.atan2(y, x)) <= half:
            kept.append((face, ring))
    around = 2 * mesh.around
    # Counted from the middle of what was cut away, no column of the arc is beyond a full turn.
    gap = -around // 4
    before = min((column - gap) % around for face, _ in kept for column, _ in face.counted)
    used = sorted({corner for face, _ in kept for corner in face.corners})
    number = {corner: k for k, corner in enumerate(used)}
    faces = tuple(
        replace(
            face,
            corners=tuple(number[corner] for corner in face.corners),
            counted=tuple(((column - gap) % around - before, row) for column, row in face.counted),
        )
        for face, _ in kept
    )
    order = list(dict.fromkeys(edge for _, ring in kept for edge in ring))
    panels = tuple(panel for panel in mesh.panels if any(f.panel == panel for f in faces))
    joints = np.asarray(mesh.middles)[order]
    middle = joints.mean(axis=0) * np.array([1.0, 1.0, 0.0])
    return Mesh(
        points(mesh.vertices[used] - middle),
        faces,
        panels,
        points(joints - middle),
        origins=tuple((0, 0) for _ in panels),
    )
