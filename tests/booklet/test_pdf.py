"""The booklet as a file: tagged, self-contained, small, the same every time."""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
from pypdf import PdfReader
from pypdf.generic import DictionaryObject

from airweft.booklet.book import Book
from airweft.booklet.figures import MOST_PICTURES, pictured
from airweft.booklet.pdf import Edition, Paper, make_pdf
from airweft.records.design import Box
from airweft.words.cautions import CAUTIONS, CHOKING
from tests.booklet.books import NAVY, RED, make_book, tiny_book

GOLDEN = Path(__file__).with_name("golden_chest.txt")
FORM = Box(across=4, deep=4, high=4, open=("top",))


@cache
def chest() -> Book:
    return make_book(FORM, name="Treasure chest", notes="Stays on the quay.\nBring rope.")


@cache
def printed(paper: Paper = "a4", edition: Edition = "standard") -> bytes:
    return make_pdf(chest(), paper=paper, edition=edition)


def read(made: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(made), strict=True)


def words(reader: PdfReader) -> str:
    """All text in one line."""
    return " ".join(" ".join(page.extract_text().split()) for page in reader.pages)


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("edition", ["standard", "large"])
def test_every_edition_says_what_matters(paper: Paper, edition: Edition) -> None:
    text = words(read(printed(paper, edition)))
    book = chest()
    assert text.count(CHOKING) == 1, "the choking statement, word for word"
    for caution in CAUTIONS:
        assert " ".join(caution.text.split()) in text
    for said in (
        "Treasure chest",
        "80 bubbles",
        f"{len(book.plan.balloons)} balloons, the fewest possible",
        "20 to 30 min",
        "Print this page at 100 %",
        "Stays on the quay.",
        "Bring rope.",
        "style rounds, seed 0",
    ):
        assert said in text, said
    assert book.plan.fingerprint in text.replace(" ", "")
    for step in book.instructions.steps:
        for part in step.text.split("\n"):
            assert part in text
        assert step.check in text
    for term, meaning in book.instructions.glossary:
        assert f"{term}: {meaning}" in text
    for balloon in book.plan.balloons:
        assert balloon.code in text


def test_golden_text() -> None:
    """The whole text of a small booklet; set AIRWEFT_GOLDEN=write to accept a change on purpose."""
    pages = [" ".join(page.extract_text().split()) for page in read(printed()).pages]
    text = "\n\n".join(pages) + "\n"
    if os.environ.get("AIRWEFT_GOLDEN") == "write":
        GOLDEN.write_text(text, encoding="utf-8")
    assert text == GOLDEN.read_text(encoding="utf-8")


def test_golden_text_can_fail() -> None:
    other = make_pdf(make_book(FORM, name="Treasure box"))
    assert words(read(other)) != " ".join(GOLDEN.read_text(encoding="utf-8").split())


def test_a_plan_that_is_not_proven_names_the_bound() -> None:
    book = make_book(FORM, proven=False)
    text = words(read(make_pdf(book)))
    needed = len(book.plan.balloons)
    assert f"{needed} balloons (at least {needed - 1} needed)" in text
    assert "the fewest possible" not in text
    assert "Whether a plan between the two exists is not known" in text


def test_pages_break_alike_on_both_papers() -> None:
    a4, letter = read(printed("a4")), read(printed("letter"))
    assert [p.extract_text() for p in a4.pages] == [p.extract_text() for p in letter.pages]


def test_it_is_tagged_and_never_scaled() -> None:
    """PDF/UA-1 (ISO 14289-1): marked, structured, titled, in a language; ISO 32000-1, 12.2."""
    reader = read(printed())
    root = reader.root_object
    assert root["/MarkInfo"]["/Marked"]
    assert root["/StructTreeRoot"]["/Type"] == "/StructTreeRoot"
    assert root["/Lang"] == "en"
    assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata is not None
    assert reader.metadata.title == "Treasure chest: how to make it"
    assert "/CreationDate" not in reader.metadata
    assert "/ModDate" not in reader.metadata
    assert reader.xmp_metadata is not None
    assert "pdfuaid:part" in reader.xmp_metadata.rdf_root.toxml()


def test_every_picture_has_words_for_those_who_cannot_see_it() -> None:
    reader = read(printed())
    figures = _elements(reader, "/Figure")
    assert len(figures) >= len(chest().instructions.steps)
    for figure in figures:
        assert len(str(figure.get("/Alt", ""))) > 8


def test_the_outline_leads_to_every_section_and_step() -> None:
    reader = read(printed())
    titles = [str(item.title) for item in _flat(reader.outline)]
    for title in ("Before you start", "What you need", "Gauges at true size", "The steps",
                  "Finishing", "All balloons", "Colophon"):  # fmt: skip
        assert title in titles
    assert "1 Row 1" in titles


