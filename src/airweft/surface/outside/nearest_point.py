"""The nearest point on a surface, with a liking for parts that face the same way."""

from __future__ import annotations

import numpy as np
from scipy.spatial import cKDTree

from airweft.records.arrays import Indices, Points
from airweft.surface.outside.triangles import half_edges, unit

_NEAR = 12  # triangles looked at for each point; they are small against the step asked for
_MOST = 400_000


class Surface:
    """A triangle surface to be asked for nearest points. Borders are known as lines."""

    def __init__(self, vertices: Points, faces: Indices, *, step: float) -> None:
        corners = _chopped(vertices[faces], step)
        normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        real = np.linalg.norm(normals, axis=1) > 0
        self.corners = corners[real]
        self.normals = unit(normals[real])
        self.middles = self.corners.mean(axis=1)
        self.areas = np.linalg.norm(normals[real], axis=1) / 2
        self._tree = cKDTree(self.middles)
        self.vertices, self.faces = vertices, faces

    def nearest(self, spots: Points, normals: Points | None = None) -> tuple[Points, Points]:
        """(n, 3) nearest points and the surface's unit normals there.

        With `normals` given, triangles that face the other way count as farther: on a thin plate
        a point stays on its own side.
        """
        near = min(_NEAR, len(self.corners))
        far, at = self._tree.query(spots, k=near)
        at = at.reshape(len(spots), near)
        found = _nearest_in(np.repeat(spots, near, axis=0), self.corners[at.reshape(-1)])
        found = found.reshape(len(spots), near, 3)
        cost = np.linalg.norm(found - spots[:, None, :], axis=2)
        if normals is not None:
            facing = np.einsum("nkd,nd->nk", self.normals[at], normals)
            cost = cost + np.where(facing < 0, far.reshape(len(spots), near).max(), 0.0)
        best = np.argmin(cost, axis=1)
        rows = np.arange(len(spots))
        return found[rows, best], self.normals[at[rows, best]]

    def share(self, spots: Points, normals: Points, turn: float) -> Points:
        """(n, 3) middle of the part of the surface that is nearer to each spot than to others.

        Directions count too: opposite ones as `turn` times two. A spot without a part stays.
        """
        tree = cKDTree(np.concatenate((spots, turn * normals), axis=1))
        _, at = tree.query(np.concatenate((self.middles, turn * self.normals), axis=1))
        area = np.bincount(at, self.areas, len(spots))
        total = [np.bincount(at, self.areas * x, len(spots)) for x in self.middles.T]
        share = np.stack(total, axis=1) / np.maximum(area, 1e-300)[:, None]
        return np.asarray(np.where(area[:, None] > 0, share, spots))


class Lines:
    """The open borders of a surface, to be asked for nearest points."""

    def __init__(self, vertices: Points, faces: Indices, *, step: float) -> None:
        halves = half_edges(faces)
        wide = np.int64(faces.max(initial=0)) + 1
        keys = halves[:, 0] * wide + halves[:, 1]
        back = halves[:, 1] * wide + halves[:, 0]
        ends = vertices[halves[~np.isin(keys, back)]]
        self.some = len(ends) > 0
        pieces = []
        for a, b in ends:
            count = max(2, int(np.ceil(np.linalg.norm(b - a) / (step / 8))) + 1)
            pieces.append(a + (b - a) * np.linspace(0, 1, min(count, 2000))[:, None])
        self._points = np.concatenate(pieces) if pieces else np.zeros((1, 3))
        self._tree = cKDTree(self._points)

    def nearest(self, spots: Points) -> Points:
        """(n, 3) nearest points of the borders, to an eighth of the step."""
        return np.asarray(self._points[self._tree.query(spots)[1]])


def _chopped(corners: Points, step: float) -> Points:
    """(t, 3, 3) triangles cut along their middles until none is longer than `step`."""
    done: list[Points] = []
    count = 0
    while len(corners):
        longest = np.linalg.norm(corners - np.roll(corners, -1, axis=1), axis=2).max(axis=1)
        large = longest > step
        if 4 * large.sum() + count > _MOST:
            large[:] = False
        done.append(corners[~large])
        count += len(done[-1])
        a, b, c = (corners[large][:, k] for k in range(3))
        ab, bc, ca = (a + b) / 2, (b + c) / 2, (c + a) / 2
        corners = np.concatenate(
            [np.stack(t, axis=1) for t in ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))]
        )
    return np.concatenate(done)


def _nearest_in(spots: Points, corners: Points) -> Points:
    """The nearest point of each triangle (t, 3, 3) to the spot (t, 3) of the same number.

    By regions of the triangle, as in C. Ericson, Real-Time Collision Detection (2005), 5.1.5.
    """
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    ab, ac, ap = b - a, c - a, spots - a
    d1, d2 = _dot(ab, ap), _dot(ac, ap)
    bp, cp = spots - b, spots - c
    d3, d4 = _dot(ab, bp), _dot(ac, bp)
    d5, d6 = _dot(ab, cp), _dot(ac, cp)
    va, vb, vc = d3 * d6 - d5 * d4, d5 * d2 - d1 * d6, d1 * d4 - d3 * d2
    whole = va + vb + vc
    real = np.where(whole > 0, whole, 1.0)  # a triangle without area has no inside
    v, w = vb / real, vc / real
    with np.errstate(divide="ignore", invalid="ignore"):
        along_ab, along_ac = d1 / (d1 - d3), d2 / (d2 - d6)
        along_bc = (d4 - d3) / ((d4 - d3) + (d5 - d6))
    inside = a + ab * v[:, None] + ac * w[:, None]
    result = np.where((whole > 0)[:, None], inside, a)
    along_ab, along_ac, along_bc = (
        np.where(np.isfinite(x), x, 0.0) for x in (along_ab, along_ac, along_bc)
    )
    edge_bc = (va <= 0) & (d4 - d3 >= 0) & (d5 - d6 >= 0)
    result = np.where(edge_bc[:, None], b + (c - b) * along_bc[:, None], result)
    edge_ac = (vb <= 0) & (d2 >= 0) & (d6 <= 0)
    result = np.where(edge_ac[:, None], a + ac * along_ac[:, None], result)
    edge_ab = (vc <= 0) & (d1 >= 0) & (d3 <= 0)
    result = np.where(edge_ab[:, None], a + ab * along_ab[:, None], result)
    result = np.where(((d6 >= 0) & (d5 <= d6))[:, None], c, result)
    result = np.where(((d3 >= 0) & (d4 <= d3))[:, None], b, result)
    return np.where(((d1 <= 0) & (d2 <= 0))[:, None], a, result)


def _dot(one: Points, other: Points) -> Points:
    return np.asarray(np.einsum("ij,ij->i", one, other))
