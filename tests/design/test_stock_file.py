"""The stock file: read with every problem told, written so that it reads back the same."""

from __future__ import annotations

import re
import time
from pathlib import Path

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from airweft.balloon.sizes import FIGURES, SIZES
from airweft.balloon.stock import MOST_PART_USED, Entry, PartUsed, Stock
from airweft.base.errors import AirweftError, BadInput, TooNew
from airweft.design.css import CSS_COLOURS
from airweft.design.stock_file import read_stock, stock_from_bytes, stock_from_text
from airweft.design.stock_schema import EntryPart, StockTop
from airweft.design.stock_writing import STARTER, write_stock
from tests.design.fuzz import LIMIT_S, odd_values, put_or_take, says_what_to_do, spoilt

ROOT = Path(__file__).parents[2]
SAMPLES = Path(__file__).parent / "samples"
PAGE = (ROOT / "docs" / "stock.md").read_text(encoding="utf-8")
SHED = ROOT / "examples" / "stock" / "harbour-shed.toml"
LEAST = 'airweft-stock = 1\nunits = "cm"\n'
RED = '[[balloons]]\nsize = "260"\ncolour = "red"\ncount = 4\n'


def test_the_starter_reads_and_so_does_the_page_and_the_example() -> None:
    assert len(stock_from_text(STARTER).entries) == 4
    (page,) = re.findall(r"```toml\n(.*?)```", PAGE, re.S)
    assert [entry.name for entry in stock_from_text(page).entries] == ["red", "cherry"]
    assert read_stock(SHED).keep_from == 25_000


def test_the_page_has_every_key() -> None:
    for name in (*StockTop.model_fields, *EntryPart.model_fields):
        assert f"`{name}`" in PAGE, name


def test_a_file_of_the_first_version() -> None:
    stock = read_stock(SAMPLES / "stock-version-1.toml")
    assert (stock.units, stock.keep_from) == ("in", 30_480)
    coral, gull, gold, fat = stock.entries
    assert (coral.size, coral.name, coral.hex) == ("260", "light coral", "#f08080")
    assert coral.part_used == (PartUsed(19_050), PartUsed(78_740))
    assert (coral.state, coral.count, coral.pack) == ("limited", 40, 100)
    assert (gull.name, gull.state, gull.count) == ("Möwe", "unlimited", 0)
    assert (gold.state, gold.count) == ("do not use", 0)
    assert fat.hex == fat.name == "#00aaff"
    assert fat.part_used == (PartUsed(12_000, flat=True), PartUsed(11_430, flat=True))
    assert fat.own == ("flat", "twist_takes") and fat.budget is not None
    assert (fat.budget.flat, fat.budget.twist_takes) == (20_320, 4_250)
    assert fat.budget.full == SIZES["646"].budget.full
    canonical = (SAMPLES / "stock-version-1.canonical.toml").read_text(encoding="utf-8")
    assert write_stock(stock) == canonical
    assert stock_from_text(canonical) == stock


NAMES = st.text(
    st.characters(categories=["L", "N", "P", "S", "Zs"]), min_size=1, max_size=20
).map(str.strip).filter(bool).filter(str.isprintable)  # fmt: skip


@st.composite
def stocks(draw: st.DrawFn) -> Stock:
    """Any stock that a file could hold."""
    entries: list[Entry] = []
    for _ in range(draw(st.integers(0, 4))):
        size = draw(st.sampled_from(["160", "260", "350", "646"]))
        css = draw(st.sampled_from(sorted(CSS_COLOURS)))
        code = draw(st.sampled_from([CSS_COLOURS[css], "#123456", "#abcdef"]))
        name = draw(st.sampled_from([code, css if CSS_COLOURS[css] == code else "own"]) | NAMES)
        state = draw(st.sampled_from(["limited", "unlimited", "do not use"]))
        flat = SIZES[size].budget.flat
        lengths = st.integers(100, flat)
        own = tuple(f for f in FIGURES if draw(st.booleans()))
        given_own = own if draw(st.booleans()) else ()
        budget = SIZES[size].budget if given_own else None
        entry = Entry(
            size=size,
            name=name,
            hex=code,
            state=state,  # type: ignore[arg-type]
            count=0 if state == "unlimited" else draw(st.integers(0, 500)),
            part_used=(
                *(PartUsed(n) for n in draw(st.lists(lengths, max_size=12))),
                *(PartUsed(n, flat=True) for n in draw(st.lists(lengths, max_size=3))),
            ),
            pack=draw(st.none() | st.integers(1, 200)),
            budget=budget,
            own=given_own,
        )
        if all(
            other.size != size or (other.name.casefold() != name.casefold() and other.hex != code)
            for other in entries
        ):
            entries.append(entry)
    return Stock(
        units=draw(st.sampled_from(["mm", "cm", "in"])),
        keep_from=draw(st.integers(1, 100_000)),
        entries=tuple(entries),
    )


