"""Real plans of every style: the text rebuilds them, and the trade's box stays under its lines."""

from __future__ import annotations

from pathlib import Path

import pytest

from airweft.balloon.sizes import SIZES
from airweft.base.errors import CannotMake
from airweft.check.replay import replay
from airweft.colour.paint import paint
from airweft.net.fabric import weave
from airweft.net.frame import frame
from airweft.net.seams import add_loops
from airweft.plan.make import make_plan
from airweft.records.design import Blocks, Box, Colour, Design, Pattern, Sheet, Tube
from airweft.surface.build import build
from airweft.words.instruct import instruct
from airweft.words.read_back import read_back, renumber
from tests.solids import SOLIDS, solid_mesh

PALETTE = (
    Colour("R", "red", "#ff0000"),
    Colour("W", "white", "#ffffff"),
    Colour("N", "navy", "#000080"),
)
PLAIN = Pattern(kind="plain", repeat="R")


def design(form, pattern=PLAIN, most=None):
    size = SIZES["260"]
    return Design(
        name="Harbour lantern",
        units="cm",
        size="260",
        bubble=2500,
        hands=4,
        most_bubbles=most,
        tail=None,
        tail_step=500,
        budget=size.budget,
        assumed=(),
        form=form,
        palette=PALETTE,
        pattern=pattern,
    )


def planned(form, style, *, pattern=PLAIN, most=None, loops=False, mesh=None):
    it = design(form, pattern, most)
    if mesh is not None:
        net = frame(mesh, size="260", bubble=2500)
    else:
        net = weave(build(form, bubble=2500), bubble=2500, size="260")
    if loops:
        net = add_loops(net)
    return make_plan(it, paint(net, it.pattern, it.palette), style=style)


def comes_back(plan):
    instructions = instruct(plan, PALETTE, counts=replay(plan))
    steps = [(step.title, step.text) for step in instructions.steps]
    assert read_back(steps, instructions.balloons) == renumber(plan)
    return instructions


@pytest.mark.parametrize("most, balloons", [(12, 18), (18, 12)])
def test_the_box_in_pairs_takes_at_most_25_lines(most, balloons):
    plan = planned(Box(across=6, deep=6, high=6), "pairs", most=most)
    instructions = comes_back(plan)
    assert len(plan.balloons) == balloons  # common practice, no source
    assert len(instructions.steps) <= 25
    last = instructions.steps[-1].check
    assert last.startswith("Check: 216 of 216 bubbles")
    assert "no balloon left hanging; no loose twist" in last


def test_the_example_of_the_document_is_what_is_printed():
    page = (Path(__file__).parents[2] / "docs" / "words.md").read_text(encoding="utf-8")
    printed = " ".join(page.replace("\n>", " ").replace("*", "").split())
    steps = comes_back(planned(Sheet(columns=6, rows=6), "pairs")).steps
    for step in steps:
        assert f"{step.title}: {step.text}" in printed
    assert steps[2].check in printed


def test_nobody_is_sent_from_one_repeat_to_the_next():
    plan = planned(Box(across=6, deep=6, high=6), "pairs", most=12)
    in_full = set()
    for step in comes_back(plan).steps:
        if "Work as in row" in step.text:
            named = step.text.split("Work as in row")[1].replace("s ", " ").split()[0]
            assert int(named.strip(",.;")) in in_full
        elif step.first_row == step.last_row and "Repeat" not in step.text:
            in_full.add(step.first_row)


FORMS = [
    Sheet(columns=4, rows=6),
    Tube(around=6, rows=4),
    Box(across=4, deep=2, high=4),
    Box(across=4, deep=4, high=2, open=("top",)),
    Blocks(cell=2, layers=(("##", "#."), ("#.", ".."))),
]
PATTERNS = [
    PLAIN,
    Pattern(kind="columns", repeat="RW"),
    Pattern(kind="rows", repeat="RWN"),
    Pattern(kind="checks", repeat="RW"),
]


@pytest.mark.parametrize("pattern", PATTERNS, ids=lambda p: p.kind)
@pytest.mark.parametrize("form", FORMS, ids=lambda f: type(f).__name__)
def test_every_style_of_every_pattern_comes_back(form, pattern):
    for style in ("pairs", "rounds"):
        for most in (12, None):
            try:
                plan = planned(form, style, pattern=pattern, most=most)
            except CannotMake:  # the style does not apply
                continue
            comes_back(plan)


@pytest.mark.parametrize("open_sides", [(), ("top",)])
def test_extra_bubbles_come_back(open_sides):
    form = Box(across=4, deep=4, high=4, open=open_sides, seams="extra")
    for style in ("pairs", "rounds"):
        try:
            plan = planned(form, style, loops=True)
        except CannotMake:
            continue
        assert any("loop" in step.text for step in comes_back(plan).steps)


@pytest.mark.parametrize("name", SOLIDS)
def test_frames_with_odd_joints_come_back(name):
    comes_back(planned(None, "rounds", mesh=solid_mesh(SOLIDS[name])))
