"""Gauges: what is to be measured is exact in millimetres."""

from __future__ import annotations

import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airweft.draw.gauge import ROOM, Gauge, Tail, bubble_gauge, check_squares, ruler, tail_gauge
from airweft.draw.raster import to_png

SVG = "{http://www.w3.org/2000/svg}"


def measured(gauge: Gauge) -> list[float]:
    """The exact lengths of a gauge, read from its drawing; checks that its units are mm."""
    root = ElementTree.fromstring(gauge.svg)
    box = [float(v) for v in root.get("viewBox", "").split()]
    assert box[:2] == [0, 0]
    assert root.get("width") == f"{box[2]:g}mm" and root.get("height") == f"{box[3]:g}mm"
    assert gauge.width_mm == pytest.approx(box[2], abs=1e-3)
    assert gauge.height_mm == pytest.approx(box[3], abs=1e-3)
    found = []
    for element in root.iter():
        if element.get("data-from") is not None:
            left, right = float(element.get("data-from", "")), float(element.get("data-to", ""))
            assert 0 <= left <= right <= box[2]
            assert right - left == pytest.approx(float(element.get("data-mm", "")), abs=2e-4)
            # The edges named are really in the path.
            numbers = {float(v) for v in re.findall(r"[\d.]+", element.get("d", ""))}
            assert right in numbers or any(abs(n - (right - left)) < 2e-4 for n in numbers)
            found.append(right - left)
    return found


@pytest.mark.parametrize("bubble", [100, 1500, 2500, 3175, 5080, 10000, 16000])
def test_the_slot_is_one_bubble_long(bubble: int) -> None:
    gauge = bubble_gauge(bubble, size="260", units="cm")
    assert measured(gauge) == [pytest.approx(bubble / 100, abs=2e-4)]
    slot = re.search(r"V[\d.]+H([\d.]+)V[\d.]+H([\d.]+)V", gauge.svg.replace("M", "V", 1))
    assert slot is None or float(slot[2]) - float(slot[1]) == pytest.approx(bubble / 100, abs=2e-4)


def test_seven_inches_fit_in_one_line() -> None:
    gauge = tail_gauge([Tail(text="R1 to R6", length=17780)], units="in")
    assert measured(gauge) == [pytest.approx(177.8)]
    assert "7 in" in gauge.alt
    # With 8 mm for the edges it lies inside A4 and Letter with margins of 1 cm.
    assert gauge.width_mm <= 190


@given(st.lists(st.integers(0, 90_000), min_size=1, max_size=5))
def test_tails_are_exact_and_long_ones_are_cut_into_lines(lengths: list[int]) -> None:
    gauge = tail_gauge([Tail(text="A1", length=n) for n in lengths], units="cm")
    parts = measured(gauge)
    assert sum(parts) == pytest.approx(sum(lengths) / 100, abs=2e-4 * len(parts))
    assert max(parts) <= ROOM + 1e-6
    assert gauge.width_mm <= ROOM + 8


def test_a_bubble_longer_than_the_paper() -> None:
    gauge = bubble_gauge(30_000, size="260", units="cm")
    assert measured(gauge) == [pytest.approx(180.0), pytest.approx(120.0)]


def test_check_squares() -> None:
    """50 mm and 2 in; an inch is 25.4 mm exactly (international inch, 1959)."""
    gauge = check_squares()
    root = ElementTree.fromstring(gauge.svg)
    squares = [r for r in root.iter(f"{SVG}rect") if r.get("data-mm")]
    sides = [(float(r.get("width", "")), float(r.get("height", ""))) for r in squares]
    assert sides == [(50.0, 50.0), (50.8, 50.8)]
    assert 2 * 25.4 == 50.8


@pytest.mark.parametrize(
    ("length", "units", "long"),
    [(15000, "cm", 150.0), (15240, "in", 152.4), (90000, "cm", 180.0), (90000, "in", 177.8)],
)
def test_rulers(length: int, units, long: float) -> None:  # type: ignore[no-untyped-def]
    gauge = ruler(length, units=units)
    assert measured(gauge) == [pytest.approx(long)]
    ticks = re.findall(r"M([\d.]+) 1v", gauge.svg)
    step = 10 / 10 if units == "cm" else 25.4 / 8
    gaps = [float(b) - float(a) for a, b in pairwise(ticks)]
    assert gaps == pytest.approx([step] * len(gaps), abs=3e-4)


def test_gauges_can_be_seen() -> None:
    for gauge in (
        bubble_gauge(2500, size="?", units="mm"),
        tail_gauge([], units="cm"),
        ruler(1, units="in"),
        check_squares(),
    ):
        assert to_png(gauge.svg).startswith(b"\x89PNG")
