"""What the view and the chart send, without a browser; and the modules that they share."""

from __future__ import annotations

import base64
import re
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from airweft.booklet.phone import MODULES
from airweft.draw.body import bodies_of
from airweft.net.fabric import weave
from airweft.records.arrays import pairs, points
from airweft.records.design import Box, Colour
from airweft.surface.build import build
from airweft.web.chart.pack import pack_chart
from airweft.web.view.canvas import whole_number
from airweft.web.view.pack import extents, pack_book, pack_net, repainted
from airweft.workshop.shape import open_design, painted_net
from tests.phone.pages import folded_book

EXAMPLES = Path(__file__).parents[2] / "examples"
PALETTE = (Colour("R", "red", "#c8102e"), Colour("W", "white", "#f7f4ec"))


def unpacked(text: str, kind: str) -> Any:
    return np.frombuffer(base64.b64decode(text), dtype=kind)


@pytest.fixture(scope="module")
def net() -> Any:
    net = weave(build(Box(across=4, deep=4, high=6), bubble=2500), bubble=2500, size="260")
    return replace(net, colours=tuple("RWX"[k % 3] for k in range(net.bubble_count)))


def test_a_net_arrives_as_it_is(net: Any) -> None:
    pack = pack_net(net, PALETTE, name="Lantern")
    data, bodies = pack.data, bodies_of(net)
    assert data["counts"] == {"joints": net.joint_count, "bubbles": net.bubble_count}
    assert np.allclose(unpacked(data["joints"], "<f4").reshape(-1, 3), net.joints, atol=1e-4)
    assert unpacked(data["ends"], "<i4").reshape(-1, 2).tolist() == net.ends.tolist()
    assert np.allclose(unpacked(data["waists"], "<f4"), bodies.waists, atol=1e-4)
    marks = [data["palette"][k][0] for k in unpacked(data["colours"], "<u2")]
    assert tuple(marks) == net.colours
    # A mark that the palette does not know is grey and says so by its own letter.
    assert [row[:2] for row in data["palette"]] == [["R", "red"], ["W", "white"], ["X", "X"]]
    assert tuple(data["bubbleNames"].split("\n")) == net.bubble_names == pack.bubbles
    panels = data["panels"].split("\n")
    assert tuple(panels[k] for k in unpacked(data["panelOf"], "<u2")) == net.bubble_panels
    assert pack.stops == 0


def test_only_colours_change_when_a_piece_is_painted(net: Any) -> None:
    pack = pack_net(net, PALETTE)
    marks = ["W"] * net.bubble_count
    again = repainted(pack, PALETTE, marks)
    assert again.data == pack_net(replace(net, colours=tuple(marks)), PALETTE).data
    assert {k for k in again.data if again.data[k] != pack.data[k]} == {"colours", "palette"}


def test_measures_are_those_of_the_bodies() -> None:
    # Each body by many points on its skin: an ellipsoid pulled apart by its straight middle.
    net = painted_net(open_design(EXAMPLES / "mooring-post.toml"))
    bodies = bodies_of(net)
    draw = np.random.default_rng(3)
    ball = draw.normal(size=(4000, 3))
    ball /= np.linalg.norm(ball, axis=1)[:, None]
    low, high = np.full(3, np.inf), np.full(3, -np.inf)
    for k in range(net.bubble_count):
        reach = float(np.linalg.norm(bodies.halves[k]))
        axis = bodies.halves[k] / reach
        lengthwise = ball @ axis
        across = (ball - lengthwise[:, None] * axis) * bodies.waists[k]
        cap = min(float(bodies.caps[k]), reach)
        skin = across + np.outer(lengthwise * cap + np.sign(lengthwise) * (reach - cap), axis)
        low = np.minimum(low, (bodies.centres[k] + skin).min(axis=0))
        high = np.maximum(high, (bodies.centres[k] + skin).max(axis=0))
    found = extents(bodies)
    assert (found[0] <= low + 1e-9).all() and (found[1] >= high - 1e-9).all()
    assert np.allclose(found, [low, high], atol=0.3)


