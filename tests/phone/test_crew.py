"""The phone page of a piece that several people make."""

from __future__ import annotations

from typing import Any

from airweft.booklet.phone import make_page
from tests.booklet.crew_books import crew_book
from tests.phone.pages import Page, folded_book


def test_each_person_has_a_way_in() -> None:
    book = crew_book(2)
    page = Page(make_page(book))
    ways = [b["data-step"] for b in page.all("button") if "data-step" in b]
    assert ways == [str(chapter.first_step - 1) for chapter in book.instructions.chapters]
    data = page.data()
    assert [row[2] for row in data["chapters"]] == [1, 1, 0]
    assert [row[0] for row in data["parts"]] == ["A", "B", "+"]


def test_a_page_for_one_has_no_crew() -> None:
    page = Page(make_page(folded_book()))
    assert not any("data-step" in button for button in page.all("button"))
    assert page.data()["chapters"] == page.data()["parts"] == []


def test_a_part_counts_and_shows_its_own_bubbles_only(open_page: Any) -> None:
    book = crew_book(2)
    page = open_page(book)
    page.locator("[data-step]").nth(1).click()
    second = book.instructions.chapters[1]
    line = page.locator("#done-line")
    assert line.get_attribute("aria-valuemax") == str(len(second.bubbles))
    assert line.get_attribute("aria-valuenow") == "0"
    assert page.locator("#step-title").inner_text().startswith("Part B, row")
    assert page.locator("#chapter").inner_text() == second.lead
    page.locator("#next").click()
    assert page.locator("#chapter").is_hidden()


def test_joining_is_shown_in_the_colours_of_the_parts(open_page: Any) -> None:
    book = crew_book(2)
    page = open_page(book, width=1000, height=900)
    page.locator("[data-step]").nth(2).click()
    page.wait_for_timeout(600)
    assert page.locator("#step-title").inner_text().startswith("Joining, row")
    tints = page.evaluate(
        """() => {
          const canvas = document.getElementById("view");
          const ctx = canvas.getContext("2d");
          const found = ctx.getImageData(0, 0, canvas.width, canvas.height).data;
          let blue = 0, yellow = 0;
          for (let i = 0; i < found.length; i += 4) {
            const [r, g, b] = [found[i], found[i + 1], found[i + 2]];
            if (b > r + 40 && b > 150) blue++;
            if (r > b + 80 && g > b + 60) yellow++;
          }
          return [blue, yellow];
        }"""
    )
    assert min(tints) > 2000