@settings(max_examples=150, deadline=None)
@given(stocks())
def test_what_is_written_reads_back_the_same(stock: Stock) -> None:
    text = write_stock(stock)
    back = stock_from_text(text)
    assert back == stock
    assert write_stock(back) == text


def test_the_most_part_used_can_be_written_and_read() -> None:
    rests = tuple(PartUsed(100_000 + n) for n in range(MOST_PART_USED))
    stock = Stock(entries=(Entry(size="260", name="red", hex="#ff0000", part_used=rests),))
    assert stock_from_text(write_stock(stock)) == stock


def problems(text: str) -> list[tuple[int | None, str, str, str]]:
    with pytest.raises(BadInput) as caught:
        stock_from_text(text)
    return [(f.line, f.code, f.message, f.remedy) for f in caught.value.findings]


@pytest.mark.parametrize(
    ("text", "line", "code", "said"),
    [
        (LEAST + RED + "colur = 1\n", 7, "unknown-key", "Did you mean colour?"),
        (LEAST + RED + "tail = 1\n", 7, "unknown-key", "Known here: size, colour, name"),
        (LEAST + "ballons = []\n", 3, "unknown-key", "Did you mean balloons?"),
        ("airweft-stok = 1\nunits = 'cm'\n" + RED, 1, "unknown-key", "airweft-stock?"),
        (LEAST, 2, "missing-key", "[[balloons]]"),
        (LEAST + "[balloons]\nsize = 1\n", 3, "wrong-type", "two brackets"),
        (LEAST + RED.replace("260", "26"), 4, "balloon-size", "three digits"),
        (LEAST + RED.replace('"red"', '"redd"'), 5, "bad-colour", 'Did you mean "red"?'),
        (LEAST + RED.replace("4", "-4"), 6, "out-of-range", "at least 0"),
        (LEAST + RED.replace("4", "4.5"), 6, "wrong-type", "a whole number"),
        (LEAST + RED + 'part_used = "20 cm"\n', 7, "wrong-type", 'part_used = ["20 cm"'),
        (LEAST + RED + 'part_used = ["1,000"]\n', 7, "bad-length", "two ways"),
        (LEAST + RED + "part_used = [200]\n", 7, "stock-too-long", "152.4 cm long inflated"),
        (LEAST + RED + "part_used_flat = [30]\n", 7, "stock-too-long", "27 cm long when it lies"),
        (LEAST + RED + 'state = "empty"\n', 7, "unknown-value", '"do not use"'),
        (LEAST + RED + 'state = "unlimited"\n', 6, "stock-count", "Take the count out"),
        (LEAST + RED.replace("count = 4\n", ""), 3, "stock-count", "count = 40"),
        (LEAST + RED + RED, 7, "stock-twice", "[[balloons]] 1 already"),
        (LEAST + RED + RED.replace("red", "#f00"), 7, "stock-twice", "this colour"),
        (LEAST + RED + "budget = { flt = 2 }\n", 7, "unknown-key", "Did you mean flat?"),
        (LEAST + RED + "budget = { flat = 200 }\n", 7, "bad-budget", "no more than flat"),
        (LEAST + RED.replace("260", "360") + "budget = { flat = 20 }\n", 4, "no-budget", "all six"),
        (LEAST.replace("1", "0") + RED, 1, "out-of-range", "airweft-stock = 1"),
        (LEAST.replace("1", '"1"') + RED, 1, "wrong-type", "airweft-stock = 1"),
        (LEAST.replace("cm", "ft") + RED, 2, "unknown-value", '"mm", "cm" or "in"'),
        ('airweft = 1\nname = "Lantern"\n', 1, "not-a-stock", "begins with airweft-stock = 1"),
    ],
)  # fmt: skip
def test_each_problem_has_its_line_and_what_to_do(
    text: str, line: int, code: str, said: str
) -> None:
    found = problems(text)
    assert [(at, which) for at, which, _, _ in found] == [(line, code)], found
    _, _, message, remedy = found[0]
    assert said in f"{message} {remedy}"


