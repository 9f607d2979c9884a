"""Frames: the edges of a mesh become bubbles, its corners joints."""

from __future__ import annotations

import numpy as np

from airweft.records.arrays import pairs, points, whole
from airweft.records.mesh import Mesh
from airweft.records.net import BubbleKind, Net


def frame(mesh: Mesh, *, size: str, bubble: int | None = None) -> Net:
    """One bubble along every edge of `mesh`.

    Every bubble is `bubble` hundredths of a millimetre long or, without it, as long as its edge,
    rounded to whole hundredths. Joints keep the order of the mesh's vertices (those that no face
    uses are left out), bubbles the order in which the faces first use their edges.
    """
    _, edges = mesh.rings()
    used = sorted({vertex for edge in edges for vertex in edge})
    joint_of = {vertex: joint for joint, vertex in enumerate(used)}
    ends = pairs([(joint_of[v], joint_of[w]) for v, w in edges])
    joints = points(mesh.vertices[used])
    if bubble is None:
        apart = np.linalg.norm(joints[ends[:, 0]] - joints[ends[:, 1]], axis=1)
        lengths = whole(np.floor(apart * 100 + 0.5))
    else:
        lengths = whole([bubble] * len(edges))
    kind: BubbleKind = "frame"
    m = len(edges)
    return Net(
        joints=joints,
        ends=ends,
        lengths=lengths,
        colours=("",) * m,
        sizes=(size,) * m,
        kinds=(kind,) * m,
        joint_names=tuple(f"corner {number + 1}" for number in range(len(used))),
        bubble_names=tuple(f"edge {number + 1}" for number in range(m)),
        bubble_panels=("",) * m,
        places=pairs([(-1, -1)] * m),
    )
