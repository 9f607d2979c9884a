"""The printed booklet: a tagged PDF, set by typst from one book."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from importlib import resources
from typing import Literal

import typst

from airweft.base.errors import AirweftError
from airweft.base.findings import Finding
from airweft.booklet.book import Book
from airweft.booklet.content import content
from airweft.booklet.figures import draw_all
from airweft.booklet.letters import FAMILY, font_folder
from airweft.booklet.pack import pack
from airweft.booklet.shape_page import motion_figure

Paper = Literal["a4", "letter"]
Edition = Literal["standard", "large"]

_PAGES = ("look", "front", "gauges", "reading", "shape", "crew", "steps", "back")


def make_pdf(book: Book, *, paper: Paper = "a4", edition: Edition = "standard") -> bytes:
    """The booklet of `book` as PDF (PDF/UA-1), the same bytes for the same book.

    `edition` "large" is the large-type edition in one column. Nothing is read from the system:
    fonts come with the program and no clock is asked.
    """
    text = _text(book, paper, edition)
    made = typst.compile(
        _source(),
        font_paths=_fonts(),
        ignore_system_fonts=True,
        format="pdf",
        pdf_standards="ua-1",
        sys_inputs={"data": text},
    )
    assert isinstance(made, bytes)  # typst returns one file for PDF
    return pack(made)


def make_pages(
    book: Book, *, paper: Paper = "a4", edition: Edition = "standard", dots: float = 96.0
) -> list[bytes]:
    """Every page of the booklet as a PNG picture, `dots` to the inch."""
    made = typst.compile(
        _source(),
        font_paths=_fonts(),
        ignore_system_fonts=True,
        format="png",
        ppi=dots,
        sys_inputs={"data": _text(book, paper, edition)},
    )
    return [made] if isinstance(made, bytes) else list(made or [])


def _text(book: Book, paper: Paper, edition: Edition) -> str:
    """What is set, as the pages' markup reads it."""
    large = edition == "large"
    pictures = replace(draw_all(book, large=large), motion=motion_figure(book))
    return content(book, pictures, paper=paper, large=large)


@lru_cache(maxsize=1)
def _source() -> bytes:
    """The pages' markup. The texts themselves are never part of it."""
    folder = resources.files("airweft.booklet") / "pages"
    return b"\n".join((folder / f"{name}.typ").read_bytes() for name in _PAGES)


@lru_cache(maxsize=1)
def _fonts() -> typst.Fonts:
    fonts = typst.Fonts(
        include_system_fonts=False,
        include_embedded_fonts=False,
        font_paths=[str(font_folder())],
    )
    # Without its font typst would leave all text out and say nothing.
    if FAMILY not in fonts.families():
        raise AirweftError(
            Finding(
                code="booklet-font",
                severity="cannot",
                where="the installation",
                message=f"The booklet's font, {FAMILY}, is not where it was installed.",
                remedy="Install again the package fontpkg-fira-sans.",
            )
        )
    return fonts
