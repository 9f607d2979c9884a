"""Facts in words: never more than the plan proves."""

from __future__ import annotations

from dataclasses import replace

import pytest

from airweft.booklet.facts import (
    balloons_fact,
    codes_text,
    count,
    form_text,
    groups,
    level,
    minutes_text,
)
from airweft.booklet.measure import size_text
from airweft.records.design import Box, Tube
from tests.booklet.books import make_book, tiny_book


def test_fewest_is_said_only_of_a_proven_plan() -> None:
    book = make_book(Tube(around=6, rows=4))
    fact = balloons_fact(book)
    assert fact.meaning == "balloons, the fewest possible"
    open_book = make_book(Tube(around=6, rows=4), proven=False)
    needed = len(open_book.plan.balloons)
    assert balloons_fact(open_book).figure == f"{needed}"
    assert balloons_fact(open_book).meaning == f"balloons (at least {needed - 1} needed)"


def test_a_claim_that_does_not_meet_its_bound_is_not_believed() -> None:
    book = make_book(Tube(around=6, rows=4))
    bound = replace(book.plan.bound, balloons=book.plan.bound.balloons - 1, proven=True)
    wrong = replace(book, plan=replace(book.plan, bound=bound))
    assert "fewest" not in balloons_fact(wrong).meaning


def test_one_balloon_is_one_balloon() -> None:
    assert balloons_fact(tiny_book()).meaning == "balloon, the fewest possible"


@pytest.mark.parametrize(
    ("low", "high", "text"),
    [
        (20, 30, "20 to 30 min"),
        (1, 1, "1 min"),
        (95, 140, "1 h 35 to 2 h 20"),
        (120, 120, "2 h"),
    ],
)
def test_minutes(low: int, high: int, text: str) -> None:
    assert minutes_text(low, high) == text


def test_counts() -> None:
    assert count(1, "bubble") == "1 bubble"
    assert count(2400, "bubble") == "2,400 bubbles"


@pytest.mark.parametrize(
    ("codes", "text"),
    [
        (("R1", "R2", "R3", "R4"), "R1 to R4"),
        (("R1", "R2"), "R1, R2"),
        (("R1", "W1", "R2", "W2", "R3", "W3"), "R1 to R3, W1 to W3"),
        (("R9", "R10", "R11", "R13"), "R9 to R11, R13"),
        (("A",), "A"),
        ((), ""),
    ],
)
def test_codes(codes: tuple[str, ...], text: str) -> None:
    assert codes_text(codes) == text


@pytest.mark.parametrize(
    ("units", "text"),
    [("cm", "15 × 9.5 × 20 cm"), ("mm", "150 × 95 × 200 mm"), ("in", "6 × 3 1/2 × 8 in")],
)
def test_size_is_as_rough_as_a_prediction(units: str, text: str) -> None:
    assert size_text((150.2, 95.1, 199.6), units) == text  # type: ignore[arg-type]


def test_groups_hold_every_balloon_once() -> None:
    book = make_book(Box(across=4, deep=4, high=4), tails=(16000, 18000))
    codes = [code for group in groups(book) for code in group.codes]
    assert sorted(codes) == sorted(balloon.code for balloon in book.plan.balloons)
    assert len({(g.mark, g.size, g.bubbles, g.tail) for g in groups(book)}) == len(groups(book))


def test_the_form_in_words() -> None:
    book = make_book(Box(across=4, deep=4, high=6, open=("top",)))
    assert form_text(book) == (
        "A box of woven balloons, 4 across, 4 deep and 6 high, open at the top"
    )


def test_level_rises_with_what_is_asked() -> None:
    book = make_book(Tube(around=6, rows=4))
    assert level(book).number == 1
    hard = replace(book.plan, claims=replace(book.plan.claims, peak_loose=5, bubbles=900))
    assert level(replace(book, plan=hard)).number == 3
    assert "holding 5 loose twists" in level(replace(book, plan=hard)).techniques
