"""Evening out: joints moved on the surface until the bubbles are equally long.

Joints on a surface have two freedoms each, and there are two bubbles for each joint: just as many
wishes as freedoms. The lengths are met by a Levenberg-Marquardt search (K. Levenberg 1944,
D. Marquardt 1963) in which the surface pulls softly; the pull is weakened step by step until the
bubbles are even enough, so that joints leave the surface no farther than they have to.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array, csr_array, diags_array, eye_array
from scipy.sparse.linalg import cg

from airweft.base.progress import Progress
from airweft.records.arrays import Indices, Points
from airweft.surface.outside.medial import (
    Fabric,
    bubble_lengths,
    folded_joints,
    joint_normals,
)
from airweft.surface.outside.nearest_point import Lines, Surface

AIM = 0.02
"""Spread (standard deviation over mean) at which evening out is content.

No hand twists more evenly, and joints lie half as far off the surface as with 0.01 (measured)."""

SLACK = 1.05
"""How much longer than in the even mesh bubbles are to become (measured: 1.03 to 1.06 is best)."""

_PULLS = (0.5, 0.3, 0.2, 0.12, 0.08, 0.05, 0.03)  # of the surface, against 1 for a bubble's length
_STEPS = 8  # at each pull
_STRAIGHT = 0.02  # opposite bubbles of a joint want to lie straight (see the page on shape)
_OPEN = 0.9  # joints two apart keep this many bubble lengths between them
_OPENING = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Evenness:
    """How even the bubbles are, and how far their joints lie from the surface.

    Distances are in bubble lengths. `folded` are joints where a cell is folded over.
    """

    mean_mm: float
    spread: float
    shortest_to_longest: float
    off_mean: float
    off_most: float
    folded: tuple[int, ...]


def even_out(
    fabric: Fabric,
    joints: Points,
    surface: Surface,
    lines: Lines,
    *,
    goal: float,
    aim: float = AIM,
    progress: Progress,
) -> Points:
    """The joints moved so that bubbles are `goal` long and spread by `aim` or less, if that can be.

    `goal` is best a little above the mean length (see SLACK): with less, joints are pressed off the
    surface; without any goal the cells turn against each other and the bubbles grow long.
    """
    even = np.full(len(joints), _STRAIGHT)
    best, best_cost = joints, np.inf
    for number, pull in enumerate(_PULLS):
        progress.report(number, len(_PULLS), "making bubbles equal")
        joints = _search(fabric, joints, surface, lines, goal, pull, even, progress)
        joints = _unfold(fabric, joints, surface, lines, goal, pull, progress)
        state = measure(fabric, joints, surface)
        cost = max(state.spread, aim) + 0.02 * len(state.folded)
        if cost < best_cost - 1e-3:
            best, best_cost = joints, cost
        if state.spread <= aim and not state.folded:
            return joints
    return best


def _unfold(
    fabric: Fabric,
    joints: Points,
    surface: Surface,
    lines: Lines,
    goal: float,
    pull: float,
    progress: Progress,
) -> Points:
    """Try to lay folded places flat: there, opposite bubbles are drawn straight for a while."""
    for stiff in (0.2, 0.5):
        folded = _folded(fabric, joints)
        if not len(folded):
            break
        near = np.zeros(len(joints), dtype=bool)
        near[folded] = True
        for _ in range(2):
            a, b = fabric.bubbles.T
            wider = near.copy()
            wider[a[near[b]]] = True
            wider[b[near[a]]] = True
            near = wider
        even = np.full(len(joints), _STRAIGHT)
        trial = _search(
            fabric, joints, surface, lines, goal, pull, np.where(near, stiff, even), progress
        )
        trial = _search(fabric, trial, surface, lines, goal, pull, even, progress)
        if len(_folded(fabric, trial)) < len(folded):
            joints = trial
    return joints


def _folded(fabric: Fabric, joints: Points) -> Indices:
    return folded_joints(fabric, joints, joint_normals(fabric, joints))


def measure(fabric: Fabric, joints: Points, surface: Surface) -> Evenness:
    """Lengths, distances from the surface and folds, as they are."""
    length = bubble_lengths(fabric, joints)
    mean = float(length.mean())
    normals = joint_normals(fabric, joints)
    spots, _ = surface.nearest(joints, normals)
    off = np.linalg.norm(spots - joints, axis=1) / mean
    return Evenness(
        mean_mm=mean,
        spread=float(length.std() / mean),
        shortest_to_longest=float(length.min() / length.max()),
        off_mean=float(off.mean()),
        off_most=float(off.max()),
        folded=tuple(folded_joints(fabric, joints, normals).tolist()),
    )


def _search(
    fabric: Fabric,
    joints: Points,
    surface: Surface,
    lines: Lines,
    goal: float,
    pull: float,
    straight: NDArray[np.float64],
    progress: Progress,
) -> Points:
    """One Levenberg-Marquardt search at one strength of the surface's pull."""
    damping = 1e-3
    for _ in range(_STEPS):
        progress.report(0, 0, "making bubbles equal")
        wishes = _Wishes(fabric, joints, surface, lines, pull, straight, goal)
        miss, slope = wishes.linear(joints)
        cost = float(miss @ miss)
        square = csr_array(slope.T @ slope)
        down = -(slope.T @ miss)
        for _ in range(6):
            step = _solve(square, damping, down)
            trial = joints + goal * step.reshape(-1, 3)
            new = wishes.miss(trial)
            if float(new @ new) < cost:
                damping = max(damping / 4, 1e-7)
                break
            damping *= 6
        else:
            return joints
        joints = trial
        if cost - float(new @ new) < 0.02 * cost:
            break
    return joints


