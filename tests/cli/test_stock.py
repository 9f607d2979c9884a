"""Stock on the command line: said on every path, refused on request, nothing lost."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from airweft.colour.difference import difference, lab_of
from airweft.design.stock_file import read_stock
from tests.cli.running import SMALL, run

PLENTY = """\
airweft-stock = 1
units = "cm"
[[balloons]]
size = "260"
colour = "red"
count = 9
part_used = ["120 cm"]
[[balloons]]
size = "260"
colour = "crimson"
count = 20
[[balloons]]
size = "160"
colour = "red"
state = "unlimited"
"""
NONE = PLENTY.replace("count = 9", "count = 0").replace('part_used = ["120 cm"]\n', "")


@pytest.fixture
def plenty(tmp_path: Path) -> Path:
    path = tmp_path / "plenty.toml"
    path.write_text(PLENTY, encoding="utf-8")
    return path


@pytest.fixture
def none(tmp_path: Path) -> Path:
    path = tmp_path / "none.toml"
    path.write_text(NONE, encoding="utf-8")
    return path


def test_new_stock_reads_as_it_is(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "stock.toml"
    ran = run(capsys, "new", "stock", "--out", path)
    assert ran.code == 0 and f"--stock {path}" in ran.out
    assert len(read_stock(path).entries) == 4
    assert run(capsys, "new", "Stock").out == path.read_text(encoding="utf-8")
    assert run(capsys, "new", "stock", "--out", path).code == 2


def test_made_from_stock(
    capsys: pytest.CaptureFixture[str], small: Path, plenty: Path, tmp_path: Path
) -> None:
    out, after = tmp_path / "made", tmp_path / "after.toml"
    ran = run(capsys, "make", small, "--out", out, "--stock", plenty, "--only-stock",
              "--style", "fewest", "--return-to", after)  # fmt: skip
    assert ran.code == 0, ran.err
    said = " ".join(ran.out.split())
    assert "0 + 1 part-used" in said and "from stock" in said and str(after) in said
    assert "R1 is made from the part-used red 260 that inflates to 120 cm" in said
    (row,) = csv.DictReader(io.StringIO((out / "shopping.csv").read_text(encoding="utf-8")))
    assert row["made from part-used"] == "R1 from 120 cm" and row["packs to buy"] == "nothing"
    booklet = " ".join(page.extract_text() for page in PdfReader(out / "booklet.pdf").pages)
    assert "From part-used balloons" in booklet and "R1, red 260" in booklet
    phone = (out / "steps.html").read_text(encoding="utf-8")
    assert "0 + 1 part-used" in phone and "made from part-used balloons" in phone
    # 16 bubbles of 25 mm use 1200 - 16 x 39 - 45 = 531 mm less of the rest.
    entry = read_stock(after).entries[0]
    assert entry.count == 9 and [rest.length for rest in entry.part_used] == [53_100]


def test_a_shortage_is_said_on_every_path(
    capsys: pytest.CaptureFixture[str], small: Path, none: Path, tmp_path: Path
) -> None:
    out = tmp_path / "made"
    words = "are in stock: 1 is missing"
    options = ("--stock", none, "--style", "fewest")
    ran = run(capsys, "make", small, "--out", out, *options)
    assert ran.code == 0 and "stock-short" in ran.out and words in ran.out
    assert "crimson (difference 14" in ran.out and "airweft substitutes" in ran.out
    booklet = " ".join(page.extract_text() for page in PdfReader(out / "booklet.pdf").pages)
    assert words in re.sub(r"\s+", " ", booklet)
    assert words in (out / "steps.html").read_text(encoding="utf-8")
    answer = json.loads(run(capsys, "make", small, "--out", out, *options, "--json").out)
    (short,) = [f for f in answer["findings"] if f["code"] == "stock-short"]
    assert short["severity"] == "risky" and answer["done"] is True
    supply = answer["shopping"][0]["supply"]
    assert (supply["state"], supply["had"], len(supply["missing"])) == ("limited", 0, 1)
    checked = run(capsys, "check", small, "--stock", none)
    assert checked.code == 0 and "stock-short" in checked.out
    compared = run(capsys, "compare", small, "--stock", none)
    assert compared.code == 0 and "not in stock" in compared.out
    assert "airweft substitutes" in compared.out


def test_refused_where_the_stock_must_suffice(
    capsys: pytest.CaptureFixture[str], small: Path, none: Path, tmp_path: Path
) -> None:
    out, after = tmp_path / "made", tmp_path / "after.toml"
    only = ("--stock", none, "--only-stock")
    ran = run(capsys, "make", small, "--out", out, *only, "--return-to", after)
    assert ran.code == 1 and "cannot [stock-short]" in ran.err
    assert not out.exists() and not after.exists()
    ran = run(capsys, "check", small, *only)
    assert ran.code == 1 and "cannot be made" in ran.err
    assert run(capsys, "compare", small, *only).code == 1
    answer = json.loads(run(capsys, "compare", small, *only, "--json").out)
    assert answer["done"] is False and answer["styles"][0]["missing"] >= 1


@pytest.mark.parametrize("command", ["make", "check", "compare", "substitutes"])
@pytest.mark.parametrize("text", [None, "", "count = 3", SMALL, PLENTY.replace("260", "26")])
def test_a_stock_that_cannot_be_read(
    capsys: pytest.CaptureFixture[str],
    small: Path,
    tmp_path: Path,
    command: str,
    text: str | None,
) -> None:
    path = tmp_path / "stock.toml"
    if text is not None:
        path.write_text(text, encoding="utf-8")
    more = ("--out", tmp_path / "made") if command == "make" else ()
    ran = run(capsys, command, small, "--stock", path, *more)
    assert ran.code == 2 and "What to do" in ran.err and "stock.toml" in ran.err
    assert not (tmp_path / "made").exists()
    answer = run(capsys, command, small, "--stock", path, *more, "--json")
    assert answer.code == 2 and json.loads(answer.out)["done"] is False


@pytest.mark.parametrize(
    "options", [("--only-stock",), ("--return-to", "after.toml")], ids=lambda o: str(o[0])
)
def test_options_without_a_stock(
    capsys: pytest.CaptureFixture[str], small: Path, tmp_path: Path, options: tuple[str, ...]
) -> None:
    ran = run(capsys, "make", small, "--out", tmp_path / "made", *options)
    assert ran.code == 2 and "Add --stock" in ran.err
    assert not (tmp_path / "made").exists()


def test_a_plan_file_has_no_names(
    capsys: pytest.CaptureFixture[str], small: Path, plenty: Path, tmp_path: Path
) -> None:
    run(capsys, "make", small, "--out", tmp_path / "made")
    ran = run(capsys, "check", tmp_path / "made" / "plan.json", "--stock", plenty)
    assert ran.code == 2 and "needs the design file" in ran.err


def test_substitutes_change_nothing_unless_told(
    capsys: pytest.CaptureFixture[str], small: Path, none: Path, plenty: Path, tmp_path: Path
) -> None:
    before = sorted(path.name for path in tmp_path.iterdir())
    ran = run(capsys, "substitutes", small, "--stock", none)
    assert ran.code == 0 and "Nothing was changed" in ran.out
    for said in ("crimson #dc143c", "13.8", "size 160 for 260", "as long as now", "cells of 4"):
        assert said in ran.out, said
    assert sorted(path.name for path in tmp_path.iterdir()) == before
    ran = run(capsys, "substitutes", small, "--stock", plenty)
    assert ran.code == 0 and "Nothing is short" in ran.out
    new = tmp_path / "new.toml"
    for wrong in (("--take", "1"), ("--write", new), ("--take", "x", "--write", new)):
        assert run(capsys, "substitutes", small, "--stock", none, *wrong).code == 2
    ran = run(capsys, "substitutes", small, "--stock", none, "--take", "77", "--write", new)
    assert ran.code == 2 and "no number 77" in ran.err and not new.exists()
    ran = run(capsys, "substitutes", small, "--stock", none, "--take", "1", "--write", new)
    assert ran.code == 0 and str(new) in ran.out
    assert small.read_text(encoding="utf-8") == SMALL
    assert run(capsys, "check", new, "--stock", none, "--only-stock").code == 0
    ran = run(capsys, "substitutes", small, "--stock", none, "--take", "1", "--write", new)
    assert ran.code == 2 and "Give --write the name of a new file" in ran.err


def test_substitutes_for_programs(
    capsys: pytest.CaptureFixture[str], small: Path, none: Path
) -> None:
    answer = json.loads(run(capsys, "substitutes", small, "--stock", none, "--json").out)
    assert answer["done"] is True and answer["written"] is None
    (colour,) = answer["colours"]
    assert (colour["name"], colour["apart"]) == ("crimson", None)
    assert colour["difference"] == round(difference(lab_of("#ff0000"), lab_of("#dc143c")), 2)
    assert [(one["size"], one["same_length"]) for one in answer["sizes"]] == [
        ("160", False), ("160", True),
    ]  # fmt: skip
    assert answer["sizes"][0]["bubble_mm"] == 12.5 and answer["sizes"][1]["bubble_mm"] == 25
    assert all(one["missing"] == 0 for one in answer["sizes"])
