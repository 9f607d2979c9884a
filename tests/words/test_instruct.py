"""The text itself: what a maker reads, row by row."""

from __future__ import annotations

import itertools

import pytest

from airweft.base.errors import BadInput
from airweft.records.design import Colour
from airweft.records.plan import Action
from airweft.words.instruct import instruct
from airweft.words.read_back import read_back, renumber
from tests.words.builder import Builder, sheet_in_pairs, tube_in_one

PALETTE = (Colour("R", "red", "#ff0000"), Colour("W", "white", "#ffffff"))


def told(plan, **options):
    """The instructions, proven to be enough to rebuild the plan."""
    instructions = instruct(plan, PALETTE, **options)
    steps = [(step.title, step.text) for step in instructions.steps]
    assert read_back(steps, instructions.balloons) == renumber(plan)
    return instructions


def texts(plan, **options):
    return [step.text for step in told(plan, **options).steps]


def test_a_sheet_in_pairs_reads_as_the_trade_says_it():
    # Row order: common practice, no source (the second and third balloon first, then a chain of two
    # on the border).
    steps = told(sheet_in_pairs(6, 6).plan()).steps
    assert [step.title for step in steps] == ["Row 1", "Rows 2 and 3"]
    assert steps[0].text == (
        "Tie R1 to R2, R3 to R4 and R5 to R6, nozzle to nozzle. "
        "One bubble each: lock R2 with R3 and R4 with R5. "
        "R1 two bubbles and R2 one bubble, lock together. "
        "One bubble each: lock R3 with R4. "
        "R5 one bubble and R6 two bubbles, lock together."
    )
    assert steps[1].text == "Repeat row 1 twice more. Tie off R1 to R6."
    assert steps[0].check == (
        "Check: 12 of 36 bubbles; 2 on each of R1 to R6; still hanging: R1 to R6; no loose twist."
    )
    assert steps[1].check == (
        "Check: 36 of 36 bubbles, 12 more each time; 6 on each of R1 to R6; "
        "no balloon left hanging; no loose twist."
    )


def test_rounds_fold_inside_a_row_and_between_rows():
    steps = told(tube_in_one(8, 5).plan()).steps
    assert steps[0].text == "Begin W1 alone. W1 eight bubbles, lock onto W1.0."
    assert steps[1].text == (
        "Eight times: W1 two bubbles, lock in turn onto W1.1, W1.2 … W1.8. "
        "W1 one bubble, lock onto W1.9."
    )
    assert steps[3].title == "Rows 4 and 5"
    assert steps[3].text == "Repeat row 3 twice more; each time count 17 further on W1."


@pytest.mark.parametrize("columns, rows", [(2, 2), (4, 8), (6, 24), (24, 6)])
def test_a_sheet_in_pairs_takes_two_steps_whatever_its_size(columns, rows):
    steps = told(sheet_in_pairs(columns, rows).plan()).steps
    assert len(steps) == (1 if rows == 2 else 2)
    assert steps[-1].last_row == rows // 2


def test_steps_cover_all_rows_actions_and_bubbles_once():
    plan = tube_in_one(6, 9).plan()
    steps = told(plan).steps
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))
    assert steps[0].first_row == 1 and steps[0].first_action == 0
    for one, other in itertools.pairwise(steps):
        assert other.first_row == one.last_row + 1
        assert other.first_action == one.last_action
    assert steps[-1].last_action == len(plan.actions)
    made = [bubble for step in steps for bubble in step.new_bubbles]
    assert sorted(made) == list(range(plan.net.bubble_count))
    for step in steps:
        assert len(step.row_texts) == len(step.row_checks) == step.last_row - step.first_row + 1
    assert steps[-1].check.split(";")[-1] == steps[-1].row_checks[-1].split(";")[-1]


def test_an_unusual_length_is_said_in_the_makers_unit():
    b = Builder()
    b.start("R1", "a")
    b.twist("R1", "b", "c", "d")
    b.twist("R1", "a", length=3175)
    b.lock("a")
    b.finish("R1")
    plan = b.plan()
    assert "R1 three bubbles, one bubble of 31.75 mm, lock onto R1.0." in texts(plan)[0]
    assert "R1 three bubbles, one bubble of 1 1/4 in, lock onto R1.0." in texts(plan, unit="in")[0]
    assert "A bubble is 2.5 cm long, unless the text names a length." in told(plan).how_to_read


