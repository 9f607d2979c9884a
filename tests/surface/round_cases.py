"""Round forms and solids for the tests: smallest, ordinary, large."""

from __future__ import annotations

import math
from typing import Any

from airweft.records.design import Ball, Cone, Ring, Solid, Turned


def cm(*corners: tuple[float, float]) -> tuple[tuple[int, int], ...]:
    """A profile given in cm."""
    return tuple((round(r * 1000), round(h * 1000)) for r, h in corners)


HALF_CIRCLE = cm(
    (0, 0),
    *(
        (12 * math.sin(k * math.pi / 32), 12 - 12 * math.cos(k * math.pi / 32))
        for k in range(1, 32)
    ),
    (0, 24),
)

# Each with the Euler characteristic V - E + F of what it is: disc 1, tube 0, ball 2, torus 0.
ROUND: dict[type, list[tuple[Any, int]]] = {
    Turned: [
        (Turned(profile=cm((1.3, 0), (1.3, 3)), around=4), 0),
        (Turned(profile=cm((8, 0), (8, 20)), closed=("top",)), 1),
        (Turned(profile=cm((14, 0), (8, 40))), 0),
        (Turned(profile=cm((6, 0), (12, 12), (5, 25), (9, 32)), closed=("bottom",)), 1),
        (Turned(profile=cm((4, 0), (4, 15), (14, 13), (14, 16), (8, 22), (0, 24))), 1),
        (Turned(profile=cm((0, 0), (12, 15), (0, 30))), 2),
        (Turned(profile=HALF_CIRCLE, around=42), 2),
        (Turned(profile=cm((20, 0), (30, 40), (12, 80)), closed=("bottom", "top")), 2),
    ],
    Ball: [(Ball(across=6000), 2), (Ball(across=16000), 2), (Ball(across=60000), 2)],
    Ring: [
        (Ring(across=15000, thick=5000), 0),
        (Ring(across=40000, thick=5000), 0),
        (Ring(across=50000, thick=12000), 0),
        (Ring(across=24000, thick=7000, arc=180), 0),
        (Ring(across=30000, thick=8000, arc=90), 0),
        (Ring(across=18000, thick=6000, arc=270), 0),
    ],
    Cone: [
        (Cone(across=8000, high=8000), 2),
        (Cone(across=12000, high=40000, open=("bottom",)), 1),
        (Cone(across=40000, high=10000), 2),
    ],
    Solid: [
        (Solid(name="tetrahedron"), 2),
        (Solid(name="snub dodecahedron"), 2),
        (Solid(name="prism 6"), 2),
        (Solid(name="icosahedron", divide=3), 2),
        (Solid(name="cube", build="frame"), 2),
        (Solid(name="octahedron", build="frame", divide=4), 2),
    ],
}
FORMS = [form for cases in ROUND.values() for form, _ in cases]
EULER = [case for cases in ROUND.values() for case in cases]
