"""The colour names, against counts and values of the standard."""

from __future__ import annotations

import re

import pytest

from airweft.design.css import CSS_COLOURS


def test_there_are_148_names() -> None:
    """CSS Color Module Level 4: the 147 names of SVG 1.1 and rebeccapurple."""
    assert len(CSS_COLOURS) == 148
    assert all(re.fullmatch(r"[a-z]+", name) for name in CSS_COLOURS)
    assert all(re.fullmatch(r"#[0-9a-f]{6}", digits) for digits in CSS_COLOURS.values())


def test_the_sixteen_names_of_html_4() -> None:
    """HTML 4.01, section 6.5."""
    html = {
        "black": "000000", "silver": "c0c0c0", "gray": "808080", "white": "ffffff",
        "maroon": "800000", "red": "ff0000", "purple": "800080", "fuchsia": "ff00ff",
        "green": "008000", "lime": "00ff00", "olive": "808000", "yellow": "ffff00",
        "navy": "000080", "blue": "0000ff", "teal": "008080", "aqua": "00ffff",
    }  # fmt: skip
    assert {name: CSS_COLOURS[name] for name in html} == {n: f"#{d}" for n, d in html.items()}


@pytest.mark.parametrize("name", [name for name in CSS_COLOURS if "gray" in name])
def test_both_spellings_of_grey_are_one_colour(name: str) -> None:
    assert CSS_COLOURS[name] == CSS_COLOURS[name.replace("gray", "grey")]


def test_the_standard_aliases() -> None:
    assert CSS_COLOURS["aqua"] == CSS_COLOURS["cyan"]
    assert CSS_COLOURS["fuchsia"] == CSS_COLOURS["magenta"]
    assert CSS_COLOURS["rebeccapurple"] == "#663399"
    assert len(set(CSS_COLOURS.values())) == 148 - 7 - 2
