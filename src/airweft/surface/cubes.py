"""Cubes drawn in text layers: read into a grid, and checked for what fabric cannot cover."""

from __future__ import annotations

import itertools
from collections import deque
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding

Grid = NDArray[np.bool_]
Cube = tuple[int, int, int]

MOST_CUBES = 100_000
"""Largest drawing that is read, cubes and empty places together."""
_MOST_TOLD = 12
_STEPS = ((1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1))


def read_layers(layers: Sequence[Sequence[str]]) -> Grid:
    """The grid of cubes, indexed [x, y, z]: x to the right, y away from the viewer, z up.

    `layers` are listed bottom first, each a list of lines, the back line first, `#` for a cube and
    `.` for none. Raises CannotMake naming layer, line and column of everything that is amiss.
    """
    if not layers or not layers[0] or not any("#" in line for layer in layers for line in layer):
        raise CannotMake(
            _finding("no-cubes", "blocks", "There is no cube in these layers.", "Draw cubes as #.")
        )
    lines, width = len(layers[0]), len(layers[0][0])
    if len(layers) * lines * width > MOST_CUBES:
        raise CannotMake(
            _finding(
                "too-many-cubes",
                "blocks",
                f"The drawing has {len(layers) * lines * width:,} places; "
                f"the most that is read is {MOST_CUBES:,}.",
                "Draw with fewer, larger cubes.",
            )
        )
    findings = list(_drawing_findings(layers, lines, width))
    if findings:
        raise CannotMake(_capped(findings))
    text = np.array([[list(line) for line in layer] for layer in layers]) == "#"
    return np.ascontiguousarray(text[:, ::-1, :].transpose(2, 1, 0))


def place_name(cube: Cube, grid: Grid) -> str:
    """Where the maker finds this cube in the drawing: layer, line and column from 1."""
    x, y, z = cube
    return f"layer {z + 1}, line {grid.shape[1] - y}, column {x + 1}"


def fill_hollows(grid: Grid) -> tuple[Grid, tuple[Cube, ...]]:
    """The grid with enclosed hollows filled up, and one place of each hollow.

    Hands cannot reach a closed hollow, and the fabric is a skin with air inside anyway, so only the
    outer skin is made.
    """
    padded = np.pad(grid, 1)
    outside = _reach(~padded, (0, 0, 0))
    hollow = ~padded & ~outside
    firsts: list[Cube] = []
    rest = hollow.copy()
    for spot in _spots(hollow):
        if rest[spot]:
            rest &= ~_reach(hollow, spot)
            firsts.append((spot[0] - 1, spot[1] - 1, spot[2] - 1))
    return (grid | hollow[1:-1, 1:-1, 1:-1]), tuple(firsts)


def check_cubes(grid: Grid) -> None:
    """Raise CannotMake where cubes touch only at an edge or corner, or lie apart."""
    findings = [
        _finding(
            "touching-only",
            f"blocks, {place_name(one, grid)}",
            f"The cubes at {place_name(one, grid)} and {place_name(other, grid)} touch only "
            f"{kind}; a skin cannot close around that place.",
            "Fill one of the places between them, or move one of the two cubes.",
        )
        for one, other, kind in (*_edge_touches(grid), *_corner_touches(grid))
    ]
    if not findings:
        spots = _spots(grid)
        first = spots[0]
        apart = grid & ~_reach(grid, first)
        if apart.any():
            other = _spots(apart)[0]
            findings.append(
                _finding(
                    "separate-parts",
                    f"blocks, {place_name(other, grid)}",
                    f"The cube at {place_name(other, grid)} is not connected to the one at "
                    f"{place_name(first, grid)}: these are separate pieces.",
                    "Join them with cubes, or write one design for each piece.",
                )
            )
    if findings:
        raise CannotMake(_capped(findings))


