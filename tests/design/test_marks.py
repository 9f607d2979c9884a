"""Another mark for a colour: everywhere, in nothing else, and only where it is free."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from airweft.base.errors import BadInput
from airweft.design.marks import why_no_mark, with_mark
from airweft.design.starters import STARTERS
from airweft.workshop.palette import why_no_other_mark
from airweft.workshop.reading import read_all

EXAMPLES = Path(__file__).parents[2] / "examples"
EVERYWHERE = """\
airweft = 1
name = "R is in the name, and in Red, and stays"
units = "cm"
[balloon]
size = "260"
bubble = 2.5
[form]
kind = "joined"
[[form.part]]
name = "R"
kind = "box"
across = 4
deep = 4
high = 4
open = ["top"]
pattern = { kind = "panels", front = "R", rest = 'W' }
[[form.part]]
name = "lid"
kind = "box"
across = 4
deep = 4
high = 2
open = ["bottom"]
on = "top of R"
  [form.part.pattern]
  kind = "columns"
  repeat = "R, W"          # R first
[colours]
W = "white"
"R" = { name = "Rust", colour = "#B7410E" }   # R for rust
[pattern]
kind = "hand"
base = { kind = "checks", repeat = "RW" }
[pattern.bubbles]
"R front 1.1" = "W"
"lid front 1.1" = "R"
[[plan.keep]]
before = ["W", "R"]
"""


def test_a_mark_is_changed_wherever_it_stands() -> None:
    new = with_mark(EVERYWHERE, "R", "Q")
    data = tomllib.loads(new)
    assert data["colours"] == {"W": "white", "Q": {"name": "Rust", "colour": "#B7410E"}}
    assert data["pattern"]["base"]["repeat"] == "QW"
    assert data["pattern"]["bubbles"] == {"R front 1.1": "W", "lid front 1.1": "Q"}
    assert [p["pattern"] for p in data["form"]["part"]] == [
        {"kind": "panels", "front": "Q", "rest": "W"},
        {"kind": "columns", "repeat": "Q, W"},
    ]
    assert data["plan"]["keep"] == [{"before": ["W", "Q"]}]
    assert data["name"] == tomllib.loads(EVERYWHERE)["name"]
    assert '"Q, W"          # R first' in new and "# R for rust" in new
    changed = [a for a, b in zip(EVERYWHERE.splitlines(), new.splitlines(), strict=True) if a != b]
    assert len(changed) == 6
    assert with_mark(new, "Q", "R") == EVERYWHERE.replace('"R" =', "R =")


CHART = """\
airweft = 1
name = "Chart"
units = "cm"
colours = { R = "red", W = "white" }
[balloon]
size = "260"
bubble = 2.5
[form]
kind = "sheet"
columns = 4
rows = 2
[pattern]
kind = "hand"
base = { kind = "plain", colour = "W" }
[pattern.charts]
sheet = \"\"\"
.RR.
WRRW
\"\"\"
"""


def test_charts_keep_their_look() -> None:
    new = with_mark(CHART, "R", "7")
    assert '"""\n.77.\nW77W\n"""' in new and 'colours = { 7 = "red"' in new


@pytest.mark.parametrize("text", [
    'colours.R = "red"\npattern.repeat = "R"\n',
    '[colours.R]\nname = "a"\ncolour = "red"\n[pattern]\nrepeat = "\\u0052W"\n',
])  # fmt: skip
def test_however_it_is_written(text: str) -> None:
    data = tomllib.loads(with_mark(text, "R", "Q"))
    assert list(data["colours"]) == ["Q"]
    assert data["pattern"]["repeat"].startswith("Q")


WOVEN = [key for key in STARTERS if key not in ("net", "mesh")]  # these name files of the maker's


@pytest.mark.parametrize("key", [*WOVEN, *[p.stem for p in EXAMPLES.glob("*.toml")]])
def test_the_piece_is_painted_as_before(key: str) -> None:
    path = EXAMPLES / f"{key}.toml"
    text = STARTERS[key] if key in STARTERS else path.read_text(encoding="utf-8")
    before = read_all(text, name="x", folder=EXAMPLES)
    assert before.net is not None and before.design is not None
    for colour in before.design.palette:
        reason = why_no_other_mark(text, before.design, colour.mark, "8")
        if reason:
            assert "file" in reason  # a net's own file has the marks too
            continue
        after = read_all(with_mark(text, colour.mark, "8"), name="x", folder=EXAMPLES)
        assert after.net is not None, after.findings
        wanted = tuple("8" if mark == colour.mark else mark for mark in before.net.colours)
        assert after.net.colours == wanted
        assert with_mark(with_mark(text, colour.mark, "8"), "8", colour.mark) == text


@pytest.mark.parametrize(
    ("new", "said"),
    [
        ("W", "W is the mark of white already"),
        ("w", "W and w sound the same"),
        ("", "Nothing is no mark"),
        ("RR", "no mark for a colour"),
        ("ß", "no mark for a colour"),
        (" ", "no mark for a colour"),
    ],
)
def test_a_mark_that_cannot_be_had_is_refused_in_words(new: str, said: str) -> None:
    assert said in why_no_mark(EVERYWHERE, "R", new)
    with pytest.raises(BadInput):
        with_mark(EVERYWHERE, "R", new)


def test_a_mark_that_a_pattern_has_without_a_colour_is_not_mixed_up() -> None:
    text = EVERYWHERE.replace('repeat = "RW"', 'repeat = "RWX"')
    assert "X stands in a pattern already" in why_no_mark(text, "R", "X")


def test_a_colour_that_is_gone_is_said() -> None:
    assert "no colour Q any more" in why_no_mark(EVERYWHERE, "Q", "Z")
    assert why_no_mark("colours = 3", "R", "Q") != ""
    assert with_mark(EVERYWHERE, "R", "R") == EVERYWHERE
