"""Euler trails by networkx, colour by colour, cut where a balloon is full.

Each connected part of one colour and size gets its odd joints joined two by two, an Euler circuit
by networkx.eulerian_circuit, and is cut where it was joined. Every trail is cut again as soon as
the next bubble would not fit its balloon.
"""

from __future__ import annotations

import networkx as nx

from airweft.plan.capacity import Capacity
from benchmarks.laying import Trail
from benchmarks.nets.case import Case

_JOINED = -1  # the key of an edge that is no bubble


def euler_trails(case: Case) -> list[Trail]:
    """Trails that make every bubble once, each within its balloon's length."""
    net = case.net
    by_kind: dict[tuple[str, str], nx.MultiGraph] = {}
    for bubble, (a, b) in enumerate(net.ends.tolist()):
        kind = (net.colours[bubble], net.sizes[bubble])
        by_kind.setdefault(kind, nx.MultiGraph()).add_edge(a, b, key=bubble)
    trails: list[Trail] = []
    for (_, size), graph in by_kind.items():
        capacity = case.capacity(size)
        for part in nx.connected_components(graph):
            for trail in _trails(graph.subgraph(part).copy()):
                trails += _cut(case, trail, capacity)
    return trails


def _trails(part: nx.MultiGraph) -> list[Trail]:
    odd = sorted(joint for joint, degree in part.degree if degree % 2)
    for k in range(0, len(odd), 2):
        part.add_edge(odd[k], odd[k + 1], key=_JOINED - k)
    begin = odd[0] if odd else min(part)
    walk = list(nx.eulerian_circuit(part, source=begin, keys=True))
    if odd:  # begin just after an edge that is no bubble
        first = next(i for i, (_, _, key) in enumerate(walk) if key < 0)
        walk = walk[first + 1 :] + walk[: first + 1]
    trails: list[Trail] = []
    bubbles: list[int] = []
    start = walk[0][0]
    for _, v, key in walk:
        if key >= 0:
            bubbles.append(key)
            continue
        if bubbles:
            trails.append((start, bubbles))
        bubbles, start = [], v
    if bubbles:
        trails.append((start, bubbles))
    return trails


def _cut(case: Case, trail: Trail, capacity: Capacity) -> list[Trail]:
    net = case.net
    start, bubbles = trail
    here, length = start, 0
    pieces: list[Trail] = [(start, [])]
    for bubble in bubbles:
        own, piece = int(net.lengths[bubble]), pieces[-1][1]
        if piece and not capacity.fits(len(piece) + 1, length + own):
            piece, length = [], 0
            pieces.append((here, piece))
        piece.append(bubble)
        length += own
        a, b = net.ends[bubble].tolist()
        here = b if here == a else a
    return pieces
