"""How different two colours look: CIEDE2000.

Formula and constants: G. Sharma, W. Wu, E. N. Dalal, "The CIEDE2000 color-difference formula:
implementation notes, supplementary test data, and mathematical observations", Color Res. Appl. 30
(2005) 21-30. sRGB to CIE XYZ: IEC 61966-2-1; white point D65, 2 degree observer.
"""

from __future__ import annotations

import math

from airweft.base.light import linear

Lab = tuple[float, float, float]

# Rows of the matrix from linear sRGB to XYZ (IEC 61966-2-1), each divided by the white point's X,
# Y or Z, that is by its own sum, so that white comes out as exactly L = 100, a = b = 0.
_ROWS = ((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505))


def lab_of(hex_colour: str) -> Lab:
    """CIE L*, a*, b* (D65) of `#rrggbb`. Raises ValueError if it is not written so."""
    digits = hex_colour.removeprefix("#")
    if len(digits) != 6:
        raise ValueError(f"{hex_colour!r} is not a colour written as #rrggbb")
    light = [linear(int(digits[k : k + 2], 16) / 255) for k in (0, 2, 4)]
    fx, fy, fz = (
        _root(sum(m * c for m, c in zip(row, light, strict=True)) / sum(row)) for row in _ROWS
    )
    return 116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)


def difference(one: Lab, other: Lab) -> float:
    """CIEDE2000 of two colours, with weights kL = kC = kH = 1. About 1 is just visible."""
    (l1, a1, b1), (l2, a2, b2) = one, other
    mean_c = (math.hypot(a1, b1) + math.hypot(a2, b2)) / 2
    g = (1 - math.sqrt(mean_c**7 / (mean_c**7 + 25.0**7))) / 2
    a1, a2 = a1 * (1 + g), a2 * (1 + g)
    c1, c2 = math.hypot(a1, b1), math.hypot(a2, b2)
    h1, h2 = _hue(a1, b1), _hue(a2, b2)
    turn = h2 - h1
    if c1 * c2 == 0:
        turn, hue = 0.0, h1 + h2
    elif abs(turn) <= 180:
        hue = (h1 + h2) / 2
    else:
        turn += -360 if turn > 0 else 360
        hue = (h1 + h2 + (360 if h1 + h2 < 360 else -360)) / 2
    d_l, d_c = l2 - l1, c2 - c1
    d_h = 2 * math.sqrt(c1 * c2) * _sin(turn / 2)
    light, c = (l1 + l2) / 2, (c1 + c2) / 2
    t = (
        1
        - 0.17 * _cos(hue - 30)
        + 0.24 * _cos(2 * hue)
        + 0.32 * _cos(3 * hue + 6)
        - 0.20 * _cos(4 * hue - 63)
    )
    s_l = 1 + 0.015 * (light - 50) ** 2 / math.sqrt(20 + (light - 50) ** 2)
    s_c = 1 + 0.045 * c
    s_h = 1 + 0.015 * c * t
    r_t = -2 * math.sqrt(c**7 / (c**7 + 25.0**7)) * _sin(60 * math.exp(-(((hue - 275) / 25) ** 2)))
    x, y, z = d_l / s_l, d_c / s_c, d_h / s_h
    return math.sqrt(max(0.0, x * x + y * y + z * z + r_t * y * z))


def _root(t: float) -> float:
    return float(t ** (1 / 3)) if t > (6 / 29) ** 3 else t / (3 * (6 / 29) ** 2) + 4 / 29


def _hue(a: float, b: float) -> float:
    """Hue angle in degrees from 0 to 360; 0 for grey."""
    return math.degrees(math.atan2(b, a)) % 360 if a or b else 0.0


def _sin(degrees: float) -> float:
    return math.sin(math.radians(degrees))


def _cos(degrees: float) -> float:
    return math.cos(math.radians(degrees))
