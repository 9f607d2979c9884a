"""A ball: the six sides of a cube blown up onto it.

Three ways to lay cells on a ball come out about equally even (docs/surface.md has the figures: the
cube, the divided icosahedron, a half circle turned). Only the cube's has four-sided cells
throughout, so that it has charts and can be made in pairs of balloons.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from airweft.records.arrays import Points, points
from airweft.records.design import Ball, Box
from airweft.records.mesh import Mesh
from airweft.surface.box import box_mesh
from airweft.surface.even import bubble_ends, even_out, spans
from airweft.surface.limits import check_lengths, check_total


def ball_mesh(form: Ball, *, bubble: int) -> Mesh:
    """Six square panels called like the sides of a box, with all joints on one ball.

    The number of cells is the one whose ball, with bubbles of their length, comes nearest to
    `across`; the ball is then as large as its bubbles make it. Raises CannotMake where it is too
    small or too large.
    """
    check_lengths({"across": form.across}, form="ball", least=(5 * bubble + 3) // 4)
    length = bubble / 100
    radius = form.across / 200
    cells = max(1, round(radius / length * math.sqrt(2 * math.pi / 3) / math.sqrt(2)))
    check_total(24 * cells * cells, form="ball")
    tried = [_ball(n, length) for n in (cells - 1, cells, cells + 1) if n > 0]
    return min(tried, key=lambda mesh: abs(_radius(mesh) - radius))


def _ball(cells: int, length: float) -> Mesh:
    """The ball of a cube with so many cells along an edge, its bubbles `length` mm in the mean."""
    count = 2 * cells
    cube = box_mesh(Box(across=count, deep=count, high=count), bubble=100)
    edge = math.sqrt(2) * cells
    flat = np.asarray(cube.vertices) - [0.0, 0.0, edge / 2]
    # Equal angles instead of equal steps along each edge: nearer to even from the start.
    corners = _unit(np.tan(flat / (edge / 2) * math.pi / 4))
    rings, ends = cube.rings()
    two = np.array(ends)
    middles = _unit(corners[two[:, 0]] + corners[two[:, 1]])
    links = bubble_ends(rings)
    goal = float(spans(middles, links).mean())
    middles = even_out(middles, links, length=goal, onto=lambda _, wanted: _unit(wanted))
    scale = length / float(spans(middles, links).mean())
    up = np.array([0.0, 0.0, -float(middles[:, 2].min()) * scale])
    return replace(
        cube, vertices=points(corners * scale + up), middles=points(middles * scale + up)
    )


def _unit(spots: Points) -> Points:
    return np.asarray(spots / np.linalg.norm(spots, axis=1, keepdims=True))


def _radius(mesh: Mesh) -> float:
    assert mesh.middles is not None
    return float(np.ptp(mesh.middles[:, 2])) / 2
