"""Lengths as an input shows them: what is shown can be typed again and means the same."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airweft.base.other_unit import in_other_unit
from airweft.base.units import UNITS, Unit, read_length
from airweft.workshop.inputs import written_length
from airweft.workshop.shown_lengths import beyond, middle_of, shown_length, stepped_length


@pytest.mark.parametrize(
    ("value", "unit", "shown", "also"),
    [
        (2.5, "cm", "2.5", ""),
        (None, "cm", "", ""),
        ("2,5 cm", "cm", "2,5", ""),
        ("1 1/4 in", "in", "1 1/4", ""),
        ('7"', "in", "7", ""),
        ("7 in", "cm", "7 in", "about 17.78 cm"),
        ("-4 cm", "in", "-4 cm", "about -1 9/16 in"),
        ("1,000", "cm", "1,000", ""),
        ("12 parsecs", "cm", "12 parsecs", ""),
    ],
)
def test_a_length_is_shown_beside_its_unit(
    value: object, unit: Unit, shown: str, also: str
) -> None:
    assert shown_length(value, unit) == (shown, also)


@pytest.mark.parametrize(
    ("said", "way", "unit", "then"),
    [
        ("18", 1, "cm", "19"),
        ("18,5", 1, "cm", "19.5"),
        ("3.175", -1, "cm", "3"),
        ("1", -1, "cm", "1"),
        ("1 1/4", 1, "in", "1 3/4"),
        ("4 cm", 1, "in", "2"),
        ("4 cm", -1, "in", "1 1/2"),
        ("", 1, "cm", ""),
        ("x", 1, "cm", "x"),
    ],
)
def test_a_step_up_or_down(said: str, way: int, unit: Unit, then: str) -> None:
    assert stepped_length(said, way, unit) == then


@given(st.integers(100, 99_999), st.sampled_from(UNITS), st.sampled_from(UNITS))
def test_what_is_shown_is_what_the_design_has(length: int, before: Unit, now: Unit) -> None:
    value = in_other_unit(length / 100, before, now)
    shown, _ = shown_length(value, now)
    # Three decimals after a whole number may be taken for thousands, and are not asked for again.
    if not (isinstance(value, float) and len(shown.partition(".")[2]) == 3):
        assert read_length(written_length(shown, now), now) == read_length(value, now)


@given(st.integers(1, 9_999), st.sampled_from(UNITS), st.sampled_from((1, -1)))
def test_every_step_can_be_taken(tenths: int, unit: Unit, way: int) -> None:
    here = f"{tenths / 10:g}"
    there = read_length(stepped_length(here, way, unit, fine=True), unit)
    assert (there - read_length(here, unit)) * way > 0 or way < 0


def test_points_between_and_beyond() -> None:
    assert middle_of(0, 25, "cm") == 12.5
    assert middle_of("1 1/4 in", 2, "in") == "1 5/8 in"
    assert middle_of("x", 2, "in") == "x"
    assert beyond(3, "cm") == 13
    assert beyond([], "cm") == []
