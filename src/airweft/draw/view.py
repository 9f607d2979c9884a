"""From where to look at a step: keep the camera while the new work shows, turn the piece if not.

How much of a new bubble shows is measured in `visible`. When even the best camera hides something,
a second one is given for an inset.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from math import degrees, radians

import numpy as np

from airweft.draw.body import Bodies, Outlines, bodies_of, outlines
from airweft.draw.camera import Camera, Floats
from airweft.draw.visible import EDGE, INNER, visible_shares
from airweft.records.arrays import Indices
from airweft.records.net import Net

GOOD = 0.45  # the new work's average share in view that keeps a camera
LEAST = 0.2  # and the share that every single new bubble must show
_TURN, _FAR = 1.0, 0.06  # what a turn costs, and each radian of it
_HIDES, _HIDES_MOST = 0.8, 2.0  # what a picture costs that needs an inset, and one that hides most
_SEEN_INSIDE = 0.15
_RANK = 0.004  # what a camera costs for each place farther down the list


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


@dataclass(frozen=True, slots=True)
class Sight:
    """What a picture shows and what is new in it; `anew`: whatever stood before is out of sight."""

    shown: Collection[int]
    new: Collection[int]
    anew: bool = False


class Viewer:
    """Chooses the views of one net; keeps what its cameras see, so that many steps are cheap."""

    def __init__(
        self, net: Net, *, bodies: Bodies | None = None, cameras: Sequence[Camera] = CAMERAS
    ) -> None:
        self._bodies = bodies or bodies_of(net)
        self._cameras = tuple(cameras)
        self._seen: dict[Camera, Outlines] = {}

    def _shape(self, camera: Camera) -> Outlines:
        if camera not in self._seen:
            self._seen[camera] = outlines(self._bodies, camera)
        return self._seen[camera]

    def _shares(self, camera: Camera, there: Indices, new: Sequence[int]) -> Floats:
        return visible_shares(self._shape(camera), there, new)

    def view(
        self,
        shown: Collection[int],
        new: Collection[int],
        previous: Camera | None = None,
    ) -> View:
        """The view for a single step that adds `new` to make `shown`."""
        fresh = sorted({int(i) for i in new})
        first = previous or FRONT
        camera = first
        if fresh:
            there = np.array(sorted({int(i) for i in shown} | set(fresh)), dtype=np.int64)
            shares = self._shares(first, there, fresh)
            if not _enough(shares):
                camera = self._turn(first, shares, there, fresh)
        return self._view(camera, Sight(shown, new), previous)

    def views(self, sights: Sequence[Sight]) -> tuple[View, ...]:
        """The views of all pictures at once: turned as seldom as they show the new work allows.

        Of all ways through the cameras the one with the least cost is taken (dynamic programming
        from the last picture to the first): a turn costs 1, a picture that hides some new bubbles
        nearly as much, one that hides most of them more; how well the rest shows decides between
        equals.
        """
        cameras = (FRONT, *(c for c in self._cameras if c != FRONT))
        turns = np.array([[_turn_between(a, b) for b in cameras] for a in cameras])
        change = np.round(np.where(np.eye(len(cameras)) > 0, 0.0, _TURN + _FAR * turns), 6)
        liking = np.round(_RANK * np.arange(len(cameras)), 6)
        costs = [self._costs(cameras, sight) for sight in sights]
        later = np.zeros(len(cameras))
        next_of: list[Indices] = []
        for place in range(len(sights) - 1, -1, -1):
            whole = costs[place] + later
            next_of.append(np.argmin(np.round(change + whole[None, :], 6), axis=1))
            # What is there anew is looked at from anywhere, the first kinds of camera rather.
            if place and not sights[place].anew:
                later = np.round((change + whole[None, :]).min(axis=1), 6)
            else:
                begin = int(np.argmin(np.round(whole + liking, 6)))
                next_of[-1] = np.full(len(cameras), begin, dtype=np.int64)
                later = np.full(len(cameras), round(float(whole[begin] + liking[begin]), 6))
        found: list[View] = []
        at = 0
        for sight, step in zip(sights, reversed(next_of), strict=True):
            before = None if sight.anew or not found else cameras[at]
            at = int(step[at])
            found.append(self._view(cameras[at], sight, before))
        return tuple(found)

    def _costs(self, cameras: Sequence[Camera], sight: Sight) -> Floats:
        """What it costs to show a picture from each of the cameras."""
        fresh = sorted({int(i) for i in sight.new})
        if not fresh:
            return np.zeros(len(cameras))
        there = np.array(sorted({int(i) for i in sight.shown} | set(fresh)), dtype=np.int64)
        found = []
        for camera in cameras:
            facing = self._shape(camera).facing[fresh]
            most = np.where((facing != 0.0) & (facing < EDGE), INNER, 1.0)
            # From where most would be seen from inside nobody need look closer.
            hopeless = float(most.mean()) < GOOD + _SEEN_INSIDE
            shares = most * INNER if hopeless else self._shares(camera, there, fresh)
            cost = 1.0 - _worth(shares)
            if not _enough(shares):
                cost += _HIDES if float(shares.mean()) >= GOOD else _HIDES_MOST
            found.append(cost)
        return np.round(np.array(found), 6)

    def _view(self, camera: Camera, sight: Sight, before: Camera | None) -> View:
        """A picture's view from a camera that was chosen; `before` is the last picture's."""
        fresh = sorted({int(i) for i in sight.new})
        shares = both = np.ones(1)
        inset = None
        if fresh:
            there = np.array(sorted({int(i) for i in sight.shown} | set(fresh)), dtype=np.int64)
            shares = self._shares(camera, there, fresh)
            inset, both = self._inset(camera, shares, there, fresh)
        return View(
            camera=camera,
            share_visible=float(shares.mean()),
            least_visible=float(both.min()),
            turned=before is not None and camera != before,
            words=said(camera),
            inset=inset,
            inset_words=said(inset) if inset else "",
        )

    def _turn(self, first: Camera, shares: Floats, there: Indices, fresh: list[int]) -> Camera:
        """The camera to turn to for a single step."""
        worths = [(_worth(shares) + 0.02, first)]
        for rank, other in enumerate(self._cameras):
            if other != first:
                worth = _worth(self._shares(other, there, fresh))
                worths.append((worth - _RANK * rank - _FAR * _turn_between(first, other), other))
        return max(worths, key=lambda entry: round(entry[0], 6))[1]

    def _inset(
        self, camera: Camera, shares: Floats, there: Indices, fresh: list[int]
    ) -> tuple[Camera | None, Floats]:
        """The camera that shows best what the first hides, and the better share of both."""
        poor = [k for k, share in enumerate(shares.tolist()) if share < LEAST]
        chosen: Camera | None = None
        both = shares
        hidden = [fresh[k] for k in poor]
        best = float(shares[poor].mean()) + 0.07 if poor else 0.0
        for other in self._cameras if poor else ():
            if other == camera:
                continue
            seen = self._shares(other, there, hidden)
            worth = float(np.minimum(seen, 0.6).mean()) + 0.5 * float((seen >= LEAST).mean())
            if worth > best:
                best, chosen = worth + 0.02, other
        if chosen:
            both = np.maximum(shares, self._shares(chosen, there, fresh))
        return chosen, both


def best_view(
    net: Net,
    shown: Collection[int],
    new: Collection[int],
    previous: Camera | None = None,
    *,
    bodies: Bodies | None = None,
) -> View:
    """The view for one step that adds `new` to make `shown` (bubble indices).

    Keeps `previous` if that shows the new work well enough; else takes the camera that shows it
    best, with a liking for the first ones of `CAMERAS` and for small turns. For many steps of one
    net `step_views` is quicker and turns less often.
    """
    return Viewer(net, bodies=bodies).view(shown, new, previous)


def step_views(
    net: Net, steps: Sequence[Collection[int]], *, bodies: Bodies | None = None
) -> tuple[View, ...]:
    """The view of every step, given what each step adds; turned as seldom as can be."""
    present: set[int] = set()
    sights: list[Sight] = []
    for new in steps:
        present |= {int(i) for i in new}
        sights.append(Sight(tuple(present), new))
    return Viewer(net, bodies=bodies).views(sights)


def _enough(shares: Floats) -> bool:
    return round(float(shares.mean()), 9) >= GOOD and float(shares.min()) >= LEAST


def _worth(shares: Floats) -> float:
    """How well a camera shows the new work: average, worst bubble, and how many show at all."""
    clear = float((shares >= LEAST).mean())
    return 0.4 * float(shares.mean()) + 0.3 * min(0.5, float(shares.min())) + 0.3 * clear


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
