"""The gauges on paper, measured in the PDF's own units.

1 in is 25.4 mm exactly (international inch, 1959), so the squares are 50 mm and 50.8 mm; A4 is
210 x 297 mm (ISO 216) and Letter 215.9 x 279.4 mm (8.5 x 11 in).
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import cache

import pytest
from pypdf import PageObject, PdfReader

from airweft.booklet.pdf import Edition, Paper, make_pdf
from airweft.records.design import Sheet
from tests.booklet.books import make_book
from tests.booklet.ink import MM, Path, paths

EXACT = 0.01  # mm; a hair on paper is 0.05 mm
PAPERS: dict[Paper, tuple[float, float]] = {"a4": (210, 297), "letter": (215.9, 279.4)}
EDITIONS: tuple[Edition, ...] = ("standard", "large")


@cache
def printed(paper: Paper, edition: Edition) -> PdfReader:
    book = make_book(Sheet(columns=4, rows=8), tails=(12500, 16000))
    return PdfReader(io.BytesIO(make_pdf(book, paper=paper, edition=edition)))


def gauge_pages(reader: PdfReader) -> list[PageObject]:
    return [page for page in reader.pages if "Print this page at 100" in page.extract_text()]


@cache
def inked(paper: Paper, edition: Edition) -> tuple[tuple[Path, ...], ...]:
    """The paths of every page with gauges."""
    return tuple(tuple(paths(page)) for page in gauge_pages(printed(paper, edition)))


def squares(found: Sequence[Path], side: float) -> list[Path]:
    return [
        path
        for path in found
        if path.painted in ("S", "s", "B", "b")
        and all(abs(length - side) < EXACT for length in path.size())
        and len(path.uprights()) == 2
    ]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("edition", EDITIONS)
def test_paper_is_the_standards_size(paper: Paper, edition: Edition) -> None:
    for page in printed(paper, edition).pages:
        width, height = (float(side) * MM for side in page.mediabox[2:])
        assert (width, height) == pytest.approx(PAPERS[paper], abs=0.02)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("edition", EDITIONS)
def test_both_check_squares_are_exact(paper: Paper, edition: Edition) -> None:
    found = inked(paper, edition)[0]
    assert len(squares(found, 50.0)) == 1
    assert len(squares(found, 50.8)) == 1


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("edition", EDITIONS)
def test_bubble_gauge_is_one_bubble_wide(paper: Paper, edition: Edition) -> None:
    slots = [
        path
        for page in inked(paper, edition)
        for path in page
        if path.painted == "S" and len(path.uprights()) == 2 and not squares([path], 50.0)
    ]
    widths = [path.uprights()[1] - path.uprights()[0] for path in slots]
    assert any(abs(width - 25.0) < EXACT for width in widths), widths


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("edition", EDITIONS)
def test_tail_gauge_has_every_tail(paper: Paper, edition: Edition) -> None:
    """Each strip is as long as its tail, from the common edge to its mark."""
    found = [p for page in inked(paper, edition) for p in page]
    strips = [p for p in found if abs(p.size()[1] - 7.0) < EXACT]
    for tail in (125.0, 160.0):
        (strip,) = [p for p in strips if abs(p.size()[0] - tail) < EXACT]
        right = strip.box()[2]
        assert any(
            abs(x - right) < EXACT for p in found if len(p.uprights()) == 1 for x in p.uprights()
        )
    assert len({round(p.box()[0], 2) for p in strips}) == 1


def test_ruler_is_seventeen_centimetres() -> None:
    found = [p for page in inked("a4", "standard") for p in page]
    marks = max((p.uprights() for p in found), key=len)
    assert marks[-1] - marks[0] == pytest.approx(170, abs=EXACT)
    assert len(marks) == 171


@pytest.mark.parametrize("edition", EDITIONS)
def test_every_page_with_a_gauge_carries_the_squares(edition: Edition) -> None:
    """In large type many tails need several pages: each says how to print and can be checked."""
    book = make_book(Sheet(columns=2, rows=12), tails=tuple(range(9000, 15000, 500)), each=4)
    reader = PdfReader(io.BytesIO(make_pdf(book, paper="letter", edition=edition)))
    pages = gauge_pages(reader)
    assert (len(pages) > 1) is (edition == "large")
    for page in pages:
        found = paths(page)
        assert len(squares(found, 50.0)) == 1
        assert len(squares(found, 50.8)) == 1
        assert all(p.box()[1] > 8 for p in found if p.painted != "n"), "nothing runs off the paper"


def test_the_measure_can_fail() -> None:
    """The same page printed at 97 % would be found out."""
    found = [p for page in inked("a4", "standard") for p in page]
    shrunk = [
        Path(tuple(tuple((x * 0.97, y * 0.97) for x, y in sub) for sub in p.subpaths), p.painted)
        for p in found
    ]
    assert not squares(shrunk, 50.0)
