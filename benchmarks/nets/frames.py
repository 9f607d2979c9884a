"""Frames: solids, prisms, lattices, trusses and stick figures, most of them with odd joints."""

from __future__ import annotations

from airweft.records.net import Net
from benchmarks.nets.case import Recipe
from benchmarks.nets.make import chance, plain, ripples, solid, struts


def _ring(count: int) -> list[tuple[int, int]]:
    return [(i, (i + 1) % count) for i in range(count)]


def _lattice(wide: int, deep: int, high: int) -> list[tuple[int, int]]:
    """Edges of a lattice of so many joints in three directions."""
    edges = []
    for z in range(high):
        for y in range(deep):
            for x in range(wide):
                here = (z * deep + y) * wide + x
                edges += [(here, here + 1)] * (x + 1 < wide)
                edges += [(here, here + wide)] * (y + 1 < deep)
                edges += [(here, here + wide * deep)] * (z + 1 < high)
    return edges


def _truss(floors: int) -> Net:
    """A square mast: rings of four, posts, and a longer brace in every field."""
    edges, lengths = [], []
    for floor in range(floors + 1):
        low = 4 * floor
        edges += [(low + a, low + b) for a, b in _ring(4)]
        lengths += [5000] * 4
        if floor < floors:
            edges += [(low + a, low + 4 + a) for a in range(4)]
            edges += [(low + a, low + 4 + b) for a, b in _ring(4)]
            lengths += [5000] * 4 + [7070] * 4
    return struts(edges, lengths=lengths, mark="K")


# A sailor in sticks: head (a ring of five), neck, arms with hands and hat, belly of four, legs.
_SAILOR = [
    (0, 1), (1, 2), (2, 3), (3, 4), (4, 0), (0, 5), (2, 21),
    (5, 6), (6, 7), (7, 8), (5, 9), (9, 10), (10, 11),
    (5, 12), (12, 13), (13, 14), (14, 15), (15, 12),
    (13, 16), (16, 17), (15, 18), (18, 19), (14, 20),
]  # fmt: skip
# A crab: a shell of twelve around a hub of six, and eight legs of two bubbles.
_CRAB = [
    *((i, (i + 1) % 6) for i in range(6)),
    *((6 + i, 6 + (i + 1) % 12) for i in range(12)),
    *((i, 6 + 2 * i) for i in range(6)),
    *((6 + 3 * (i // 2) + i % 2 + 1, 18 + 2 * i) for i in range(8)),
    *((18 + 2 * i, 19 + 2 * i) for i in range(8)),
]

RECIPES = (
    Recipe("star lantern, icosahedron", lambda: plain(solid("icosahedron"), "R")),
    Recipe("net float, truncated icosahedron", lambda: plain(solid("truncated icosahedron"), "R")),
    Recipe("compass rose, cuboctahedron", lambda: plain(solid("cuboctahedron"), "R")),
    Recipe("anchor ball, snub cube", lambda: plain(solid("snub cube"), "R")),
    Recipe("capstan, truncated octahedron",
           lambda: plain(solid("truncated octahedron"), "R"), most=5),
    Recipe("beacon, icosidodecahedron", lambda: plain(solid("icosidodecahedron"), "R"), most=20),
    Recipe("crow's nest, prism of twelve", lambda: plain(solid("prism 12"), "Y")),
    Recipe("crow's nest, 2 colours", lambda: chance(solid("prism 12"), "YK", "nest")),
    Recipe("wave drum, antiprism of nine", lambda: ripples(solid("antiprism 9"), "BW", wide=1)),
    Recipe("dome of struts", lambda: plain(solid("icosahedron", divide=4), "W")),
    Recipe("dome of struts, confetti",
           lambda: chance(solid("icosahedron", divide=4), "WBY", "dome")),
    Recipe("snub dodecahedron, 3 colours",
           lambda: chance(solid("snub dodecahedron"), "RWB", "snub")),
    Recipe("lobster pot, lattice", lambda: struts(_lattice(4, 4, 4), mark="G")),
    Recipe("lobster pot, 2 colours", lambda: chance(struts(_lattice(4, 4, 4)), "GK", "pot")),
    Recipe("fishing net, lattice, 6 a balloon",
           lambda: struts(_lattice(13, 9, 1), mark="B"), most=6),
    Recipe("fishing net, ripples", lambda: ripples(struts(_lattice(13, 9, 1)), "BBW")),
    Recipe("crane mast, truss", lambda: _truss(9)),
    Recipe("sailor, stick figure", lambda: struts(_SAILOR, mark="R")),
    Recipe("crab, stick figure", lambda: ripples(struts(_CRAB, lengths=4000), "RK", wide=3)),
    Recipe("life ring of seven", lambda: struts(_ring(7), mark="R")),
    Recipe("hoop of twelve", lambda: struts(_ring(12), mark="W")),
)  # fmt: skip
