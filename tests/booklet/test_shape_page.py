"""The page about the shape: what was reckoned is said, as an estimate, and nothing else is."""

from __future__ import annotations

import io
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from pypdf import PdfReader

from airweft.booklet.back import finishing, variations
from airweft.booklet.book import Book
from airweft.booklet.pdf import Edition, Paper, make_pdf
from airweft.booklet.phone import make_page
from airweft.booklet.phone_shape import shape_section
from airweft.booklet.shape_page import motion_figure, shape
from airweft.records.arrays import points, whole
from airweft.records.design import Box
from airweft.records.shape import Shape, Softness, Standing, Weight
from airweft.shape.advice import advice
from airweft.shape.predict import predict
from airweft.shape.soft import softest
from airweft.words.stance import rough, stance
from tests.booklet.books import make_book, tiny_book
from tests.phone.pages import Page

STANDS = Standing(
    stands=True, centre=(0, 0, 60), base=((0, 0), (9, 0), (9, 9)), tip_degrees=38.2,
    tips_towards=270, side="front",
)  # fmt: skip
WEIGHT = Weight(latex_g=7.34, air_l=8.46, strokes=37, balloons_g=9.9)


@cache
def settled() -> Book:
    """A chest as it will be, with its real softest ways, and a stance and weight made up."""
    book = make_book(Box(across=4, deep=4, high=4, open=("top",)), name="Rope chest")
    found = predict(book.net, diameter_mm=50.8, stand="table", seed=0)
    net = replace(book.net, joints=found.positions)
    return replace(
        book,
        plan=replace(book.plan, net=net),
        shape=found,
        standing=STANDS,
        softness=softest(net, found),
        weight=WEIGHT,
    )


def known(book: Book) -> Shape:
    assert book.shape is not None
    return book.shape


def all_words(book: Book) -> str:
    """What the section says, in one line."""
    data = shape(book, motion_figure(book))
    assert data is not None
    facts = [f"{f['head']}: {f['figure']} {f['words']}" for f in data["facts"]]
    return " ".join([data["lead"], *facts, *data["gives"]])


def test_the_facts_are_said_in_the_makers_unit_and_as_estimates() -> None:
    said = all_words(settled())
    assert "All of these are estimates" in said
    sides = known(settled())
    assert f"about {sides.width / 10:.0f} × {sides.depth / 10:.0f} × " in said
    assert "up to about 38 degrees of tilt" in said and "towards the front" in said
    assert "about 7.3 g of latex" in said and "9.9 g in all its balloons" in said
    assert "about 8.5 litres" in said and "about 37 full strokes of a hand pump" in said
    inches = replace(settled(), design=replace(settled().design, units="in"))
    assert " in wide, deep and high" in all_words(inches)


@pytest.mark.parametrize("edition", ["standard", "large"])
def test_the_booklet_has_the_section_on_both_papers(edition: Edition) -> None:
    made: dict[Paper, list[str]] = {}
    for paper in ("a4", "letter"):
        reader = PdfReader(io.BytesIO(make_pdf(settled(), paper=paper, edition=edition)))
        made[paper] = [" ".join(page.extract_text().split()) for page in reader.pages]
        titles = [str(item.title) for item in reader.outline if not isinstance(item, list)]
        assert titles.index("Charts") < titles.index("The shape it will take")
        assert titles.index("The shape it will take") < titles.index("The steps")
    assert made["a4"] == made["letter"]
    text = " ".join(made["a4"])
    for said in ("up to about 38 degrees", "Where it gives most", "about 7.3 g"):
        assert said in text


def test_a_book_of_which_nothing_was_reckoned_has_no_such_section() -> None:
    book = make_book(Box(across=4, deep=4, high=4))
    assert shape(book, motion_figure(book)) is None
    reader = PdfReader(io.BytesIO(make_pdf(tiny_book())))
    assert "The shape it will take" not in " ".join(p.extract_text() for p in reader.pages)


def test_the_picture_has_words_that_tell_what_it_shows() -> None:
    figure = motion_figure(settled())
    assert figure is not None
    assert "Arrows show where it gives most: panel" in figure.alt
    assert "from the" in figure.alt and "longer an arrow" in figure.text
    assert motion_figure(settled()) == figure


def test_advice_is_printed_word_for_word() -> None:
    softness = settled().softness
    assert softness is not None and softness.modes
    weak = replace(softness.modes[0], give=3.0)
    told = advice(settled().net, (weak,))
    book = replace(settled(), softness=Softness(modes=(weak,), findings=told))
    assert told[0].message in all_words(book) and told[0].remedy in all_words(book)


