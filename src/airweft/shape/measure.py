"""What the predicted positions come to: length errors, overlaps, the size of the outside."""

from __future__ import annotations

import numpy as np

from airweft.records.net import Net
from airweft.shape.model import Springs, contacts_near
from airweft.shape.settings import OVERLAP_ALLOWED, Settings
from airweft.shape.sparse import Floats, Whole

_ALONG = np.linspace(0.0, 1.0, 17)
_GIRTH = np.array([0.0, *np.sin(np.pi * _ALONG[1:-1]), 0.0])


def length_errors(spots: Floats, links: Whole, lengths: Floats, bars: Whole) -> Floats:
    """Share by which each of `bars` (indices of bubbles) is longer or shorter than it should be."""
    d = spots[links[bars, 1]] - spots[links[bars, 0]]
    errors: Floats = np.abs(np.sqrt((d * d).sum(axis=1)) - lengths[bars]) / lengths[bars]
    return errors


def overlaps(
    springs: Springs, spots: Floats, settings: Settings
) -> tuple[float, list[tuple[int, int]]]:
    """Deepest overlap as a share of the diameter, and pairs of bubbles above what is allowed.

    Only bubbles without a common joint count; the deepest pair comes first.
    """
    near = contacts_near(springs, spots, settings)
    d = near.apart @ spots
    deep = near.touch - np.sqrt((d * d).sum(axis=1))
    one, two = springs.links[near.bubbles[:, 0]], springs.links[near.bubbles[:, 1]]
    apart = (one[:, :, None] != two[:, None, :]).all(axis=(1, 2))
    broad = springs.radii[near.bubbles].sum(axis=1)
    share = np.where(apart, deep / broad, 0.0)
    worst: dict[tuple[int, int], float] = {}
    for row in np.flatnonzero(share > OVERLAP_ALLOWED).tolist():
        i, k = near.bubbles[row].tolist()
        pair = (min(i, k), max(i, k))
        worst[pair] = max(worst.get(pair, 0.0), float(share[row]))
    listed = sorted(worst, key=lambda pair: (-round(worst[pair], 6), pair))
    return max(0.0, float(share.max(initial=0.0))), listed


def outer_diameters(lengths_mm: Floats, diameters_mm: Floats) -> Floats:
    """How thick bubbles are where nothing presses them, (m,) mm: across the fabric.

    The balloon's own diameter; but a short bubble is no thicker than a ball of the air in it,
    pi/4 d^2 l = pi/6 D^3.
    """
    ball: Floats = np.cbrt(1.5 * diameters_mm**2 * lengths_mm)
    return np.minimum(diameters_mm, ball)


def extents(net: Net, spots: Floats, links: Whole, across: Floats) -> tuple[Floats, Floats]:
    """Lowest and highest corner, (3,) each, of all bubble bodies; mm.

    A body has the radius (d/2) sin(pi s) at s along its axis, d being `across`; a disc across a
    unit axis a reaches r sqrt(1 - a_k^2) in direction k.
    """
    if not len(links):
        if not len(spots):
            return np.zeros(3), np.zeros(3)
        return spots.min(axis=0), spots.max(axis=0)
    start, end = spots[links[:, 0]], spots[links[:, 1]]
    chord = end - start
    long = np.sqrt((chord * chord).sum(axis=1, keepdims=True))
    axis = chord / np.maximum(long, 1e-9)
    sideways = np.sqrt(np.maximum(0.0, 1 - axis * axis))
    low, high = np.full(3, np.inf), np.full(3, -np.inf)
    loops = np.array([kind == "loop" for kind in net.kinds], dtype=bool)
    if loops.any():
        # A loop is a ball between its joint and its far tip.
        middle, half = (start + end)[loops] / 2, np.maximum(across, long[:, 0])[loops, None] / 2
        low, high = (middle - half).min(axis=0), (middle + half).max(axis=0)
    if (~loops).any():
        start, chord, sideways = start[~loops], chord[~loops], sideways[~loops]
        half = across[~loops, None] / 2
        for s, girth in zip(_ALONG, _GIRTH, strict=True):
            spot, reach = start + s * chord, half * girth * sideways
            low = np.minimum(low, (spot - reach).min(axis=0))
            high = np.maximum(high, (spot + reach).max(axis=0))
    return low, high