def test_all_fonts_are_inside() -> None:
    reader = read(printed())
    seen = 0
    for page in reader.pages:
        for font in page["/Resources"].get("/Font", DictionaryObject()).values():
            for inner in font.get_object()["/DescendantFonts"]:
                descriptor = inner.get_object()["/FontDescriptor"].get_object()
                assert {"/FontFile", "/FontFile2", "/FontFile3"} & descriptor.keys()
                assert "FiraSans" in descriptor["/FontName"]
                seen += 1
    assert seen


def test_nothing_points_outside() -> None:
    for page in read(printed()).pages:
        for annotation in page.get("/Annots", []):
            assert "/URI" not in annotation.get_object().get("/A", {})


def test_it_is_small() -> None:
    assert len(printed()) < 500_000


def test_same_book_same_bytes() -> None:
    """Twice in one process, and in two more with other hash seeds."""
    assert make_pdf(chest()) == printed()
    code = (
        "import hashlib; from tests.booklet.test_pdf import printed;"
        "print(hashlib.sha256(printed()).hexdigest())"
    )
    found = set()
    for seed in ("1", "77"):
        done = subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed},
            cwd=Path(__file__).parents[2],
            capture_output=True,
            text=True,
            check=True,
        )
        found.add(done.stdout.strip())
    assert len(found) == 1


HOSTILE = [
    "",
    '#import "x" [a] $b$ *c* _d_ `e` <f> @g \\ /* h */ // i',
    '#panic("no")',
    "]#set page(width: 1cm)[",
    "\\u{1F600} \" ' ` \\\\",
    "Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft",
    "x" * 400,
    "שלום עולם",
    "العربية",
    "浮標と灯台",
    "\U0001f388\U0001f388 \U0001f469‍\U0001f469‍\U0001f466",
    "a\u202eb\u0000c\ud800",
    "line\nbreak\ttab\r\n",
    " " * 50,
    "é" * 3 + "\u0301" * 60,
]


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_are_only_text(name: str) -> None:
    """No name is markup, none stops the press, and the page keeps its size."""
    book = tiny_book(name, notes=name + "\n" + name)
    reader = read(make_pdf(book))
    assert float(reader.pages[0].mediabox.width) == pytest.approx(595.28, abs=0.1)
    assert CHOKING in words(reader)
    assert reader.metadata is not None and reader.metadata.title


def test_markup_in_a_name_is_printed_as_it_is() -> None:
    name = "#1 [*] $5 \"A\" \\ 'B' _c_"
    text = words(read(make_pdf(tiny_book(name))))
    assert name in text


def test_letters_that_are_lacking_are_told() -> None:
    text = words(read(make_pdf(tiny_book("Boje 浮標"))))
    assert "Boje ▯▯" in text
    assert "no letters for U+6D6E, U+6A19" in text


def test_hostile_palette_and_codes() -> None:
    odd = (
        type(RED)("#", "$x$ [red", "#c8102e"),
        type(RED)("]", "\\", "not a colour"),
        NAVY,
    )
    text = words(read(make_pdf(make_book(FORM, palette=odd))))
    assert "$x$ [red" in text


@pytest.mark.parametrize("edition", ["standard", "large"])
def test_very_long_steps_are_printed_whole(edition: Edition) -> None:
    """A step longer than a page runs on; one that only is long gets the width of the page."""
    book = make_book(FORM)
    first, second, *rest = book.instructions.steps
    long = " ".join(f"Lock onto R{n}.7 and count on." for n in range(400))
    middling = " ".join(f"Lock onto W{n}.7." for n in range(50))
    steps = (replace(first, text=long), replace(second, text=middling), *rest)
    told = replace(book, instructions=replace(book.instructions, steps=steps))
    reader = read(make_pdf(told, edition=edition))
    body = words(reader)
    assert {int(n) for n in re.findall(r"R(\d+)\.7", body)} >= set(range(400))
    for n in range(50):
        assert f"Lock onto W{n}.7." in body


def test_many_steps_get_a_fair_choice_of_pictures() -> None:
    steps = make_book(Box(across=8, deep=8, high=8), each=4).instructions.steps
    assert len(steps) > MOST_PICTURES
    chosen = pictured(steps)
    assert len(chosen) == MOST_PICTURES
    assert chosen[:12] == list(range(12))
    assert chosen[-1] == len(steps) - 1
    gaps = [b - a for a, b in pairwise(chosen[11:])]
    assert max(gaps) - min(gaps[:-2]) <= 1


def _elements(reader: PdfReader, kind: str) -> list[DictionaryObject]:
    """All structure elements of a kind."""
    found: list[DictionaryObject] = []
    waiting = [reader.root_object["/StructTreeRoot"]]
    while waiting:
        element = waiting.pop().get_object()
        if not isinstance(element, DictionaryObject):
            continue
        if element.get("/S") == kind:
            found.append(element)
        children = element.get("/K", [])
        waiting += children if isinstance(children, list) else [children]
    return found


def _flat(outline: list) -> list:  # type: ignore[type-arg]
    return [x for item in outline for x in (_flat(item) if isinstance(item, list) else [item])]
