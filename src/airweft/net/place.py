"""Where the parts of a joined form stand: turned, and set on a side of another part."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from airweft.records.arrays import Points
from airweft.records.design import Side

WAYS: dict[Side, tuple[int, int, int]] = {
    "top": (0, 0, 1),
    "bottom": (0, 0, -1),
    "front": (0, -1, 0),
    "back": (0, 1, 0),
    "left": (-1, 0, 0),
    "right": (1, 0, 0),
}
"""Outward from each side; the front faces the viewer."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A part that is in the net already: its own joints and closed borders, by joint of the net."""

    name: str
    lands: tuple[int, ...]
    rings: tuple[tuple[int, ...], ...] = ()

    def joints(self) -> tuple[int, ...]:
        """Its joints in the net, each once, in index order."""
        return tuple(sorted(set(self.lands)))


def turned(spots: Points, turn: tuple[int, int, int]) -> Points:
    """(n, 3) spots turned about x, then y, then z, by hundredths of a degree, about the origin."""
    for axis, hundredths in enumerate(turn):
        if not hundredths:
            continue
        angle = math.radians(hundredths / 100)
        c, s = math.cos(angle), math.sin(angle)
        one, two = ((1, 2), (2, 0), (0, 1))[axis]
        spots = np.array(spots)
        first, second = spots[:, one].copy(), spots[:, two].copy()
        spots[:, one], spots[:, two] = c * first - s * second, s * first + c * second
    return spots


def set_beside(spots: Points, other: Points, way: Points) -> Points:
    """`spots` moved so that they touch `other` on the side that looks `way`, middle on middle."""
    low, high = spots.min(axis=0), spots.max(axis=0)
    o_low, o_high = other.min(axis=0), other.max(axis=0)
    move = (o_low + o_high) / 2 - (low + high) / 2
    axis = int(np.argmax(np.abs(way)))
    if way[axis] > 0:
        move[axis] = o_high[axis] - low[axis]
    else:
        move[axis] = o_low[axis] - high[axis]
    return np.asarray(spots + move)