@pytest.mark.parametrize(
    ("give", "said"),
    [
        (0.01, "it is firm"),
        (0.3, "by about 0.3"),
        (0.8, "gives a little"),
        (99.0, "hardly resists"),
    ],
)
def test_how_much_it_gives_without_advice(give: float, said: str) -> None:
    softness = settled().softness
    assert softness is not None
    mode = replace(softness.modes[0], give=give)
    words = all_words(replace(settled(), softness=Softness(modes=(mode,))))
    assert said in words and "99" not in words
    assert ("Nothing needs to be added" in words) == (give < 20)


def test_softness_of_another_net_is_not_shown() -> None:
    softness = settled().softness
    assert softness is not None
    mode = replace(softness.modes[0], moves=points(np.ones((3, 3))))
    book = replace(settled(), softness=Softness(modes=(mode,)))
    assert motion_figure(book) is None
    assert shape(book, None) is not None
    for nothing in (None, Softness(modes=())):
        assert motion_figure(replace(settled(), softness=nothing)) is None


@pytest.mark.parametrize(
    ("standing", "said"),
    [
        (STANDS, "up to about 38 degrees"),
        (replace(STANDS, tip_degrees=1.2), "about 1 degree of"),
        (replace(STANDS, tip_degrees=90.0), "firmly"),
        (replace(STANDS, stands=False, tip_degrees=-4.0), "falls over towards the front"),
        (replace(STANDS, stands=False, side=""), "give it a foot"),
        (None, "without weight"),
    ],
)
def test_how_it_stands(standing: Standing | None, said: str) -> None:
    does, figure, words = stance(known(settled()), standing)
    assert does == "Stands" and said in f"{figure} {words}"


def test_what_hangs_does_not_stand() -> None:
    hung = replace(known(settled()), stand="hang", held=(0, 1))
    assert stance(hung, None)[:2] == ("Hangs", "by its highest joints")
    assert "Hangs: " in all_words(replace(settled(), shape=hung, standing=None))


def test_it_says_how_true_lengths_are_and_whether_there_is_room() -> None:
    tight = replace(
        known(settled()), length_error=(0.12, 0.003), overlaps=((0, 5),), worst_overlap=0.09
    )
    words = all_words(replace(settled(), shape=tight))
    assert "0.3 % off" in words and "the worst is 12.0 % off" in words
    assert "1 pair too tight" in words and "by 9 % of their diameter" in words
    loose = replace(tight, overlaps=(), worst_overlap=0.0)
    assert "room for all" in all_words(replace(settled(), shape=loose))


def test_what_did_not_come_to_rest_is_said() -> None:
    moving = replace(known(settled()), converged=False)
    assert "not quite come to rest" in all_words(replace(settled(), shape=moving))


def test_rough_figures_have_two_digits() -> None:
    assert [rough(x) for x in (0, 0.04, 4.96, 9.96, 12.4, 99.6, 187.0, 1874.0, 123456)] == [
        "0", "0", "5", "10", "12", "100", "190", "1,900", "120,000",
    ]  # fmt: skip


def test_the_phone_page_says_the_same_as_the_booklet() -> None:
    html = make_page(settled())
    page = Page(html)
    section = " ".join(" ".join(page.texts["section"]).split())
    data = shape(settled(), None)
    assert data is not None
    for fact in data["facts"]:
        assert fact["figure"] in section and fact["words"] in section
    assert all(line in section for line in data["gives"])
    (drawn,) = [attrs for attrs in page.all("figure") if attrs.get("class") == "motion"]
    assert drawn and '<svg role="img"' in html
    ids = [attrs["id"] for _, attrs in page.elements if attrs.get("id")]
    assert len(ids) == len(set(ids))


def test_the_phone_page_says_nothing_of_a_shape_that_was_not_reckoned() -> None:
    assert shape_section(make_book()) == ""
    assert "The shape it will take" not in make_page(make_book())


def test_finishing_does_not_stand_what_falls_over() -> None:
    falls = replace(settled(), standing=replace(STANDS, stands=False, tip_degrees=-3.0))
    told = [line for part in finishing(falls)["parts"] for line in part["ticks"]]
    assert any("does not stand by itself" in line for line in told)
    assert not any(line.startswith("Stand it") for line in told)


def test_variations_in_bubble_length_are_called_what_they_are() -> None:
    book = make_book(Box(across=4, deep=4, high=4), name="Crate")
    said = [v["text"] for v in variations(book)["list"] if v["title"] in ("Smaller.", "Larger.")]
    assert len(said) == 2 and all("not reckoned anew" in text for text in said)
    mixed = replace(book.net, lengths=whole([2500 + 10 * (k % 2) for k in range(96)]))
    said = [
        v["text"]
        for v in variations(replace(book, plan=replace(book.plan, net=mixed)))["list"]
        if v["title"] == "Smaller."
    ]
    assert "every bubble 80 % as long" in said[0]
