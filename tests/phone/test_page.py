from __future__ import annotations

import base64
import hashlib
import re
import subprocess
import sys
from dataclasses import replace

import pytest

from airweft.base.findings import Finding
from airweft.booklet.book import Book
from airweft.booklet.phone import make_page, script_json
from airweft.booklet.phone_data import page_data, page_key, stops_of
from airweft.booklet.phone_pack import unpack_numbers, unpack_texts
from airweft.records.design import Box, Colour
from airweft.words.cautions import CAUTIONS, CHOKING
from tests.booklet.books import make_book, tiny_book
from tests.phone.pages import Page, folded_book

NASTY = (
    "</script><script>alert(1)</script>",
    "\"quoted\" & 'single' <b>",
    "<!-- <script>",
    "{{data}} {{script}}",
    "🏮 фонарь الفانوس \u202eright to left",
    "line\u2028separator\u2029 \x00 \ud800",
    "",
)


@pytest.fixture(scope="module")
def page() -> Page:
    return Page(make_page(folded_book()))


def test_nothing_comes_from_outside(page):
    html = make_page(folded_book())
    assert not re.findall(r"https?://(?!www\.w3\.org/2000/svg)", html)
    for _, attrs in page.elements:
        for name in ("src", "href", "action", "srcset", "data", "poster"):
            assert (attrs.get(name) or "data:").startswith("data:")
        assert not [name for name in attrs if name.startswith("on") or name == "style"]
    assert "@import" not in html and "url(" not in html


def test_policy_allows_exactly_the_pages_own_script_and_style(page):
    policy = next(
        m["content"] for m in page.all("meta") if m.get("http-equiv") == "Content-Security-Policy"
    )
    assert "default-src 'none'" in policy and "unsafe" not in policy
    scripts = [
        text
        for attrs, text in zip(page.all("script"), page.texts["script"], strict=True)
        if attrs.get("type") != "application/json"
    ]
    assert len(scripts) == 1 and len(page.texts["style"]) == 1
    for text in (scripts[0], page.texts["style"][0]):
        digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
        assert f"'sha256-{digest}'" in policy


def test_every_caution_is_on_the_page_and_the_choking_statement_word_for_word(page):
    main = page.texts["main"][0]
    for caution in CAUTIONS:
        assert caution.text in main
    assert CHOKING in page.texts["p"]
    hidden = [a for tag, a in page.elements if a.get("id") == "cautions" and "hidden" in a]
    assert not hidden


def test_ids_are_unique_and_labels_find_their_fields(page):
    ids = [attrs["id"] for _, attrs in page.elements if "id" in attrs]
    assert len(ids) == len(set(ids))
    for name in ("for", "aria-labelledby", "aria-controls"):
        for _, attrs in page.elements:
            assert (attrs.get(name) or ids[0]) in ids


def test_scripts_use_only_ids_that_the_page_has(page):
    ids = {attrs["id"] for _, attrs in page.elements if "id" in attrs}
    used = set(re.findall(r'byId\("([^"]+)"\)', page.texts["script"][-1]))
    assert used and used <= ids


def test_data_holds_the_whole_net_and_plan():
    book = folded_book()
    data = Page(make_page(book)).data()
    assert data == page_data(book)
    net, counts = book.net, data["counts"]
    names = unpack_texts(data["jointNames"], counts["joints"])
    assert sorted(names) == sorted(net.joint_names)
    bubbles = unpack_texts(data["bubbleNames"], counts["bubbles"])
    trails = unpack_numbers(data["trails"])
    codes = unpack_texts(data["codes"], counts["balloons"])
    balloon, stands = 0, dict.fromkeys(range(len(codes)), 0)
    made: dict[str, list[str]] = {}
    for i, name in enumerate(bubbles):
        balloon += trails[3 * i]
        start = stands[balloon] + trails[3 * i + 1]
        stands[balloon] = start + trails[3 * i + 2]
        made.setdefault(codes[balloon], []).append(name)
        ends = net.ends[net.bubble_names.index(name)].tolist()
        assert {names[start], names[stands[balloon]]} == {net.joint_names[j] for j in ends}
    for line in book.plan.balloons:
        assert made[line.code] == [net.bubble_names[b] for b in line.bubbles]


