"""Lengths as makers write them: read right, shown right, or refused with the reason."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airweft.base.units import (
    HUNDREDTHS,
    LONGEST,
    UNITS,
    NotALength,
    Unit,
    exact_length,
    read_length,
    show_length,
)

_unit = st.sampled_from(UNITS)
_length = st.integers(0, LONGEST)


@pytest.mark.parametrize(
    ("value", "unit", "length"),
    [
        (2.5, "cm", 2500),
        (25, "mm", 2500),
        (1, "in", 2540),
        ("2,5 cm", "in", 2500),
        ("2.5cm", "in", 2500),
        ("2,5", "cm", 2500),
        ("25 mm", "in", 2500),
        ("25 MM", "in", 2500),
        ("1 1/4 in", "cm", 3175),
        ("1-1/4 in", "cm", 3175),
        ("1¼ in", "cm", 3175),
        ("1 1⁄4\u00a0in", "cm", 3175),
        ("3/4 in", "cm", 1905),
        ("½ in", "cm", 1270),
        ("7 in", "cm", 17780),
        ('7"', "cm", 17780),
        ("7″", "cm", 17780),
        ("7''", "cm", 17780),
        ("7 inches", "cm", 17780),
        ("0,125 in", "cm", 318),  # a leading zero never stands before a mark for the thousands
        (".5 in", "cm", 1270),
        ("1234.5 mm", "cm", 123450),
        ("1/2 cm", "mm", 500),
        (0.1 + 0.2, "cm", 300),
        ("+3 cm", "cm", 3000),
    ],
)
def test_lengths_that_are_clear(value: object, unit: Unit, length: int) -> None:
    assert read_length(value, unit) == length


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize(
    ("value", "reason"),
    [
        ("1,000", "two ways"),
        ("1.000 cm", "two ways"),
        ("1.524 mm", "two ways"),  # thousands in half of Europe
        ("2,125 in", "two ways"),
        ("1.234,5", "more than one way"),
        ("1,234.5", "more than one way"),
        ("1'000 mm", "more than one way"),
        ("1 000 mm", "more than one way"),
        ("1_000 mm", "more than one way"),
        ("11/4 in", "slip"),
        ("4/4 in", "slip"),
        ("3/0 in", "divides by zero"),
        ("1/4/3 in", "fraction"),
        ("-3 cm", "below zero"),
        ("−3 cm", "below zero"),
        (-3, "below zero"),
        ("0 cm", "zero"),
        (0, "zero"),
        (0.0, "zero"),
        (math.nan, "not a length"),
        (math.inf, "not a length"),
        ("nan", "not a length"),
        ("inf cm", "not a length"),
        ("", "not a length"),
        ("cm", "not a length"),
        ("about 3 cm", "not a length"),
        ("٣ cm", "not a length"),
        ("5 ft", "feet"),
        ("5'", "feet"),
        ("1.5 m", "metres"),
        ("3 furlongs", "not a unit"),
        ("5 cm 3 mm", "not a unit"),
        ("1e3 cm", "not a unit"),
        ("200 000 000 cm", "more than one way"),
        ("99999999 in", "100 m"),
        (10**400, "100 m"),
        (1e-9, "hundredth"),
        ("9" * 70, "too long"),
        (True, "not a length"),
        (None, "not a length"),
        ([2.5], "not a length"),
        ({"cm": 2}, "not a length"),
    ],
)
def test_lengths_that_are_refused(value: object, reason: str, unit: Unit) -> None:
    with pytest.raises(NotALength) as caught:
        read_length(value, unit)
    assert reason in caught.value.message
    assert len(caught.value.remedy) > 10
    assert caught.value.message.endswith(".")


def test_zero_where_it_means_something() -> None:
    assert read_length(0, "cm", zero=True) == 0
    assert read_length("0 in", "cm", zero=True) == 0


def test_both_readings_of_an_unclear_number_are_named() -> None:
    with pytest.raises(NotALength) as caught:
        read_length("1,250 in", "cm")
    assert "1250" in caught.value.remedy
    assert "1.25" in caught.value.remedy


@pytest.mark.parametrize(
    ("length", "unit", "shown"),
    [
        (2500, "cm", "2.5 cm"),
        (2500, "mm", "25 mm"),
        (2540, "in", "1 in"),
        (3175, "in", "1 1/4 in"),
        (1905, "in", "3/4 in"),
        (17780, "in", "7 in"),
        (17780, "cm", "17.78 cm"),
        (152400, "cm", "152.4 cm"),
        (2500, "in", "1 in"),  # 25 mm is 63/64 in: nearest sixteenth is one inch
        (0, "in", "0 in"),
        (5, "mm", "0.1 mm"),
        (100000, "cm", "100 cm"),
    ],
)
def test_lengths_as_makers_say_them(length: int, unit: Unit, shown: str) -> None:
    assert show_length(length, unit) == shown


def test_coarser_fractions_and_the_decimal_comma() -> None:
    assert show_length(3334, "in", fraction=4) == "1 1/4 in"
    assert show_length(3334, "in", fraction=16) == "1 5/16 in"
    assert show_length(2500, "cm", comma=True) == "2,5 cm"


@settings(deadline=None)
@given(_length, _unit)
def test_what_is_written_exactly_reads_back_exactly(length: int, unit: Unit) -> None:
    assert read_length(exact_length(length, unit), unit, zero=True) == length


@settings(deadline=None)
@given(_length, _unit, st.sampled_from([2, 4, 8, 16, 32]), st.booleans())
def test_showing_is_stable_and_close(length: int, unit: Unit, fraction: int, comma: bool) -> None:
    shown = show_length(length, unit, fraction=fraction, comma=comma)
    try:
        back = read_length(shown, "mm", zero=True)
    except NotALength as error:
        assert "100 m" in error.message  # rounded up past the limit
        return
    step = Fraction(2540, fraction) if unit == "in" else Fraction(10)
    assert abs(back - length) <= step / 2 + 1
    assert show_length(back, unit, fraction=fraction, comma=comma) == shown


@settings(deadline=None)
@given(_length, st.permutations(UNITS))
def test_switching_units_and_back_changes_nothing(length: int, units: list[Unit]) -> None:
    text = exact_length(length, "mm")
    for unit in units:
        text = exact_length(read_length(text, "mm", zero=True), unit)
    assert read_length(text, "mm", zero=True) == length


@settings(deadline=None)
@given(st.integers(0, 999), st.integers(0, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_fractions_against_exact_arithmetic(whole: int, top: int, bottom: int) -> None:
    top %= bottom
    exact = (whole + Fraction(top, bottom)) * 2540
    rounded = math.floor(exact + Fraction(1, 2))
    assert read_length(f"{whole} {top}/{bottom} in", "cm", zero=True) == rounded


@settings(deadline=None)
@given(st.decimals(0, 90, places=2), _unit, st.sampled_from(".,"))
def test_decimals_against_decimal_arithmetic(amount: Decimal, unit: Unit, mark: str) -> None:
    text = str(amount).replace(".", mark)
    expected = math.floor(Fraction(amount) * HUNDREDTHS[unit] + Fraction(1, 2))
    assert read_length(f"{text} {unit}", "mm", zero=True) == expected


@settings(deadline=None)
@given(st.text(max_size=20) | st.floats() | st.integers() | st.booleans(), _unit)
def test_anything_else_is_a_length_or_refused(value: object, unit: Unit) -> None:
    try:
        length = read_length(value, unit)
    except NotALength as error:
        assert error.message
        assert error.remedy
        assert error.message.isprintable()
    else:
        assert 0 < length <= LONGEST


@settings(deadline=None)
@given(st.from_regex(r"[0-9 .,/'-]{1,12}( ?(mm|cm|in|\"))?", fullmatch=True))
def test_digits_are_never_read_with_their_marks_dropped(text: str) -> None:
    """The value is never 10 or 1000 times what a plain reading gives."""
    try:
        length = read_length(text, "cm", zero=True)
    except NotALength:
        return
    number = text.strip().rstrip("mcin\"' ")
    if "/" in number:  # fractions have a property of their own above
        return
    amount = Fraction(Decimal(number.replace(",", ".")))
    unit: Unit = "mm" if "mm" in text else "in" if "in" in text or text[-1] in "\"'" else "cm"
    assert length == math.floor(amount * HUNDREDTHS[unit] + Fraction(1, 2))
