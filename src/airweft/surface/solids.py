"""The 18 regular and semiregular solids, prisms and antiprisms, by one construction.

Three mirrors through one point, meeting at the angles pi/p, pi/q and pi/2, carry a point to all
corners of a solid (Wythoff's kaleidoscope; H. S. M. Coxeter, Regular Polytopes, chapter 5: citation
from memory). A point on two mirrors, on one or on none, as far from each mirror that it is off,
gives all but the snub solids; those come of the rotations alone, from the point that lies as far
from its three nearest images. Corners are exact to rounding; no table of coordinates is used.
"""

from __future__ import annotations

import itertools
import math
import re
from dataclasses import dataclass

import numpy as np

from airweft.records.arrays import Points

# The two numbers (p, q) of the mirrors, and which mirrors the point is off; "s" for snub.
_BY_MIRRORS: dict[str, tuple[int, int, str]] = {
    "tetrahedron": (3, 3, "1"),
    "cube": (4, 3, "1"),
    "octahedron": (4, 3, "3"),
    "dodecahedron": (5, 3, "1"),
    "icosahedron": (5, 3, "3"),
    "truncated tetrahedron": (3, 3, "12"),
    "cuboctahedron": (4, 3, "2"),
    "truncated cube": (4, 3, "12"),
    "truncated octahedron": (4, 3, "23"),
    "rhombicuboctahedron": (4, 3, "13"),
    "truncated cuboctahedron": (4, 3, "123"),
    "snub cube": (4, 3, "s"),
    "icosidodecahedron": (5, 3, "2"),
    "truncated dodecahedron": (5, 3, "12"),
    "truncated icosahedron": (5, 3, "23"),
    "rhombicosidodecahedron": (5, 3, "13"),
    "truncated icosidodecahedron": (5, 3, "123"),
    "snub dodecahedron": (5, 3, "s"),
}
NAMES = tuple(_BY_MIRRORS)
MOST_SIDES = 60
"""Most sides of a prism or antiprism."""

_FAMILY = re.compile(r"(prism|antiprism) ([0-9]{1,4})")


@dataclass(frozen=True, slots=True)
class Shape:
    """`corners` (v, 3) with edges of 1 about the origin; `faces` run anticlockwise from outside."""

    corners: Points
    faces: tuple[tuple[int, ...], ...]


def shape_of(name: str) -> Shape | None:
    """The solid of this name, or None: "snub cube", "prism 6", "antiprism 5"."""
    match = _FAMILY.fullmatch(name)
    if match and 3 <= int(match[2]) <= MOST_SIDES:
        count = int(match[2])
        return _closed(_prism(count) if match[1] == "prism" else _antiprism(count))
    if name not in _BY_MIRRORS:
        return None
    p, q, off = _BY_MIRRORS[name]
    return _closed(_snub(p, q) if off == "s" else _seen(_mirrors(p, q), _start(p, q, off)))


def _mirrors(p: int, q: int) -> Points:
    """(3, 3) unit normals: 1 and 2 meet at pi/p, 2 and 3 at pi/q, 1 and 3 at a right angle."""
    one = np.array([1.0, 0.0, 0.0])
    two = np.array([-math.cos(math.pi / p), math.sin(math.pi / p), 0.0])
    y = -math.cos(math.pi / q) / two[1]
    three = np.array([0.0, y, math.sqrt(1 - y * y)])
    return np.stack([one, two, three])


def _start(p: int, q: int, off: str) -> Points:
    """The point half an edge from each of the mirrors in `off`, and on the others."""
    wanted = np.array([0.5 if str(k + 1) in off else 0.0 for k in range(3)])
    return np.asarray(np.linalg.solve(_mirrors(p, q), wanted))


def _seen(mirrors: Points, start: Points) -> Points:
    """(v, 3) the point and all its images, each once, in the order in which they are found."""
    found = [start]
    for spot in found:
        for normal in mirrors:
            image = spot - 2 * (spot @ normal) * normal
            if min(float(np.abs(image - known).max()) for known in found) > 1e-7:
                found.append(image)
    return np.array(found)


def _snub(p: int, q: int) -> Points:
    """Images under the rotations only, of the point whose three kinds of edges are equally long."""
    mirrors = _mirrors(p, q)

    def turned(spot: Points, first: int, second: int) -> Points:
        for k in (first, second):
            spot = spot - 2 * (spot @ mirrors[k]) * mirrors[k]
        return spot

    def edges(spot: Points) -> Points:
        return np.array(
            [np.linalg.norm(turned(spot, *pair) - spot) for pair in ((0, 1), (1, 2), (0, 2))]
        )

    # Three edges, three coordinates: Newton's method from the point that is off all mirrors alike.
    spot = _start(p, q, "123")
    for _ in range(60):
        now = edges(spot)
        slope = np.stack([(edges(spot + d) - edges(spot - d)) / 2e-6 for d in 1e-6 * np.eye(3)], 1)
        spot = spot - np.linalg.solve(slope, now - 1)
    found = [spot]
    for corner in found:
        for pair in ((0, 1), (1, 2), (0, 2)):
            image = turned(corner, *pair)
            if min(float(np.abs(image - known).max()) for known in found) > 1e-6:
                found.append(image)
    return np.array(found)


