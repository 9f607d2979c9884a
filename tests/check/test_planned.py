"""The planner's own plans, in every style and on all kinds of nets, pass the checker."""

from __future__ import annotations

from functools import cache
from random import Random

import pytest

from airweft.base.errors import CannotMake
from airweft.check.replay import replay
from airweft.design.read import design_from_text
from airweft.plan.make import make_plan
from airweft.records.design import Design
from airweft.records.net import Net
from airweft.records.plan import Plan
from airweft.records.planfile import read_plan, write_plan
from airweft.workshop.shape import painted_net
from tests.check.random_plans import mutated
from tests.check.test_twin import agree

DESIGN = """airweft = 1
name = "Bollard"
units = "cm"
[balloon]
size = "260"
bubble = 2.5
{balloon}
[form]
{form}
[colours]
R = "red"
W = "white"
[pattern]
{pattern}
"""
PLAIN = 'kind = "plain"\ncolour = "R"'
COLUMNS = 'kind = "columns"\nrepeat = "RRW"'
CHECKS = 'kind = "checks"\nrepeat = "RW"'
BOX = 'kind = "box"\nacross = {}\ndeep = {}\nhigh = {}'
FORMS = {
    "smallest box": (BOX.format(2, 2, 2), PLAIN, ""),
    "box capped at 12": (BOX.format(6, 6, 6), PLAIN, "most_bubbles = 12"),
    "box capped at 36": (BOX.format(6, 6, 6), PLAIN, "most_bubbles = 36"),
    "open box with extra bubbles": (
        BOX.format(4, 4, 4) + '\nopen = ["top"]\nseams = "extra"',
        PLAIN,
        "",
    ),
    "striped box": (BOX.format(6, 6, 4), COLUMNS, ""),
    "chequered box": (BOX.format(4, 4, 4), CHECKS, ""),
    "sheet": ('kind = "sheet"\ncolumns = 8\nrows = 8', COLUMNS, ""),
    "tube": ('kind = "tube"\naround = 10\nrows = 12', PLAIN, 'tail = "7 in"'),
    "blocks": ('kind = "blocks"\ncell = 2\nlayers = ["###\\n#..", "#..\\n..."]', PLAIN, ""),
}


@cache
def shape(name: str) -> tuple[Design, Net]:
    form, pattern, balloon = FORMS[name]
    design = design_from_text(DESIGN.format(form=form, pattern=pattern, balloon=balloon))
    return design, painted_net(design)


@cache
def planned(name: str, style: str) -> Plan | None:
    """The plan, or None where the style does not apply and says why."""
    design, net = shape(name)
    try:
        return make_plan(design, net, style=style)  # type: ignore[arg-type]
    except CannotMake as error:
        assert style != "rounds" and all(f.message and f.remedy for f in error.findings)
        return None


@pytest.mark.parametrize("style", ["rounds", "pairs"])
@pytest.mark.parametrize("name", FORMS)
def test_the_planners_plans_are_sound(name: str, style: str) -> None:
    plan = planned(name, style)
    if plan is None:
        pytest.skip("this style does not apply to this net")
    replayed = replay(plan)
    assert replayed.findings == ()
    assert replayed.peak_loose <= plan.hands
    assert replayed.made[-1] == plan.net.bubble_count
    rows = [action.row for action in plan.actions]
    assert rows[0] == 1 and rows == sorted(rows)


@pytest.mark.parametrize("style", ["rounds", "pairs"])
@pytest.mark.parametrize("name", FORMS)
def test_the_planners_plans_come_back_from_their_file(name: str, style: str) -> None:
    plan = planned(name, style)
    if plan is None:
        pytest.skip("this style does not apply to this net")
    text = write_plan(plan)
    again = read_plan(text)
    assert write_plan(again) == text
    assert again.actions == plan.actions and again.balloons == plan.balloons
    assert again.net.cells == plan.net.cells
    assert replay(again).sound


@pytest.mark.parametrize("name", ["smallest box", "open box with extra bubbles"])
def test_the_twin_agrees_on_the_planners_plans_with_one_change(name: str) -> None:
    random = Random(4)
    for style in ("rounds", "pairs"):
        plan = planned(name, style)
        if plan is not None:
            assert agree(plan)
            for _ in range(40 if plan.net.bubble_count < 50 else 4):
                agree(mutated(plan, random))
