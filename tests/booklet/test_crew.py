"""The booklet of a piece that several people make: who makes what, and a chapter for each."""

from __future__ import annotations

from io import BytesIO

from pypdf import PdfReader

from airweft.booklet.crew_page import crew, net_by_parts, part_colours
from airweft.booklet.figures import draw_all
from airweft.booklet.pdf import make_pdf
from airweft.booklet.walk import steps
from tests.booklet.books import make_book
from tests.booklet.crew_books import crew_book


def test_a_piece_for_one_has_no_page_for_a_crew() -> None:
    book = make_book()
    assert crew(book, ()) is None
    assert draw_all(book).crew == ()
    assert not any("chapter" in group for group in steps(book, {}, large=False)["groups"])


def test_every_balloon_and_bubble_belongs_to_one_part() -> None:
    book = crew_book(2)
    said = crew(book, draw_all(book).crew)
    assert said is not None
    assert [part["title"].split(":")[0] for part in said["parts"]] == [
        "Part A",
        "Part B",
        "Joining the parts",
    ]
    made = [int(part["bubbles"]) for part in said["parts"]]
    assert sum(made) == book.net.bubble_count
    laid = [line["codes"].rsplit("(", 1)[1].rstrip(")") for line in said["stock"]]
    assert sum(map(int, laid)) == len(book.plan.balloons)
    marks = net_by_parts(book).colours
    known = {colour.mark for colour in part_colours(book)}
    assert set(marks) <= known
    assert [marks.count(mark) for mark in ("A", "B")] == made[:2]


def test_chapters_come_in_order_with_their_steps() -> None:
    book = crew_book(2)
    for large in (False, True):
        groups = steps(book, {}, large=large)["groups"]
        heads = [group["chapter"]["title"] for group in groups if "chapter" in group]
        assert heads == [chapter.title for chapter in book.instructions.chapters]
        numbers = [int(step["number"]) for group in groups for step in group["steps"]]
        assert numbers == list(range(1, len(book.instructions.steps) + 1))
        for group in groups:
            assert len({step["title"].split(",")[0] for step in group["steps"]}) == 1


def test_a_part_is_pictured_alone_and_joining_shows_both() -> None:
    book = crew_book(2)
    figures = draw_all(book).steps
    _, second, joining = book.instructions.chapters
    alone = figures[second.first_step].figure.alt
    assert "on " not in alone.split(" of ")[0]
    assert "finished bubble" not in alone
    assert "every bubble marked with the part" in figures[joining.first_step].figure.alt


def test_each_part_begins_on_a_page_of_its_own() -> None:
    book = crew_book(2)
    pages = [page.extract_text() for page in PdfReader(BytesIO(make_pdf(book))).pages]
    begins = [
        next(
            n for n, text in enumerate(pages) if chapter.title in text and chapter.lead[:30] in text
        )
        for chapter in book.instructions.chapters
    ]
    assert len(set(begins)) == len(begins)
    assert sorted(begins) == begins
    assert any("Who makes what" in text and "Balloons of each part" in text for text in pages)
