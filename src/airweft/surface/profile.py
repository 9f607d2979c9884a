"""Profiles: a line of radius and height that is turned round the z axis."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airweft.records.arrays import Points


@dataclass(frozen=True, slots=True)
class Profile:
    """A line of points: `along` (n,) its length so far, `radius` and `height` (n,), in mm."""

    along: Points
    radius: Points
    height: Points

    @property
    def length(self) -> float:
        """Length of the whole line in mm."""
        return float(self.along[-1])

    def radius_at(self, along: Points | float) -> Points:
        """Radius after this much of the line."""
        return np.asarray(np.interp(along, self.along, self.radius))

    def spots(self, along: Points, angle: Points) -> Points:
        """(n, 3) places on the turned surface. Angle 0 is the front (-y), growing to the right."""
        radius = self.radius_at(along)
        return np.stack(
            [
                radius * np.sin(angle),
                -radius * np.cos(angle),
                np.interp(along, self.along, self.height),
            ],
            axis=-1,
        )

    def slope(self, along: Points) -> tuple[Points, Points]:
        """Change of radius and of height with the length, at each place."""
        k = np.clip(np.searchsorted(self.along, along, side="right") - 1, 0, len(self.along) - 2)
        step = self.along[k + 1] - self.along[k]
        return (
            (self.radius[k + 1] - self.radius[k]) / step,
            (self.height[k + 1] - self.height[k]) / step,
        )

    def part(self, start: float, end: float) -> Profile:
        """The stretch from `start` to `end`; turned about where `end` comes first."""
        low, high = min(start, end), max(start, end)
        inner = self.along[(self.along > low + 1e-9) & (self.along < high - 1e-9)]
        marks = np.array([low, *inner, high])
        radius, height = self.radius_at(marks), np.interp(marks, self.along, self.height)
        if end < start:
            radius, height = radius[::-1], height[::-1]
        return profile_of(np.stack([radius, height], axis=1))


def profile_of(corners: Points) -> Profile:
    """The profile through these (n, 2) radii and heights; repeated points are left out."""
    corners = np.asarray(corners, dtype=np.float64)
    steps = np.hypot(*np.diff(corners, axis=0).T)
    keep = np.concatenate([[True], steps > 1e-9])
    corners = corners[keep]
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])
    return Profile(along, corners[:, 0], corners[:, 1])
