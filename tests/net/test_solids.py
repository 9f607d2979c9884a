"""The test solids against published tables, so that everything tested with them stands firm.

Counts: MathWorld, "Platonic Solid" and "Archimedean Solid"; sorted edge counts of the semiregular
ones: OEIS A092536. Radii: closed forms as tabled in the CRC Standard Mathematical Tables and in
MathWorld.
"""

from __future__ import annotations

from collections import Counter
from math import sqrt

import numpy as np
import pytest

from tests.solids import PHI, SOLIDS

# vertices, edges, faces, degree, circumradius for edge 1
T = 1.8392867552141612  # real root of t^3 = t^2 + t + 1
TABLE = {
    "tetrahedron": (4, 6, 4, 3, sqrt(6) / 4),
    "cube": (8, 12, 6, 3, sqrt(3) / 2),
    "octahedron": (6, 12, 8, 4, sqrt(2) / 2),
    "dodecahedron": (20, 30, 12, 3, sqrt(3) * PHI / 2),
    "icosahedron": (12, 30, 20, 5, sqrt(PHI * sqrt(5)) / 2),
    "truncated tetrahedron": (12, 18, 8, 3, sqrt(22) / 4),
    "cuboctahedron": (12, 24, 14, 4, 1),
    "truncated cube": (24, 36, 14, 3, sqrt(7 + 4 * sqrt(2)) / 2),
    "truncated octahedron": (24, 36, 14, 3, sqrt(10) / 2),
    "rhombicuboctahedron": (24, 48, 26, 4, sqrt(5 + 2 * sqrt(2)) / 2),
    "truncated cuboctahedron": (48, 72, 26, 3, sqrt(13 + 6 * sqrt(2)) / 2),
    "snub cube": (24, 60, 38, 5, sqrt((3 - T) / (4 * (2 - T)))),
    "icosidodecahedron": (30, 60, 32, 4, PHI),
    "truncated dodecahedron": (60, 90, 32, 3, sqrt(74 + 30 * sqrt(5)) / 4),
    "truncated icosahedron": (60, 90, 32, 3, sqrt(58 + 18 * sqrt(5)) / 4),
    "rhombicosidodecahedron": (60, 120, 62, 4, sqrt(11 + 4 * sqrt(5)) / 2),
    "truncated icosidodecahedron": (120, 180, 62, 3, sqrt(31 + 12 * sqrt(5)) / 2),
    "snub dodecahedron": (60, 150, 92, 5, 2.155837),
}


def test_all_eighteen_are_there() -> None:
    assert list(SOLIDS) == list(TABLE)
    semiregular = sorted(len(s.edges) for s in list(SOLIDS.values())[5:])
    assert semiregular == [18, 24, 36, 36, 48, 60, 60, 72, 90, 90, 120, 150, 180]


@pytest.mark.parametrize("name", TABLE)
def test_solid(name: str) -> None:
    v, e, f, degree, radius = TABLE[name]
    solid = SOLIDS[name]
    assert (len(solid.positions), len(solid.edges), len(solid.faces)) == (v, e, f)
    assert v - e + f == 2
    assert set(Counter(i for edge in solid.edges for i in edge).values()) == {degree}
    out = np.linalg.norm(solid.positions, axis=1)
    np.testing.assert_allclose(out, radius, rtol=1e-6)
    for ring in solid.faces:
        spots = solid.positions[list(ring)]
        side = np.roll(spots, -1, axis=0) - spots
        np.testing.assert_allclose(np.linalg.norm(side, axis=1), 1, atol=1e-9)
        # Flat, regular, and anticlockwise seen from outside.
        turns = np.cross(side, np.roll(side, -1, axis=0))
        np.testing.assert_allclose(turns, np.broadcast_to(turns[0], turns.shape), atol=1e-9)
        assert turns[0] @ spots.mean(axis=0) > 0
