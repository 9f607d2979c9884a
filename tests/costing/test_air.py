"""Air: the nominal cylinder against plain arithmetic."""

from __future__ import annotations

import pytest

from airweft.costing.air import litres, nominal, strokes
from airweft.records.budget import Budget


def full(size: str) -> Budget:
    inches = nominal(size)
    assert inches is not None
    length = round(inches[1] * 100)
    return Budget(flat=30000, full=length, knot=0, stub=0, twist_takes=0, twist_pushes=0)


# Pi/4 times the diameter squared times the length (arithmetic on the nominal sizes).
@pytest.mark.parametrize(
    ("size", "volume"), [("260", 3.09), ("160", 0.772), ("360", 6.95), ("646", 21.3)]
)
def test_full_nominal_volume(size: str, volume: float) -> None:
    assert litres(size, full(size), 0) == pytest.approx(volume, rel=2e-3)


def test_two_inch_and_sixty_inch() -> None:
    assert nominal("260") == (50.8, 1524.0)
    assert nominal("350") == (pytest.approx(76.2), 1270.0)


@pytest.mark.parametrize("code", ["", "26", "2600", "26o", "０60", "٢60", "200", "-60"])
def test_other_codes_say_nothing(code: str) -> None:
    assert nominal(code) is None


def test_air_falls_with_the_tail_and_ends_at_nothing() -> None:
    budget = full("260")
    half = litres("260", budget, 15000)
    whole = litres("260", budget, 0)
    assert half is not None and whole is not None and half == pytest.approx(whole / 2)
    assert litres("260", budget, 40000) == 0


def test_an_unknown_size_has_no_figure() -> None:
    assert litres("big", full("260"), 0) is None


def test_strokes_round_up() -> None:
    assert strokes(0.9, 0.3) == 3  # 0.9 / 0.3 is 3.0000000000000004 in floats
    assert strokes(0.91, 0.3) == 4
    assert strokes(0) == 0
