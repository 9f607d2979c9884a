"""The canonical writing: reads back the same, and gives the same fingerprint however written."""

from __future__ import annotations

import hashlib
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import tomlkit
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from airweft.base.errors import CannotMake
from airweft.design.canonical import fingerprint, write_design
from airweft.design.forms import EMPTY_NET
from airweft.design.read import design_from_text, read_design
from airweft.design.starters import STARTERS
from airweft.records.arrays import pairs, points, whole
from airweft.records.design import Box, Design, NetFile
from airweft.records.net import Net
from tests.design.strategies import designs

SAMPLES = Path(__file__).parent / "samples"
EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


@settings(max_examples=80, deadline=None)
@given(designs())
def test_reading_the_canonical_writing_gives_the_same_design(design: Design) -> None:
    text = write_design(design)
    try:
        back = design_from_text(text)
    except CannotMake as error:  # a bubble that does not fit, or sides that fall apart
        codes = {finding.code for finding in error.findings}
        assert codes <= {
            "bubble-too-long", "tail-leaves-no-bubble", "separate-parts", "tail-too-long",
        }  # fmt: skip
        assume(False)
    assert back == replace(design, fingerprint=back.fingerprint)
    assert write_design(back) == text
    assert back.fingerprint == fingerprint(design) == hashlib.sha256(text.encode()).hexdigest()


def _shuffled(text: str, seed: int) -> str:
    """The same TOML data with its keys in another order, other spacing, and remarks."""
    random = np.random.default_rng(seed)

    data = tomlkit.parse(text).unwrap()
    order = sorted(data, key=lambda k: (isinstance(data[k], dict), random.random()))
    again = tomlkit.dumps({key: _mixed(data[key], random) for key in order})
    return re.sub(r"(?m)^(\w+) = ", r"\1   =  ", again) + "\n# the end\n"


def _mixed(value: object, random: np.random.Generator) -> object:
    if not isinstance(value, dict):
        return value
    keys = sorted(value, key=lambda k: (isinstance(value[k], dict), random.random()))
    return {key: _mixed(value[key], random) for key in keys}


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
@settings(max_examples=8, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_remarks_spacing_and_order_leave_no_trace(path: Path, seed: int) -> None:
    text = path.read_text(encoding="utf-8")
    assert design_from_text(_shuffled(text, seed)) == design_from_text(text)


def test_lengths_in_other_units_leave_no_trace() -> None:
    text = STARTERS["box"]
    other = text.replace("bubble = 2.5 ", 'bubble = "25 mm" ')
    assert other != text
    assert design_from_text(other).fingerprint == design_from_text(text).fingerprint


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("across = 6", "across = 8"),
        ('"Bait box"', '"Bait tub"'),
        ('units   = "cm"', 'units   = "mm"'),
        ("bubble = 2.5", 'bubble = "26 mm"'),
        ('# placed = "hanging" ', 'placed = "hanging" '),
        ("# hands        = 4 ", "hands = 3 "),
        ("# most_bubbles = 12", "most_bubbles = 12"),
        ('"teal"', '"#008081"'),
        ('front = "Y"', 'front = "T"'),
        ('seams  = "plain"', 'seams  = "extra"'),
    ],
)
def test_every_decision_shows_in_the_fingerprint(before: str, after: str) -> None:
    text = STARTERS["box"]
    assert before in text
    changed = text.replace(before, after).replace("= 2.5 ", '= "25 mm" ')
    assert design_from_text(changed).fingerprint != design_from_text(text).fingerprint


def test_a_sample_of_version_1_stays_readable() -> None:
    design = read_design(SAMPLES / "version-1.toml")
    assert isinstance(design.form, Box)
    assert (design.bubble, design.tail, design.tail_step) == (2858, 8890, 318)
    assert design.assumed == ("full", "knot", "twist_takes", "twist_pushes")
    assert design.palette[0].name == "dark red"
    assert design.pattern.panels == {
        "bottom": "W", "front": "1", "right": "W", "back": "W",
    }  # fmt: skip
    assert design.pattern.bubbles["front 3.4"] == "k"
    assert design.notes.startswith("First line.\n\nThird")
    canonical = (SAMPLES / "version-1.canonical.toml").read_text(encoding="utf-8")
    assert write_design(design) == canonical
    assert design_from_text(canonical) == design


PLAN = """
[plan]
style = "rounds"
[[plan.keep]]
before = ["T", "Y"]
[[plan.keep]]
trail = ["front 1.1", "front 2.1"]
"""


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ('style = "rounds"', 'style = "pairs"'),
        ('style = "rounds"', 'style = "rounds"\nstart = "front (1, 2)"'),
        ('style = "rounds"', 'style = "rounds"\nseed = 0'),
        ('style = "rounds"', 'style = "rounds"\ncrew = 2'),
        ('style = "rounds"', 'style = "rounds"\ninside = { what = "a bell", across = 3 }'),
        ('style = "rounds"', 'style = "rounds"\nweights = { balloons = 0 }'),
        ('["T", "Y"]', '["Y", "T"]'),
        ('["front 1.1", "front 2.1"]', '["front 2.1", "front 1.1"]'),
        ("trail", "panels"),
    ],
)
def test_every_choice_shows_in_the_fingerprint(before: str, after: str) -> None:
    text = STARTERS["box"]
    assert before in PLAN
    prints = [
        design_from_text(text + more).fingerprint
        for more in ("", PLAN, PLAN.replace(before, after))
    ]
    assert len(set(prints)) == 3


@pytest.mark.parametrize(
    "more",
    [
        '\n[plan]\nkeep=[{trail=["front 1.1","front 2.1"]},{before=["T","Y"]}]\nstyle="rounds"\n',
        PLAN + PLAN[PLAN.index("[[") :],
        PLAN + "[plan.weights] # none\n",
    ],
)
def test_order_and_repetition_of_choices_leave_no_trace(more: str) -> None:
    text = STARTERS["box"]
    assert design_from_text(text + more) == design_from_text(text + PLAN)


def test_an_empty_section_is_no_choice() -> None:
    """Designs of the first release keep their fingerprints."""
    text = STARTERS["box"]
    assert design_from_text(text + "\n[plan]\n") == design_from_text(text)
    assert "[plan" not in write_design(design_from_text(text))


def _net(length: int) -> Net:
    return replace(
        EMPTY_NET,
        joints=points([[0, 0, 0], [50, 0, 0]]),
        ends=pairs([[0, 1]]),
        lengths=whole([length]),
        colours=("R",),
        sizes=("",),
        kinds=("frame",),
        joint_names=("a", "b"),
        bubble_names=("1",),
        bubble_panels=("",),
        places=pairs([[-1, -1]]),
    )


def test_the_fingerprint_covers_the_net() -> None:
    text = STARTERS["net"]
    path = Path("x")
    one = design_from_text(text, folder=path, read_net=lambda _: _net(5000))
    same = design_from_text(text, folder=path, read_net=lambda _: _net(5000))
    other = design_from_text(text, folder=path, read_net=lambda _: _net(5001))
    assert isinstance(one.form, NetFile)
    assert one.form.net.sizes == ("260",)
    assert one.bubble == 5000
    assert one.fingerprint == same.fingerprint
    assert one.fingerprint != other.fingerprint
