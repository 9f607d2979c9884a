"""Something small inside: told at the right row, in booklet and phone page, with its caution."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from airweft.base.progress import Progress
from airweft.booklet.book import Book
from airweft.booklet.phone_data import page_data, stops_of
from airweft.booklet.phone_pack import unpack_texts
from airweft.booklet.walk import steps
from airweft.check.replay import replay
from airweft.design.read import design_from_text
from airweft.plan.reach import last_row_open
from airweft.records.design import Design
from airweft.records.plan import Plan
from airweft.workshop.choosing import choice_findings, choose_plan
from airweft.workshop.claims import budgets_of, with_claims
from airweft.workshop.finishing import put_in_words
from airweft.workshop.inside import inside_row
from airweft.workshop.options import Style
from airweft.workshop.shape import painted_net
from tests.workshop.pieces import box_text

BOX = f"""{box_text(8)}[plan.inside]
what   = "a small bell"
across = 3
"""


def planned(text: str, style: Style = "rounds") -> tuple[Design, Plan]:
    design = design_from_text(text)
    net = painted_net(design)
    plan = choose_plan(
        design, net, style=style, seed=0, progress=Progress(), budgets=budgets_of(design, net)
    ).plan
    return design, plan


@pytest.mark.parametrize("style", ["rounds", "pairs"])
def test_the_note_stands_at_its_row(style: Style) -> None:
    design, plan = planned(BOX, style)
    row = inside_row(plan, design)
    assert row is not None and 0 < row < plan.actions[-1].row
    told = put_in_words(plan, replay(plan), design)
    (step,) = [step for step in told.steps if step.note]
    assert step.first_row <= row <= step.last_row and step.note_row == row
    assert step.note.startswith(f"After row {row}: put a small bell inside")
    assert "nothing sharp, hot or heavy" in step.note
    assert choice_findings(design, plan) == ()
    plan, minutes = with_claims(plan)
    book = Book(design=design, plan=plan, instructions=told, shopping=(), minutes=minutes)
    printed = json.dumps(steps(book, {}, large=False))
    assert printed.count(step.note) == 1
    data = page_data(book)
    stops = stops_of(book)
    texts = unpack_texts(data["texts"], len(told.steps))
    shown = [stop.text or texts[stop.step] for stop in stops]
    assert [i for i, text in enumerate(shown) if step.note in text] == [row - 1]


def test_a_wider_thing_goes_in_sooner() -> None:
    rows = []
    for across in (1, 3, 12, 25):
        design, plan = planned(BOX.replace("across = 3", f"across = {across}"))
        rows.append(inside_row(plan, design) or 0)
    assert rows == sorted(rows, reverse=True) and rows[0] > rows[-1]


def test_what_never_fits_and_what_needs_no_row_is_said() -> None:
    for text, code in (
        (BOX.replace("across = 3", "across = 90"), "inside-does-not-fit"),
        (BOX.replace("high   = 8", 'high   = 8\nopen   = ["top"]'), "inside-stays-open"),
    ):
        design, plan = planned(text)
        assert [f.code for f in choice_findings(design, plan)] == [code]
        assert not any(step.note for step in put_in_words(plan, replay(plan), design).steps)


def test_without_it_nothing_is_said() -> None:
    design, plan = planned(BOX[: BOX.index("[plan.inside]")])
    assert inside_row(plan, design) is None and choice_findings(design, plan) == ()
    assert last_row_open(plan, around_mm=200) is not None


def test_the_page_tells_of_it() -> None:
    page = (Path(__file__).parents[2] / "docs" / "design-file.md").read_text(encoding="utf-8")
    assert "[plan.inside]" in page and "light and\nblunt" in page