def test_positions_are_right_to_a_tenth_of_a_millimetre():
    book = make_book()
    data = page_data(book)
    steps = unpack_numbers(data["joints"])
    names = unpack_texts(data["jointNames"], data["counts"]["joints"])
    here = [0, 0, 0]
    for index, name in enumerate(names):
        here = [a + b for a, b in zip(here, steps[3 * index : 3 * index + 3], strict=True)]
        there = book.net.joints[book.net.joint_names.index(name)]
        assert abs(there - [v / data["unit"] for v in here]).max() <= 0.05 + 1e-9


def test_a_folded_step_has_a_stop_for_each_row_with_its_own_text():
    book = folded_book()
    stops = stops_of(book)
    inside = [stop for stop in stops if stop.step == 2]
    assert [stop.text for stop in inside] == list(book.instructions.steps[2].row_texts)
    assert sum(len(stop.bubbles) for stop in stops) == book.net.bubble_count
    assert sum((stop.bubbles for stop in inside), ()) == book.instructions.steps[2].new_bubbles


def test_the_place_belongs_to_the_plan_and_not_to_its_words():
    book = make_book()
    words = book.instructions
    reworded = replace(
        book,
        instructions=replace(
            words, steps=tuple(replace(s, text=s.text + " Slowly.") for s in words.steps)
        ),
    )
    assert page_key(reworded) == page_key(book)
    assert page_key(make_book(each=10)) != page_key(book)
    other = replace(book, plan=replace(book.plan, fingerprint="f" * 64))
    assert page_key(other) != page_key(book)


@pytest.mark.parametrize("name", NASTY)
def test_names_are_text_and_never_markup(name):
    palette = (Colour("<", f"red {name}", "#c8102e"), Colour("W", "white", "#f7f4ec"))
    book = make_book(Box(across=2, deep=2, high=2), name=name, palette=palette)
    finding = Finding(code="x", severity="note", where=name, message=name, remedy=name)
    joints = tuple(f"{joint} {name}" for joint in book.net.joint_names)
    book = replace(
        book,
        findings=(finding,),
        plan=replace(book.plan, net=replace(book.net, joint_names=joints)),
        instructions=replace(book.instructions, glossary=((name, name),), how_to_read=(name,)),
    )
    html = make_page(book)
    html.encode("utf-8")
    plain = Page(make_page(make_book(Box(across=2, deep=2, high=2))))
    found = Page(html)
    kinds = ("script", "style", "main", "dialog", "b", "p")
    for kind in kinds[:4]:
        assert len(found.all(kind)) == len(plain.all(kind))
    data = found.data()
    assert data["palette"][0][1] == f"red {name}"
    assert data["name"] == name


def test_json_in_a_script_cannot_end_it():
    text = script_json({"a": "</script><!--\u2028"})
    assert "<" not in text and "\u2028" not in text


@pytest.mark.parametrize(
    ("side", "limit"), [(6, 25_000), (18, 50_000), (58, 490_000)], ids=["216", "1944", "20184"]
)
def test_data_is_small(side, limit):
    book = make_book(Box(across=side, deep=side, high=side))
    assert len(script_json(page_data(book)).encode()) < limit


def test_a_palette_may_lack_a_mark_that_a_balloon_has():
    book = tiny_book()
    bare = replace(book, design=replace(book.design, palette=()))
    assert Page(make_page(bare)).data()["palette"][0][:2] == ["R", "R"]


def test_an_unpriced_book_without_steps_still_gives_a_page():
    book = tiny_book()
    bare = replace(
        book, shopping=(), instructions=replace(book.instructions, steps=(), glossary=())
    )
    assert CHOKING in make_page(bare)


def test_same_book_same_page_under_any_hash_seed():
    code = (
        "import hashlib; from tests.phone.pages import folded_book; "
        "from airweft.booklet.phone import make_page; "
        "print(hashlib.sha256(make_page(folded_book()).encode()).hexdigest())"
    )
    seen = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": "."},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(seen) == 1


def _with_cautions(book: Book) -> Book:
    return replace(book, cautions=book.cautions[:2])


def test_the_page_prints_the_books_own_cautions():
    html = make_page(_with_cautions(make_book()))
    assert CAUTIONS[1].text in html and CAUTIONS[2].text not in html
