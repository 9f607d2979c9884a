"""The fabric of a mesh as arrays: which bubbles meet where, and which stretches are folded."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airweft.records.arrays import Indices, Points
from airweft.surface.outside.triangles import unit


@dataclass(frozen=True, slots=True)
class Fabric:
    """Joints in the middles of a mesh's edges, bubbles at the corners of its faces.

    bubbles   (m, 2) joints of each bubble
    around    (j, 4) joints at the other ends of a joint's bubbles, anticlockwise seen from outside;
              -1 twice at the end where only one face lies
    wide      (w, 2) joints two bubbles apart in a ring of four or more: they must not meet
    corners   (e, 2) ends of the mesh edge of each joint
    """

    bubbles: Indices
    around: Indices
    wide: Indices
    corners: Indices

    def middles(self, vertices: Points) -> Points:
        """(j, 3) middles of the mesh's edges."""
        a, b = self.corners.T
        return np.asarray((vertices[a] + vertices[b]) / 2)


def fabric_of(faces: list[tuple[int, ...]]) -> Fabric:
    """The fabric of a clean mesh of polygons; joints in the order in which faces use their edges.

    The same numbering as that of `records.mesh.Mesh.rings`.
    """
    number: dict[tuple[int, int], int] = {}
    corners: list[tuple[int, int]] = []
    seen: list[list[tuple[int, int]]] = []  # for each joint and face: joint before, joint after
    bubbles: list[tuple[int, int]] = []
    wide: list[tuple[int, int]] = []
    after_at: dict[tuple[int, int], int] = {}  # joint, vertex -> next joint around that vertex
    for face in faces:
        ring = []
        for k, v in enumerate(face):
            w = face[(k + 1) % len(face)]
            key = (v, w) if v < w else (w, v)
            joint = number.setdefault(key, len(number))
            if joint == len(corners):
                corners.append((v, w))
                seen.append([])
            ring.append(joint)
        size = len(ring)
        for k, joint in enumerate(ring):
            before, after = ring[k - 1], ring[(k + 1) % size]
            seen[joint].append((after, before))
            bubbles.append((before, joint))
            after_at[joint, face[k]] = before
            if size == 4 and k < 2:
                wide.append((joint, ring[k + 2]))
            elif size > 4:
                wide.append((joint, ring[(k + 2) % size]))
    wide += _around_vertices(after_at)
    around = np.full((len(corners), 4), -1, dtype=np.int64)
    for joint, pairs in enumerate(seen):
        flat = [other for pair in pairs for other in pair]
        around[joint, : len(flat)] = flat
    return Fabric(
        np.array(bubbles, dtype=np.int64).reshape(-1, 2),
        around,
        np.array(wide, dtype=np.int64).reshape(-1, 2),
        np.array(corners, dtype=np.int64).reshape(-1, 2),
    )


def _around_vertices(after_at: dict[tuple[int, int], int]) -> list[tuple[int, int]]:
    """Joints two apart around each inner vertex with four or more of them."""
    wide = []
    for (joint, vertex), after in after_at.items():
        second = after_at.get((after, vertex))
        third = after_at.get((second, vertex)) if second is not None else None
        if second is None or third is None or second == joint or third == joint:
            continue
        if after_at.get((third, vertex)) == joint and joint > second:
            continue  # in a ring of four each pair is met twice
        wide.append((joint, second))
    return wide


def joint_normals(fabric: Fabric, joints: Points) -> Points:
    """(j, 3) unit normals of the fabric at its joints, outwards."""
    a, b, c, d = (joints[np.maximum(fabric.around[:, k], 0)] for k in range(4))
    single = (fabric.around[:, 2] < 0)[:, None]
    one = np.where(single, a - joints, a - c)
    other = np.where(single, b - joints, b - d)
    return unit(np.asarray(np.cross(one, other)))


def folded_joints(fabric: Fabric, joints: Points, normals: Points) -> Indices:
    """Joints around which the bubbles do not lie in their order: a cell is folded over there.

    Seen along the surface's normal, the four bubbles of a joint follow each other once around.
    """
    rows = np.flatnonzero(fabric.around[:, 2] >= 0)
    n = normals[rows]
    spokes = joints[fabric.around[rows]] - joints[rows][:, None, :]
    first = spokes[:, 0] - n * np.einsum("ij,ij->i", spokes[:, 0], n)[:, None]
    x = unit(first)
    y = np.cross(n, x)
    angle = np.arctan2(np.einsum("ikj,ij->ik", spokes, y), np.einsum("ikj,ij->ik", spokes, x))
    steps = np.mod(np.roll(angle, -1, axis=1) - angle, 2 * np.pi)
    return np.asarray(rows[steps.sum(axis=1) > 2 * np.pi + 1e-6])


def bubble_lengths(fabric: Fabric, joints: Points) -> NDArray[np.float64]:
    """(m,) straight lengths of the bubbles."""
    a, b = fabric.bubbles.T
    return np.asarray(np.linalg.norm(joints[a] - joints[b], axis=1))
