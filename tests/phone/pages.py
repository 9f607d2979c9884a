"""Books and pages for the tests of the phone page, and readers of what a page holds."""

from __future__ import annotations

import json
from dataclasses import replace
from html.parser import HTMLParser
from typing import Any

from airweft.booklet.book import Book
from airweft.records.steps import Step
from tests.booklet.books import make_book


def folded_book(**wishes: Any) -> Book:
    """A small box whose steps 3 to 5 are folded into one that refers to its rows."""
    book = make_book(**wishes)
    steps = book.instructions.steps
    first, last = steps[2], steps[4]
    fold = Step(
        number=3,
        first_row=first.first_row,
        last_row=last.last_row,
        title="Rows 3 to 5",
        text="Work as in row 2, three times.",
        check="Check: five balloons are used.",
        first_action=first.first_action,
        last_action=last.last_action,
        new_bubbles=first.new_bubbles + steps[3].new_bubbles + last.new_bubbles,
        row_texts=tuple(step.text for step in steps[2:5]),
    )
    rest = [replace(step, number=step.number - 2) for step in steps[5:]]
    return replace(book, instructions=replace(book.instructions, steps=(*steps[:2], fold, *rest)))


class Page(HTMLParser):
    """What a page holds: elements with their attributes, and the text inside each kind."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.texts: dict[str, list[str]] = {}
        self._open: list[str] = []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in ("meta", "link", "input", "br", "path", "rect", "ellipse", "circle"):
            self._open.append(tag)
            self.texts.setdefault(tag, []).append("")

    def handle_endtag(self, tag: str) -> None:
        if tag in self._open:
            while self._open.pop() != tag:
                pass

    def handle_data(self, data: str) -> None:
        for tag in dict.fromkeys(self._open):
            self.texts[tag][-1] += data

    def all(self, tag: str) -> list[dict[str, str | None]]:
        """The attributes of every element of a kind."""
        return [attrs for name, attrs in self.elements if name == tag]

    def data(self) -> dict[str, Any]:
        """The page's data block."""
        for (_, attrs), text in zip(
            [e for e in self.elements if e[0] == "script"], self.texts["script"], strict=True
        ):
            if attrs.get("id") == "data":
                found: dict[str, Any] = json.loads(text)
                return found
        raise AssertionError("the page has no data block")
