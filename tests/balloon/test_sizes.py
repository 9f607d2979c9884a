"""Size codes and the shipped budgets, against the figures of the trade."""

from __future__ import annotations

import pytest

from airweft.balloon.sizes import (
    FIGURES,
    SIZES,
    NotASize,
    bubbles_per_balloon,
    read_size_code,
    smallest_comfortable,
)

INCH = 2540


@pytest.mark.parametrize(
    ("code", "diameter", "length"),
    # 260: Demaine, Demaine and Hart, CCCG 2008, section 2. The others: common practice, no source.
    [("260", 2, 60), ("160", 1, 60), ("350", 3, 50), ("360", 3, 60), ("646", 6, 46)],
)
def test_a_code_says_diameter_and_length_in_inches(code: str, diameter: int, length: int) -> None:
    read = read_size_code(code)
    assert (read.diameter, read.length) == (diameter * INCH, length * INCH)


def test_nominal_260_in_millimetres() -> None:
    read = read_size_code(" 260 ")
    assert (read.code, read.diameter, read.length) == ("260", 5080, 152400)


@pytest.mark.parametrize(
    "code", ["", "26", "2600", "12606", "060", "200", "205", "2x0", "²60", "٢٦٠", "260Q", "2-60"]
)
def test_bad_codes_are_refused_with_the_rule(code: str) -> None:
    with pytest.raises(NotASize) as caught:
        read_size_code(code)
    assert "three digits" in caught.value.remedy
    assert code in caught.value.message


def test_the_shipped_sizes_say_that_they_are_assumptions() -> None:
    assert list(SIZES) == ["160", "260", "350", "646"]
    for code, size in SIZES.items():
        assert size.code.code == code
        assert size.budget.full == size.code.length
        assert "assumption" in size.note
        assert "measure your own" in size.note
        assert all(getattr(size.budget, figure) > 0 for figure in FIGURES)


def test_260_in_millimetres() -> None:
    budget = SIZES["260"].budget
    figures = [getattr(budget, figure) / 100 for figure in FIGURES]
    assert figures == [270, 1524, 15, 30, 14, 14]


@pytest.mark.parametrize("bubble", [2500, 2540])
def test_common_practice_for_260(bubble: int) -> None:
    """A 7 in tail gives 18 bubbles of 1 in; a free tail 36 (common practice, no source)."""
    budget = SIZES["260"].budget
    assert bubbles_per_balloon(budget, bubble, step=500, tail=17780) >= 18
    assert bubbles_per_balloon(budget, bubble, step=500, tail=None) >= 36
    assert bubbles_per_balloon(budget, bubble, step=635, tail=None) >= 36


@pytest.mark.parametrize("code", list(SIZES))
def test_capacity_agrees_with_m4_written_out_in_fractions(code: str) -> None:
    """The combined condition of M4 in millimetres, by hand and without rounding of the tail."""
    budget = SIZES[code].budget
    bubble = smallest_comfortable(SIZES[code].code)
    each = bubble + budget.twist_takes
    most = (budget.full - budget.stub - budget.knot) // each
    assert most - 1 <= bubbles_per_balloon(budget, bubble, step=500, tail=None) <= most


def test_a_balloon_too_short_for_one_bubble_makes_none() -> None:
    assert bubbles_per_balloon(SIZES["260"].budget, 160_000, step=500, tail=None) == 0


def test_25_mm_is_comfortable_in_a_260_and_20_mm_is_not() -> None:
    least = smallest_comfortable(read_size_code("260"))
    assert 2000 < least <= 2500
    assert smallest_comfortable(read_size_code("160")) == least // 2
