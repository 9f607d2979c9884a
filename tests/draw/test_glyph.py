"""The stroke alphabet."""

from __future__ import annotations

import re
import string
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airweft.draw.glyph import LETTERS, can_write, strokes, text_path, text_width
from airweft.draw.numbers import attribute, num
from airweft.draw.paint import write

NEEDED = string.ascii_letters + string.digits + " .,:;-–+=×/()'’\"!?#%&°*_·"


def test_the_alphabet_has_what_marks_and_charts_need() -> None:
    assert can_write(NEEDED)
    assert can_write("Überzug für Größe, čeština, ñandú, ångström, Łódź"[:43])
    assert not can_write("漢")


def test_no_two_letters_look_the_same() -> None:
    drawn = [strokes(letter) for letter in string.ascii_letters + string.digits]
    assert len(set(drawn)) == len(drawn)


@pytest.mark.parametrize("letter", sorted(LETTERS))
def test_every_letter_keeps_to_its_box(letter: str) -> None:
    found = strokes(letter)
    assert found is not None
    width, moves = found
    assert moves[0][0] == "M"
    xs = [x for _, points in moves for x, _ in points]
    ys = [y for _, points in moves for _, y in points]
    assert min(xs) >= -0.7 and max(xs) <= width + 0.7
    assert min(ys) >= -1.1 and max(ys) <= 13.1


@pytest.mark.parametrize("letter", [*string.ascii_uppercase, *string.digits])
def test_capitals_and_figures_are_as_high_as_said(letter: str) -> None:
    numbers = re.findall(r"-?\d*\.?\d+", text_path(letter, 0, 10, 10))
    ys = [float(v) for v in numbers[1::2]]
    assert min(ys) == pytest.approx(0, abs=0.3)
    assert max(ys) == pytest.approx(10, abs=0.7)


def test_anchors() -> None:
    wide = text_width("MOOR", 8)
    starts = [
        float(re.match(r"M(-?[\d.]+)", text_path("MOOR", 100, 0, 8, anchor=a))[1])  # type: ignore[index]
        for a in ("start", "middle", "end")
    ]
    assert starts == pytest.approx([100, 100 - wide / 2, 100 - wide], abs=0.01)


def test_letters_that_are_missing_become_a_font_s_text() -> None:
    svg = write("漢 <b>", 0, 0, 8)
    assert ElementTree.fromstring(svg).text == "漢 <b>"
    assert write("  ", 0, 0, 8) == ""


@given(st.text(max_size=12))
def test_any_text_can_be_written(text: str) -> None:
    assert ElementTree.fromstring(f"<svg>{write(text, 1, 2, 8)}</svg>") is not None


@given(st.floats(-1e6, 1e6), st.integers(0, 4))
def test_numbers_are_short_and_right(value: float, digits: int) -> None:
    text = num(value, digits)
    assert abs(float(text) - value) <= 0.5 * 10**-digits + 1e-9
    assert "e" not in text and not text.startswith(("0.", "-0.")) and text != "-0"


def test_numbers() -> None:
    assert [num(v) for v in (0, -0.01, 0.5, -0.5, 12.0, 40, 100.04)] == [
        "0",
        "0",
        ".5",
        "-.5",
        "12",
        "40",
        "100",
    ]


def test_text_in_attributes_is_safe() -> None:
    assert attribute('<a href="x">&\x00\ud800') == "&lt;a href=&quot;x&quot;&gt;&amp;"
