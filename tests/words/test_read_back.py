"""The text alone is enough: it rebuilds the plan, and a text that cannot be followed says where."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airweft.base.errors import BadInput
from airweft.records.steps import BalloonLine
from airweft.words.instruct import instruct
from airweft.words.read_back import read_back, renumber
from tests.words.builder import sheet_in_pairs, tube_in_one
from tests.words.random_plans import random_plan

LIST = tuple(
    BalloonLine(code=f"R{n}", colour="R", size="260", tail=17500, bubble=2500, loop=2000)
    for n in range(1, 9)
)


def told(plan):
    instructions = instruct(plan, ())
    return [(step.title, step.text) for step in instructions.steps], instructions.balloons


@settings(max_examples=80, deadline=None)
@given(st.integers(0, 10**9), st.integers(1, 60))
def test_random_plans_come_back(seed, moves):
    plan = random_plan(seed, moves=moves).plan()
    assert read_back(*told(plan)) == renumber(plan)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**9))
def test_a_changed_number_is_refused_or_gives_another_plan(seed):
    plan = random_plan(seed, moves=12).plan()
    steps, balloons = told(plan)
    for i, (title, text) in enumerate(steps):
        for match in re.finditer(r"(?<=\.)\d+|\b(one|two|three) (?=bubble)", text):
            other = "9" if match[0].isdigit() else "four "
            if match[0] == other:
                continue
            changed = text[: match.start()] + other + text[match.end() :]
            try:
                got = read_back([*steps[:i], (title, changed), *steps[i + 1 :]], balloons)
            except BadInput as error:
                assert error.findings[0].message.startswith(f"In step {i + 1}") or (
                    error.findings[0].where.startswith("step ")
                )
            else:
                # A joint may have two names; the plan is the same only if they name one joint.
                assert got != renumber(plan) or match[0].isdigit()


def rebuilt(*texts: str, titles: tuple[str, ...] = (), count: int = 1):
    steps = [(titles[i] if titles else f"Row {i + 1}", text) for i, text in enumerate(texts)]
    return read_back(steps, LIST[:count])


def locks(made):
    return [action.joint for action in made.actions if action.do == "lock"]


RING = "Begin R1 alone. R1 four bubbles, lock onto R1.0."


def test_times_are_times_in_all_and_more_times_come_on_top():
    # The convention of printed instructions for crafts: "[...] 4 times" is four in all, "from * 4
    # more times" is five in all (Annie's, Understanding symbols).
    in_all = rebuilt(RING, "Four times: R1 two bubbles, lock onto R1.0. Tie off R1.")
    assert len(locks(in_all)) == 1 + 4
    more = rebuilt(
        RING,
        "R1 two bubbles, lock onto R1.0.",
        "Repeat row 2 four more times. Tie off R1.",
        titles=("Row 1", "Row 2", "Rows 3 to 6"),
    )
    assert len(locks(more)) == 1 + 5
    assert [a.row for a in more.actions][-1] == 6


def test_once_and_twice_more():
    for word, title, count in (("once", "Row 3", 2), ("twice", "Rows 3 and 4", 3)):
        made = rebuilt(
            RING,
            "R1 two bubbles, lock onto R1.1.",
            f"Repeat row 2 {word} more. Tie off R1.",
            titles=("Row 1", "Row 2", title),
        )
        assert len(locks(made)) == 1 + count


def test_names_count_on_each_time():
    made = rebuilt(
        "Begin R1 alone. R1 six bubbles, lock onto R1.0.",
        "R1 two bubbles, lock onto R1.1.",
        "Repeat row 2 four more times; each time count one further on R1. Tie off R1.",
        titles=("Row 1", "Row 2", "Rows 3 to 6"),
    )
    assert locks(made) == [0, 1, 2, 3, 4, 5]
    listed = rebuilt(
        "Begin R1 alone. R1 six bubbles, lock onto R1.0.",
        "Five times: R1 two bubbles, lock in turn onto R1.1, R1.2 … R1.5. Tie off R1.",
    )
    assert locks(listed) == locks(made)
    given = rebuilt(
        "Begin R1 alone. R1 six bubbles, lock onto R1.0.",
        "R1 two bubbles, lock onto R1.1.",
        "Repeat row 2 four more times, with R1.2, R1.3 … R1.5 in turn for R1.1. Tie off R1.",
        titles=("Row 1", "Row 2", "Rows 3 to 6"),
    )
    assert given == made
    back = rebuilt(
        "Begin R1 alone. R1 six bubbles, lock onto R1.0.",
        "R1 two bubbles, lock onto R1.5.",
        "Repeat row 2 four more times; each time count one back on R1. Tie off R1.",
        titles=("Row 1", "Row 2", "Rows 3 to 6"),
    )
    assert locks(back) == [0, 5, 4, 3, 2, 1]


def test_rows_worked_like_earlier_ones():
    made = rebuilt(
        "Tie R1 to R2, nozzle to nozzle. R1 two bubbles and R2 one bubble, lock together.",
        "R1 one bubble, lock onto R1.1. Tie off R1 and R2.",
        "Tie R3 to R4 at R1.1, nozzle to nozzle, and lock the knot on. "
        "Work as in rows 1 and 2, with R4 for R1 and R3 for R2. Tie off R3 and R4.",
        titles=("Row 1", "Row 2", "Rows 3 and 4"),
        count=4,
    )
    trails = {b.code: b.bubbles for b in made.balloons}
    assert [made.ends[i] for i in trails["R1"]] == [(0, 1), (1, 2), (2, 1)]
    assert [made.ends[i] for i in trails["R4"]] == [(1, 3), (3, 4), (4, 3)]
    assert [a.row for a in made.actions if a.do == "twist"][-4:] == [3, 3, 3, 4]


def test_lengths_come_from_the_list_unless_the_text_names_them():
    made = rebuilt(
        "Begin R1 alone. R1 one bubble, one bubble of 1 1/4 in, one loop, one bubble of 2.5 mm, "
        "lock onto R1.0. Tie off R1."
    )
    assert made.lengths == (2500, 3175, 2000, 250)
    assert made.made == ("bubble", "bubble", "loop", "bubble")


BROKEN = [
    ("R1 two bubbles, lock onto R1.0", "full stop"),
    ("R1 two bubbles, lock onto R1.9.", "R1.9"),
    ("R1 two bubbles, lock onto R7.0.", "R7.0"),
    ("R9 two bubbles, lock onto R1.0.", "R9"),
    ("R1 two bubble, lock onto R1.0.", "“bubbles” was expected"),
    ("R1 no bubbles, lock onto R1.0.", "“no”"),
    ("R1 two bubbles, hold onto R1.0.", "“,”"),
    ("R1 two bubbles, lock onto R1.0, R1.1.", "2 joints are listed for once"),
    ("Three times: R1 two bubbles, lock onto R1.0, R1.1.", "three times"),
    ("Four times: R1 two bubbles, lock onto R1.4, R1.2 … R1.1.", "does not go on"),
    ("R1 two bubbles, lock in place.", "in place"),
    ("R1 one loop, lock together.", "new joint"),
    ("R1 one bubble of 3 miles, lock onto R1.0.", "3"),
    ("Tie off R2.", "R2"),
    ("Tie off R1. R1 one bubble, lock onto R1.0.", "tied off already"),
    ("Begin R1 alone.", "tied on already"),
    ("Repeat row 2 once more.", "before they are repeated"),
    ("Repeat row 1 twice more.", "the title names 1 rows, the text tells 2"),
    ("R1 one bubble, lock onto R1.0. Repeat row 1 once more.", "beside a repeat"),
    ("Tie R1 with R2, nozzle to nozzle.", "“to” was expected"),
    ("One bubble each: lock R1 with R2 … R5 with R6.", "dots"),
    ("Repeat row 1 once more, with R1.1, R1.2 in turn for R1.0.", "listed for once"),
    ("Repeat row 1 once more, with R1.1, R1.2 for R1.0.", "“in turn” was expected"),
    ("Work as in row 1, with R2 to R4 for R1.", "cannot stand for"),
    ("Work as in row 1, with R2 to R9 for R1.", "R9"),
    ("Work as in row 1; count two sideways on R1.", "“further” was expected"),
    ("Do what you like.", "a number was expected"),
]


@pytest.mark.parametrize("text, says", BROKEN)
def test_what_cannot_be_followed_is_refused_with_step_and_word(text, says):
    with pytest.raises(BadInput) as error:
        rebuilt(RING, text, count=6)
    (finding,) = error.value.findings
    assert finding.where.startswith("step 2, at “")
    assert says in finding.message
    assert finding.remedy


def test_titles_must_follow_each_other():
    with pytest.raises(BadInput, match="row 2 was expected"):
        rebuilt(RING, "Tie off R1.", titles=("Row 1", "Row 3"))
    with pytest.raises(BadInput, match="names no rows"):
        rebuilt(RING, titles=("First",))
    with pytest.raises(BadInput, match="several rows"):
        rebuilt(RING, titles=("Rows 1 to 4",))


def test_a_balloon_that_is_never_used_is_missed():
    with pytest.raises(BadInput, match="never used"):
        rebuilt(RING, "Tie off R1.", count=2)


@pytest.mark.parametrize("plan", [sheet_in_pairs(30, 30).plan(), tube_in_one(16, 20).plan()])
def test_long_even_work_comes_back_from_few_words(plan):
    steps, balloons = told(plan)
    assert len(steps) <= 6
    assert read_back(steps, balloons) == renumber(plan)