def test_loops_and_free_bubbles_have_their_words():
    b = Builder()
    b.tie("R1", "W1", "a")
    b.twist("R1", "b")
    b.twist("W1", "b")
    b.lock("b")
    b.twist("R1", "b", length=2000)
    b.lock("b")
    b.twist("W1", "feeler", kind="free", hangs=True)
    b.finish("W1", "R1")
    plan = b.plan()
    assert texts(plan) == [
        "Tie R1 to W1, nozzle to nozzle. One bubble each: lock R1 with W1. "
        "R1 one loop, lock in place. W1 one free bubble. Tie off W1 and R1."
    ]
    instructions = told(plan)
    assert any("a loop is 2 cm long" in line for line in instructions.how_to_read)
    assert {"loop", "free bubble"} <= {word for word, _ in instructions.glossary}


def test_a_landing_without_a_lock_is_said():
    b = Builder()
    b.start("R1", "a")
    b.twist("R1", "b", "a")
    b.lock("a")
    b.twist("R1", "b", "c", "a")
    b.lock("a")
    b.finish("R1")
    assert texts(b.plan()) == [
        "Begin R1 alone. R1 two bubbles, lock onto R1.0; one bubble, to R1.1; two bubbles, "
        "lock onto R1.0. Tie off R1."
    ]


def test_a_lock_of_other_balloons_than_the_loose_ones_names_them():
    b = Builder()
    b.tie("R1", "W1", "a")
    b.twist("R1", "b")
    b.twist("W1", "b")
    b.lock("b")
    b.finish("R1", "W1")
    b.actions[3] = Action("lock", ("W1",), b.actions[3].joint, -1, 1)
    assert "R1 one bubble and W1 one bubble, lock together (locks W1)." in texts(b.plan())[0]


def test_codes_keep_their_own_letters():
    b = Builder()
    b.start("w1", "a")
    b.twist("w1", "b", "c", "a")
    b.lock("a")
    b.finish("w1")
    assert texts(b.plan()) == ["Begin w1 alone. w1 three bubbles, lock onto w1.0. Tie off w1."]


def test_the_check_comes_from_the_replay_that_is_handed_in():
    class Replayed:
        made = (0, 7, 7, 7, 7)
        loose = (0, 0, 0, 0, 3)

    b = Builder()
    b.start("R1", "a")
    b.twist("R1", "b", "a")
    b.lock("a")
    b.finish("R1")
    (step,) = instruct(b.plan(), PALETTE, counts=Replayed()).steps
    assert "7 of 2 bubbles" in step.check
    assert "three loose twists, hold on" in step.check


def test_titles_name_the_panels():
    b = Builder()
    b.start("R1", "a")
    b.twist("R1", "b", panel="front")
    b.twist("R1", "a", panel="top")
    b.lock("a")
    b.finish("R1")
    assert told(b.plan()).steps[0].title == "Row 1, front and top"


def test_named_joints_are_those_of_the_text():
    plan = tube_in_one(6, 3).plan()
    step = told(plan).steps[1]
    names = dict(step.named)
    assert list(names) == ["W1.1", "W1.2", "W1.3", "W1.4", "W1.5", "W1.6", "W1.7"]
    twists = [action.joint for action in plan.actions if action.do == "twist"]
    assert all(names[f"W1.{n}"] == twists[n - 1] for n in range(1, 8))


def test_row_numbers_with_gaps_are_counted_through():
    b = sheet_in_pairs(4, 6)
    b.actions = [Action(a.do, a.balloons, a.joint, a.bubble, a.row * 3) for a in b.actions]
    assert [step.title for step in told(b.plan()).steps] == ["Row 1", "Rows 2 and 3"]


def test_actions_that_do_not_hang_together_are_refused_with_their_place():
    b = Builder()
    b.start("R1", "a")
    b.twist("R1", "b", "a")
    b.lock("a")
    b.finish("R1")
    good = b.actions[1]
    b.actions[1] = Action("twist", ("R1",), 1, 1, 1)
    b.actions[2] = Action("twist", ("R1",), 7, 0, 1)
    with pytest.raises(BadInput) as error:
        instruct(b.plan(), PALETTE)
    assert error.value.findings[0].where == "action 2"
    assert error.value.findings[0].remedy
    b.actions[0] = good
    with pytest.raises(BadInput, match="before it is tied on"):
        instruct(b.plan(), PALETTE)


def test_nothing_is_said_about_what_the_plan_does_not_use():
    sheet = " ".join(told(sheet_in_pairs(4, 8).plan()).how_to_read)
    assert "semicolon" not in sheet and "in turn" not in sheet
    assert "R is red." in sheet and "white" not in sheet
    tube = " ".join(told(tube_in_one(6, 3).plan()).how_to_read)
    assert "in turn" in tube
