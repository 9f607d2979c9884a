"""Blocks: the outer skin of a union of cubes."""

from __future__ import annotations

from collections import deque

import numpy as np

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.records.design import Blocks
from airweft.records.mesh import Mesh
from airweft.surface.cubes import Cube, Grid, check_cubes, fill_hollows, place_name, read_layers
from airweft.surface.lattice import VIEWS, Spot, Square, View, lattice_mesh
from airweft.surface.limits import cell_edge_mm, check_counts, check_total
from airweft.surface.sound import part_of_faces, split_pinches


def blocks_mesh(form: Blocks, *, bubble: int) -> Mesh:
    """The skin of the cubes, `cell` / 2 cells along a cube's edge, hollow inside.

    A panel is a largest flat connected region that looks one way: "front", "front 2" ... counted
    from the outermost, then from the lowest, then from the left as seen from outside. Columns and
    rows count from the lower left of the panel's bounding rectangle as seen from outside. An open
    side takes away everything on the outermost plane of that direction and nothing further in.
    Raises CannotMake naming layer, line and column.
    """
    _check_form(form, bubble)
    grid, _ = fill_hollows(read_layers(form.layers))
    per_cube = form.cell**2
    exposed = {side: _exposed(grid, VIEWS[side]) for side in VIEWS}
    check_total(sum(len(cubes) for cubes in exposed.values()) * per_cube, form="blocks")
    squares: list[Square] = []
    panels: list[str] = []
    for side, cubes in exposed.items():
        view = VIEWS[side]
        outermost = max(_along(cube, view.out) for cube in cubes)
        for number, region in enumerate(_regions(cubes, view), 1):
            if side in form.open and _along(region[0], view.out) == outermost:
                continue
            name = side if number == 1 else f"{side} {number}"
            panels.append(name)
            squares += _panel(name, side, region, form.cell // 2)
    _check_left(squares)
    mesh = lattice_mesh(squares, panels=panels, edge_mm=cell_edge_mm(bubble))
    _check_whole(mesh)
    return split_pinches(mesh)


def _check_form(form: Blocks, bubble: int) -> None:
    """Raise CannotMake with the findings on the counts and on the drawing together."""
    findings: list[Finding] = []
    try:
        check_counts({"cell": form.cell}, form="blocks", bubble=bubble)
    except CannotMake as error:
        findings += error.findings
    try:
        check_cubes(fill_hollows(read_layers(form.layers))[0])
    except CannotMake as error:
        findings += error.findings
    if findings:
        raise CannotMake(findings)


def blocks_notes(form: Blocks) -> tuple[Finding, ...]:
    """Notes on the drawing: enclosed hollows, which get no skin of their own."""
    grid = read_layers(form.layers)
    return tuple(
        Finding(
            code="closed-hollow",
            severity="note",
            where=f"blocks, {place_name(place, grid)}",
            message=f"The hollow at {place_name(place, grid)} is closed all around; hands cannot "
            "reach it, so only the outer skin is made.",
            remedy="Nothing to do. Open a way to the outside if the hollow should be seen.",
        )
        for place in fill_hollows(grid)[1]
    )


def _exposed(grid: Grid, view: View) -> list[Cube]:
    """Cubes with nothing beyond them in the outward direction."""
    padded = np.pad(grid, 1)
    (x, y, z), (wide, deep, high) = view.out, grid.shape
    beyond = padded[1 + x : 1 + x + wide, 1 + y : 1 + y + deep, 1 + z : 1 + z + high]
    return [(int(i), int(j), int(k)) for i, j, k in np.argwhere(grid & ~beyond)]


def _along(cube: Cube, direction: Spot) -> int:
    """How far the cube lies along a direction."""
    return sum(c * d for c, d in zip(cube, direction, strict=True))


def _regions(cubes: list[Cube], view: View) -> list[list[Cube]]:
    """Flat connected regions, outermost first, then lowest, then leftmost; each row by row."""

    def order(cube: Cube) -> tuple[int, int, int]:
        return -_along(cube, view.out), _along(cube, view.up), _along(cube, view.right)

    left = dict.fromkeys(sorted(cubes, key=order))
    regions = []
    while left:
        start = next(iter(left))
        del left[start]
        region, queue = [start], deque([start])
        while queue:
            cube = queue.popleft()
            for sign in (1, -1):
                for way in (view.right, view.up):
                    x, y, z = (c + sign * w for c, w in zip(cube, way, strict=True))
                    if (x, y, z) in left:
                        del left[x, y, z]
                        region.append((x, y, z))
                        queue.append((x, y, z))
        regions.append(sorted(region, key=order))
    return regions


def _panel(name: str, side: str, region: list[Cube], cells: int) -> list[Square]:
    """The squares of one panel, row by row from the lower left, `cells` along a cube's edge."""
    view = VIEWS[side]
    left = min(_along(cube, view.right) for cube in region)
    low = min(_along(cube, view.up) for cube in region)
    squares = []
    for cube in region:
        # The corner of the cube that is lower left as seen from outside.
        corner = [
            value + (1 if r + u < 0 or o > 0 else 0)
            for value, r, u, o in zip(cube, view.right, view.up, view.out, strict=True)
        ]
        for row in range(cells):
            for column in range(cells):
                x, y, z = (
                    cells * c + column * r + row * u
                    for c, r, u in zip(corner, view.right, view.up, strict=True)
                )
                squares.append(
                    Square(
                        name,
                        cells * (_along(cube, view.right) - left) + column,
                        cells * (_along(cube, view.up) - low) + row,
                        side,
                        (x, y, z),
                    )
                )
    return sorted(squares, key=lambda square: (square.row, square.column))


def _check_left(squares: list[Square]) -> None:
    if not squares:
        raise CannotMake(
            Finding(
                code="nothing-left",
                severity="cannot",
                where="blocks, open",
                message="With these sides open there is no fabric left.",
                remedy="Take at least one side out of the list of open sides.",
            )
        )


def _check_whole(mesh: Mesh) -> None:
    """Raise CannotMake if opening sides has cut the skin into parts."""
    part = part_of_faces(mesh)
    if max(part) == 0:
        return
    one, other = mesh.faces[0].panel, mesh.faces[part.index(1)].panel
    raise CannotMake(
        Finding(
            code="separate-parts",
            severity="cannot",
            where="blocks, open",
            message=f"With these sides open, the panels {one} and {other} no longer hang "
            "together: the skin falls into separate parts.",
            remedy="Close one of the open sides.",
        )
    )