def _prism(count: int) -> Points:
    """Two like polygons, one above the other."""
    radius = 0.5 / math.sin(math.pi / count)
    turn = 2 * math.pi * np.arange(count) / count + math.pi / count - math.pi / 2
    x, y = radius * np.cos(turn), radius * np.sin(turn)
    return np.concatenate([np.stack([x, y, np.full(count, z)], 1) for z in (-0.5, 0.5)])


def _antiprism(count: int) -> Points:
    """Two like polygons, one turned by half a side."""
    radius = 0.5 / math.sin(math.pi / count)
    high = math.sqrt(1 - (2 * radius * math.sin(math.pi / (2 * count))) ** 2)
    rings = []
    for z, shift in ((-high / 2, 0.0), (high / 2, math.pi / count)):
        turn = 2 * math.pi * np.arange(count) / count + shift - math.pi / 2
        ring = [radius * np.cos(turn), radius * np.sin(turn), np.full(count, z)]
        rings.append(np.stack(ring, 1))
    return np.concatenate(rings)


def _closed(corners: Points) -> Shape:
    """The solid of these corners: edges are the least distances, faces the rings between them."""
    apart = np.linalg.norm(corners[:, None] - corners[None], axis=2)
    np.fill_diagonal(apart, np.inf)
    least = float(apart.min())
    corners = corners / least
    beside = [np.flatnonzero(row < least * 1.001).tolist() for row in apart]
    order = [_by_turn(corners, v, around) for v, around in enumerate(beside)]
    faces: list[tuple[int, ...]] = []
    done: set[tuple[int, int]] = set()
    for begin in ((v, w) for v, around in enumerate(order) for w in around):
        if begin in done:
            continue
        ring: list[int] = []
        v, w = begin
        while (v, w) not in done:
            done.add((v, w))
            ring.append(v)
            around = order[w]
            v, w = w, around[around.index(v) - 1]
        faces.append(tuple(ring))
    return _standing(Shape(corners, tuple(faces)))


def _by_turn(corners: Points, v: int, around: list[int]) -> list[int]:
    """The neighbours of a corner, anticlockwise seen from outside."""
    out = corners[v] / np.linalg.norm(corners[v])
    east = corners[around[0]] - corners[v]
    east = east - out * (east @ out)
    north = np.cross(out, east)
    turn = {w: math.atan2(float(corners[w] @ north), float(corners[w] @ east)) for w in around}
    return sorted(around, key=lambda w: turn[w])


def _standing(shape: Shape) -> Shape:
    """The solid turned so that it stands on its first largest face."""
    base = max(shape.faces, key=len)
    spots = shape.corners[list(base)]
    down = np.cross(spots[1] - spots[0], spots[2] - spots[1])
    down = down / np.linalg.norm(down)
    right = spots[1] - spots[0]
    right = right / np.linalg.norm(right)
    turn = np.stack([right, np.cross(-down, right), -down])
    return Shape(shape.corners @ turn.T, shape.faces)


def between(shape: Shape) -> Shape:
    """Three times as many triangles: a corner in the middle of each, and the old edges turned.

    With `divided` this gives the divisions of class II. All corners lie on the sphere.
    """
    radius = float(np.linalg.norm(shape.corners[0]))
    count = len(shape.corners)
    middles = np.array([shape.corners[list(ring)].sum(axis=0) for ring in shape.faces])
    middles = middles / np.linalg.norm(middles, axis=1, keepdims=True) * radius
    left = {
        (ring[k - 1], ring[k]): count + number
        for number, ring in enumerate(shape.faces)
        for k in range(3)
    }
    faces = tuple((a, left[b, a], here) for (a, b), here in left.items())
    return Shape(np.concatenate([shape.corners, middles]), faces)


def divided(shape: Shape, times: int) -> Shape:
    """Every triangle cut into times x times, all corners moved out onto the sphere (class I)."""
    radius = float(np.linalg.norm(shape.corners[0]))
    number: dict[tuple[tuple[int, int], ...], int] = {}
    spots: list[Points] = []

    def corner(parts: dict[int, int]) -> int:
        key = tuple(sorted((v, n) for v, n in parts.items() if n))
        if key not in number:
            number[key] = len(spots)
            spot = sum((shape.corners[v] * n for v, n in key), np.zeros(3))
            spots.append(np.asarray(spot / np.linalg.norm(spot) * radius))
        return number[key]

    faces: list[tuple[int, ...]] = []
    for a, b, c in shape.faces:

        def at(i: int, j: int, a: int = a, b: int = b, c: int = c) -> int:
            return corner({a: times - i - j, b: i, c: j})

        for i, j in itertools.product(range(times), repeat=2):
            if i + j < times:
                faces.append((at(i, j), at(i + 1, j), at(i, j + 1)))
            if i + j < times - 1:
                faces.append((at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)))
    return Shape(np.array(spots), tuple(faces))
