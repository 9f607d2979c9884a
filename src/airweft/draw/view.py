"""From where to look at a step: keep the camera while the new work shows, turn the piece if not.

How much of a new bubble shows is measured at fixed points of its outline: the share of them that no
nearer bubble covers, halved where the bubble's inner side is seen, because work seen from inside is
mirrored. When even the best camera hides something, a second one is given for an inset.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from math import cos, degrees, pi, radians, sin

import numpy as np

from airweft.draw.body import Bodies, Outlines, bodies_of, outlines
from airweft.draw.camera import Camera, Floats
from airweft.draw.cover import inside
from airweft.records.arrays import Indices
from airweft.records.net import Net

GOOD = 0.55  # the new work's average share in view that keeps a camera
LEAST = 0.2  # and the share that every single new bubble must show
_INNER = 0.5  # weight of what is seen from inside
_EDGE = 0.08  # facing below this counts as seen from inside

# Points of an ellipse's unit disc: the middle and two rings, in equal-area spirit.
_POINTS = np.array(
    [(0.0, 0.0)]
    + [(0.5 * cos(pi * k / 3), 0.5 * sin(pi * k / 3)) for k in range(6)]
    + [(0.86 * cos(pi * k / 6), 0.86 * sin(pi * k / 6)) for k in range(12)]
)


def _camera(turn: float, tilt: float) -> Camera:
    return Camera(turn=radians(turn), tilt=radians(tilt))


FRONT = _camera(25, 24)
"""The camera that a piece is first seen with: from the front, a little right and above."""

CAMERAS: tuple[Camera, ...] = tuple(
    _camera(turn, tilt)
    for tilt in (24, 50, -24, -55)
    for turn in (25, -25, 65, -65, 115, -115, 155, -155)
)
"""The fixed set of good cameras, best liked first: slightly above, then high, then from below."""


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """From where a step is seen.

    share_visible   average share of the new bubbles' area in view, 0 to 1 (1 if nothing is new)
    least_visible   the smallest share of any new bubble, in the view or the inset
    turned          the camera differs from the previous one: say so on the page
    words           from where it is seen: "from the front, a little above"
    inset           a second camera where the first hides new work, else None; with `inset_words`
    """

    camera: Camera
    share_visible: float
    least_visible: float
    turned: bool
    words: str
    inset: Camera | None = None
    inset_words: str = ""


def best_view(
    net: Net,
    shown: Collection[int],
    new: Collection[int],
    previous: Camera | None = None,
    *,
    bodies: Bodies | None = None,
    cameras: Sequence[Camera] = CAMERAS,
) -> View:
    """The view for a step that adds `new` to make `shown` (bubble indices).

    Keeps `previous` if that shows the new work well enough; else takes the camera that shows it
    best, with a liking for the first ones and for small turns. Pass `bodies` (from `bodies_of`)
    when asking for many steps of one net. Time grows with new x shown.
    """
    fresh = sorted({int(i) for i in new})
    first = previous or FRONT
    if not fresh:
        return View(
            camera=first, share_visible=1.0, least_visible=1.0, turned=False, words=said(first)
        )
    body = bodies_of(net) if bodies is None else bodies
    there = np.array(sorted({int(i) for i in shown} | set(fresh)), dtype=np.int64)
    shares = visible_shares(outlines(body, first), there, fresh)
    camera = first
    if not _enough(shares):
        best = _worth(shares)
        for rank, other in enumerate(cameras):
            seen = visible_shares(outlines(body, other), there, fresh)
            worth = _worth(seen) - 0.004 * rank - 0.03 * _turn_between(first, other) / pi
            if worth > best + 0.02:
                best, camera, shares = worth, other, seen
    poor = [k for k, share in enumerate(shares.tolist()) if share < LEAST]
    inset, least = (
        _inset(body, there, fresh, shares, poor, camera, cameras) if poor else (None, shares)
    )
    return View(
        camera=camera,
        share_visible=float(shares.mean()),
        least_visible=float(least.min()),
        turned=previous is not None and camera != previous,
        words=said(camera),
        inset=inset,
        inset_words=said(inset) if inset else "",
    )


def visible_shares(shape: Outlines, shown: Collection[int] | Indices, new: Sequence[int]) -> Floats:
    """For each bubble of `new` the share of its outline that shows, weighted by its facing.

    `shown` are the bubble indices that may hide it.
    """
    there = np.array(list(shown), dtype=np.int64)
    half = np.sqrt((shape.extents() ** 2).sum(axis=1))
    result = np.zeros(len(new))
    for k, i in enumerate(new):
        gap = np.abs(shape.centres[there] - shape.centres[i]).max(axis=1)
        nearer = (shape.nears[there] > shape.nears[i]) | (
            (shape.nears[there] == shape.nears[i]) & (there > i)
        )
        close = there[nearer & (gap <= half[there] + half[i])]
        points = _sample(shape, i)
        dx = points[None, :, 0] - shape.centres[close, :1]
        dy = points[None, :, 1] - shape.centres[close, 1:]
        covered = inside(shape, close, dx, dy).any(axis=0)
        share = 1.0 - float(covered.mean())
        facing = float(shape.facing[i])
        result[k] = share * (_INNER if facing != 0.0 and facing < _EDGE else 1.0)
    return result


def _sample(shape: Outlines, i: int) -> Floats:
    """Fixed points inside one outline, shape (19, 2)."""
    u = shape.axes[i]
    n = np.array([-u[1], u[0]])
    along = _POINTS[:, :1] * shape.majors[i] * u + np.sign(_POINTS[:, :1]) * shape.straights[i]
    result: Floats = shape.centres[i] + along + _POINTS[:, 1:] * shape.minors[i] * n
    return result


def _enough(shares: Floats) -> bool:
    return float(shares.mean()) >= GOOD and float(shares.min()) >= LEAST


def _worth(shares: Floats) -> float:
    """How well a camera shows the new work: average, worst bubble, and how many show at all."""
    clear = float((shares >= LEAST).mean())
    return 0.4 * float(shares.mean()) + 0.3 * min(0.5, float(shares.min())) + 0.3 * clear


def _inset(
    body: Bodies,
    there: Indices,
    fresh: list[int],
    shares: Floats,
    poor: list[int],
    camera: Camera,
    cameras: Sequence[Camera],
) -> tuple[Camera | None, Floats]:
    """The camera that shows best what the first one hides, and the better share of both."""
    chosen: Camera | None = None
    best = float(shares[poor].mean()) + 0.05
    both = shares
    hidden = [fresh[k] for k in poor]
    for other in cameras:
        if other == camera:
            continue
        seen = visible_shares(outlines(body, other), there, hidden)
        worth = float(np.minimum(seen, 0.6).mean()) + 0.5 * float((seen >= LEAST).mean())
        if worth > best + 0.02:
            best, chosen = worth, other
            both = shares.copy()
            both[poor] = np.maximum(shares[poor], seen)
    return chosen, both


def _turn_between(a: Camera, b: Camera) -> float:
    """How far the piece is turned from one camera to another, in radians."""
    dot = float((a.axes()[2] * b.axes()[2]).sum())
    return float(np.arccos(min(1.0, max(-1.0, dot))))


def said(camera: Camera) -> str:
    """From where a camera looks, in words: "from the front, a little from the right and above"."""
    tilt = degrees(camera.tilt)
    if tilt > 75:
        return "from straight above"
    if tilt < -75:
        return "from straight below"
    sides = ("front", "right", "back", "left")
    turn = degrees(camera.turn) % 360
    main = round(turn / 90) % 4
    off = (turn - 90 * main + 180) % 360 - 180
    beside = sides[(main + (1 if off > 0 else -1)) % 4]
    height = "above" if tilt > 0 else "below"
    if abs(off) > 35:
        first, second = (sides[main], beside) if main % 2 == 0 else (beside, sides[main])
        where = f"from the {first} {second} corner"
        little = []
    else:
        where = f"from the {sides[main]}"
        little = [f"from the {beside}"] if abs(off) > 8 else []
    if 8 < abs(tilt) <= 35:
        little.append(height)
    words = where + (f", a little {' and '.join(little)}" if little else "")
    return words + (f", from {height}" if abs(tilt) > 35 else "")
