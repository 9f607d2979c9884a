"""Cells unfolded one from the other as equal-sided polygons, cut where they would not lie flat.

Every cell keeps its shape: triangles of a divided ball, the faces of a solid. The next cell is the
one with most neighbours already there, of these the one nearest to where the piece began.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from math import cos, hypot, pi, sin

from airweft.records.net import Net

Spot = tuple[float, float]
Laid = dict[tuple[int, int], Spot]
"""Where joint k of a cell lies, by (cell, k)."""

_WIDEST = 17.0  # edges of cells that a piece may reach from its first cell, so that it fits a page


def facets(net: Net, cells: Sequence[int]) -> list[Laid]:
    """Pieces of unfolded cells; for each where joint k of its cells lies, in edges of a cell."""
    mine = set(cells)
    at_joint = cells_at(net, cells)
    pieces: list[Laid] = []
    while mine:
        first = min(mine, key=lambda k: (-len(net.cells[k].joints), k))
        corners = _grown(net, first, mine, at_joint)
        pieces.append(
            {
                (k, n): _middle(ring[n], ring[(n + 1) % len(ring)])
                for k, ring in corners.items()
                for n in range(len(ring))
            }
        )
        mine -= corners.keys()
    return pieces


def cells_at(net: Net, cells: Sequence[int]) -> dict[int, list[int]]:
    """Which of these cells each of their joints belongs to, in their order."""
    found: dict[int, list[int]] = {}
    for k in cells:
        for joint in net.cells[k].joints:
            found.setdefault(joint, []).append(k)
    return found


def _grown(
    net: Net, first: int, mine: set[int], at_joint: dict[int, list[int]]
) -> dict[int, list[Spot]]:
    """One piece: the corners of each of its cells; edge n runs from corner n to the next."""
    placed: dict[int, list[Spot]] = {first: _polygon(len(net.cells[first].joints))}
    grid: dict[tuple[int, int], list[int]] = {}
    _enter(grid, first, placed[first])
    heap: list[tuple[int, float, int, int]] = []
    waiting: dict[int, list[Spot]] = {}
    count = 0

    def offer(cell: int) -> None:
        nonlocal count
        for n, joint in enumerate(net.cells[cell].joints):
            for other in at_joint[joint]:
                if other != cell and other in mine and other not in placed:
                    ring = _beside(placed[cell], n, net.cells[other].joints, joint)
                    joined = _joined(net, placed, at_joint, other, ring)
                    x, y = _centre(ring)
                    count += 1
                    far = round(hypot(x, y), 6)
                    heapq.heappush(heap, (-joined, far, count, other))
                    waiting[count] = ring

    offer(first)
    while heap:
        _, far, number, cell = heapq.heappop(heap)
        ring = waiting.pop(number)
        if cell in placed or far > _WIDEST / 2 or not _free(ring, placed, grid):
            continue
        placed[cell] = ring
        _enter(grid, cell, ring)
        offer(cell)
    return placed


def _polygon(count: int) -> list[Spot]:
    """A regular polygon with edges of 1 about the origin, its first edge below."""
    radius = 0.5 / sin(pi / count)
    turn = -pi / 2 - pi / count
    return [
        (radius * cos(turn + 2 * pi * k / count), radius * sin(turn + 2 * pi * k / count))
        for k in range(count)
    ]


def _beside(ring: list[Spot], edge: int, joints: tuple[int, ...], joint: int) -> list[Spot]:
    """A regular polygon on the other side of an edge, its corners in its own order."""
    a, b = ring[edge], ring[(edge + 1) % len(ring)]
    n, count = joints.index(joint), len(joints)
    # Seen from outside both run anticlockwise, so the neighbour runs from b to a.
    dx, dy = a[0] - b[0], a[1] - b[1]
    spots = [b]
    for k in range(count - 1):
        c, s = cos(2 * pi * k / count), sin(2 * pi * k / count)
        x, y = spots[-1]
        spots.append((x + dx * c - dy * s, y + dx * s + dy * c))
    return [spots[(k - n) % count] for k in range(count)]


def _joined(
    net: Net,
    placed: dict[int, list[Spot]],
    at_joint: dict[int, list[int]],
    cell: int,
    ring: list[Spot],
) -> int:
    """How many edges of a cell would lie on those of neighbours that are already there."""
    found = 0
    for n, joint in enumerate(net.cells[cell].joints):
        here = _middle(ring[n], ring[(n + 1) % len(ring)])
        for other in at_joint[joint]:
            if other in placed and other != cell:
                m = net.cells[other].joints.index(joint)
                there = _middle(placed[other][m], placed[other][(m + 1) % len(placed[other])])
                found += hypot(here[0] - there[0], here[1] - there[1]) < 1e-3
    return found


def _middle(a: Spot, b: Spot) -> Spot:
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2


def _centre(ring: list[Spot]) -> Spot:
    return sum(x for x, _ in ring) / len(ring), sum(y for _, y in ring) / len(ring)


def _enter(grid: dict[tuple[int, int], list[int]], cell: int, ring: list[Spot]) -> None:
    x, y = _centre(ring)
    grid.setdefault((int(x // 4), int(y // 4)), []).append(cell)


def _free(
    ring: list[Spot], placed: dict[int, list[Spot]], grid: dict[tuple[int, int], list[int]]
) -> bool:
    """Whether a polygon lies over none that is there."""
    x, y = _centre(ring)
    reach = 2 if len(ring) > 12 else 1
    column, row = int(x // 4), int(y // 4)
    return not any(
        _over(ring, placed[other])
        for i in range(column - reach, column + reach + 1)
        for j in range(row - reach, row + reach + 1)
        for other in grid.get((i, j), ())
    )


def _over(one: list[Spot], other: list[Spot]) -> bool:
    """Whether two convex polygons have more than an edge in common (separating edges)."""
    for ring, against in ((one, other), (other, one)):
        for k, (x, y) in enumerate(ring):
            u, v = ring[(k + 1) % len(ring)]
            nx, ny = v - y, x - u  # outward, as the ring runs anticlockwise
            if all((p - x) * nx + (q - y) * ny >= -1e-4 for p, q in against):
                return False
    return True