def test_names_of_any_kind_stay_one_to_a_line() -> None:
    strange = ("one\ntwo", "", "\ud800", "<b>&amp;")
    net = weave(build(Box(across=2, deep=2, high=2), bubble=2500), bubble=2500, size="260")
    net = replace(
        net,
        colours=("R",) * net.bubble_count,
        bubble_names=strange + net.bubble_names[len(strange) :],
    )
    names = pack_net(net, PALETTE).data["bubbleNames"].split("\n")
    assert len(names) == net.bubble_count
    assert names[:4] == ["one two", "", "?", "<b>&amp;"]


def test_a_net_without_bubbles_is_packed_too() -> None:
    net = weave(build(Box(across=2, deep=2, high=2), bubble=2500), bubble=2500, size="260")
    none = replace(
        net, joints=points([]), ends=pairs([]), lengths=net.lengths[:0], colours=(), sizes=(),
        kinds=(), joint_names=(), bubble_names=(), bubble_panels=(), places=pairs([]), cells=(),
        seams=(), panels=(), origins=(),
    )  # fmt: skip
    assert pack_net(none, PALETTE).data["counts"] == {"joints": 0, "bubbles": 0}
    assert pack_chart(none, PALETTE).data["counts"]["charted"] == 0


def test_a_book_brings_its_stops_and_names_in_building_order() -> None:
    book = folded_book()
    pack = pack_book(book)
    made = [a.bubble for a in book.plan.actions if a.do == "twist"]
    assert pack.bubbles == tuple(book.net.bubble_names[b] for b in made)
    assert pack.stops == pack.data["counts"]["stops"] > 0


@pytest.mark.parametrize("name", sorted(p.name for p in EXAMPLES.glob("*.toml")))
def test_the_chart_has_every_bubble_once_and_none_upon_another(name: str) -> None:
    design = open_design(EXAMPLES / name)
    net = painted_net(design)
    data = pack_chart(net, design.palette).data
    bubbles = unpacked(data["bubbleOf"], "<i4")
    if not len(bubbles):
        assert "fabric" not in net.kinds  # only a bare frame has no chart
        return
    assert sorted(bubbles.tolist()) == list(range(net.bubble_count))
    spots = unpacked(data["spots"], "<f4").reshape(-1, 6)
    assert (spots[:, :2] > 0).all()
    assert (spots[:, :2] < [data["wide"], data["high"]]).all()
    parts = unpacked(data["partOf"], "<u2")
    boxes = np.array([part["box"] for part in data["parts"]])[parts]
    inside = (spots[:, :2] > boxes[:, :2] - 0.6) & (
        spots[:, :2] < boxes[:, :2] + boxes[:, 2:] + 0.6
    )
    assert inside.all()


@pytest.mark.parametrize("module", MODULES)
def test_shared_modules_can_be_written_into_the_phone_page(module: str) -> None:
    # The page takes imports and the word "export" away line by line.
    text = (files("airweft.draw") / "canvas" / module).read_text(encoding="utf-8")
    for line in text.split("\n"):
        if line.startswith("import "):
            assert re.fullmatch(r'import \{ [\w, ]+ \} from "\./[a-z]+\.js";', line), line
            source = line.rpartition("./")[2].removesuffix('";')
            assert MODULES.index(source) < MODULES.index(module), line
        if line.startswith("export"):
            assert re.match(r"export (function|const) \w", line), line
        assert "await import" not in line and " as " not in line.partition("//")[0]


@pytest.mark.parametrize("value", [None, "3", 1.5, True, [], {}])
def test_what_is_no_whole_number_counts_as_none(value: Any) -> None:
    assert whole_number(value) == -1
    assert whole_number(7) == 7
