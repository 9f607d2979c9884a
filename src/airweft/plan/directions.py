"""A direction for the pair in every four-sided cell, so that strips are as long as can be.

A strip ends at a cell edge that is run across from one side only. Choosing the directions with the
fewest such ends is a cut: two cells that share an edge are on different sides of it where one runs
across and the other does not. Where directions can be carried round every ring of cells without
contradiction this is a minimum cut, found exactly by a maximum flow (Ford and Fulkerson 1956).
Around corners of three or five cells they cannot; there two choices are fused into the best mixture
of both, again by a minimum cut (V. Lempitsky, C. Rother, S. Roth and A. Blake, IEEE Trans. Pattern
Anal. Mach. Intell. 32 (2010) 1392), as long as that helps.
"""

from __future__ import annotations

from collections import deque
from random import Random

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import breadth_first_order, maximum_flow

from airweft.base.progress import Progress
from airweft.plan.strips import Lanes
from airweft.records.arrays import Indices

_PROPOSALS = 24  # directions carried through the piece from some cell, to be mixed in
_IN_VAIN = 12  # of them in a row that help nothing, before no further one is tried

Edge = tuple[int, int, int, int]  # two cells, and for each the number of the common edge, mod 2


def directions(lanes: Lanes, seed: int, progress: Progress) -> tuple[int, ...]:
    """The way, 0 or 1, in which each cell is run through; 0 for cells without four sides."""
    edges, ends = _edges(lanes)
    cells = len(lanes.ways)
    near: list[list[tuple[int, int]]] = [[] for _ in range(cells)]
    for a, b, at_a, at_b in edges:
        near[a].append((b, at_a ^ at_b))
        near[b].append((a, at_a ^ at_b))
    quads = [cell for cell, ways in enumerate(lanes.ways) if ways[0] is not None]
    pick = Random(seed)
    best = np.zeros(cells, dtype=np.int64)
    least = _cost(best, edges, ends)
    in_vain = 0
    for number in range(_PROPOSALS):
        if least == 0 or in_vain == _IN_VAIN:
            break
        progress.report(number, _PROPOSALS, "turning the strips")
        start = quads[0] if number < 2 else pick.choice(quads)
        carried = _carried(near, start, number & 1, cells)
        mixed = _fused(best, carried, edges, ends)
        if (cost := _cost(mixed, edges, ends)) < least:
            best, least, in_vain = mixed, cost, 0
        else:
            in_vain += 1
    return tuple(best.tolist())


def _edges(lanes: Lanes) -> tuple[list[Edge], list[list[int]]]:
    """Edges that a strip can go on across, and for each cell and way its dead ends."""
    edges: list[Edge] = []
    ends = [[0, 0] for _ in lanes.ways]
    for cell, ways in enumerate(lanes.ways):
        for entry, here in enumerate(ways):
            if here is None:
                continue
            # Entering by `entry` it leaves across: both ways of asking meet the far edge.
            across = [(c, e) for c, e in lanes.cells_at[here.leave] if c != cell]
            onward = lanes.ways[across[0][0]][across[0][1]] if len(across) == 1 else None
            if onward is None or sorted(onward.kinds_in) != sorted(here.kinds_out):
                ends[cell][entry & 1] += 1
            elif cell < onward.cell:
                edges.append((cell, onward.cell, entry & 1, onward.entry & 1))
    return edges, ends


def _cost(ways: Indices, edges: list[Edge], ends: list[list[int]]) -> int:
    """Strip ends for a choice of ways."""
    side: list[int] = ways.tolist()
    cost = sum(ends[cell][way] for cell, way in enumerate(side))
    return cost + sum((side[a] == at_a) != (side[b] == at_b) for a, b, at_a, at_b in edges)


def _carried(near: list[list[tuple[int, int]]], start: int, way: int, cells: int) -> Indices:
    """One direction carried from cell to cell, breadth first, through the whole piece."""
    ways = np.full(cells, -1, dtype=np.int64)
    for first in (start, *range(cells)):
        if ways[first] >= 0:
            continue
        ways[first] = way
        queue = deque([first])
        while queue:
            here = queue.popleft()
            for to, turn in near[here]:
                if ways[to] < 0:
                    ways[to] = ways[here] ^ turn
                    queue.append(to)
    return ways


def _fused(one: Indices, other: Indices, edges: list[Edge], ends: list[list[int]]) -> Indices:
    """The best mixture of two choices, where that can be found by a cut.

    Every cell keeps `one` (it stays with the source) or takes `other` (with the sink). A term that
    no cut can express is left out, so that the mixture is not always better than both.
    """
    cells = len(one)
    source, sink = cells, cells + 1
    take = np.array(
        [row[way] for row, way in zip(ends, other.tolist(), strict=True)], dtype=np.int64
    )
    keep = np.array([row[way] for row, way in zip(ends, one.tolist(), strict=True)], dtype=np.int64)
    arcs: dict[tuple[int, int], int] = {}
    for a, b, at_a, at_b in edges:
        crosses = [
            [int((w[cell] == at) != 0) for w in (one, other)] for cell, at in ((a, at_a), (b, at_b))
        ]
        e = [[int(x != y) for y in crosses[1]] for x in crosses[0]]
        both = e[0][1] + e[1][0] - e[0][0] - e[1][1]
        if both < 0:
            continue
        keep[a] += e[0][0]
        take[a] += e[1][0]
        take[b] += e[1][1] - e[1][0]
        if both:
            arcs[a, b] = arcs.get((a, b), 0) + both
    low = np.minimum(keep, take)
    for cell in range(cells):
        if take[cell] > low[cell]:
            arcs[source, cell] = int(take[cell] - low[cell])
        if keep[cell] > low[cell]:
            arcs[cell, sink] = int(keep[cell] - low[cell])
    if not arcs:
        return one
    rows, columns = np.array(list(arcs), dtype=np.int32).T
    weights = np.array(list(arcs.values()), dtype=np.int32)
    graph = csr_array((weights, (rows, columns)), shape=(cells + 2, cells + 2))
    flow = maximum_flow(graph, source, sink).flow
    left = csr_array(graph - flow)
    left.data = np.maximum(left.data, 0)
    left.eliminate_zeros()
    stays = np.zeros(cells + 2, dtype=bool)
    stays[breadth_first_order(left, source, return_predecessors=False)] = True
    return np.where(stays[:cells], one, other)
