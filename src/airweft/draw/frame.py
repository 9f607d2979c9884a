"""Fitting what is seen into a picture of a given size."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from airweft.draw.body import Outlines


def fit(
    shape: Outlines, framed: list[int], width: float, height: float | None
) -> tuple[Outlines, float, float]:
    """Outlines scaled and shifted so that `framed` fills the picture; its width and height."""
    if not framed:
        return shape, width, height or width / 2
    half = shape.extents()[framed]
    low = (shape.centres[framed] - half).min(axis=0)
    high = (shape.centres[framed] + half).max(axis=0)
    span = np.maximum(high - low, 1e-9)
    margin = width * 0.02 + 2
    room_x = max(width - 2 * margin, 1.0)
    room_y = max((height or width * 1.25) - 2 * margin, 1.0)
    scale = min(room_x / float(span[0]), room_y / float(span[1]))
    tall = height or float(span[1]) * scale + 2 * margin
    shift = np.array([width, tall]) / 2 - (low + high) / 2 * scale
    return (
        replace(
            shape,
            centres=shape.centres * scale + shift,
            straights=shape.straights * scale,
            majors=shape.majors * scale,
            minors=shape.minors * scale,
        ),
        width,
        tall,
    )


def moved(shape: Outlines, scale: float, dx: float, dy: float) -> Outlines:
    """Outlines scaled, then shifted."""
    return replace(
        shape,
        centres=shape.centres * scale + np.array([dx, dy]),
        straights=shape.straights * scale,
        majors=shape.majors * scale,
        minors=shape.minors * scale,
    )


def bounds(shape: Outlines, some: list[int]) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of the outlines `some` (at least one)."""
    half = shape.extents()[some]
    low = (shape.centres[some] - half).min(axis=0)
    high = (shape.centres[some] + half).max(axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])
