"""The curve of sRGB between a channel's value and its light (IEC 61966-2-1), both from 0 to 1."""

from __future__ import annotations


def linear(value: float) -> float:
    """The light of a channel's value."""
    return value / 12.92 if value <= 0.04045 else float(((value + 0.055) / 1.055) ** 2.4)


def curved(light: float) -> float:
    """The channel's value of so much light."""
    return light * 12.92 if light <= 0.0031308 else float(1.055 * light ** (1 / 2.4) - 0.055)
