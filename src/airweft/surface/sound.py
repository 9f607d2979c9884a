"""How the cells of a mesh hang together: parts, pinched vertices, and what a sound surface is."""

from __future__ import annotations

from dataclasses import replace

from airweft.records.arrays import points
from airweft.records.mesh import Face, Mesh


def faces_at_edges(mesh: Mesh) -> list[list[tuple[int, int]]]:
    """For each edge, the (face, corner) pairs that use it, in face order."""
    rings, ends = mesh.rings()
    at: list[list[tuple[int, int]]] = [[] for _ in ends]
    for face, ring in enumerate(rings):
        for k, edge in enumerate(ring):
            at[edge].append((face, k))
    return at


def part_of_faces(mesh: Mesh) -> list[int]:
    """For each face the number of its connected part; parts count up in face order."""
    rings, _ = mesh.rings()
    at = faces_at_edges(mesh)
    part = [-1] * len(mesh.faces)
    count = 0
    for first in range(len(part)):
        if part[first] >= 0:
            continue
        part[first] = count
        stack = [first]
        while stack:
            for edge in rings[stack.pop()]:
                for face, _k in at[edge]:
                    if part[face] < 0:
                        part[face] = count
                        stack.append(face)
        count += 1
    return part


def is_sound(mesh: Mesh) -> bool:
    """True if every edge lies in one or two faces, and two faces run along it opposite ways."""
    for users in faces_at_edges(mesh):
        if len(users) > 2:
            return False
        if len(users) == 2:
            one, other = (_run(mesh.faces[face], k) for face, k in users)
            if one != (other[1], other[0]):
                return False
    return True


def split_pinches(mesh: Mesh) -> Mesh:
    """The same surface with a vertex of its own for each fan of faces.

    Where two stretches of the skin touch at a bare point they share a vertex but no edge; nothing
    holds them together there, so each gets its own.
    """
    # Fans: corners at one vertex that are joined over an edge of the mesh.
    first = [0]
    for face in mesh.faces:
        first.append(first[-1] + len(face.corners))
    leader = list(range(first[-1]))

    def find(c: int) -> int:
        while leader[c] != c:
            leader[c] = leader[leader[c]]
            c = leader[c]
        return c

    for users in faces_at_edges(mesh):
        if len(users) == 2:
            (f, j), (g, k) = users
            f_next = (j + 1) % len(mesh.faces[f].corners)
            g_next = (k + 1) % len(mesh.faces[g].corners)
            for a, b in ((j, g_next), (f_next, k)):
                leader[find(first[g] + b)] = find(first[f] + a)
    fans: dict[int, int] = {}
    taken: set[int] = set()
    vertices = list(mesh.vertices)
    faces = []
    for f, face in enumerate(mesh.faces):
        corners = []
        for k, vertex in enumerate(face.corners):
            fan = find(first[f] + k)
            if fan not in fans:
                fans[fan] = vertex if vertex not in taken else len(vertices)
                if vertex in taken:
                    vertices.append(mesh.vertices[vertex])
                taken.add(vertex)
            corners.append(fans[fan])
        faces.append(Face(tuple(corners), face.panel, face.column, face.row, face.edges))
    if len(vertices) == len(mesh.vertices):
        return mesh
    return replace(mesh, vertices=points(vertices), faces=tuple(faces))


def _run(face: Face, k: int) -> tuple[int, int]:
    """The two vertices of the face's edge k, in running order."""
    return face.corners[k], face.corners[(k + 1) % len(face.corners)]
