"""Frames with known mechanisms and self-stresses: (joints (j, d), bars (e, 2)) each."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable

import numpy as np

from tests.solids import PHI, SOLIDS

Frame = tuple[np.ndarray, np.ndarray]


def framed(spots: object, ends: object) -> Frame:
    return np.array(spots, dtype=float), np.array(sorted(ends), dtype=np.int64)  # type: ignore[call-overload]


def solid(name: str, more: object = ()) -> Frame:
    found = SOLIDS[name]
    return framed(found.positions, [*found.edges, *more])  # type: ignore[misc]


def diagonals(each: int) -> list[tuple[int, int]]:
    """`each` (1 or 2) diagonals of every face of the cube."""
    found: list[tuple[int, int]] = []
    for a, b, c, d in SOLIDS["cube"].faces:
        found += [(min(a, c), max(a, c)), (min(b, d), max(b, d))][:each]
    return found


def inscribed() -> list[tuple[int, int]]:
    """The six face diagonals of the cube that make a tetrahedron."""
    spots = SOLIDS["cube"].positions
    even = [i for i, p in enumerate(spots) if (p > 0).sum() % 2 == 0]
    return list(itertools.combinations(even, 2))


def long_diagonals(name: str) -> list[tuple[int, int]]:
    """All pairs of opposite corners."""
    spots = SOLIDS[name].positions
    return [
        (i, k)
        for i, k in itertools.combinations(range(len(spots)), 2)
        if np.allclose(spots[i], -spots[k])
    ]


def cut_dodecahedron() -> Frame:
    more = []
    for ring in SOLIDS["dodecahedron"].faces:
        more += [(ring[0], ring[2]), (ring[0], ring[3])]
    return solid("dodecahedron", more)


def double_banana() -> Frame:
    ends, spots = [], [(0.0, 0.0, 1.3), (0.1, 0.2, -1.1)]
    for shift in (0, 3):
        around = [
            (2.0 * (1 if shift else -1) + x, y, z)
            for x, y, z in ((0.5, 0.1, 0.1), (-0.3, 0.7, -0.2), (-0.4, -0.6, 0.15))
        ]
        first = 2 + shift
        spots += around
        ends += [(first, first + 1), (first + 1, first + 2), (first, first + 2)]
        ends += [(tip, first + k) for tip in (0, 1) for k in range(3)]
    return framed(spots, ends)


def bricard() -> Frame:
    """A line-symmetric octahedron: three points and their images by a half turn about z."""
    near = np.array([(1.0, 0.3, 0.2), (-0.4, 1.1, 0.5), (0.6, 0.9, -0.8)])
    spots = np.concatenate([near, near * (-1, -1, 1)])
    ends = [p for p in itertools.combinations(range(6), 2) if p[1] - p[0] != 3]
    return framed(spots, ends)


def jessen() -> Frame:
    """Vertices cyclic (0, +-1, +-2): 24 edges of sqrt 6 and 6 struts of 4."""
    spots = [tuple(np.roll((0, s, 2 * t), k)) for k in range(3) for s in (1, -1) for t in (1, -1)]
    ends = [
        (i, k)
        for i, k in itertools.combinations(range(12), 2)
        if round(float(np.sum((np.array(spots[i]) - spots[k]) ** 2))) in (6, 16)
    ]
    assert len(ends) == 30
    return framed(spots, ends)


def k5() -> Frame:
    spots = [(0, 0, 0), (1, 0.1, 0.2), (0.3, 1.2, -0.1), (0.2, 0.4, 0.9), (1.1, 0.8, 0.7)]
    return framed(spots, itertools.combinations(range(5), 2))


def prism() -> Frame:
    spots = [
        (math.cos(a), math.sin(a), z) for z in (0, 1) for a in (0, 2 * math.pi / 3, 4 * math.pi / 3)
    ]
    ends = [(0, 1), (1, 2), (0, 2), (3, 4), (4, 5), (3, 5), (0, 3), (1, 4), (2, 5)]
    return framed(spots, ends)


def pyramid() -> Frame:
    spots = [(1, 0, 0), (0, 1, 0), (-1, 0, 0), (0, -1, 0), (0, 0, 1)]
    return framed(spots, [(0, 1), (1, 2), (2, 3), (0, 3), *((k, 4) for k in range(4))])


def wheel(*, raised: float = 0.0, flat: bool = False) -> Frame:
    rim = [(math.cos(k * math.pi / 3), math.sin(k * math.pi / 3), 0.0) for k in range(6)]
    spots = np.array([*rim, (0.0, 0.0, raised)])
    ends = [(min(k, (k + 1) % 6), max(k, (k + 1) % 6)) for k in range(6)]
    return framed(spots[:, :2] if flat else spots, [*ends, *((k, 6) for k in range(6))])


def tube(around: int, rings: int) -> Frame:
    """Rings of joints, each turned by half a step, with triangles between."""
    spots = []
    for r in range(rings):
        for k in range(around):
            angle = 2 * math.pi * (k + r / 2) / around
            spots.append((math.cos(angle), math.sin(angle), r))
    ends = []
    for r in range(rings):
        for k in range(around):
            here, after = r * around + k, r * around + (k + 1) % around
            ends.append((here, after))
            if r + 1 < rings:
                ends += [(here, here + around), (here, (r + 1) * around + (k - 1) % around)]
    return framed(spots, ends)


def torus(a: int, b: int) -> Frame:
    """Triangles all over a torus; radii swell a little, so that nothing is special by symmetry."""
    spots = []
    for i in range(a):
        for k in range(b):
            u, v = 2 * math.pi * i / a, 2 * math.pi * k / b
            thick = 1 + 0.07 * math.sin(2 * u + v) + 0.05 * math.cos(3 * v - u)
            r = 3 + thick * math.cos(v)
            spots.append((r * math.cos(u), r * math.sin(u), thick * math.sin(v)))
    ends = []
    for i in range(a):
        for k in range(b):
            here = i * b + k
            for di, dk in ((1, 0), (0, 1), (1, 1)):
                ends.append((here, (i + di) % a * b + (k + dk) % b))
    return framed(spots, ends)


def tense_tetrahedron() -> Frame:
    """The truncated tetrahedron with six struts, turned until it bears a self-stress.

    18 edges and 6 struts, in the geometry where the corner triangles are turned so far that cables
    and struts balance: found by looking for the turn at which the rigidity matrix loses rank.
    """
    base = SOLIDS["truncated tetrahedron"]
    spots = base.positions
    triangles = [face for face in base.faces if len(face) == 3]
    hexagons = [face for face in base.faces if len(face) == 6]
    # A strut joins the corners of each of the six long edges' hexagon pairs: the corner next along
    # one hexagon to that next along the other, always the same way round.
    edge_of = {}
    for ring in hexagons:
        for k, a in enumerate(ring):
            edge_of[a, ring[(k + 1) % 6]] = ring
    long = [(a, b) for a, b in base.edges if (a, b) in edge_of and (b, a) in edge_of]
    struts = []
    for a, b in long:
        left, right = edge_of[a, b], edge_of[b, a]
        p = left[(left.index(b) + 1) % 6]
        q = right[(right.index(a) + 1) % 6]
        struts.append((min(p, q), max(p, q)))
    ends = sorted([*base.edges, *struts])

    def turned(angle: float) -> np.ndarray:
        result = spots.copy()
        for face in triangles:
            ring = list(face)
            middle = spots[ring].mean(axis=0)
            axis = middle / np.linalg.norm(middle)
            arm = spots[ring] - middle
            result[ring] = middle + arm * math.cos(angle) + np.cross(axis, arm) * math.sin(angle)
        return result

    joined = np.array(ends)

    def least(angle: float) -> float:
        at = turned(angle)
        rows = np.zeros((len(joined), 36))
        for row, (a, b) in enumerate(joined):
            u = (at[b] - at[a]) / np.linalg.norm(at[b] - at[a])
            rows[row, 3 * a : 3 * a + 3], rows[row, 3 * b : 3 * b + 3] = -u, u
        return float(np.linalg.svd(rows, compute_uv=False)[-1])

    grid = np.linspace(-1.0, 1.0, 401)
    values = [least(float(t)) for t in grid]
    best = int(np.argmin(values))
    low, high = grid[max(0, best - 1)], grid[min(400, best + 1)]
    for _ in range(200):  # golden section
        one, two = high - (high - low) / PHI, low + (high - low) / PHI
        low, high = (low, two) if least(one) < least(two) else (one, high)
    return framed(turned((low + high) / 2), ends)


def geodesic(name: str, frequency: int) -> Frame:
    """The faces of a solid of triangles cut into frequency^2, all corners on one sphere."""
    base = SOLIDS[name]
    number: dict[tuple[float, ...], int] = {}
    spots: list[np.ndarray] = []
    ends = set()

    def at(p: np.ndarray) -> int:
        key = tuple(np.round(p, 6) + 0.0)
        if key not in number:
            number[key] = len(spots)
            spots.append(p / np.linalg.norm(p))
        return number[key]

    for face in base.faces:
        a, b, c = (base.positions[i] for i in face)
        n = frequency
        grid = {
            (i, k): at((a * (n - i - k) + b * i + c * k) / n)
            for i in range(n + 1)
            for k in range(n + 1 - i)
        }
        for (i, k), here in grid.items():
            for di, dk in ((1, 0), (0, 1), (-1, 1)):
                there = grid.get((i + di, k + dk))
                if there is not None:
                    ends.add((min(here, there), max(here, there)))
    return framed(spots, ends)


SQUARE = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
SIDES = [(0, 1), (1, 2), (2, 3), (0, 3)]

# name: frame, joints, bars, rank, mechanisms, self-stresses
KNOWN: dict[str, tuple[Callable[[], Frame], int, int, int, int, int]] = {
    "cube + 5 diagonals": (lambda: solid("cube", diagonals(1)[:5]), 8, 17, 17, 1, 0),
    "cube + 6, one a face": (lambda: solid("cube", diagonals(1)), 8, 18, 18, 0, 0),
    "cube + 6, tetrahedron": (lambda: solid("cube", inscribed()), 8, 18, 18, 0, 0),
    "cube + 12 diagonals": (lambda: solid("cube", diagonals(2)), 8, 24, 18, 0, 6),
    "octahedron + 1": (
        lambda: solid("octahedron", long_diagonals("octahedron")[:1]),
        6, 13, 12, 0, 1,
    ),
    "icosahedron + 6": (
        lambda: solid("icosahedron", long_diagonals("icosahedron")),
        12, 36, 30, 0, 6,
    ),
    "K5": (k5, 5, 10, 9, 0, 1),
    "dodecahedron in triangles": (cut_dodecahedron, 20, 54, 54, 0, 0),
    "double banana": (double_banana, 8, 18, 17, 1, 1),
    "Bricard octahedron": (bricard, 6, 12, 11, 1, 1),
    "Jessen icosahedron": (jessen, 12, 30, 29, 1, 1),
    "tense truncated tetrahedron": (tense_tetrahedron, 12, 24, 23, 7, 1),
    "triangular prism": (prism, 6, 9, 9, 3, 0),
    "square pyramid": (pyramid, 5, 8, 8, 1, 0),
    "hexagon wheel": (wheel, 7, 12, 11, 4, 1),
    "hexagon wheel, flat": (lambda: wheel(flat=True), 7, 12, 11, 0, 1),
    "hexagon wheel, raised": (lambda: wheel(raised=0.4), 7, 12, 12, 3, 0),
    "tube 6 x 4": (lambda: tube(6, 4), 24, 60, 60, 6, 0),
    "tube 8 x 5": (lambda: tube(8, 5), 40, 104, 104, 10, 0),
    "torus 8 x 5": (lambda: torus(8, 5), 40, 120, 114, 0, 6),
    "square": (lambda: framed(SQUARE, SIDES), 4, 4, 4, 1, 0),
    "square + 1": (lambda: framed(SQUARE, [*SIDES, (0, 2)]), 4, 5, 5, 0, 0),
    "square + 2": (lambda: framed(SQUARE, [*SIDES, (0, 2), (1, 3)]), 4, 6, 5, 0, 1),
    "three in a line": (
        lambda: framed([(0, 0), (1, 0), (2.5, 0)], [(0, 1), (1, 2), (0, 2)]),
        3, 3, 2, 1, 1,
    ),
}  # fmt: skip

# V, E and mechanisms of the eighteen solids; none has a self-stress.
SOLID_COUNTS: dict[str, tuple[int, int, int]] = {
    "tetrahedron": (4, 6, 0),
    "octahedron": (6, 12, 0),
    "icosahedron": (12, 30, 0),
    "cube": (8, 12, 6),
    "dodecahedron": (20, 30, 24),
    "truncated tetrahedron": (12, 18, 12),
    "cuboctahedron": (12, 24, 6),
    "truncated cube": (24, 36, 30),
    "truncated octahedron": (24, 36, 30),
    "rhombicuboctahedron": (24, 48, 18),
    "snub cube": (24, 60, 6),
    "icosidodecahedron": (30, 60, 24),
    "truncated cuboctahedron": (48, 72, 66),
    "truncated dodecahedron": (60, 90, 84),
    "truncated icosahedron": (60, 90, 84),
    "rhombicosidodecahedron": (60, 120, 54),
    "snub dodecahedron": (60, 150, 24),
    "truncated icosidodecahedron": (120, 180, 174),
}
