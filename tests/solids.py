"""The 18 regular and semiregular solids from exact coordinates, as test material.

Coordinates are the usual textbook ones (H. S. M. Coxeter, Regular Polytopes; assumption, from
memory); tests/net/test_solids.py checks them against published counts and radii, so that a wrong
digit here cannot pass. Edges are found as the least distances and scaled to length 1, faces by
walking around them, anticlockwise seen from outside.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from airweft.records.arrays import points
from airweft.records.mesh import Face, Mesh

PHI = (1 + math.sqrt(5)) / 2
SQ2 = math.sqrt(2)
EVEN = ((0, 1, 2), (1, 2, 0), (2, 0, 1))
ODD = ((0, 2, 1), (1, 0, 2), (2, 1, 0))
Triple = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Solid:
    """`positions` (v, 3) with edge 1 about the origin, `edges` pairs a < b, `faces` rings."""

    name: str
    positions: np.ndarray
    edges: tuple[tuple[int, int], ...]
    faces: tuple[tuple[int, ...], ...]


def _signed(triple: Triple, *, plus: int | None = None) -> list[Triple]:
    """All changes of sign; with `plus` only those with that parity of plus signs."""
    found: dict[Triple, None] = {}
    for signs in itertools.product((1, -1), repeat=3):
        if plus is None or sum(s > 0 for s in signs) % 2 == plus:
            x, y, z = (s * t if t else 0.0 for s, t in zip(signs, triple, strict=True))
            found[(x, y, z)] = None
    return list(found)


def _spread(
    triples: Iterable[Triple],
    orders: Iterable[tuple[int, ...]] = EVEN + ODD,
    *,
    plus: int | None = None,
) -> list[Triple]:
    """All signs and the given orders of the coordinates, without repeats."""
    found: dict[Triple, None] = {}
    for triple in triples:
        for order in orders:
            for point in _signed((triple[order[0]], triple[order[1]], triple[order[2]]), plus=plus):
                found[point] = None
    return list(found)


def _snub_cube() -> list[Triple]:
    t = (1 + (19 + 3 * math.sqrt(33)) ** (1 / 3) + (19 - 3 * math.sqrt(33)) ** (1 / 3)) / 3
    base = [(1.0, 1 / t, t)]
    return _spread(base, EVEN, plus=0) + _spread(base, ODD, plus=1)


def _snub_dodecahedron() -> list[Triple]:
    # xi is the real root of x^3 - 2 x = phi, here by Cardano's formula.
    inner = math.sqrt(PHI - 5 / 27)
    xi = ((PHI + inner) / 2) ** (1 / 3) + ((PHI - inner) / 2) ** (1 / 3)
    a = xi - 1 / xi
    b = xi * PHI + PHI**2 + PHI / xi
    base = [
        (2 * a, 2.0, 2 * b),
        (a + b / PHI + PHI, -a * PHI + b + 1 / PHI, a / PHI + b * PHI - 1),
        (a + b / PHI - PHI, a * PHI - b + 1 / PHI, a / PHI + b * PHI + 1),
        (-a / PHI + b * PHI + 1, -a + b / PHI - PHI, a * PHI + b - 1 / PHI),
        (-a / PHI + b * PHI - 1, a - b / PHI - PHI, a * PHI + b + 1 / PHI),
    ]
    return _spread(base, EVEN, plus=0)


_POINTS: dict[str, list[Triple]] = {
    "tetrahedron": _signed((1, 1, 1), plus=1),
    "cube": _signed((1, 1, 1)),
    "octahedron": _spread([(0, 0, 1)], EVEN),
    "dodecahedron": _signed((1, 1, 1)) + _spread([(0, 1 / PHI, PHI)], EVEN),
    "icosahedron": _spread([(0, 1, PHI)], EVEN),
    "truncated tetrahedron": _spread([(3, 1, 1)], EVEN, plus=1),
    "cuboctahedron": _spread([(0, 1, 1)], EVEN),
    "truncated cube": _spread([(SQ2 - 1, 1, 1)], EVEN),
    "truncated octahedron": _spread([(0, 1, 2)]),
    "rhombicuboctahedron": _spread([(1, 1, 1 + SQ2)], EVEN),
    "truncated cuboctahedron": _spread([(1, 1 + SQ2, 1 + 2 * SQ2)]),
    "snub cube": _snub_cube(),
    "icosidodecahedron": _spread([(0, 0, PHI), (1 / 2, PHI / 2, PHI**2 / 2)], EVEN),
    "truncated dodecahedron": _spread(
        [(0, 1 / PHI, 2 + PHI), (1 / PHI, PHI, 2 * PHI), (PHI, 2, PHI + 1)], EVEN
    ),
    "truncated icosahedron": _spread(
        [(0, 1, 3 * PHI), (1, 2 + PHI, 2 * PHI), (PHI, 2, 2 * PHI + 1)], EVEN
    ),
    "rhombicosidodecahedron": _spread(
        [(1, 1, PHI**3), (PHI**2, PHI, 2 * PHI), (2 + PHI, 0, PHI**2)], EVEN
    ),
    "truncated icosidodecahedron": _spread(
        [
            (1 / PHI, 1 / PHI, 3 + PHI),
            (2 / PHI, PHI, 1 + 2 * PHI),
            (1 / PHI, PHI**2, 3 * PHI - 1),
            (2 * PHI - 1, 2, 2 + PHI),
            (PHI, 3, 2 * PHI),
        ],
        EVEN,
    ),
    "snub dodecahedron": _snub_dodecahedron(),
}


def _solid(name: str, raw: list[Triple]) -> Solid:
    spots = np.array(raw, dtype=np.float64)
    apart = np.linalg.norm(spots[:, None] - spots[None], axis=2)
    np.fill_diagonal(apart, np.inf)
    least = float(apart.min())
    near = apart < least * (1 + 1e-9)
    edges = [(int(a), int(b)) for a, b in np.argwhere(near) if a < b]
    return Solid(name, spots / least, tuple(edges), _faces(spots, edges))


def _faces(spots: np.ndarray, edges: list[tuple[int, int]]) -> tuple[tuple[int, ...], ...]:
    """The faces of a convex solid about the origin, each once, anticlockwise from outside."""
    beside: list[list[int]] = [[] for _ in spots]
    for a, b in edges:
        beside[a].append(b)
        beside[b].append(a)
    for v, around in enumerate(beside):
        out = spots[v] / np.linalg.norm(spots[v])
        first = spots[around[0]] - spots[v]
        east = first - out * (first @ out)
        north = np.cross(out, east)
        around.sort(
            key=lambda w, v=v, e=east, n=north: math.atan2(
                (spots[w] - spots[v]) @ n, (spots[w] - spots[v]) @ e
            )
        )
    faces, done = [], set()
    for start in [*edges, *((b, a) for a, b in edges)]:
        if start in done:
            continue
        ring, (a, b) = [], start
        while (a, b) not in done:
            done.add((a, b))
            ring.append(a)
            # The face lies on the left of a -> b: leave b by the neighbour next clockwise from a.
            around = beside[b]
            a, b = b, around[around.index(a) - 1]
        faces.append(tuple(ring))
    return tuple(faces)


SOLIDS: dict[str, Solid] = {name: _solid(name, raw) for name, raw in _POINTS.items()}
"""The five regular and the thirteen semiregular solids by name, edge 1."""


def solid_mesh(solid: Solid, *, edge_mm: float = 25.0) -> Mesh:
    """The solid as a mesh with edges of this length."""
    return Mesh(points(solid.positions * edge_mm), tuple(Face(ring) for ring in solid.faces))
