"""Meshes as they come from outside, made here by counting alone: uneven, in both fabrics.

A triangulated torus, ball or sail has edges turned at random (a seeded choice among integers, so
that every machine makes the same net), which gives corners of four to eight triangles. Triangles
become kagome; each cut into three four-sided cells they become diamond fabric.
"""

from __future__ import annotations

from random import Random

import numpy as np

from airweft.net.fabric import weave
from airweft.records.arrays import points
from airweft.records.design import Solid
from airweft.records.mesh import Face, Mesh
from airweft.records.net import Net
from airweft.surface.build import build
from benchmarks.nets.case import BUBBLE, Recipe
from benchmarks.nets.make import chance, plain, ripples

Triangles = list[tuple[int, int, int]]


def _torus(around: int, through: int) -> Triangles:
    def at(i: int, j: int) -> int:
        return i % around * through + j % through

    return [
        corners
        for i in range(around)
        for j in range(through)
        for corners in (
            (at(i, j), at(i + 1, j), at(i + 1, j + 1)),
            (at(i, j), at(i + 1, j + 1), at(i, j + 1)),
        )
    ]


def _sail(side: int) -> Triangles:
    """A triangle of cloth, `side` triangles along each edge, with open borders."""

    def at(row: int, k: int) -> int:
        return row * (row + 1) // 2 + k

    up = [(at(r, k), at(r + 1, k), at(r + 1, k + 1)) for r in range(side) for k in range(r + 1)]
    down = [(at(r, k), at(r + 1, k + 1), at(r, k + 1)) for r in range(1, side) for k in range(r)]
    return up + down


def _ball(divide: int) -> Triangles:
    mesh = build(Solid(name="icosahedron", divide=divide), bubble=BUBBLE)
    return [(face.corners[0], face.corners[1], face.corners[2]) for face in mesh.faces]


def _turned(triangles: Triangles, times: int, seed: str) -> Triangles:
    """The triangulation with edges turned at random, as long as corners keep 4 to 8 neighbours."""
    dice, faces = Random(seed), list(triangles)
    face_of: dict[tuple[int, int], int] = {}  # the triangle on the left of a directed edge
    for k, (a, b, c) in enumerate(faces):
        face_of |= {(a, b): k, (b, c): k, (c, a): k}
    degree: dict[int, int] = {}
    for a, b in {(min(e), max(e)) for e in face_of}:
        degree[a], degree[b] = degree.get(a, 0) + 1, degree.get(b, 0) + 1
    for _ in range(times):
        k = dice.randrange(len(faces))
        turn = dice.randrange(3)
        a, b, c = faces[k][turn:] + faces[k][:turn]
        other = face_of.get((b, a))
        if other is None:
            continue
        d = sum(faces[other]) - a - b
        if (c, d) in face_of or (d, c) in face_of or min(degree[a], degree[b]) < 5:
            continue
        if max(degree[c], degree[d]) > 7:
            continue
        faces[k], faces[other] = (a, d, c), (d, b, c)
        del face_of[a, b], face_of[b, a]
        face_of |= {(a, d): k, (d, c): k, (c, a): k, (d, b): other, (b, c): other, (c, d): other}
        degree[a], degree[b] = degree[a] - 1, degree[b] - 1
        degree[c], degree[d] = degree[c] + 1, degree[d] + 1
    return faces


def _woven(faces: list[tuple[int, ...]]) -> Net:
    """The fabric of the faces. Corners lie anywhere: no plan depends on where they are."""
    count = 1 + max(max(face) for face in faces)
    places = np.random.default_rng(0).normal(size=(count, 3)) * 100
    mesh = Mesh(points(places), tuple(Face(face, "skin") for face in faces), ("skin",))
    return weave(mesh, bubble=BUBBLE, size="260")


def kagome(triangles: Triangles) -> Net:
    """Stars and hexagons: three bubbles in every triangle."""
    return _woven([*triangles])


def diamond(triangles: Triangles) -> Net:
    """Every triangle cut into three cells of four, from its middle to the middles of its edges."""
    corners = 1 + max(max(t) for t in triangles)
    middle: dict[tuple[int, int], int] = {}
    faces: list[tuple[int, ...]] = []

    def between(a: int, b: int) -> int:
        key = (min(a, b), max(a, b))
        return middle.setdefault(key, corners + len(triangles) + len(middle))

    for k, (a, b, c) in enumerate(triangles):
        for before, here, after in ((c, a, b), (a, b, c), (b, c, a)):
            faces.append((here, between(here, after), corners + k, between(before, here)))
    return _woven(faces)


RECIPES = (
    Recipe("seal's ball, kagome", lambda: plain(kagome(_turned(_ball(3), 200, "ball")), "B")),
    Recipe("seal's ball, kagome, confetti",
           lambda: chance(kagome(_turned(_ball(3), 200, "ball")), "RWB", "seal")),
    Recipe("swimming ring, kagome, ripples",
           lambda: ripples(kagome(_turned(_torus(14, 6), 300, "torus")), "YYG")),
    Recipe("swimming ring, diamond",
           lambda: plain(diamond(_turned(_torus(10, 5), 120, "small")), "Y"), most=21),
    Recipe("sail, kagome, ripples",
           lambda: ripples(kagome(_turned(_sail(14), 250, "sail")), "WWWR", wide=3)),
    Recipe("sail, diamond, 2 colours",
           lambda: chance(diamond(_turned(_sail(7), 60, "jib")), "WR", "jib")),
    Recipe("whale, kagome", lambda: plain(kagome(_turned(_ball(9), 3000, "whale")), "K")),
    Recipe("whale, diamond, ripples",
           lambda: ripples(diamond(_turned(_ball(4), 500, "calf")), "BBKK", wide=3)),
)  # fmt: skip
