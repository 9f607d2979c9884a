"""The shopping list: whole packs, spares, and a file that a spreadsheet cannot be tricked by."""

from __future__ import annotations

import csv
import io
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airweft.costing.shopping import Allowance, csv_text, packs_for, shop
from airweft.records.design import Colour
from tests.costing.plans import counted_plan

RED, WHITE = Colour("R", "red", "#ff0000"), Colour("W", "white", "#ffffff")


def show(length: int) -> str:
    return f"{length / 1000:g} cm"


def read(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_a_line_for_each_colour_and_size_in_the_palette_order() -> None:
    plan = counted_plan(
        [("W", "260", 6000, 12)] * 6 + [("R", "260", 6000, 12)] * 11 + [("R", "160", 4000, 5)],
        locks=1,
    )
    lines = shop(plan, [RED, WHITE])
    assert [(line.mark, line.size, line.need, line.spare, line.bubbles) for line in lines] == [
        ("R", "160", 1, 1, 5),
        ("R", "260", 11, 2, 132),
        ("W", "260", 6, 1, 72),
    ]
    assert all(line.packs == ((50, 1),) and line.left_over == 50 - line.need for line in lines)


def test_spares_are_a_setting_rounded_up() -> None:
    plan = counted_plan([("R", "260", 6000, 12)] * 20, locks=1)
    assert [shop(plan, [RED], Allowance(spare_percent=p))[0].spare for p in (0, 5, 10, 20)] == [
        0,
        1,
        2,
        4,
    ]


@pytest.mark.parametrize(
    ("count", "packs"),
    [
        (0, ()),
        (1, ((50, 1),)),
        (50, ((50, 1),)),
        (51, ((100, 1),)),
        (100, ((100, 1),)),
        (101, ((100, 1), (50, 1))),
        (151, ((100, 2),)),
        (100_001, ((100, 1000), (50, 1))),
    ],
)
def test_packs_of_a_hundred_and_fifty(count: int, packs: tuple[tuple[int, int], ...]) -> None:
    assert packs_for(count, (50, 100)) == packs


@given(st.integers(1, 120), st.lists(st.integers(1, 25), min_size=1, max_size=3, unique=True))
def test_packs_leave_the_least_over_then_are_fewest(count: int, sizes: list[int]) -> None:
    chosen = packs_for(count, sizes)
    total = sum(size * n for size, n in chosen)
    # The slow plain twin: every mix that could be of use.
    mixes = product(*(range(count // size + 2) for size in sizes))
    best = min(
        (sum(s * n for s, n in zip(sizes, mix, strict=True)), sum(mix))
        for mix in mixes
        if sum(s * n for s, n in zip(sizes, mix, strict=True)) >= count
    )
    assert (total, sum(n for _, n in chosen)) == best


def test_the_file_has_a_header_and_units() -> None:
    plan = counted_plan([("R", "260", 6000, 12)] * 2 + [("R", "260", 5500, 11)], locks=1)
    rows = read(csv_text(shop(plan, [RED]), show))
    assert len(rows) == 1
    row = rows[0]
    assert row["mark"] == "R" and row["colour"] == "red" and row["size"] == "260"
    assert (row["balloons needed"], row["spare"], row["left over"]) == ("3", "1", "47")
    assert row["packs to buy"] == "1 pack of 50"
    assert row["flat tails"] == "1 of 5.5 cm; 2 of 6 cm"
    assert float(row["air about (l)"]) == pytest.approx(7.2, abs=0.2)


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_no_cell_is_a_formula(start: str) -> None:
    name = start + '1+1|"cmd", <b>'
    plan = counted_plan([("R", "260", 6000, 12)], locks=1)
    (row,) = read(csv_text(shop(plan, [Colour("R", name, "#ff0000")]), show))
    assert row["colour"] == "'" + name


def test_a_mark_that_no_palette_has_stands_for_itself() -> None:
    plan = counted_plan([("Q", "260", 6000, 12)], locks=1)
    (line,) = shop(plan, [RED])
    assert (line.mark, line.name) == ("Q", "Q")


@pytest.mark.parametrize("packs", [(), (0,), (50, -1)])
def test_packs_that_are_none_are_refused(packs: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="packs are"):
        Allowance(packs=packs)


def test_negative_spares_are_refused() -> None:
    with pytest.raises(ValueError, match="spare_percent is -1; give 0 or more"):
        Allowance(spare_percent=-1)
