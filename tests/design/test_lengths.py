"""Lengths in another unit: every one is found, and none becomes longer or shorter."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from itertools import permutations
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airweft.base.errors import BadInput
from airweft.base.other_unit import in_other_unit
from airweft.base.units import UNITS, NotALength, Unit, read_length
from airweft.design.canonical import write_design
from airweft.design.lengths import other_lengths, with_units
from airweft.design.read import design_from_text
from airweft.design.starters import STARTERS
from airweft.records.design import NetFile

EXAMPLES = Path(__file__).parents[2] / "examples"
ALL_LENGTHS = """\
airweft = 1
name  = "Every length there is"
units = "cm"   # stays a remark
[balloon]
size = "260"
bubble = 2.5
tail = "7 in"
tail_step = 0.635
[balloon.budget]
flat = 27
full = "152,4"
knot = 1.5
stub = "3 cm"
twist_takes = 1.4
twist_pushes = 1.4
[form]
kind = "joined"
[[form.part]]
name = "mast"
kind = "turned"
profile = [[14, 0], # the foot
  ["10 cm", 40.5], ["5 1/2", 60]]
at = [0, -2.5, "-1 1/2 in"]
[[form.part]]
name = "crown"
kind = "ball"
across = 20
bubble = 2
on = "top of mast"
shift = [0, 0, 1.25]
[[form.part]]
name = "belt"
kind = "ring"
across = 50
thick = 10
on = "top of crown"
[[form.part]]
name = "hat"
kind = "cone"
across = 20
high = "300 mm"
on = "top of belt"
[[form.part]]
name = "seal"
kind = "mesh"
file = "seal.obj"
height = 40
on = "top of hat"
[[form.part]]
name = "fish"
kind = "mesh"
file = "fish.obj"
width = 30
on = "top of seal"
[colours]
R = "red"
[pattern]
kind = "plain"
colour = "R"
[plan.inside]
what = "a small bell"
across = 3
"""


def meaning(text: str) -> str:
    """All that a design says, its lengths in hundredths of a millimetre, its unit left out."""
    design = design_from_text(text)
    said = "tail_step" in tomllib.loads(text)["balloon"]  # else it is what suits the unit
    return write_design(replace(design, units="mm", tail_step=design.tail_step if said else 500))


def texts() -> dict[str, str]:
    found = {path.stem: path.read_text(encoding="utf-8") for path in EXAMPLES.glob("*.toml")}
    return {"all": ALL_LENGTHS, **STARTERS, **{k: t for k, t in found.items() if "file" not in t}}


@pytest.mark.parametrize("name", texts())
@pytest.mark.parametrize("units", list(permutations(UNITS, 2)), ids=" to ".join)
def test_a_design_means_the_same_in_every_unit(name: str, units: tuple[Unit, Unit]) -> None:
    first = with_units(texts()[name], units[0])
    assert meaning(first) == meaning(texts()[name])
    second = with_units(first, units[1])
    assert tomllib.loads(second)["units"] == units[1]
    assert meaning(second) == meaning(first)


def test_what_no_unit_says_exactly_keeps_its_own() -> None:
    inches = with_units(ALL_LENGTHS, "in")
    data = tomllib.loads(inches)
    assert data["balloon"]["bubble"] == "2.5 cm"
    assert data["balloon"]["tail"] == 7
    assert data["balloon"]["tail_step"] == "1/4 in"
    assert data["balloon"]["budget"]["full"] == 60
    assert data["form"]["part"][0]["at"] == [0, "-2.5 cm", "-1 1/2 in"]
    assert "# the foot" in inches and "# stays a remark" in inches
    assert other_lengths(data) == 22
    assert other_lengths(tomllib.loads(ALL_LENGTHS)) == 3  # 7 in, -1 1/2 in, 300 mm


def test_there_and_back_is_the_same_text() -> None:
    for text in STARTERS.values():
        for unit in UNITS:
            assert with_units(with_units(text, unit), "cm") == text


def test_a_text_of_no_unit_gets_one() -> None:
    text = ALL_LENGTHS.replace('"cm"   # stays', '"ells" # stays')
    assert tomllib.loads(with_units(text, "in")) == {**tomllib.loads(text), "units": "in"}
    with pytest.raises(BadInput):
        with_units("units = ", "in")


def test_it_reads_what_cannot_be_read_as_it_is() -> None:
    text = ALL_LENGTHS.replace("bubble = 2.5", 'bubble = "1,000"')
    assert tomllib.loads(with_units(text, "mm"))["balloon"]["bubble"] == "1,000"


lengths = st.one_of(
    st.integers(0, 99_999),
    st.decimals(0, 9_999, places=3).map(float),
    st.floats(0.001, 9_999, allow_nan=False),
    st.builds("{} {}/{}".format, st.integers(1, 99), st.just(1), st.integers(2, 64)),
    st.builds("{},{:02} {}".format, st.integers(0, 99), st.integers(0, 99), st.sampled_from(UNITS)),
    st.builds('{}"'.format, st.integers(1, 99)),
)  # fmt: skip


@given(lengths, st.sampled_from(UNITS), st.sampled_from(UNITS))
def test_a_length_stays_as_long_as_it_was(value: object, before: Unit, now: Unit) -> None:
    new = in_other_unit(value, before, now)
    try:
        old = read_length(value, before, zero=True)
    except NotALength:
        return
    assert read_length(new, now, zero=True) == old


@pytest.mark.parametrize("value", [None, True, [1], {"a": 1}, "", "-", "a", float("nan"), "1,000"])
def test_what_is_no_length_stays_as_it_is(value: object) -> None:
    new = in_other_unit(value, "cm", "in")
    assert new is value or new == value


def test_a_net_has_no_lengths_to_change() -> None:
    """Its file tells them in millimetres."""
    assert NetFile.__slots__ == ("file", "net")
