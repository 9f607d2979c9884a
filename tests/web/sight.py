"""What lies where in the view, worked out from the bodies in space and not from their outlines.

A line of sight through a point of the picture is followed through space; a bubble is met where the
line cuts the ellipsoid of revolution at some place of its straight middle. Every bubble is seen as
from far away at its own distance, as the view paints it.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from airweft.draw.body import Bodies

SLIDES = 25  # places along the straight middle at which the ellipsoid is tried
EDGE = 0.06  # a line that misses or cuts a bubble by less than this says nothing


class Sight:
    """Lines of sight for one pose of the eye, as the page tells it (canvas pixels)."""

    def __init__(self, bodies: Bodies, eye: dict[str, Any]) -> None:
        self.bodies = bodies
        self.axes = np.array(eye["matrix"]).reshape(3, 3)  # rows right, up, towards the eye
        middle = np.array(bodies.scene.centre)
        distance = 9 * bodies.scene.radius
        seen = (bodies.centres - middle) @ self.axes.T
        pivot = self.axes @ (np.array(eye["pivot"]) - middle)
        self.near = seen[:, 2]
        self.scale = eye["scale"] * distance / (distance - self.near)
        pivot_scale = eye["scale"] * distance / (distance - pivot[2])
        self.x = eye["x"] + seen[:, 0] * self.scale - pivot[0] * pivot_scale
        self.y = eye["y"] - seen[:, 1] * self.scale + pivot[1] * pivot_scale

    def cuts(self, x: float, y: float) -> np.ndarray[Any, Any]:
        """For each bubble how deep the line cuts it: 1 through its middle, 0 at its edge."""
        right, up, toward = self.axes
        offset = ((x - self.x) / self.scale)[:, None] * right - ((y - self.y) / self.scale)[
            :, None
        ] * up
        reach = np.sqrt((self.bodies.halves**2).sum(axis=1))
        along = self.bodies.halves / np.maximum(reach, 1e-9)[:, None]
        cap, waist = np.minimum(self.bodies.caps, np.maximum(reach, 1e-9)), self.bodies.waists
        cap = np.where(reach > 0, cap, waist)
        best = np.full(len(reach), -np.inf)
        for slide in np.linspace(-1, 1, SLIDES):
            point = offset - slide * np.maximum(reach - cap, 0)[:, None] * along

            # In the space where the ellipsoid is the unit ball.
            def ball(v: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
                lengthwise = (v * along).sum(axis=1)
                across = (v - lengthwise[:, None] * along) / waist[:, None]
                return np.column_stack([lengthwise / cap, across])

            p, d = ball(point), ball(np.tile(toward, (len(reach), 1)))
            t = -(p * d).sum(axis=1) / (d * d).sum(axis=1)
            nearest = np.sqrt(((p + t[:, None] * d) ** 2).sum(axis=1))
            best = np.maximum(best, 1 - nearest)
        return best

    def front(self, x: float, y: float, hidden: np.ndarray[Any, Any] | None = None) -> int | None:
        """The bubble in front there, -1 for none; None where an edge or a tie leaves it open."""
        cuts = self.cuts(x, y)
        if hidden is not None:
            cuts = np.where(hidden, -1.0, cuts)
        if (np.abs(cuts) < EDGE).any():
            return None
        met = np.flatnonzero(cuts > 0)
        if not len(met):
            return -1
        order = met[np.argsort(self.near[met])]
        if (
            len(order) > 1
            and self.near[order[-1]] - self.near[order[-2]] < 0.02 * self.bodies.scene.radius
        ):
            return None
        return int(order[-1])
