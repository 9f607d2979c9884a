"""Straight-ahead walks on 4-regular maps, and geodesic spheres, as test material."""

from __future__ import annotations

from collections import Counter

import numpy as np

from airweft.records.arrays import points
from airweft.records.mesh import Face, Mesh
from airweft.records.net import Net


def central_circuits(net: Net) -> Counter[int]:
    """How many closed straight-ahead walks of each length a fabric net has.

    At a joint the four bubbles come in turn from cell A at one end of the mesh's edge, A at the
    other end, B at that end, B at the first end; straight on leads to the one after next.
    """
    opposite: dict[tuple[int, int], int] = {}
    at: dict[int, tuple[int, int]] = {}
    for cell in net.cells:
        count = len(cell.joints)
        for k, joint in enumerate(cell.joints):
            mine = (cell.bubbles[k], cell.bubbles[(k + 1) % count])
            if joint in at:
                for here, there in zip(mine, at[joint], strict=True):
                    opposite[joint, here], opposite[joint, there] = there, here
            else:
                at[joint] = mine
    return _walk(opposite, net.ends.tolist())


def own_circuits(mesh: Mesh) -> Counter[int]:
    """The same on the edges of a mesh whose vertices all have four."""
    rings, edges = mesh.rings()
    after: dict[tuple[int, int], int] = {}
    for face, ring in zip(mesh.faces, rings, strict=True):
        for k, vertex in enumerate(face.corners):
            after[vertex, ring[k - 1]] = ring[k]
    opposite = {(v, e): after[v, after[v, e]] for v, e in after}
    return _walk(opposite, [list(edge) for edge in edges])


def _walk(opposite: dict[tuple[int, int], int], ends: list[list[int]]) -> Counter[int]:
    found = Counter[int]()
    done: set[int] = set()
    for first in range(len(ends)):
        if first in done:
            continue
        edge, node, length = first, ends[first][1], 0
        while True:
            done.add(edge)
            length += 1
            edge = opposite[node, edge]
            a, b = ends[edge]
            node = b if a == node else a
            if (edge, node) == (first, ends[first][1]):
                break
        found[length] += 1
    return found


def geodesic(mesh: Mesh, frequency: int) -> Mesh:
    """Every triangle of the mesh cut into frequency**2 triangles, on its own plane (class I)."""
    number: dict[tuple[float, float, float], int] = {}
    spots: list[np.ndarray] = []

    def vertex(a: np.ndarray, b: np.ndarray, c: np.ndarray, i: int, j: int) -> int:
        spot = a + (b - a) * i / frequency + (c - a) * j / frequency
        key = tuple(float(x) + 0.0 for x in np.round(spot, 6))
        if key not in number:
            number[key] = len(spots)
            spots.append(spot)
        return number[key]

    faces = []
    for face in mesh.faces:
        a, b, c = mesh.vertices[list(face.corners)]
        for i in range(frequency):
            for j in range(frequency - i):
                faces.append(tuple(vertex(a, b, c, *ij) for ij in ((i, j), (i + 1, j), (i, j + 1))))
                if i + j < frequency - 1:
                    faces.append(
                        tuple(
                            vertex(a, b, c, *ij) for ij in ((i + 1, j), (i + 1, j + 1), (i, j + 1))
                        )
                    )
    return Mesh(points(spots), tuple(Face(f) for f in faces))


def triangular_torus(a: int, b: int) -> Mesh:
    """A torus of 2ab triangles, six at every vertex; positions do not matter."""

    def vertex(i: int, j: int) -> int:
        return i % a * b + j % b

    faces = []
    for i in range(a):
        for j in range(b):
            p, q = vertex(i, j), vertex(i + 1, j)
            r, s = vertex(i, j + 1), vertex(i + 1, j + 1)
            faces += [Face((p, q, s)), Face((p, s, r))]
    return Mesh(points(np.zeros((a * b, 3))), tuple(faces))
