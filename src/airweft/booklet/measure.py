"""Predicted sizes in the maker's own unit, rounded as a prediction deserves."""

from __future__ import annotations

from fractions import Fraction

from airweft.base.units import Unit

_PER_UNIT: dict[Unit, float] = {"mm": 1.0, "cm": 10.0, "in": 25.4}


def size_text(size_mm: tuple[float, float, float], units: Unit) -> str:
    """A size in all three directions: `15 × 15 × 20 cm`, `6 × 6 × 7 1/2 in`.

    Whole centimetres from 10 cm on and tenths below, whole millimetres, half inches.
    """
    return " × ".join(_side(side, units) for side in size_mm) + f" {units}"


def _side(side_mm: float, units: Unit) -> str:
    value = side_mm / _PER_UNIT[units]
    if units == "mm" or (units == "cm" and value >= 9.95):
        return f"{value:.0f}"
    if units == "cm":
        return f"{value:.1f}".removesuffix(".0")
    whole, rest = divmod(Fraction(round(value * 2), 2), 1)
    if not rest:
        return f"{whole}"
    return f"{whole} 1/2" if whole else "1/2"
