"""How much air a balloon takes: a rough figure for choosing a pump, marked as such everywhere.

The inflated part is taken as a plain cylinder of the nominal diameter that the size code names.
"""

from __future__ import annotations

import math

from airweft.balloon.sizes import NotASize, read_size_code
from airweft.records.budget import Budget

PUMP_LITRES = 0.3
"""Air that one full stroke of a hand pump moves, in litres: assumption, from memory."""


def nominal(size: str) -> tuple[float, float] | None:
    """Nominal diameter and length in mm of a full balloon; None where the size code is no code."""
    try:
        code = read_size_code(size)
    except NotASize:
        return None
    return code.diameter / 100, code.length / 100


def litres(size: str, budget: Budget, tail: int, flat: int | None = None) -> float | None:
    """Litres of air in one balloon of `size` inflated up to a flat `tail` (hundredths of a mm).

    `flat` is the empty length of a part-used balloon; without it the balloon is whole. None where
    the size code does not tell the diameter.
    """
    inches = nominal(size)
    if inches is None:
        return None
    diameter, _ = inches
    inflated = max(0, (budget.flat if flat is None else flat) - tail)
    inflated_mm = inflated * budget.full / budget.flat / 100
    return math.pi / 4 * diameter**2 * inflated_mm / 1e6


def strokes(volume: float, pump_litres: float = PUMP_LITRES) -> int:
    """Full strokes of a hand pump for `volume` litres, rounded up; a little less is never enough.

    The pump is taken to move `pump_litres` at the pressure inside the balloon.
    """
    return math.ceil(round(volume / pump_litres, 6))
