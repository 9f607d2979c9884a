"""Latex and air in a piece. Wall and stretch are assumptions, from memory: weigh your own balloons.

Density of natural rubber 930 kg/m3: Thermopedia, "Natural rubber" (specific gravity 0.93).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from airweft.records.budget import Budget
from airweft.records.net import Net
from airweft.records.shape import Weight

DENSITY_G_MM3 = 930e-6
WALL_MM = 0.22
"""Wall of an empty balloon: assumption, from memory."""
STRETCH_AROUND = 4.6
"""How much thicker a balloon is inflated than empty: assumption, from memory; it makes an empty
260 11 mm thick and 1.9 g heavy."""
PUMP_LITRES = 0.3
"""Air that one full stroke of a hand pump moves: assumption, from memory."""


def balloon_grams(diameter_mm: float, flat_mm: float) -> float:
    """Latex in one balloon, a tube of this inflated diameter and empty length.

    >>> round(balloon_grams(50.8, 270), 1)
    1.9
    """
    empty = max(0.0, diameter_mm) / STRETCH_AROUND
    return math.pi * empty * WALL_MM * max(0.0, flat_mm) * DENSITY_G_MM3


def weigh(
    net: Net,
    budgets: Mapping[str, Budget],
    diameters_mm: Mapping[str, float],
    *,
    balloons: Sequence[str] | None = None,
    pump_litres: float = PUMP_LITRES,
) -> Weight:
    """What `net` weighs and holds, by the budget and inflated diameter of each balloon size.

    A bubble takes its length and its twist's from the inflated body, latex in proportion, and air
    as a cylinder of that length. Bubbles of sizes without a budget or a diameter are left out.
    `balloons` are the sizes of all balloons that are used up, for `balloons_g`; then strokes are
    not less than one for each.
    """
    latex = air = 0.0
    for size, length in zip(net.sizes, net.lengths.tolist(), strict=True):
        budget, broad = budgets.get(size), diameters_mm.get(size)
        if budget is None or broad is None or budget.full <= 0:
            continue
        body = (length + budget.twist_takes) / budget.full
        latex += body * balloon_grams(broad, budget.flat / 100)
        held = length + budget.twist_takes - budget.twist_pushes
        air += math.pi / 4 * broad**2 * held / 100 / 1e6
    strokes = math.ceil(round(air / pump_litres, 6))
    whole = None
    if balloons is not None:
        whole = sum(
            balloon_grams(diameters_mm[size], budgets[size].flat / 100)
            for size in balloons
            if size in budgets and size in diameters_mm
        )
        strokes = max(strokes, len(balloons))
    return Weight(latex_g=latex, air_l=air, strokes=strokes, balloons_g=whole)
