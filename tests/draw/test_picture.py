"""Pictures as structure: parsed as XML, counted, compared; nothing that a converter lacks."""

from __future__ import annotations

import re
import subprocess
import sys
from collections import Counter
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from airweft.draw.body import bodies_of, draw_order, outlines
from airweft.draw.camera import Camera
from airweft.draw.chart import chart
from airweft.draw.cover import cover
from airweft.draw.howto import all_diagrams
from airweft.draw.paint import body_path
from airweft.draw.picture import piece
from airweft.draw.raster import to_png
from airweft.records.design import Box, Colour, Sheet
from airweft.records.net import Net
from tests.draw.pieces import PALETTE, PIECES, cube, loose, sheet, star, tube, woven

SVG = "{http://www.w3.org/2000/svg}"
ALLOWED = {"svg", "title", "defs", "radialGradient", "stop", "g", "circle", "path", "use", "rect"}
FRONT = Camera(turn=0.0, tilt=0.0)


def parsed(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def bodies_in(svg: str) -> list[ElementTree.Element]:
    """The filled paths straight in the picture, without the definitions."""
    found = []
    root = parsed(svg)
    for group in root.findall(f"{SVG}g"):
        found += [p for p in group.iter(f"{SVG}path") if p.get("fill", "") not in ("", "none")]
    return found


@pytest.mark.parametrize("name", PIECES)
def test_only_plain_svg_is_used(name: str) -> None:
    net = PIECES[name]()
    fresh = range(net.bubble_count // 2, net.bubble_count // 2 + 5)
    drawings = [
        piece(net, PALETTE, Camera(), title="A <piece> & more"),
        piece(net, PALETTE, Camera(), shown=range(fresh.stop), new=fresh, joints={0: "R1.5"}),
        chart(net, PALETTE),
        *(d.svg for d in all_diagrams(PALETTE)),
    ]
    for svg in drawings:
        root = parsed(svg)
        tags = {element.tag.removeprefix(SVG) for element in root.iter()}
        assert tags <= ALLOWED
        keys = {key for element in root.iter() for key in element.attrib}
        assert not {k for k in keys if "opacity" in k or k in ("style", "class", "filter", "mask")}
        assert "NaN" not in svg and "nan" not in svg and "inf" not in svg.replace("infl", "")
        ids = [e.get("id") for e in root.iter() if e.get("id")]
        assert len(ids) == len(set(ids))
        used = set(re.findall(r"url\(#(\w+)\)|href=\"#(\w+)\"", svg))
        assert {a or b for a, b in used} == set(ids)


def test_a_sheet_from_the_front_shows_every_bubble_with_its_mark() -> None:
    net = sheet()
    svg = piece(net, PALETTE, FRONT)
    assert len(bodies_in(svg)) == net.bubble_count
    uses = Counter(u.get("href") for u in parsed(svg).iter(f"{SVG}use"))
    assert sum(uses.values()) == net.bubble_count
    assert len(uses) >= 3


def test_what_is_wholly_hidden_is_not_written() -> None:
    svg = piece(cube(), PALETTE, Camera(), labels="none")
    assert 108 <= len(bodies_in(svg)) < 190


def test_size_of_the_common_cube() -> None:
    """216 bubbles with their marks: about 25 KB."""
    assert len(piece(cube(), PALETTE, Camera())) < 28_000


def test_size_grows_with_what_is_seen() -> None:
    net = woven(Box(across=30, deep=30, high=30), "RRWWBB")
    svg = piece(net, PALETTE, Camera(), labels="none")
    assert len(svg) < 110 * net.bubble_count


def test_new_work_is_bold_on_a_white_rim_and_the_rest_is_veiled() -> None:
    net = sheet()
    svg = piece(net, PALETTE, FRONT, shown=range(20), new=range(14, 20))
    veiled = [p for p in bodies_in(svg) if p.get("stroke")]
    strong = [p for p in bodies_in(svg) if p.get("fill", "").startswith("url")]
    rims = [p for p in parsed(svg).iter(f"{SVG}path") if p.get("stroke") == "#ffffff"]
    assert len(veiled) == 14
    assert len(strong) == len(rims) == 6
    bold = min(float(p.get("stroke-width", "0")) for p in strong)
    thin = max(float(p.get("stroke-width", "0")) for p in veiled)
    assert bold > 2.5 * thin
    # Marks stand on new work only.
    assert len(list(parsed(svg).iter(f"{SVG}use"))) == 6


def test_new_work_is_drawn_even_if_it_lies_behind() -> None:
    net = cube()
    behind = [i for i, panel in enumerate(net.bubble_panels) if panel == "back"][14:16]
    svg = piece(net, PALETTE, FRONT, shown=range(net.bubble_count), new=behind)
    assert svg.count("stroke-dasharray") == 2
    assert len(list(parsed(svg).iter(f"{SVG}use"))) == 2


def test_labels_can_be_numbers_or_nothing() -> None:
    net = sheet()
    numbers = {0: "1", 7: "12", 9: "123"}
    svg = piece(net, PALETTE, FRONT, labels=numbers)
    assert len(list(parsed(svg).iter(f"{SVG}use"))) == 3
    assert "<use" not in piece(net, PALETTE, FRONT, labels="none")


def test_joint_names_only_on_the_near_side() -> None:
    net = cube()
    near = net.joint_names.index("front (3, 4)")
    far = net.joint_names.index("back (3, 2)")
    plain = piece(net, PALETTE, FRONT)
    assert piece(net, PALETTE, FRONT, joints={far: "R1.5"}) == plain
    assert piece(net, PALETTE, FRONT, joints={near: "R1.5"}).count("<rect") == 1
    assert piece(net, PALETTE, FRONT, joints={999_999: "R9.9"}) == plain


def test_near_bubbles_hide_far_ones() -> None:
    """Two equal bubbles in a row: the near one is seen whole, the far one not at all."""
    net = loose([(-20, 0, 0), (20, 0, 0), (-20, 60, 0), (20, 60, 0)], [(0, 1), (2, 3)])
    for camera, near, far in ((FRONT, 0, 1), (Camera(turn=np.pi, tilt=0.0), 1, 0)):
        shape = outlines(bodies_of(net), camera)
        found = cover(shape, draw_order(shape))
        assert found.share[near] == 1.0
        assert found.share[far] == 0.0
    level = outlines(bodies_of(net), Camera(turn=0, tilt=np.pi / 2))
    assert cover(level, draw_order(level)).share.tolist() == [1.0, 1.0]


def test_shares_agree_with_a_plain_twin() -> None:
    """The filled grid against asking, point by point, for the nearest body there."""
    shape = outlines(bodies_of(tube()), Camera())
    order = draw_order(shape)
    found = cover(shape, order)
    rng = np.random.default_rng(0)
    low, high = (shape.centres.min(axis=0) - 10, shape.centres.max(axis=0) + 10)
    points = rng.uniform(low, high, size=(8000, 2))
    top = np.full(len(points), -1)
    own = np.zeros(len(order))
    for i in order:
        u, n = shape.axes[i], np.array([-shape.axes[i, 1], shape.axes[i, 0]])
        d = points - shape.centres[i]
        hit = (d @ u / shape.majors[i]) ** 2 + (d @ n / shape.minors[i]) ** 2 <= 1
        own[i] = hit.sum()
        top[hit] = i
    seen = np.bincount(top[top >= 0], minlength=len(order))
    enough = own > 25
    assert enough.sum() > 60
    error = np.abs(seen[enough] / own[enough] - found.share[enough])
    assert error.mean() < 0.03
    assert error.max() < 0.22


def test_same_bytes_whatever_the_hash_seed() -> None:
    code = (
        "from tests.draw.pieces import *\n"
        "from airweft.draw.camera import Camera\n"
        "from airweft.draw.chart import chart\n"
        "from airweft.draw.picture import piece\n"
        "import sys\n"
        "n = cube()\n"
        "sys.stdout.write(piece(n, PALETTE, Camera(), shown={3, 90, 91}, new={9, 8, 70}))\n"
        "sys.stdout.write(piece(n, PALETTE, Camera()) + chart(n, PALETTE) + chart(star(), PALETTE))"
    )
    runs = [
        subprocess.run(
            [sys.executable, "-c", code],
            capture_output=True,
            check=True,
            env={"PYTHONHASHSEED": seed, "PATH": ""},
        ).stdout
        for seed in ("1", "4242")
    ]
    assert runs[0] == runs[1]
    assert len(runs[0]) > 50_000


def test_outlines_close() -> None:
    """Each path comes back to where it began, to the last printed digit."""
    shape = outlines(bodies_of(star()), Camera())
    for i in range(20):
        path = body_path(shape, i)
        x = y = 0.0
        for command, rest in re.findall(r"([Mlaz])([^Mlaz]*)", path):
            values = [float(v) for v in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", rest)]
            if command in "la":
                x, y = x + values[-2], y + values[-1]
        assert abs(x) < 0.26 and abs(y) < 0.26


EXTREME: dict[str, Net] = {
    "one bubble": loose([(0, 0, 0), (100, 0, 0)], [(0, 1)]),
    "coincident joints": loose([(5, 5, 5), (5, 5, 5)], [(0, 1)], lengths=[2500]),
    "zero length": loose([(0, 0, 0), (0, 0, 0)], [(0, 1)], lengths=[0]),
    "one loop": loose([(0, 0, 0)], [(0, 0)], lengths=[3000]),
    "huge": loose([(0, 0, 0), (1e6, 0, 0), (0, 1e6, 1e6)], [(0, 1), (1, 2)]),
    "far away": loose([(1e6, 1e6, 1e6), (1e6 + 30, 1e6, 1e6)], [(0, 1)]),
    "very unequal": loose([(0, 0, 0), (1e6, 0, 0), (1e6, 0.01, 0)], [(0, 1), (1, 2)]),
    "no bubbles": loose([(0, 0, 0)], []),
    "nothing": loose([], []),
}


@pytest.mark.parametrize("name", EXTREME)
@pytest.mark.parametrize("camera", [Camera(), FRONT, Camera(turn=0, tilt=np.pi / 2, reach=0)])
def test_extreme_nets(name: str, camera: Camera) -> None:
    net = EXTREME[name]
    for svg in (
        piece(net, PALETTE, camera),
        piece(net, PALETTE, camera, new=range(net.bubble_count)),
        piece(net, PALETTE, camera, shown=()),
        piece(net, (), camera, width=40, height=30),
        chart(net, PALETTE),
    ):
        root = parsed(svg)
        assert "nan" not in svg
        box = [float(v) for v in root.get("viewBox", "").split()]
        assert box[2] > 0 and box[3] > 0
        assert max(box) < 5000
        assert to_png(svg, width=60).startswith(b"\x89PNG")


def test_everything_drawn_lies_in_the_picture() -> None:
    for make in PIECES.values():
        svg = piece(make(), PALETTE, Camera(), width=300, height=200)
        box = [float(v) for v in parsed(svg).get("viewBox", "").split()]
        assert box == [0, 0, 300, 200]
        for path in bodies_in(svg):
            x, y = re.match(r"M(-?[\d.]+) (-?[\d.]+)", path.get("d", "")).groups()  # type: ignore[union-attr]
            assert 0 <= float(x) <= 300 and 0 <= float(y) <= 200


def test_whole_frame_keeps_its_place_while_the_piece_grows() -> None:
    net = cube()
    early = piece(net, PALETTE, Camera(), shown=range(40), frame="whole", labels="none")
    late = piece(net, PALETTE, Camera(), shown=range(216), frame="whole", labels="none")
    assert parsed(early).get("viewBox") == parsed(late).get("viewBox")


def test_unknown_marks_are_grey_and_named_colours_are_found() -> None:
    net = replace(sheet(), colours=("?",) * 48)
    assert parsed(piece(net, PALETTE, FRONT)) is not None
    odd = (Colour("R", "odd", "no colour at all"),)
    assert parsed(piece(woven(Sheet(columns=2, rows=2), "R"), odd, FRONT)) is not None


def test_ids_can_be_kept_apart() -> None:
    one = piece(sheet(), PALETTE, FRONT, prefix="a")
    two = piece(sheet(), PALETTE, FRONT, prefix="b")
    ids = [set(re.findall(r'id="(\w+)"', svg)) for svg in (one, two)]
    assert ids[0] and not ids[0] & ids[1]
