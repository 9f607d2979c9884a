"""Turning a piece as a whole: back to how it was drawn, below where it hangs."""

from __future__ import annotations

import math

import numpy as np

from airweft.shape.sparse import Floats

_TOP = 0.3  # joints at most this far below the highest, in bubble lengths, hang with it


def best_turn(spots: Floats, towards: Floats) -> Floats:
    """The rotation (3, 3) that brings `spots` nearest to `towards` about their middles.

    W. Kabsch, Acta Cryst. A32 (1976) 922: by singular values, without mirror images.
    """
    a, b = spots - spots.mean(axis=0), towards - towards.mean(axis=0)
    product = np.array([[float((a[:, i] * b[:, k]).sum()) for k in range(3)] for i in range(3)])
    u, _, vt = np.linalg.svd(product)
    flip = np.diag([1.0, 1.0, math.copysign(1.0, float(np.linalg.det(u @ vt)))])
    turn: Floats = (u @ flip @ vt).T
    return turn


def turned_back(spots: Floats, towards: Floats) -> Floats:
    """`spots` turned and moved as a whole to lie as `towards` does."""
    turn = best_turn(spots, towards)
    result: Floats = (spots - spots.mean(axis=0)) @ turn.T + towards.mean(axis=0)
    return result


def tilt_degrees(spots: Floats, before: Floats) -> float:
    """How far the upright of a piece has turned between `before` and `spots`."""
    turn = best_turn(before, spots)
    return math.degrees(math.acos(max(-1.0, min(1.0, float(turn[2, 2])))))


def held_joints(spots: Floats) -> tuple[int, ...]:
    """The highest joints, by which a piece is hung."""
    top = float(spots[:, 2].max())
    return tuple(np.flatnonzero(spots[:, 2] >= top - _TOP).tolist())


def hung_below(spots: Floats, held: tuple[int, ...], load: Floats) -> Floats:
    """`spots` turned about the held joints so that the weight hangs straight below them.

    Left as they are where the held joints spread wide, as the rim of a tube does.
    """
    grip = spots[list(held)]
    pivot = grip.mean(axis=0)
    if len(held) > 1 and float(np.ptp(grip[:, :2], axis=0).max()) > 1.5:
        return spots
    total = float(load.sum())
    if total <= 0:
        return spots
    centre = (spots * load[:, None]).sum(axis=0) / total
    arm = centre - pivot
    size = float(np.sqrt((arm * arm).sum()))
    if size < 1e-9:
        return spots
    a = arm / size
    down = np.array([0.0, 0.0, -1.0])
    axis = np.cross(a, down)
    cosine = float(a @ down)
    if cosine < -1 + 1e-9:
        turn = np.diag([1.0, -1.0, -1.0])
    else:
        x, y, z = axis.tolist()
        k = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
        turn = np.eye(3) + k + k @ k / (1 + cosine)
    result: Floats = (spots - pivot) @ turn.T + pivot
    return result
