"""Whether a piece stands: its centre of mass over the base that it touches the table with."""

from __future__ import annotations

import math

import numpy as np

from airweft.base.findings import Finding
from airweft.records.net import Net
from airweft.records.shape import Shape, Standing
from airweft.shape.sparse import Floats

_TOUCH = 0.08  # what is this near the table touches it, as a share of a mean bubble's length
_EASILY = 10.0  # degrees of tilt below which a nudge will do
_SIDES = ("right", "back right", "back", "back left", "left", "front left", "front", "front right")
_BALLS = np.array([(s, math.sin(math.pi * s)) for s in (0.0, 0.25, 0.5, 0.75, 1.0)])


def standing(net: Net, shape: Shape) -> Standing:
    """How `net` stands in this shape, z up, on what it touches a level table with.

    Weight is spread along the bubbles by their length (one wall thickness for all sizes). The base
    is the convex hull of the lowest spots of all bodies. It tips over the edge of the base for
    which the angle atan(distance to the edge / height of the centre) is least.
    """
    if not net.bubble_count:
        return _none((0.0, 0.0, 0.0))
    unit = float(np.median(net.lengths)) / 100 or 1.0
    spots, sizes = _spots(net, shape)
    lowest = float((spots[:, 2] - sizes).min())
    touching = spots[spots[:, 2] - sizes <= lowest + _TOUCH * unit][:, :2]
    start, end = shape.positions[net.ends[:, 0]], shape.positions[net.ends[:, 1]]
    share = np.maximum(net.lengths.astype(np.float64), 1e-9)[:, None]
    centre = ((start + end) / 2 * share).sum(axis=0) / share.sum()
    centre[2] -= lowest
    return stand_on(touching, (float(centre[0]), float(centre[1]), float(centre[2])), least=unit)


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
        if (round(angle, 6), round(towards, 6)) < (round(best[0], 6), round(best[1], 6)):
            best = (angle, towards)
    angle, towards = best
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
