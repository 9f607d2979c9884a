"""Folding: what is told as a repeat, and what is rather written out."""

from __future__ import annotations

import pytest

from airweft.words.fold import fold_rows
from airweft.words.fold_table import Fold
from airweft.words.fold_text import burden, fold_text
from airweft.words.movements import Group, Movement, Ref, Run
from airweft.words.sentences import row_text


def make(code: str, count: int, *at: str) -> Movement:
    """`count` bubbles of a balloon, locked onto a joint that has these names."""
    refs = tuple(Ref(name.split(".")[0], int(name.split(".")[1])) for name in at)
    return Movement(
        do="make", groups=(Group(code, (Run(count, "bubble", 0),)),), at=refs, locks=True
    )


def told(rows):
    steps, _ = fold_rows(rows, lambda row: row_text(row, "cm"), fold_text)
    return [fold_text(step) if isinstance(step, Fold) else step + 1 for step in steps]


def row(*names: str, code: str = "R1"):
    return tuple(make(code, 2 + i % 2, name) for i, name in enumerate(names))


def test_equal_rows_are_repeats_and_the_arithmetic_is_right():
    a, b = row("W1.2", "W1.9", "W1.7"), row("W1.3", "W1.1", "W1.4", "W1.6")
    assert told([a, b] * 6) == [1, 2, "Repeat rows 1 and 2 five more times."]
    assert told([a] * 4) == [1, "Repeat row 1 three more times."]
    assert told([a, b, b, b]) == [1, 2, "Repeat row 2 twice more."]


def test_few_joints_are_given_for_each_time():
    rows = [row("W1.2", f"W2.{n}", "W1.7") for n in (3, 5, 7, 9, 11, 4)]
    assert told(rows) == [
        1,
        "Repeat row 1 five more times, with W2.5, W2.7, W2.9, W2.11, W2.4 in turn for W2.3.",
    ]


def test_many_joints_count_on():
    rows = [row(*(f"W1.{n + 17 * k}" for n in (2, 5, 9, 12, 20))) for k in range(6)]
    assert told(rows) == [
        1,
        "Repeat row 1 five more times; each time count 17 further on W1.",
    ]


def test_the_joint_name_that_makes_the_repeat_is_chosen():
    rows = [row(f"W1.{20 - n * n}", "W3.1") for n in range(4)]
    plain = [tuple(m for m in r) for r in rows]
    named = [(make("R1", 2, f"W1.{20 - n * n}", f"W2.{2 * n}"), r[1]) for n, r in enumerate(plain)]
    assert told(named) == [
        1,
        "Repeat row 1 three more times, with W2.2, W2.4, W2.6 in turn for W2.0.",
    ]


def test_other_balloons_in_the_same_parts():
    def block(one, other):
        return [
            row(f"{other}.1", f"{other}.2", f"{other}.4", code=one),
            row(f"{one}.3", f"{one}.5", code=other),
            row(f"{one}.1", f"{other}.9", f"{one}.2", code=one),
        ]

    rows = [*block("R1", "W1"), *block("R2", "W2")]
    assert told(rows) == [1, 2, 3, "Work as in rows 1 to 3, with R2 for R1 and W2 for W1."]


def test_one_short_row_is_written_out():
    rows = [row("W1.2"), row("W1.3", "W1.5"), row("W1.2"), row("W1.4", "W1.6", "W1.8")]
    assert told(rows) == [1, 2, 3, 4]


def test_what_asks_more_than_it_saves_is_written_out():
    rows = [row("W1.2", "W2.2", "W3.2"), row("W4.2", "W5.7"), row("W1.3", "W2.9", "W3.4")]
    rows.append(row("W4.8", "W5.1"))
    assert told(rows) == [1, 2, 3, 4]


def test_tying_on_and_off_stand_outside_a_repeat():
    a = row("W1.2", "W1.9", "W1.7")
    start = Movement(do="start", balloons=("R2",), at=(Ref("R1", 3),))
    off = Movement(do="finish", balloons=("R1",))
    assert told([a, a, (*a, off)]) == [1, "Repeat row 1 twice more."]
    assert told([a, a, (*a, off), a]) == [
        1,
        "Repeat row 1 twice more.",
        "Repeat row 1 once more.",
    ] or (told([a, a, (*a, off), a])[-1] == 4)
    assert told([(start, *a), a, a]) == [1, "Repeat row 1 twice more."]


@pytest.mark.parametrize(
    "fold, weight",
    [
        ({}, 0),
        ({"swaps": tuple((f"R{n + 6}", f"R{n}") for n in range(1, 7))}, 1),
        ({"names": ((Ref("R1", 2), (Ref("R1", 4),)), (Ref("R2", 2), (Ref("R2", 4),)))}, 2),
        ({"shifts": (("R1", 2), ("R2", -3))}, 4),
    ],
)
def test_the_burden_on_the_makers_head(fold, weight):
    assert (
        burden(Fold(first=2, last=3, source=0, source_last=1, times=1, again=True, **fold))
        == weight
    )
