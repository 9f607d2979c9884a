"""Plans of bubble fabric: the numbers of common practice (no source), and the rules of making."""

from __future__ import annotations

from dataclasses import replace

import pytest

from airweft.base.errors import CannotMake
from airweft.check.replay import replay
from airweft.plan.make import compare, make_plan
from airweft.records.arrays import whole
from airweft.records.design import Blocks, Box, Sheet, Tube
from airweft.words.instruct import instruct
from tests.plan.nets import chance, checks, columns, design, fabric, frame, panels, rows

CUBE = Box(across=6, deep=6, high=6)


@pytest.mark.parametrize(
    ("style", "most", "balloons"),
    [
        ("pairs", 12, 18),
        ("rounds", 12, 18),
        ("pairs", 18, 12),
        ("rounds", 18, 12),
        ("rounds", 36, 6),
        ("pairs", 36, 12),  # no straight strip of the cube is longer than twelve cells
    ],
)
def test_the_cube_of_common_practice(style, most, balloons):
    plan = make_plan(design(most=most), fabric(CUBE), style=style)
    assert len(plan.balloons) == balloons
    assert plan.bound.balloons == -(-216 // most)
    assert plan.bound.proven == (balloons == plan.bound.balloons)
    counted = replay(plan)
    assert counted.findings == ()
    assert counted.peak_loose <= 3


def test_the_cube_in_pairs_is_few_lines():
    plan = make_plan(design(most=12), fabric(CUBE), style="pairs")
    counted = replay(plan)
    assert len(instruct(plan, (), counts=counted).steps) <= 25


def test_rows_of_common_practice():
    """Second and third balloon first, then a chain of two on the border (no source)."""
    plan = make_plan(design(), fabric(Sheet(columns=6, rows=8)), style="pairs")
    told: dict[int, list[tuple[str, tuple[str, ...]]]] = {}
    for action in plan.actions:
        told.setdefault(action.row, []).append((action.do, action.balloons))
    assert [do for do, _ in told[1]] == ["tie"] * 3
    left, right = [pair for _, pair in told[1]][:2]
    assert told[2][:3] == [
        ("twist", (left[1],)),
        ("twist", (right[0],)),
        ("lock", (left[1], right[0])),
    ]
    assert told[3][:4] == [
        ("twist", (left[0],)),
        ("twist", (left[0],)),
        ("twist", (left[1],)),
        ("lock", (left[0], left[1])),
    ]


FORMS = [
    Box(across=4, deep=2, high=4, open=("top",)),
    Box(across=2, deep=2, high=2),
    Sheet(columns=6, rows=6),
    Sheet(columns=2, rows=2),
    Tube(around=8, rows=4),
    Tube(around=4, rows=2),
    Blocks(cell=2, layers=(("##", "#."), ("#.", ".."))),
]
COLOURINGS = {
    "plain": None,
    "columns": columns("RRW"),
    "rows": rows("RW"),
    "checks": checks("RRWW"),
    "panels": panels,
    "chance": chance(3, seed=5),
}


@pytest.mark.parametrize("colouring", COLOURINGS)
@pytest.mark.parametrize("form", FORMS, ids=lambda form: str(form))
def test_every_style_keeps_the_rules_or_says_why_not(form, colouring):
    net = fabric(form, COLOURINGS[colouring])
    answers = compare(design(most=14), net)
    assert any(answer.plan for answer in answers)
    for answer in answers:
        if answer.plan is None:
            assert answer.findings and all(f.remedy and f.where for f in answer.findings)
            continue
        counted = replay(answer.plan)
        assert counted.findings == ()
        assert counted.peak_loose == answer.plan.claims.peak_loose <= 4
        assert len(answer.plan.balloons) >= answer.plan.bound.balloons


@pytest.mark.parametrize("form", FORMS, ids=lambda form: str(form))
def test_plain_fabric_needs_no_more_balloons_than_its_length(form):
    """Every joint of fabric is even: one trail could make it (Euler), cut where balloons end."""
    for most in (5, 12, 30):
        plan = make_plan(design(most=most), fabric(form), style="rounds")
        assert len(plan.balloons) == -(-plan.net.bubble_count // most)
        assert plan.bound.proven


@pytest.mark.parametrize(
    ("form", "colouring", "balloons"),
    [
        (Tube(around=12, rows=10), checks("RW"), 12),  # diagonals: the balloons of a pair cross
        (Sheet(columns=12, rows=20), checks("RW"), 32),
        (Sheet(columns=12, rows=20), columns("RRW"), 12),  # upright: they bounce
    ],
)
def test_pairs_bounce_and_cross_as_the_colours_want(form, colouring, balloons):
    plan = make_plan(design(), fabric(form, colouring), style="pairs")
    assert replay(plan).findings == ()
    assert len(plan.balloons) == balloons == plan.bound.balloons


def test_a_net_with_a_ring_of_three_never_needs_more_than_three_loose_twists():
    for form in (CUBE, Box(across=8, deep=4, high=10), Blocks(cell=4, layers=(("##", "#."),))):
        assert make_plan(design(), fabric(form), style="rounds").claims.peak_loose == 3


@pytest.mark.parametrize("style", ["pairs", "rounds"])
def test_extra_bubbles_along_seams(style):
    form = Box(across=6, deep=4, high=4, open=("top",), seams="extra")
    plan = make_plan(design(), fabric(form, panels, loops=True), style=style)
    counted = replay(plan)
    assert counted.findings == ()
    assert counted.peak_loose <= 4
    assert "loop" in plan.net.kinds


@pytest.mark.parametrize("hands", [1, 2, 3])
def test_fewer_hands_are_kept_at_the_price_of_balloons(hands):
    net = fabric(Sheet(columns=4, rows=4))
    plan = make_plan(design(hands=hands), net)
    assert replay(plan).findings == ()
    assert plan.claims.peak_loose <= hands
    assert len(plan.balloons) >= len(make_plan(design(), net).balloons)


def test_a_ring_of_seven_needs_a_second_balloon_and_says_why():
    """One balloon alone would hold seven loose twists; two are the fewest, and proven."""
    plan = make_plan(design(), frame([(i, (i + 1) % 7) for i in range(7)]))
    assert len(plan.balloons) == plan.bound.balloons == 2
    assert plan.bound.proven
    assert "7 loose twists" in plan.bound.reason
    alone = make_plan(design(hands=7), frame([(i, (i + 1) % 7) for i in range(7)]))
    assert len(alone.balloons) == 1


def test_a_bubble_longer_than_a_balloon_is_refused_with_its_place():
    net = fabric(Sheet(columns=2, rows=2))
    with pytest.raises(CannotMake) as refusal:
        make_plan(design(), replace(net, lengths=whole([2500, 200_000, 2500, 2500])))
    finding = refusal.value.findings[0]
    assert finding.code == "plan-bubble-too-long"
    assert finding.bubbles == (1,)


def test_same_seed_same_plan():
    net = fabric(Box(across=4, deep=4, high=4), chance(3, seed=1))
    first, second = (make_plan(design(), net, style="rounds", seed=7) for _ in range(2))
    assert first.actions == second.actions
    assert first.balloons == second.balloons
