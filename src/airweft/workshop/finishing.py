"""From a checked plan to the files of a made design: the book, and what is printed from it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from airweft import __version__
from airweft.base.findings import Finding
from airweft.booklet.book import Book
from airweft.booklet.pdf import make_pdf
from airweft.booklet.phone import make_page
from airweft.check.replay import Replay
from airweft.costing.minutes import Minutes
from airweft.costing.shopping import Line
from airweft.records.design import Design
from airweft.records.plan import Plan
from airweft.records.planfile import write_plan
from airweft.records.steps import Instructions
from airweft.words.instruct import instruct
from airweft.workshop.folder import Mark, Placed, place
from airweft.workshop.inside import with_inside
from airweft.workshop.options import Edition, Paper
from airweft.workshop.settled import Settled
from airweft.workshop.sheets import chart_svg, picture_png, picture_svg, shopping_bytes


def put_in_words(
    plan: Plan, counted: Replay, design: Design, *, inside: bool = True
) -> Instructions:
    """The instructions in the maker's unit; their numbers to check are what the checker counted.

    `inside` tells when what the design names goes into the piece.
    """
    told = instruct(plan, design.palette, unit=design.units, counts=counted)
    return with_inside(told, plan, design) if inside else told


def book_of(
    design: Design,
    plan: Plan,
    counted: Replay,
    *,
    shopping: tuple[Line, ...],
    minutes: Minutes,
    settled: Settled,
    findings: Sequence[Finding],
) -> Book:
    """Everything that the booklet and the phone page say."""
    return Book(
        design=design,
        plan=plan,
        instructions=put_in_words(plan, counted, design),
        shopping=shopping,
        minutes=minutes,
        findings=tuple(findings),
        shape=settled.shape,
        standing=settled.standing,
        softness=settled.softness,
        weight=settled.weight,
    )


def files_of(
    book: Book, *, paper: Paper, edition: Edition, enter: Callable[[str], None]
) -> dict[str, bytes]:
    """The files of a made design by name; `enter` is told "pictures", "booklet", "phone page"."""
    plan, design = book.plan, book.design
    enter("pictures")
    picture = picture_svg(plan.net, design)
    files = {
        "plan.json": write_plan(plan).encode(),
        "chart.svg": chart_svg(plan.net, design).encode(),
        "picture.svg": picture.encode(),
        "picture.png": picture_png(picture),
        "shopping.csv": shopping_bytes(book.shopping, design),
    }
    enter("booklet")
    files["booklet.pdf"] = make_pdf(book, paper=paper, edition=edition)
    enter("phone page")
    files["steps.html"] = make_page(book).encode()
    return files


def put_files(out: Path, files: Mapping[str, bytes], design: Design, *, replace: bool) -> Placed:
    """Put the files of a made design into the folder `out`, all or none. Raises BadInput."""
    mark = Mark(
        program=f"airweft {__version__}",
        design_name=design.name,
        fingerprint=design.fingerprint,
        files={},
    )
    return place(out, files, mark, replace=replace)