def _solve(square: csr_array, damping: float, down: NDArray[np.float64]) -> NDArray[np.float64]:
    """The step for one damping, by conjugate gradients that stop early.

    An exact solution is slower and worse here: along directions that cost nothing it drifts far.
    """
    diagonal = square.diagonal() + damping
    step, _ = cg(
        csr_array(square + damping * eye_array(square.shape[0])),
        down,
        rtol=1e-2,
        maxiter=150,
        M=diags_array(1 / diagonal),
    )
    return np.asarray(step)


class _Wishes:
    """What the joints want, and by how much they miss it; lengths in units of `goal`."""

    def __init__(
        self,
        fabric: Fabric,
        joints: Points,
        surface: Surface,
        lines: Lines,
        pull: float,
        straight: NDArray[np.float64],
        goal: float,
    ) -> None:
        self.goal = goal
        self.bubbles = fabric.bubbles
        normals = joint_normals(fabric, joints)
        self.spots, face = surface.nearest(joints, normals)
        off = joints - self.spots
        far = np.linalg.norm(off, axis=1, keepdims=True)
        # Past an edge of the surface the way back is not along a face's normal.
        aside = np.abs(np.einsum("ij,ij->i", off, face))[:, None] < 0.5 * far
        self.normals = np.where(aside & (far > 1e-9 * goal), off / np.maximum(far, 1e-300), face)
        self.pull = pull
        rim = fabric.around[:, 2] < 0
        self.rim = np.flatnonzero(rim & lines.some)
        self.rim_spots = lines.nearest(joints[self.rim]) if len(self.rim) else joints[:0]
        rows = np.flatnonzero(~rim)
        around = fabric.around[rows]
        self.stiff = np.tile(straight[rows], 2)[:, None]
        self.straight = np.concatenate(
            (
                np.stack((around[:, 0], rows, around[:, 2]), axis=1),
                np.stack((around[:, 1], rows, around[:, 3]), axis=1),
            )
        )
        gap = np.linalg.norm(joints[fabric.wide[:, 0]] - joints[fabric.wide[:, 1]], axis=1)
        self.wide = fabric.wide[gap < 1.2 * _OPEN * goal]

    def miss(self, joints: Points) -> NDArray[np.float64]:
        """How far every wish is missed."""
        return np.concatenate([miss for miss, _ in self._all(joints)])

    def linear(self, joints: Points) -> tuple[NDArray[np.float64], csr_array]:
        """The misses, and how each changes with each coordinate (in units of `goal`)."""
        misses, rows, columns, values = [], [], [], []
        first = 0
        for miss, (row, column, value) in self._all(joints):
            misses.append(miss)
            rows.append(row.reshape(-1) + first)
            columns.append(column.reshape(-1))
            values.append(value.reshape(-1))
            first += len(miss)
        slope = coo_array(
            (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))),
            shape=(first, joints.size),
        )
        return np.concatenate(misses), csr_array(slope)

    def _all(
        self, joints: Points
    ) -> list[tuple[NDArray[np.float64], tuple[Indices, Indices, NDArray[np.float64]]]]:
        goal = self.goal
        terms = [
            _distance(joints, self.bubbles, goal, 1.0, goal),
            _distance(joints, self.wide, goal, _OPENING, _OPEN * goal, only_short=True),
        ]
        count = np.arange(len(joints))
        miss = self.pull * np.einsum("ij,ij->i", joints - self.spots, self.normals) / goal
        columns = 3 * count[:, None] + np.arange(3)
        rows = np.repeat(count[:, None], 3, axis=1)
        terms.append((miss, (rows, columns, self.pull * self.normals)))
        if len(self.rim):
            held = (joints[self.rim] - self.rim_spots) / goal * (self.pull / 4)
            columns = 3 * self.rim[:, None] + np.arange(3)
            rows = np.arange(held.size).reshape(-1, 3)
            terms.append((held.reshape(-1), (rows, columns, np.full(rows.shape, self.pull / 4))))
        a, b, c = self.straight.T
        bend = self.stiff * (joints[a] + joints[c] - 2 * joints[b]) / goal
        rows = np.arange(bend.size).reshape(-1, 3)
        rows, columns, values = (
            np.concatenate(parts)
            for parts in (
                (rows, rows, rows),
                tuple(3 * x[:, None] + np.arange(3) for x in (a, b, c)),
                tuple(np.broadcast_to(self.stiff * s, bend.shape) for s in (1.0, -2.0, 1.0)),
            )
        )
        terms.append((bend.reshape(-1), (rows, columns, values)))
        return terms


def _distance(
    joints: Points,
    pairs: Indices,
    goal: float,
    weight: float,
    wanted: float,
    *,
    only_short: bool = False,
) -> tuple[NDArray[np.float64], tuple[Indices, Indices, NDArray[np.float64]]]:
    """Misses and slopes of distances that want to be (or to be at least) `wanted`."""
    a, b = pairs.T
    way = joints[a] - joints[b]
    length = np.linalg.norm(way, axis=1)
    miss = weight * (length - wanted) / goal
    slope = weight * way / np.maximum(length, 1e-9 * goal)[:, None]
    if only_short:
        slope[miss > 0] = 0
        miss = np.minimum(miss, 0)
    rows = np.repeat(np.arange(len(pairs))[:, None], 6, axis=1)
    columns = np.concatenate((3 * a[:, None] + np.arange(3), 3 * b[:, None] + np.arange(3)), axis=1)
    return miss, (rows, columns, np.concatenate((slope, -slope), axis=1))
