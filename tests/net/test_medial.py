"""Fabric nets as medial graphs: theorems, named graphs, published circuit counts."""

from __future__ import annotations

from collections import Counter
from math import gcd

import networkx as nx
import numpy as np
import pytest

from airweft.net.fabric import weave
from airweft.net.facts import corner_rings, net_facts
from airweft.records.mesh import Mesh
from airweft.records.net import Net
from tests.net.circuits import central_circuits, geodesic, own_circuits, triangular_torus
from tests.solids import SOLIDS, solid_mesh

NAMES = list(SOLIDS)


def _fabric(mesh: Mesh) -> Net:
    return weave(mesh, bubble=2500, size="260")


def _graph(net: Net) -> nx.MultiGraph:
    graph = nx.MultiGraph()
    graph.add_nodes_from(range(net.joint_count))
    graph.add_edges_from(net.ends.tolist())
    return graph


def _nullity_over_gf2(matrix: np.ndarray) -> int:
    """Dimension of the null space with 1 + 1 = 0, by plain elimination."""
    rows = matrix.astype(np.int64) % 2
    rank = 0
    for column in range(rows.shape[1]):
        below = np.flatnonzero(rows[rank:, column])
        if not len(below):
            continue
        pivot = rank + int(below[0])
        rows[[rank, pivot]] = rows[[pivot, rank]]
        others = np.flatnonzero(rows[:, column])
        others = others[others != rank]
        rows[others] ^= rows[rank]
        rank += 1
    return rows.shape[1] - rank


@pytest.mark.parametrize("name", NAMES)
def test_medial_counts(name: str) -> None:
    # The medial graph of any map is 4-regular with E joints and 2E bubbles (standard; see e.g.
    # Godsil and Royle, Algebraic Graph Theory).
    solid = SOLIDS[name]
    net = _fabric(solid_mesh(solid))
    assert net.joint_count == len(solid.edges)
    assert net.bubble_count == 2 * len(solid.edges)
    graph = _graph(net)
    assert set(dict(graph.degree()).values()) == {4}
    assert nx.is_connected(graph)
    assert nx.is_eulerian(graph)
    assert nx.check_planarity(nx.Graph(graph))[0]
    # Its faces: one for each face and one for each vertex of the solid.
    facts = net_facts(net)
    sizes = Counter(map(len, solid.faces))
    sizes.update(Counter(v for edge in solid.edges for v in edge).values())
    assert facts.cells == dict(sizes)
    assert facts.joints - facts.bubbles + sum(facts.cells.values()) == 2
    assert facts.ends == {4: len(solid.edges)}
    assert (facts.odd_joints, facts.parts, facts.borders) == (0, 1, ())


@pytest.mark.parametrize(
    ("name", "medial"),
    [
        ("tetrahedron", "octahedron"),
        ("cube", "cuboctahedron"),
        ("octahedron", "cuboctahedron"),
        ("dodecahedron", "icosidodecahedron"),
        ("icosahedron", "icosidodecahedron"),
    ],
)
def test_medial_of_the_regular_solids(name: str, medial: str) -> None:
    graph = nx.Graph(_graph(_fabric(solid_mesh(SOLIDS[name]))))
    assert nx.is_isomorphic(graph, nx.Graph(list(SOLIDS[medial].edges)))


# Own circuits of the 4-regular solids and circuits of the medial graph, as number x length. The
# circuits of i-hedrites and other 4-valent plane graphs: M. Deza, M. Dutour Sikiric, M. Shtogrin,
# Geometric Structure of Chemistry-Relevant Graphs (Springer 2015). The numbers were computed
# independently of this project's code.
CIRCUITS = {
    "tetrahedron": (None, (3, 4)),
    "cube": (None, (4, 6)),
    "octahedron": ((3, 4), (4, 6)),
    "dodecahedron": (None, (6, 10)),
    "icosahedron": (None, (6, 10)),
    "truncated tetrahedron": (None, (3, 12)),
    "cuboctahedron": ((4, 6), (6, 8)),
    "truncated cube": (None, (4, 18)),
    "truncated octahedron": (None, (6, 12)),
    "rhombicuboctahedron": ((6, 8), (8, 12)),
    "truncated cuboctahedron": (None, (8, 18)),
    "snub cube": (None, (4, 30)),
    "icosidodecahedron": ((6, 10), (12, 10)),
    "truncated dodecahedron": (None, (6, 30)),
    "truncated icosahedron": (None, (10, 18)),
    "rhombicosidodecahedron": ((12, 10), (12, 20)),
    "truncated icosidodecahedron": (None, (12, 30)),
    "snub dodecahedron": (None, (6, 50)),
}


@pytest.mark.parametrize("name", NAMES)
def test_central_circuits(name: str) -> None:
    own, (number, length) = CIRCUITS[name]
    mesh = solid_mesh(SOLIDS[name])
    found = central_circuits(_fabric(mesh))
    assert found == {length: number}
    if own is not None:
        assert own_circuits(mesh) == {own[1]: own[0]}
    # Their number is the dimension of the null space of the solid's Laplacian over GF(2)
    # (H. Shank 1975; Godsil and Royle, Algebraic Graph Theory; on the sphere only).
    graph = nx.Graph(list(SOLIDS[name].edges))
    laplacian = np.diag([d for _, d in graph.degree()]) - nx.to_numpy_array(graph)
    assert found.total() == _nullity_over_gf2(laplacian)


@pytest.mark.parametrize(
    ("name", "vertices", "odd", "circuits", "length"),
    [
        ("tetrahedron", 2, 4, 3, 4),
        ("octahedron", 4, 0, 4, 6),
        ("icosahedron", 10, 12, 6, 10),
    ],
)
@pytest.mark.parametrize("frequency", [1, 2, 3, 4, 5, 6])
def test_kagome_on_geodesic_spheres(
    name: str, vertices: int, odd: int, circuits: int, length: int, frequency: int
) -> None:
    mesh = geodesic(solid_mesh(SOLIDS[name]), frequency)
    _, edges = mesh.rings()
    v, e = len(mesh.vertices), len(edges)
    assert (v, e) == (vertices * frequency**2 + 2, 3 * vertices * frequency**2)
    degrees = Counter(i for edge in edges for i in edge)
    assert sum(d % 2 for d in degrees.values()) == odd
    net = _fabric(mesh)
    assert central_circuits(net) == {length * frequency: circuits * frequency}
    # Kagome: triangles, and a hole with as many bubbles as the vertex has neighbours.
    closed, chains = corner_rings(net)
    assert chains == []
    assert Counter(map(len, closed)) == Counter(degrees.values())


@pytest.mark.parametrize(("a", "b"), [(5, 4), (6, 4), (8, 5), (6, 6), (7, 3)])
def test_kagome_on_a_torus(a: int, b: int) -> None:
    net = _fabric(triangular_torus(a, b))
    expected = Counter({2 * b: a})
    expected[2 * a] += b
    expected[2 * a * b // gcd(a, b)] += gcd(a, b)
    assert central_circuits(net) == expected
    facts = net_facts(net)
    assert facts.joints - facts.bubbles + sum(facts.cells.values()) == 0  # a torus
