"""Whether a piece stands: its centre of mass over the base that it touches the table with."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airweft.base.findings import Finding
from airweft.records.net import Net
from airweft.records.shape import Shape, Standing
from airweft.shape.sparse import Floats

_TOUCH = 0.08  # what is this near the table touches it, as a share of a mean bubble's length
_DENT = 0.03  # bodies give so much, as a share of a bubble's length
_STEP = 1  # degrees
_MANY = 3000
_EASILY = 10.0  # degrees of tilt below which a nudge will do
_SIDES = ("right", "back right", "back", "back left", "left", "front left", "front", "front right")
_BALLS = np.array([(s, math.sin(math.pi * s)) for s in (0.0, 0.25, 0.5, 0.75, 1.0)])


def standing(net: Net, shape: Shape) -> Standing:
    """How `net` stands in this shape, z up, on what it touches a level table with.

    Weight is spread along the bubbles by their length (one wall thickness for all sizes). The base
    is the convex hull of the lowest spots of all bodies. A piece tips over the edge of its base for
    which atan(distance to the edge / height of the centre) is least; one with a rounded bottom
    rocks first, so for it the angle is that up to which it rights itself when let go.
    """
    if not net.bubble_count or not len(net.lengths):
        return _none((0.0, 0.0, 0.0))
    unit = float(np.median(net.lengths)) / 100 or 1.0
    spots, sizes = _spots(net, shape)
    lowest = float((spots[:, 2] - sizes).min())
    spots = spots - np.array([0.0, 0.0, lowest])
    touching = spots[spots[:, 2] - sizes <= _TOUCH * unit][:, :2]
    share = np.maximum(net.lengths.astype(np.float64), 1e-9)
    middles = (shape.positions[net.ends[:, 0]] + shape.positions[net.ends[:, 1]]) / 2
    x, y, z = ((middles * share[:, None]).sum(axis=0) / share.sum()).tolist()
    centre = (x, y, z - lowest)
    found = stand_on(touching, centre, least=unit)
    if found.base and found.side and not found.stands:
        return found
    angle, towards = rocks_back(spots, sizes, centre, dent=_DENT * unit)
    if angle <= max(found.tip_degrees, _STEP) + _STEP:
        return found
    return _result(centre, found.base, angle, towards)


def rocks_back(
    spots: Floats, sizes: Floats, centre: tuple[float, float, float], *, dent: float = 0.0
) -> tuple[float, float]:
    """Up to which tilt a stiff body of balls rights itself, in degrees, and the weakest direction.

    Tilted, it rests on another spot; it comes back as long as its centre of mass still rises.
    Where that sinks by no more than `dent` between two bubbles, it counts as level.
    Looked at every 15 degrees around, every degree up to 90; O(balls).
    """
    if len(spots) > _MANY:
        # Only the outermost can ever touch: those farthest out in a spread of directions.
        out = _directions(np.arange(0, 360, 10), np.arange(0, 91, 5)).reshape(-1, 3)
        spots, sizes = _outermost(spots, sizes, out)
    tilts, rounds = np.arange(0, 91, _STEP), np.arange(0, 360, 15)
    up = _directions(rounds, tilts)
    height = np.empty(up.shape[:2])
    about = spots - np.array(centre)
    for row in range(len(rounds)):
        height[row] = -(about @ up[row].T - sizes[:, None]).min(axis=0)
    worst = (math.inf, 0.0)
    for row, towards in enumerate(rounds.tolist()):
        most = np.maximum.accumulate(height[row])
        falls = np.flatnonzero(height[row] < most - dent)
        last = int(falls[0]) if len(falls) else len(tilts) - 1
        angle = float(tilts[int(np.argmax(height[row, : last + 1] > most[last] - 1e-9))])
        worst = min(worst, (angle, float(towards)))
    return worst


def _directions(rounds: NDArray[Any], tilts: NDArray[Any]) -> Floats:
    """Where up points in the body's own frame, (rounds, tilts, 3), when it is tilted."""
    round_, tilt = np.radians(rounds)[:, None], np.radians(tilts)[None, :]
    return np.stack(
        [
            -np.cos(round_) * np.sin(tilt),
            -np.sin(round_) * np.sin(tilt),
            np.ones_like(round_) * np.cos(tilt),
        ],
        axis=2,
    )


def _outermost(spots: Floats, sizes: Floats, up: Floats) -> tuple[Floats, Floats]:
    found: dict[int, None] = {}
    for direction in up:
        low = (spots * direction).sum(axis=1) - sizes
        for k in np.argsort(low, kind="stable")[:8].tolist():
            found[k] = None
    kept = sorted(found)
    return spots[kept], sizes[kept]