def _drawing_findings(layers: Sequence[Sequence[str]], lines: int, width: int) -> Iterator[Finding]:
    """What is wrong with the drawing itself."""
    for z, layer in enumerate(layers, 1):
        if len(layer) != lines:
            yield _finding(
                "uneven-layers",
                f"blocks, layer {z}",
                f"Layer {z} and layer 1 differ in their number of lines: {len(layer)} and {lines}.",
                "Give every layer the same number of lines; use . where there is no cube.",
            )
        for y, line in enumerate(layer, 1):
            if len(line) != width:
                yield _finding(
                    "uneven-layers",
                    f"blocks, layer {z}, line {y}",
                    f"Layer {z}, line {y} holds {_places(len(line))}, "
                    f"but layer 1, line 1 holds {_places(width)}.",
                    "Make every line equally wide; use . where there is no cube.",
                )
            for x, mark in enumerate(line, 1):
                if mark not in "#.":
                    yield _finding(
                        "unknown-mark",
                        f"blocks, layer {z}, line {y}, column {x}",
                        f"{mark!r} in layer {z}, line {y}, column {x} means nothing here.",
                        "Use # for a cube and . for none.",
                    )


def _edge_touches(grid: Grid) -> Iterator[tuple[Cube, Cube, str]]:
    """Pairs of cubes that meet at an edge while the two places beside it are empty."""
    for axis in range(3):
        u, v = (a for a in range(3) if a != axis)
        low = [slice(None)] * 3
        low[u] = low[v] = slice(None, -1)
        near = grid[tuple(low)]
        right, above, across = (grid[tuple(_moved(low, moves))] for moves in ((u,), (v,), (u, v)))
        for spot in _spots(near & across & ~right & ~above):
            yield spot, _step(spot, (u, v)), "along an edge"
        for spot in _spots(right & above & ~near & ~across):
            yield _step(spot, (u,)), _step(spot, (v,)), "along an edge"


def _corner_touches(grid: Grid) -> Iterator[tuple[Cube, Cube, str]]:
    """Pairs of cubes that meet at a corner while all six places around it are empty."""
    if min(grid.shape) < 2:
        return
    low = [slice(None, -1)] * 3
    parts = {
        moves: grid[tuple(_moved(low, moves))]
        for count in range(4)
        for moves in itertools.combinations(range(3), count)
    }
    filled = sum(part.astype(np.int8) for part in parts.values())
    for one, other in (((), (0, 1, 2)), ((0,), (1, 2)), ((1,), (0, 2)), ((2,), (0, 1))):
        for spot in _spots(parts[one] & parts[other] & (filled == 2)):
            yield _step(spot, one), _step(spot, other), "at a corner"


def _moved(low: list[slice], moves: Sequence[int]) -> list[slice]:
    """The window one place further along the axes in `moves`."""
    return [slice(1, None) if axis in moves else part for axis, part in enumerate(low)]


def _step(spot: Cube, moves: Sequence[int]) -> Cube:
    x, y, z = (value + (axis in moves) for axis, value in enumerate(spot))
    return x, y, z


def _spots(grid: Grid) -> list[Cube]:
    """All true places, in the order of the drawing: bottom layer, back line, left first."""
    found = ((int(x), int(y), int(z)) for x, y, z in np.argwhere(grid))
    return sorted(found, key=lambda s: (s[2], -s[1], s[0]))


def _reach(grid: Grid, start: Cube) -> Grid:
    """All true places that hang together with `start` face to face."""
    reached = np.zeros_like(grid)
    reached[start] = True
    queue = deque([start])
    wide, deep, high = grid.shape
    while queue:
        x, y, z = queue.popleft()
        for dx, dy, dz in _STEPS:
            spot = (x + dx, y + dy, z + dz)
            if (
                0 <= spot[0] < wide
                and 0 <= spot[1] < deep
                and 0 <= spot[2] < high
                and grid[spot]
                and not reached[spot]
            ):
                reached[spot] = True
                queue.append(spot)
    return reached


def _places(count: int) -> str:
    return "1 place" if count == 1 else f"{count} places"


def _finding(code: str, where: str, message: str, remedy: str) -> Finding:
    return Finding(code=code, severity="cannot", where=where, message=message, remedy=remedy)


def _capped(findings: list[Finding]) -> list[Finding]:
    """The first findings, and one that says how many more there are."""
    rest = len(findings) - _MOST_TOLD
    if rest <= 0:
        return findings
    more = f"And {rest} more places like these."
    return [
        *findings[:_MOST_TOLD],
        _finding("more-places", "blocks", more, "Mend the first ones, then check again."),
    ]
