"""Shapes that nothing was reckoned for."""

from __future__ import annotations

from typing import Any

from airweft.records.arrays import Points
from airweft.records.shape import Shape


def plain_shape(positions: Points, **more: Any) -> Shape:
    """A shape with its joints at these places and nothing else to tell, but for what is given."""
    told: dict[str, Any] = {
        "diameters": (),
        "length_error": (0.0, 0.0),
        "overlaps": (),
        "worst_overlap": 0.0,
        "width": 0.0,
        "depth": 0.0,
        "height": 0.0,
        "stand": "free",
        "held": (),
        "iterations": 0,
        "converged": True,
    }
    return Shape(positions=positions, **(told | more))