def stand_on(
    touching: Floats, centre: tuple[float, float, float], *, least: float = 0.0
) -> Standing:
    """How a body with this centre of mass stands on spots (k, 2) of a level table.

    A base less than a tenth of `least` wide is none.
    """
    base = hull(touching)
    if len(base) < 3 or _narrowest(base) <= least / 10:
        return _none(centre, base)
    x, y, z = centre
    best = (math.inf, 0.0)
    for (ax, ay), (bx, by) in zip(base, (*base[1:], base[0]), strict=True):
        long = math.hypot(bx - ax, by - ay)
        # The hull runs anticlockwise: outside lies to the right of each edge.
        out = ((by - ay) / long, (ax - bx) / long)
        inside = (ax - x) * out[0] + (ay - y) * out[1]
        angle = math.degrees(math.atan2(inside, max(z, 1e-9)))
        towards = math.degrees(math.atan2(out[1], out[0])) % 360
        best = min(best, (round(angle, 6), round(towards, 6)))
    return _result(centre, base, *best)


def _result(
    centre: tuple[float, float, float],
    base: tuple[tuple[float, float], ...],
    angle: float,
    towards: float,
) -> Standing:
    side = _SIDES[round(towards / 45) % 8]
    return Standing(
        stands=angle > 0,
        centre=centre,
        base=base,
        tip_degrees=angle,
        tips_towards=towards,
        side=side,
        findings=_findings(angle, side),
    )


def hull(spots: Floats) -> tuple[tuple[float, float], ...]:
    """Corners of the convex hull of spots (k, 2), anticlockwise from the leftmost lowest.

    A. M. Andrew, Inf. Process. Lett. 9 (1979) 216: the chain below, then the chain above.
    """
    rounded = sorted({(round(float(x), 6), round(float(y), 6)) for x, y in spots.tolist()})
    if len(rounded) < 3:
        return tuple(rounded)
    chains: list[list[tuple[float, float]]] = []
    for order in (rounded, rounded[::-1]):
        chain: list[tuple[float, float]] = []
        for p in order:
            while len(chain) > 1 and _turn(chain[-2], chain[-1], p) <= 0:
                chain.pop()
            chain.append(p)
        chains.append(chain[:-1])
    return tuple(chains[0] + chains[1])


def _turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _narrowest(base: tuple[tuple[float, float], ...]) -> float:
    """Least width of a convex polygon: over its edges, the farthest corner from each."""
    widths = []
    for a, b in zip(base, (*base[1:], base[0]), strict=True):
        long = math.hypot(b[0] - a[0], b[1] - a[1])
        widths.append(max(_turn(a, b, c) for c in base) / long if long > 0 else 0.0)
    return min(widths)


def _spots(net: Net, shape: Shape) -> tuple[Floats, Floats]:
    """Five balls along every body, joints included: centres (5m, 3) and radii (5m,)."""
    start, end = shape.positions[net.ends[:, 0]], shape.positions[net.ends[:, 1]]
    radii = np.array(shape.diameters) / 2
    spots = np.concatenate([start + s * (end - start) for s, _ in _BALLS])
    return spots, np.concatenate([radii * girth for _, girth in _BALLS])


def _none(
    centre: tuple[float, float, float], base: tuple[tuple[float, float], ...] = ()
) -> Standing:
    finding = Finding(
        code="no-base",
        severity="risky",
        where="net",
        message="The piece touches the table at a point or along a line only, so it rolls or tips.",
        remedy="Give it a foot, lean it on something, or hang it.",
    )
    return Standing(
        stands=False,
        centre=centre,
        base=base,
        tip_degrees=0.0,
        tips_towards=0.0,
        side="",
        findings=(finding,),
    )


def _findings(angle: float, side: str) -> tuple[Finding, ...]:
    if angle > _EASILY:
        return ()
    if angle <= 0:
        return (
            Finding(
                code="will-not-stand",
                severity="risky",
                where="net",
                message=f"The piece will not stand: its middle of weight lies beyond its foot "
                f"towards the {side}.",
                remedy=f"Make the foot reach farther to the {side}, put a weight on the other "
                "side of the foot, or hang the piece.",
            ),
        )
    return (
        Finding(
            code="tips-easily",
            severity="risky",
            where="net",
            message=f"The piece stands, but tips towards the {side} when tilted by "
            f"{angle:.0f} degrees: a draught or a child will do.",
            remedy="Tape its foot down, put a weight in it, or give it a wider foot.",
        ),
    )
