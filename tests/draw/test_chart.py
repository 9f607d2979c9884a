"""The flat chart: every bubble once, numbers, seams, unfolding."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from airweft.draw.chart import chart, panel_charts
from airweft.draw.unfold import on_side, sheets_of, unfold
from airweft.net.seams import add_loops
from airweft.records.net import Net
from tests.draw.pieces import PALETTE, PIECES, chest, cube, letter, sheet, star, tube

SVG = "{http://www.w3.org/2000/svg}"
PANELLED = [name for name in PIECES if name != "star"]


def drawn(svg: str) -> int:
    """Bubbles on a chart, the key's own left out."""
    root = ElementTree.fromstring(svg)
    fills = [p for p in root.iter(f"{SVG}path") if p.get("fill", "").startswith("url")]
    return len(fills)


def colours_used(net: Net) -> int:
    return len(set(net.colours))


@pytest.mark.parametrize("name", PANELLED)
def test_every_bubble_is_on_the_chart_once_with_its_mark(name: str) -> None:
    net = PIECES[name]()
    svg = chart(net, PALETTE)
    assert drawn(svg) == net.bubble_count + colours_used(net)
    root = ElementTree.fromstring(svg)
    assert len(list(root.iter(f"{SVG}use"))) == net.bubble_count + colours_used(net)


def test_extra_bubbles_are_on_it_too() -> None:
    net = add_loops(chest())
    net = replace(net, colours=tuple(c or "Y" for c in net.colours))
    assert net.bubble_count > chest().bubble_count
    assert drawn(chart(net, PALETTE)) == net.bubble_count + colours_used(net)


@pytest.mark.parametrize("name", PANELLED)
def test_panels_do_not_overlap_and_keep_their_gap(name: str) -> None:
    sheets = sheets_of(PIECES[name]())
    places = unfold(sheets, 3.0)
    assert set(places) == {s.name for s in sheets}
    boxes = [(places[s.name][0], places[s.name][1], s.columns, s.rows) for s in sheets]
    for k, (x, y, w, h) in enumerate(boxes):
        for u, v, a, b in boxes[k + 1 :]:
            assert x + w + 2.5 <= u or u + a + 2.5 <= x or y + h + 2.5 <= v or v + b + 2.5 <= y


def test_a_cube_unfolds_into_a_cross() -> None:
    sheets = sheets_of(cube())
    places = unfold(sheets, 2.0)
    assert places["front"] == (0, 0)
    assert places["right"] == (8, 0)
    assert places["left"] == (-8, 0)
    assert places["top"] == (0, 8)
    assert places["bottom"] == (0, -8)
    assert places["back"][1] == 0
    by_name = {s.name: s for s in sheets}
    assert by_name["front"].meets == {
        "right": ("right",),
        "left": ("left",),
        "top": ("top",),
        "bottom": ("bottom",),
    }
    # Where two panels are drawn side by side the joints of the seam really lie opposite.
    right, left = on_side(by_name["front"], "right"), on_side(by_name["right"], "left")
    assert right == left


def test_open_sides_and_closed_tubes_are_told() -> None:
    boxes = {s.name: s for s in sheets_of(chest())}
    assert boxes["front"].meets["top"] == ()
    (only,) = sheets_of(tube())
    assert only.meets == {"left": (only.name,), "right": (only.name,), "top": (), "bottom": ()}
    (flat,) = sheets_of(sheet())
    assert not any(flat.meets.values())


def test_diagonals_join_the_joints_of_the_net() -> None:
    """The way a charted bubble runs, from its column and row alone, against the woven net."""
    net = letter()
    for sheet_ in sheets_of(net):
        for bubble, c, r in sheet_.bubbles:
            corners = {(c + 1, r), (c, r + 1)} if (c + r) % 2 == 0 else {(c, r), (c + 1, r + 1)}
            ends = net.ends[bubble].tolist()
            assert {sheet_.joints[j] for j in ends} == corners


def test_one_chart_for_each_panel() -> None:
    net = cube()
    charts = panel_charts(net, PALETTE)
    assert sorted(name for name, _ in charts) == sorted(net.panels)
    for _, svg in charts:
        assert drawn(svg) == 36 + 3
    assert panel_charts(star(), PALETTE) == ()


def test_a_net_without_panels_is_seen_three_times_with_joint_names() -> None:
    net = star()
    root = ElementTree.fromstring(chart(net, PALETTE))
    plates = list(root.iter(f"{SVG}rect"))
    assert 12 <= len(plates) <= 36
