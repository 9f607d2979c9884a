"""The camera: from points of the piece to points of the picture.

A viewer stands at a distance of `reach` radii of the piece from its centre, `turn` radians round to
the right of the front and `tilt` radians above the level. x is to the right, y away, z up, so

    right  = ( cos turn,             sin turn,            0        )
    up     = (-sin turn * sin tilt,  cos turn * sin tilt, cos tilt )
    toward = ( sin turn * cos tilt, -cos turn * cos tilt, sin tilt )

is a right-handed frame, and `toward` points from the piece to the viewer. A point p with
q = p - centre lies at

    near  = q . toward
    scale = reach * radius / (reach * radius - near)      (1 when orthographic, reach = 0)
    x     = q . right * scale,    y = -q . up * scale     (y down, as in pictures)

and is nearer to the viewer the larger `near` is.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin

import numpy as np
from numpy.typing import NDArray

from airweft.records.arrays import Points

Floats = NDArray[np.float64]
# Nothing comes nearer to the eye than this share of the viewing distance, whatever the input.
_NEAREST = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """Where the viewer stands; radians, and `reach` in radii of the piece (0: no perspective).

    The default looks from the front, a little from the right and above.
    """

    turn: float = 0.44
    tilt: float = 0.42
    reach: float = 9.0

    def axes(self) -> Floats:
        """The rows right, up, toward; shape (3, 3), orthonormal."""
        # Rounded, because the last bit of a sine is not the same on every machine.
        ct, st, ce, se = (
            round(value, 12)
            for value in (cos(self.turn), sin(self.turn), cos(self.tilt), sin(self.tilt))
        )
        return np.array([[ct, st, 0.0], [-st * se, ct * se, ce], [st * ce, -ct * ce, se]])


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """Centre and radius of what the camera looks at, in mm; one for all pictures of a piece."""

    centre: tuple[float, float, float]
    radius: float


def scene_of(points: Points) -> Scene:
    """The middle of the points' bounding box and the distance of the farthest point from it."""
    if len(points) == 0:
        return Scene(centre=(0.0, 0.0, 0.0), radius=1.0)
    low, high = points.min(axis=0), points.max(axis=0)
    middle = (low + high) / 2
    radius = float(np.sqrt(((points - middle) ** 2).sum(axis=1).max()))
    return Scene(
        centre=(float(middle[0]), float(middle[1]), float(middle[2])), radius=max(radius, 1e-6)
    )


def project(camera: Camera, scene: Scene, points: Floats) -> tuple[Floats, Floats, Floats]:
    """Picture positions (n, 2) in mm at the centre's scale, nearness (n,) in mm, scales (n,)."""
    # To a millionth of a millimetre: what lies equally near stays equal, whatever order a machine
    # adds up in, and the picture's order and views follow from that.
    seen = np.round((points - np.array(scene.centre)) @ camera.axes().T, 6)
    near = seen[:, 2]
    if camera.reach > 0:
        distance = camera.reach * scene.radius
        scale = distance / np.maximum(distance - near, _NEAREST * distance)
    else:
        scale = np.ones(len(points))
    flat = np.stack([seen[:, 0] * scale, -seen[:, 1] * scale], axis=1)
    return flat, near, scale
