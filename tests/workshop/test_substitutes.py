"""What can stand in: colours by difference, sizes really planned, and new files only."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from airweft.balloon.sizes import FIGURES, SIZES, read_size_code
from airweft.balloon.stock import Entry, PartUsed, Stock
from airweft.base.errors import BadInput
from airweft.base.progress import Progress
from airweft.colour.difference import difference, lab_of
from airweft.design.canonical import write_design
from airweft.design.read import design_from_text
from airweft.records.design import Colour, MeshFile, NetFile
from airweft.workshop.near_colours import near_colours
from airweft.workshop.resized import budget_for, read_again, resized
from airweft.workshop.shape import open_design, painted_net
from airweft.workshop.stocked import Store
from airweft.workshop.substitutes import (
    Substitutes,
    find_substitutes,
    openings,
    write_substitute,
)
from tests.cli.running import SMALL

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


def entry(name: str, code: str, size: str = "260", **more: object) -> Entry:
    return Entry(size=size, name=name, hex=code, **{"count": 9, **more})  # type: ignore[arg-type]


RED, WHITE = Colour("R", "red", "#ff0000"), Colour("W", "white", "#ffffff")


def test_colours_come_in_order_of_difference_and_stay_apart() -> None:
    stock = Stock(
        entries=(
            entry("red", "#ff0000", count=0),
            entry("white", "#ffffff"),
            entry("navy", "#000080"),
            entry("crimson", "#dc143c"),
            entry("snow", "#fffafa"),
            entry("tomato", "#ff6347", state="do not use"),
            entry("coral", "#ff7f50", count=0),
            entry("orange", "#ffa500", "160"),
            entry("plum", "#dda0dd", count=0, part_used=(PartUsed(90_000),)),
        )
    )
    found = near_colours(RED, "260", (RED, WHITE), stock)
    # Neither red itself nor white, nothing set aside, used up or of another size.
    assert [near.entry.name for near in found] == ["crimson", "plum", "snow", "navy"]
    red, white = lab_of("#ff0000"), lab_of("#ffffff")
    for near in found:
        lab = lab_of(near.entry.hex)
        assert near.difference == pytest.approx(difference(lab, red))
        assert near.apart == pytest.approx(difference(lab, white)) and near.beside == "white"
    assert [near.distinct for near in found] == [True, True, False, True]
    alone = near_colours(RED, "260", (RED,), stock)
    assert all(math.isinf(near.apart) and near.distinct for near in alone)


@pytest.mark.parametrize(
    ("count", "bubble", "thick", "wide"),
    [
        (4, 10_000, 5_000, 5_000),  # a square: as wide as a side less a body
        (6, 10_000, 5_000, round(10_000 * math.sqrt(3) - 5_000)),  # a regular hexagon
        (3, 10_000, 5_000, round(10_000 / math.sqrt(3) - 5_000)),  # an equilateral triangle
        (4, 2_500, 5_080, 0),
    ],
)
def test_how_wide_a_cell_stays_open(count: int, bubble: int, thick: int, wide: int) -> None:
    net = painted_net(design_from_text(SMALL))
    cell = replace(net.cells[0], bubbles=tuple(range(count)))
    assert openings(replace(net, cells=(cell,)), bubble, thick) == ((count, wide),)


@pytest.mark.parametrize(
    ("path", "new"),
    [(path, ("160", "350")[n % 2]) for n, path in enumerate(EXAMPLES)],
    ids=lambda value: value.stem if isinstance(value, Path) else value,
)
def test_the_same_proportions_are_the_same_net_in_another_size(path: Path, new: str) -> None:
    design = open_design(path)
    sizes = set(painted_net(design).sizes)
    if sizes != {"260"} or isinstance(design.form, NetFile):
        pytest.skip("a piece of several sizes, or with lengths of its own")
    scale = Fraction(read_size_code(new).diameter, read_size_code("260").diameter)
    other = resized(design, "260", new, scale=scale, budget=SIZES[new].budget, assumed=FIGURES)
    again = read_again(other, path, progress=Progress())
    one, two = painted_net(design), painted_net(again)
    assert set(two.sizes) == {new}
    assert two.ends.tolist() == one.ends.tolist()
    assert (two.colours, two.bubble_names) == (one.colours, one.bubble_names)
    # Lengths are rounded to hundredths of a millimetre, in the design and once more in the net.
    assert np.abs(two.lengths - one.lengths * float(scale)).max() <= 2
    if not isinstance(design.form, MeshFile):  # a model is woven anew, so only nearly the same
        far = np.abs(two.joints).max()
        assert np.abs(two.joints - one.joints * float(scale)).max() < 0.01 * far


def test_the_same_length_changes_nothing_but_the_size() -> None:
    design = design_from_text(SMALL)
    other = resized(design, "260", "160", scale=None, budget=SIZES["160"].budget, assumed=FIGURES)
    assert write_design(other) == write_design(design).replace('"260"', '"160"')


def test_a_tail_that_leaves_no_bubble_is_left_open() -> None:
    text = SMALL.replace("bubble = 2.5", 'bubble = 2.5\ntail = "20 cm"')
    design = design_from_text(text)
    budget = SIZES["646"].budget
    assert budget.flat < 22_000
    long = resized(design, "260", "646", scale=None, budget=budget, assumed=FIGURES)
    thin = resized(design, "260", "160", scale=None, budget=SIZES["160"].budget, assumed=FIGURES)
    assert (long.tail, thin.tail) == (None, 20_000)


def test_the_budget_of_a_size() -> None:
    own = replace(SIZES["260"].budget, flat=25_000)
    stock = Stock(entries=(entry("red", "#ff0000", "360", budget=own, own=FIGURES),))
    assert budget_for("160", stock) == (SIZES["160"].budget, FIGURES)
    assert budget_for("360", stock) == (own, ())
    assert budget_for("370", stock) is None


@pytest.fixture
def small(tmp_path: Path) -> Path:
    path = tmp_path / "pennant.toml"
    path.write_text(SMALL, encoding="utf-8")
    return path


PAIRED = SMALL + '[plan]\nstyle = "pairs"\n'  # so that four balloons are needed
STORE = Store(
    stock=Stock(
        entries=(
            entry("red", "#ff0000", count=0),
            entry("crimson", "#dc143c", count=1),
            entry("navy", "#000080", count=8),
            entry("red", "#ff0000", "160", count=8),
            entry("red", "#ff0000", "370", count=8),
        )
    ),
    name="stock.toml",
)


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Substitutes:
    path = tmp_path_factory.mktemp("found") / "pennant.toml"
    path.write_text(PAIRED, encoding="utf-8")
    return find_substitutes(path, STORE)


def test_all_that_is_found_is_planned(found: Substitutes) -> None:
    assert [(line.mark, line.size) for line in found.short] == [("R", "260")]
    # Four are needed and there is one crimson: navy suffices and comes first.
    assert [(one.near.entry.name, one.need, one.missing) for one in found.colours] == [
        ("navy", 4, 0), ("crimson", 4, 3),
    ]  # fmt: skip
    assert [(one.number, one.same_length) for one in found.sizes] == [(3, False), (4, True)]
    same, long = found.sizes
    assert (same.look.size, same.look.bubble) == ("160", 1_250)
    assert (long.look.size, long.look.bubble) == ("160", 2_500)
    assert same.look.fatness == pytest.approx(found.now.fatness)
    assert long.look.fatness == pytest.approx(found.now.fatness / 2)
    for mine, now in zip(same.look.size_mm, found.now.size_mm, strict=True):
        assert mine == pytest.approx(now / 2, rel=0.05)  # half as thick, half as large
    assert same.look.missing == long.look.missing == 0
    assert [one.what for one in found.not_offered] == ["size 370"]


def test_nothing_short_nothing_found(small: Path) -> None:
    plenty = Store(stock=Stock(entries=(entry("red", "#ff0000", count=99),)), name="s.toml")
    found = find_substitutes(small, plenty)
    assert (found.short, found.colours, found.sizes) == ((), (), ())


def test_a_new_file_holds_what_was_taken(found: Substitutes, tmp_path: Path) -> None:
    source = tmp_path / "pennant.toml"
    source.write_text(SMALL, encoding="utf-8")
    new = tmp_path / "new.toml"
    write_substitute(found, [4, 1], source, new)
    text = new.read_text(encoding="utf-8")
    assert text.startswith("# pennant.toml with size 160 for 260 and navy for red (R).\n")
    design = open_design(new)
    assert design.palette == (Colour("R", "navy", "#000080"),)
    assert (design.size, design.bubble) == ("160", 2_500)
    assert source.read_text(encoding="utf-8") == SMALL
    with pytest.raises(BadInput, match="left alone"):
        write_substitute(found, [1], source, new)
    assert new.read_text(encoding="utf-8") == text


@pytest.mark.parametrize(
    ("take", "said"), [([9], "no number 9"), ([1, 2], "same thing"), ([3, 4], "same thing")]
)
def test_numbers_that_there_are_not(
    found: Substitutes, tmp_path: Path, take: list[int], said: str
) -> None:
    with pytest.raises(BadInput, match=said):
        write_substitute(found, take, tmp_path / "pennant.toml", tmp_path / "new.toml")
    assert list(tmp_path.iterdir()) == []


def test_a_design_with_files_beside_it_stays_beside_them(tmp_path: Path) -> None:
    star = next(path for path in EXAMPLES if path.stem == "frame-star")
    design = open_design(star)
    size = design.size
    colours = [
        Entry(size=size, name=colour.name, hex=colour.hex, count=0) for colour in design.palette
    ]
    teal = Entry(size=size, name="teal", hex="#008080", count=99)
    given = Store(stock=Stock(entries=(*colours, teal)), name="stock.toml")
    found = find_substitutes(star, given)
    assert {one.near.entry.name for one in found.colours} == {"teal"}
    with pytest.raises(BadInput, match="names a file of its own folder"):
        write_substitute(found, [1], star, tmp_path / "new.toml")
