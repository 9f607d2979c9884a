"""From where each stop of the phone page is seen: the draw stage's choice, within a time limit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import degrees

import numpy as np

from airweft.draw.body import Bodies
from airweft.draw.camera import Camera
from airweft.draw.view import CAMERAS, FRONT, Sight, Viewer
from airweft.records.net import Net

# Pairs of bubbles that may be compared for hiding, for one camera and over all stops. Beyond it a
# camera is chosen by the side on which the new work lies.
MOST_PAIRS = 2_000_000


@dataclass(frozen=True, slots=True)
class Look:
    """A camera in whole degrees: `around` from the front to the right, `above` the level.

    `behind` is a second camera where the first hides new work.
    """

    around: int
    above: int
    behind: tuple[int, int] | None = None


def first_look() -> Look:
    """How the finished piece is shown."""
    return _look(FRONT)


def looks(
    net: Net,
    bodies: Bodies,
    stops: Sequence[Sequence[int]],
    *,
    begins: Sequence[int] = (),
    focus: Mapping[int, Sequence[int]] | None = None,
) -> list[Look]:
    """A look for each stop, given the bubbles that each one makes.

    `begins` says for each stop the first one whose bubbles lie on the same table (all from the
    first on if it is empty), `focus` what to look at in stops that make none.
    """
    begins = begins or [0] * len(stops)
    watched = [new or (focus or {}).get(at, ()) for at, new in enumerate(stops)]
    made = np.cumsum([0, *(len(new) for new in stops)])
    pairs = sum(len(seen) * int(made[at + 1] - made[begins[at]]) for at, seen in enumerate(watched))
    if pairs > MOST_PAIRS:
        return _by_side(bodies, watched)
    sights: list[Sight] = []
    shown: list[int] = []
    for at, new in enumerate(stops):
        anew = at > 0 and begins[at] != begins[at - 1]
        if anew:
            shown = [bubble for before in stops[begins[at] : at] for bubble in before]
        shown.extend(new)
        sights.append(Sight(tuple(shown), watched[at], anew))
    return [
        Look(*_degrees(view.camera), _degrees(view.inset) if view.inset is not None else None)
        for view in Viewer(net, bodies=bodies).views(sights)
    ]


def _by_side(bodies: Bodies, stops: Sequence[Sequence[int]]) -> list[Look]:
    """Keep the camera while the new work faces it on average, else take the one it faces best."""
    middle = np.array(bodies.scene.centre)
    camera = FRONT
    found: list[Look] = []
    for new in stops:
        if new:
            rows = list(new)
            out = bodies.normals[rows].mean(axis=0)
            if float(np.abs(out).sum()) < 1e-9:
                out = bodies.centres[rows].mean(axis=0) - middle
            size = float(np.sqrt(out @ out))
            if size > 1e-9 and float(out @ camera.axes()[2]) / size < 0.35:
                worth = [float(out @ c.axes()[2]) - 0.01 * k * size for k, c in enumerate(CAMERAS)]
                camera = CAMERAS[worth.index(max(worth))]
        found.append(_look(camera))
    return found


def _degrees(camera: Camera) -> tuple[int, int]:
    return round(degrees(camera.turn)), round(degrees(camera.tilt))


def _look(camera: Camera) -> Look:
    return Look(*_degrees(camera))