def test_all_problems_are_told_at_once() -> None:
    text = LEAST + RED.replace("count", "cuont") + RED.replace("260", "2600") + "foo = 1\n"
    assert [(line, code) for line, code, _, _ in problems(text)] == [
        (3, "stock-count"), (6, "unknown-key"), (8, "balloon-size"), (11, "unknown-key"),
    ]  # fmt: skip


def test_a_later_version_is_told_by_name() -> None:
    with pytest.raises(TooNew, match="version 7 of the stock file; this program reads up to"):
        stock_from_text("airweft-stock = 7\nnews = true\n")


def test_a_file_that_is_not_there_speaks_of_a_stock(tmp_path: Path) -> None:
    for path in (tmp_path / "none.toml", tmp_path):
        with pytest.raises(BadInput) as caught:
            read_stock(path)
        (finding,) = caught.value.findings
        assert "design" not in finding.message + finding.remedy
    with pytest.raises(BadInput, match="is empty"):
        stock_from_bytes(b"")


# Whatever a file holds, the answer is a stock or findings with remedies, and soon.

_TEXTS = [STARTER, SHED.read_text(encoding="utf-8"),
          (SAMPLES / "stock-version-1.toml").read_text(encoding="utf-8")]  # fmt: skip


def _answers(data: bytes) -> None:
    began = time.process_time()
    try:
        stock = stock_from_bytes(data)
    except AirweftError as error:
        says_what_to_do(error.findings)
    else:
        assert stock_from_text(write_stock(stock)) == stock
    assert time.process_time() - began < LIMIT_S


@settings(deadline=None)
@given(st.binary(max_size=300) | st.text(max_size=300).map(lambda t: t.encode("utf-8", "replace")))
def test_random_bytes_and_text(data: bytes) -> None:
    _answers(data)


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(_TEXTS), st.data())
def test_good_files_with_bytes_changed(text: str, data: st.DataObject) -> None:
    _answers(spoilt(text, data))


_ODD = odd_values(["260", "red", "unlimited", "do not use", "1,000", "2,5 cm", "#12"])


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(_TEXTS), st.data())
def test_wrong_types_everywhere(text: str, data: st.DataObject) -> None:
    document = tomlkit.parse(text).unwrap()
    for _ in range(data.draw(st.integers(1, 5))):
        entries = document.get("balloons")
        table = document
        if isinstance(entries, list) and entries and data.draw(st.booleans()):
            chosen = data.draw(st.sampled_from(entries))
            table = chosen if isinstance(chosen, dict) else document
        key = data.draw(st.sampled_from([*table, "extra", "budget", "part_used", "state"]))
        put_or_take(table, key, _ODD, data)
    _answers(tomlkit.dumps(document).encode())


@pytest.mark.parametrize(
    "text",
    [
        LEAST + "balloons = " + "[" * 1500,
        LEAST + "\n".join(["[[balloons]]"] * 20_000),
        LEAST + RED + "part_used = [\n" + "1,\n" * 100_000 + "]\n",
        LEAST + "[[balloons]]\n" + "\n".join(f"k{i} = 1" for i in range(20_000)),
        LEAST + "balloons = [" + "1, " * 600 + "]",
    ],
)
def test_texts_made_to_be_slow(text: str) -> None:
    _answers(text.encode())
