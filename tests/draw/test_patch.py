"""Round forms on the flat chart: every bubble once, every cell whole, every cut marked twice."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from itertools import pairwise
from math import hypot, sqrt
from xml.etree import ElementTree

import numpy as np
import pytest

from airweft.draw.chart import chart, panel_charts
from airweft.draw.facets import facets
from airweft.draw.patch import LENGTH, Flat, Patch, flat
from airweft.draw.plainpatch import plain_patch
from airweft.draw.pressed import faces_one_way, pressed
from airweft.net.fabric import weave
from airweft.records.arrays import points
from airweft.records.design import Ball, Solid
from airweft.records.net import Net
from airweft.surface.build import build
from tests.draw.pieces import PALETTE, ROUND, chest, letter, painted_round, star, tube

SVG = "{http://www.w3.org/2000/svg}"
NETS: dict[str, Net] = {name: painted_round(form) for name, form in ROUND.items()}


def charted(laid: Flat) -> Counter[int]:
    found = Counter(b for sheet in laid.sheets for b, _, _ in sheet.bubbles)
    return found + Counter(b for patch in laid.patches for b, _, _ in patch.bubbles)


@pytest.mark.parametrize("name", NETS)
def test_every_bubble_lies_on_the_chart_exactly_once(name: str) -> None:
    assert charted(flat(NETS[name])) == Counter(range(NETS[name].bubble_count))


@pytest.mark.parametrize("name", NETS)
def test_bubbles_keep_much_of_their_length(name: str) -> None:
    for patch in flat(NETS[name]).patches:
        spans = [hypot(a[0] - b[0], a[1] - b[1]) / LENGTH for _, a, b in patch.bubbles]
        assert min(spans) > 0.35 and max(spans) < 2.1, patch.name


@pytest.mark.parametrize("name", NETS)
def test_ends_lie_where_their_joints_are(name: str) -> None:
    net = NETS[name]
    for patch in flat(net).patches:
        places: dict[int, list[tuple[float, float]]] = {}
        for joint, spot in patch.joints:
            places.setdefault(joint, []).append(spot)
        for bubble, *spots in patch.bubbles:
            for spot in spots:
                near = [
                    min(hypot(spot[0] - x, spot[1] - y) for x, y in places[joint])
                    for joint in net.ends[bubble].tolist()
                ]
                assert min(near) < 0.4  # level bubbles step a little aside


@pytest.mark.parametrize("name", NETS)
def test_every_cut_joint_has_one_number_wherever_it_lies(name: str) -> None:
    laid = flat(NETS[name])
    where = Counter(joint for patch in laid.patches for joint, _ in patch.joints)
    where += Counter(joint for sheet in laid.sheets for joint in sheet.joints)
    on_patches = {joint for patch in laid.patches for joint, _ in patch.joints}
    assert set(laid.numbers) == {j for j, n in where.items() if n > 1 and j in on_patches}
    assert sorted(laid.numbers.values()) == list(range(1, len(laid.numbers) + 1))


@pytest.mark.parametrize("name", NETS)
def test_drawn_charts_carry_every_mark_and_every_number(name: str) -> None:
    net = NETS[name]
    laid = flat(net)
    root = ElementTree.fromstring(chart(net, PALETTE))
    fills = [p for p in root.iter(f"{SVG}path") if p.get("fill", "").startswith("url")]
    assert len(fills) == net.bubble_count + len(set(net.colours))
    plates = [r for r in root.iter(f"{SVG}rect") if r.get("fill") == "#ffffff"]
    spots = sum(joint in laid.numbers for patch in laid.patches for joint, _ in patch.joints)
    spots += sum(joint in laid.numbers for sheet in laid.sheets for joint in sheet.joints)
    assert len(plates) == spots
    names = [name for name, _ in panel_charts(net, PALETTE, bare=True)]
    assert len(names) == len(set(names)) == len(laid.sheets) + len(laid.patches)


def overlap(patch: Patch, net: Net) -> float:
    """The nearest that two middles of bubbles come, in columns."""
    middles = np.array([((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for _, a, b in patch.bubbles])
    apart = np.sqrt(((middles[:, None] - middles[None]) ** 2).sum(axis=2))
    np.fill_diagonal(apart, np.inf)
    return float(apart.min())


@pytest.mark.parametrize("name", [n for n, f in ROUND.items() if isinstance(f, Solid | Ball)])
def test_unfolded_solids_do_not_lie_on_themselves(name: str) -> None:
    for patch in flat(NETS[name]).patches:
        # In a ring of three the middles are half a bubble apart, and never less.
        assert overlap(patch, NETS[name]) > 0.499 * LENGTH


@pytest.mark.parametrize(("name", "faces"), [("cube", 6), ("dodecahedron", 12), ("snub cube", 38)])
def test_a_solid_unfolds_in_one_piece_along_a_tree_of_edges(name: str, faces: int) -> None:
    """A net of a convex solid joins F faces over F - 1 edges; all other edges are cut."""
    net = painted_round(Solid(name=name))
    (patch,) = flat(net).patches
    times = Counter(joint for joint, _ in patch.joints)
    assert sum(n == 1 for n in times.values()) == faces - 1
    assert sum(n == 2 for n in times.values()) == net.joint_count - (faces - 1)


def test_a_cube_of_fabric_unfolds_into_squares_of_four() -> None:
    (laid,) = facets(painted_round(Solid(name="cube")), range(6))
    for cell in range(6):
        spots = [laid[cell, k] for k in range(4)]
        sides = [hypot(a[0] - b[0], a[1] - b[1]) for a, b in pairwise(spots)]
        assert sides == pytest.approx([sqrt(0.5)] * 3)


def test_a_divided_icosahedron_stays_whole_but_for_its_twelve_corners() -> None:
    """The developed icosahedron: 19 of its 30 edges stay joined, 11 are cut."""
    net = NETS["ball"]
    laid = flat(net)
    assert len(laid.patches) == 1
    assert len(laid.numbers) <= 30  # of 120 joints


def test_rows_of_a_tower_lie_level_and_in_order() -> None:
    net = NETS["tower"]
    (patch,) = flat(net).patches
    assert net.counted is not None
    rows = net.counted[:, 1]
    heights: dict[int, list[float]] = {}
    for bubble, a, b in patch.bubbles:
        heights.setdefault(int(rows[bubble]), []).append((a[1] + b[1]) / 2)
    order = [heights[row] for row in sorted(heights)]
    assert all(max(low) < min(high) for low, high in pairwise(order))
    assert {text for text, _ in patch.rows} >= {"1", "2"}


def test_caps_are_rings_seen_from_their_side() -> None:
    names = [patch.name for patch in flat(NETS["jar"]).patches]
    assert names == ["bottom, seen from below", "top, seen from above"]
    assert [sheet.name for sheet in flat(NETS["jar"]).sheets] == ["side"]


def test_a_cap_seen_from_below_is_mirrored_against_one_from_above() -> None:
    """Anticlockwise from outside on the net is anticlockwise on the chart, on both caps."""
    for name in ("jar", "ball", "ring", "post", "snub cube"):
        net = NETS[name]
        ends = {}
        for patch in flat(net).patches:
            for bubble, a, b in patch.bubbles:
                ends[bubble] = (a, b)
        for cell in net.cells:
            if not all(bubble in ends for bubble in cell.bubbles):
                continue
            spots = [ends[bubble] for bubble in cell.bubbles]
            area = sum(a[0] * b[1] - a[1] * b[0] for a, b in spots)
            assert area > -1.0, name  # bubbles set aside leave a little gap


def test_models_are_pressed_flat_part_by_part() -> None:
    """Half a ball faces one way and flattens evenly; the whole ball does not."""
    net = NETS["ball"]
    half = [k for k, c in enumerate(net.cells) if net.joints[list(c.joints), 2].mean() > 140]
    assert faces_one_way(net, half) and not faces_one_way(net, range(len(net.cells)))
    for laid in pressed(net, half):
        for cell in {cell for cell, _ in laid}:
            spots = [laid[cell, k] for k in range(3)]
            sides = [hypot(spots[k][0] - spots[k - 1][0], spots[k][1] - spots[k - 1][1])
                     for k in range(3)]  # fmt: skip
            assert min(sides) > 0.4 and max(sides) < 1.6


def test_a_model_without_rows_is_charted_whole() -> None:
    net = weave(build(Ball(across=42000), bubble=3000), bubble=3000, size="260")
    sides = tuple(
        ("right" if x > abs(y) else "left" if -x > abs(y) else "back" if y > 0 else "front")
        for x, y in (net.joints[list(c.joints), :2].mean(axis=0) for c in net.cells)
    )
    cells = tuple(replace(c, panel=side) for c, side in zip(net.cells, sides, strict=True))
    net = replace(net, cells=cells, counted=None, colours=("R",) * net.bubble_count)
    laid = flat(net)
    assert charted(laid) == Counter(range(net.bubble_count))
    assert len(laid.patches) < 40


@pytest.mark.parametrize("name", ["chest", "letter", "tube"])
def test_forms_with_columns_and_rows_have_no_patches(name: str) -> None:
    laid = flat({"chest": chest, "letter": letter, "tube": tube}[name]())
    assert laid.sheets and not laid.patches and not laid.numbers


def test_a_bare_frame_has_neither() -> None:
    assert flat(star()) == Flat(sheets=(), patches=())


def test_a_chart_does_not_hang_on_the_last_bit() -> None:
    """Positions off by less than a nanometre give the same bytes."""
    for name in ("ball", "post", "snub cube"):
        net = NETS[name]
        wind = np.random.default_rng(4).uniform(-1e-9, 1e-9, net.joints.shape)
        moved = replace(net, joints=points(np.asarray(net.joints) + wind))
        assert chart(moved, PALETTE) == chart(net, PALETTE)


def test_plain_patches_are_light() -> None:
    net = painted_round(Ball(across=42000))
    laid = flat(net)
    for patch in laid.patches:
        svg = plain_patch(net, PALETTE, patch, laid.numbers)
        ElementTree.fromstring(svg)
        assert len(svg) < 260 * len(patch.bubbles) + 4000
