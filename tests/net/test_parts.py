"""Parts of every kind: models, nets, frames and stalks, sewn, planned, replayed and settled."""

from __future__ import annotations

import json
import re
from collections import Counter
from pathlib import Path
from typing import Any

import networkx as nx
import numpy as np
import pytest

from airweft.base.errors import BadInput, CannotMake
from airweft.base.findings import Finding, blocks
from airweft.base.progress import Progress
from airweft.check.replay import replay
from airweft.design.canonical import write_design
from airweft.design.read import design_from_text
from airweft.records.design import Design
from airweft.records.net import Net
from airweft.shape.predict import predict
from airweft.workshop.planning import checked_plan
from airweft.workshop.shape import open_design, painted
from tests.net.joined import HEAD, one_piece

POT = 'name = "pot"\nkind = "turned"\nprofile = [[11, 0], [12, 8], [12, 26], [9, 34]]\n'
BOX = 'name = "box"\nkind = "box"\nacross = 6\ndeep = 4\nhigh = 4\n'
BODY = (
    'name = "body"\nkind = "turned"\nprofile = [[8, 0], [10, 8], [9, 18], [6.5, 24]]\n'
    'closed = ["bottom"]\n'
)
HEAD_BALL = 'name = "head"\nkind = "ball"\nacross = 18\non = "top of body"\n'
EAR = 'kind = "cone"\nacross = 6\nhigh = 7\nopen = ["bottom"]\non = "top of head"\n'
OCTAHEDRON = 'kind = "solid"\nsolid = "octahedron"\nbuild = "frame"\n'


def _text(*parts: str) -> str:
    return HEAD + "".join(f"\n[[form.part]]\n{part}\n" for part in parts)


def _joined(*parts: str, folder: Path | None = None) -> tuple[Design, Net, tuple[Finding, ...]]:
    if folder is None:
        design = design_from_text(_text(*parts))
    else:
        path = folder / "design.toml"
        path.write_text(_text(*parts), encoding="utf-8")
        design = open_design(path)
    return design, *painted(design)


def _refused(*parts: str, folder: Path | None = None) -> Finding:
    with pytest.raises((CannotMake, BadInput)) as caught:
        _joined(*parts, folder=folder)
    finding = caught.value.findings[0]
    assert finding.message and finding.remedy
    return finding


def _makeable(design: Design, net: Net) -> None:
    """One piece, planned, replayed, and of a shape."""
    one_piece(net)
    plan, *_ = checked_plan(design, net, style="rounds", seed=0, progress=Progress())
    counted = replay(plan)
    assert not blocks(counted.findings) and counted.peak_loose <= design.hands
    # Euler: so many trails need as many ends as there are odd joints.
    odd = sum(len(ends) % 2 for ends in net.ends_at())
    assert len(plan.balloons) >= max(1, odd / 2)
    shape = predict(net, diameter_mm=[25.4 * int(size[0]) for size in net.sizes])
    assert np.isfinite(shape.positions).all() and shape.length_error[1] < 0.03


def test_an_owl() -> None:
    ears = [f'name = "{s} ear"\n{EAR}shift = [{x}, 0, 0]\nturn = [0, {t}, 0]\n'
            for s, x, t in (("left", -5, -25), ("right", 5, 25))]  # fmt: skip
    design, net, notes = _joined(BODY, HEAD_BALL, *ears)
    _makeable(design, net)
    assert all(note.code == "seam" for note in notes)
    # The head lies in the neck's border, all of which it holds.
    assert "stay free" not in notes[0].message and len(notes[0].joints) >= 8
    assert all(len(note.joints) >= 3 for note in notes[1:])
    left, right = (net.joints[[n.startswith(f"{s} ear") for n in net.joint_names]].mean(axis=0)
                   for s in ("left", "right"))  # fmt: skip
    assert left[0] < 0 < right[0] and abs(left[2] - right[2]) < 15


@pytest.mark.parametrize(
    "handle",
    [
        'kind = "ring"\nacross = 20\nthick = 6.2\narc = 180\nturn = [90, 0, 0]\n',
        'kind = "blocks"\ncell = 2\nlayers = ["##", ".#", "##"]\nopen = ["left"]\n',
    ],
    ids=["half ring", "blocks"],
)
def test_a_handle_is_sewn_at_both_ends(handle: str) -> None:
    design, net, notes = _joined(POT, f'name = "handle"\n{handle}on = "right side of pot"\n')
    _makeable(design, net)
    assert re.search(r"locked onto \d+ of the pot", notes[0].message)
    heights = np.sort(net.joints[list(notes[0].joints), 2])
    gap = int(np.argmax(np.diff(heights)))
    assert min(gap + 1, len(heights) - gap - 1) >= 3 and np.diff(heights)[gap] > 20
    # Cut at one end it still hangs at the other: the handle closes a cycle through the pot.
    upper = {j for j in notes[0].joints if net.joints[j, 2] > heights[gap] + 1}
    graph = nx.Graph(net.ends.tolist())
    mine = {j for j, name in enumerate(net.joint_names) if name.startswith("handle")}
    graph.remove_edges_from([(a, b) for a in upper for b in mine if graph.has_edge(a, b)])
    assert nx.is_connected(graph)


@pytest.mark.parametrize("across", [18, 20, 22, 24])
def test_a_roof_on_a_house(across: int) -> None:
    house = 'name = "house"\nkind = "box"\nacross = 8\ndeep = 6\nhigh = 6\nopen = ["top"]\n'
    roof = f'name = "roof"\nkind = "cone"\nacross = {across}\nhigh = 14\nopen = ["bottom"]\n'
    design, net, notes = _joined(house, roof + 'on = "top of house"\n')
    _makeable(design, net)
    assert all(len(ends) % 2 == 0 for ends in net.ends_at())
    assert "house" in notes[0].message


def test_a_lantern_of_smaller_bubbles_on_a_tower() -> None:
    tower = 'name = "tower"\nkind = "turned"\nprofile = [[10, 0], [6.5, 30]]\n'
    lantern = (
        'name = "lantern"\nkind = "tube"\naround = 40\nrows = 4\nbubble = 1.5\n'
        'size = "160"\non = "top of tower"\n'
    )
    design, net, notes = _joined(tower, lantern)
    _makeable(design, net)
    assert all(len(ends) % 2 == 0 for ends in net.ends_at())
    assert "evenly spread" in notes[0].message
    assert {net.sizes[b] for b, n in enumerate(net.bubble_names) if "stitch" in n} == {"160"}


def test_closed_sides_that_lie_flat_on_each_other_are_advised_against() -> None:
    _, _, notes = _joined(BOX, BOX.replace("box", "lid", 1) + 'on = "top of box"\n')
    assert "Leave one of them open" in notes[0].remedy


WEDGE = """
v 0 0 0
v 10 0 0
v 10 8 0
v 0 8 0
v 0 4 6
v 10 4 6
f 1 4 3
f 1 3 2
f 1 2 6
f 1 6 5
f 3 4 5
f 3 5 6
f 4 1 5
f 2 3 6
"""


def test_a_model_is_a_part_with_its_own_bubbles_and_colours(tmp_path: Path) -> None:
    (tmp_path / "wedge.obj").write_text(WEDGE, encoding="utf-8")
    roof = (
        'name = "roof"\nkind = "mesh"\nfile = "wedge.obj"\nheight = 14\non = "top of house"\n'
        'pattern = { kind = "plain", colour = "W" }\nbubble = 2.5\nsize = "160"\n'
    )
    house = 'name = "house"\nkind = "box"\nacross = 6\ndeep = 4\nhigh = 4\n'
    design, net, _ = _joined(house, roof, folder=tmp_path)
    _makeable(design, net)
    own = [b for b, name in enumerate(net.bubble_names) if name.startswith("roof")]
    assert set(net.lengths[own].tolist()) == {2500}
    assert {net.sizes[b] for b in own} == {"160"} and {net.colours[b] for b in own} == {"W"}
    assert any(f.where.startswith("part roof, ") for f in design.findings)
    # The fingerprint goes with what is in the file.
    (tmp_path / "wedge.obj").write_text(WEDGE.replace("4 6\n", "4 9\n"), encoding="utf-8")
    assert open_design(tmp_path / "design.toml").fingerprint != design.fingerprint
    again = write_design(design)
    (tmp_path / "again.toml").write_text(again, encoding="utf-8")
    assert write_design(open_design(tmp_path / "again.toml")) == again


def test_a_model_that_is_not_there_is_refused(tmp_path: Path) -> None:
    part = 'name = "roof"\nkind = "mesh"\nfile = "none.obj"\nheight = 14\non = "top of box"\n'
    assert _refused(BOX, part, folder=tmp_path).severity == "cannot"


def _net_file(folder: Path, bubbles: list[tuple[Any, ...]], joints: list[list[float]]) -> None:
    listed = [
        {"a": b[0], "b": b[1], "length_mm": 30, "colour": "W", **({"kind": b[2]} if b[2:] else {})}
        for b in bubbles
    ]
    (folder / "given.json").write_text(json.dumps({"joints": joints, "bubbles": listed}))


LEGS: list[list[float]] = [[0, 0, 0], [0, 0, -30], [60, 0, 0], [60, 0, -30]]


def test_a_net_is_a_part_and_what_hangs_is_held_by_other_parts(tmp_path: Path) -> None:
    # Two legs, each a strand out and one back: no one net, and yet a part.
    _net_file(tmp_path, [(0, 1, "frame"), (1, 0), (2, 3), (3, 2)], LEGS)
    legs = (
        'name = "legs"\nkind = "net"\nfile = "given.json"\n'
        'sew = { "j0" = "box: bottom (3, 0)", "j2" = "box: bottom (5, 0)" }\nbubble = 2\n'
    )
    design, net, notes = _joined(BOX, legs, folder=tmp_path)
    _makeable(design, net)
    own = [b for b, name in enumerate(net.bubble_names) if name.startswith("legs")]
    assert set(net.lengths[own].tolist()) == {2000}  # made smaller until its bubbles are 2 cm
    assert {net.colours[b] for b in own} == {"W"}
    assert notes[0].message.startswith("2 joints of the legs are locked onto 2 of the box")
    # Held at one leg only, the other is a part by itself: refused by rule.
    loose = legs.replace(', "j2" = "box: bottom (5, 0)"', "")
    assert _refused(BOX, loose, folder=tmp_path).rule == "M10"


def test_a_single_end_that_nothing_holds_is_refused(tmp_path: Path) -> None:
    _net_file(tmp_path, [(0, 1), (1, 2)], [[0, 0, 0], [0, 0, -30], [0, 0, -60]])
    leg = 'name = "leg"\nkind = "net"\nfile = "given.json"\nsew = { "j0" = "box: bottom (3, 0)" }\n'
    finding = _refused(BOX, leg, folder=tmp_path)
    assert (finding.code, finding.rule) == ("single-end", "M9")
    _net_file(tmp_path, [(0, 1), (1, 2, "free")], [[0, 0, 0], [0, 0, -30], [0, 0, -60]])
    _makeable(*_joined(BOX, leg, folder=tmp_path)[:2])


def test_a_free_end_that_is_sewn_on_is_held(tmp_path: Path) -> None:
    _net_file(
        tmp_path,
        [(0, 1), (1, 2), (2, 0), (0, 3, "free")],
        [[0, 0, 40], [15, 0, 66], [-15, 0, 66], [0, 0, 10]],
    )
    hat = (
        'name = "hat"\nkind = "net"\nfile = "given.json"\nsew = { "bottom" = "box" }\n'
        "at = [0, 0, 8.5]\n"
    )
    design, net, _ = _joined(BOX, hat, folder=tmp_path)
    assert "free" not in net.kinds
    _makeable(design, net)


def test_a_stick_figure_with_a_woven_head(tmp_path: Path) -> None:
    spine: list[list[float]] = [[0.0, 0, 0], [0, 0, 30], [0, 0, 60]]
    arms: list[list[float]] = [[30.0, 0, 60], [60, 0, 50], [-30, 0, 60], [-60, 0, 50], [0, 0, 90]]
    legs: list[list[float]] = [[20.0, 0, -30], [25, 0, -60], [-20, 0, -30], [-25, 0, -60]]
    limbs: list[tuple[Any, ...]] = [(3, 4), (5, 6), (8, 9), (10, 11)]
    held: list[tuple[Any, ...]] = [(0, 1), (1, 2), (2, 3), (2, 5), (2, 7), (0, 8), (0, 10)]
    _net_file(tmp_path, [*held, *((*limb, "free") for limb in limbs)], [*spine, *arms, *legs])
    man = 'name = "man"\nkind = "net"\nfile = "given.json"\n'
    head = 'name = "head"\nkind = "ball"\nacross = 12\nsew = { "bottom" = "man: j7" }\n'
    hand = f'name = "ball"\n{OCTAHEDRON}sew = {{ "corner 3" = "man: j4" }}\n'
    design, net, _ = _joined(man, head, hand, folder=tmp_path)
    _makeable(design, net)
    assert Counter(net.kinds)["free"] == 3  # the hand that holds the ball hangs no longer


def test_what_is_wrong_with_named_joints_is_said() -> None:
    def crown(sew: str, place: str = 'on = "top of box"') -> str:
        return f'name = "crown"\n{OCTAHEDRON}{place}\nsew = {sew}\n'

    twice = crown('{ "corner 1" = "box: top (2, 1)", "corner 2" = "box: top (2, 1)" }')
    assert _refused(BOX, twice).code == "joint-twice"
    far = crown('{ "corner 1" = "box: bottom (3, 0)" }')
    assert _refused(BOX, far).code == "parts-do-not-meet"
    assert _refused(BOX, crown('{ "corner 9" = "box" }')).code == "no-such-joint"
    assert _refused(BOX, crown('{ "corner 1" = "bux" }')).code == "no-such-part"
    assert _refused(BOX, crown("{}")).code == "wrong-type"
    assert _refused(BOX, crown('{ "corner 1" = 3 }')).code == "wrong-type"
    assert _refused(BOX, crown('{ "corner 1" = "box" }', "")).code == "missing-key"
    again = crown('{ "corner 1" = "box: top (2, 1)" }').replace("crown", "cap")
    full = [crown('{ "corner 1" = "box: top (2, 1)" }'), again]
    finding = _refused(BOX, *full)
    assert (finding.code, finding.rule) == ("crowded-joint", "M12")
    first = f'name = "crown"\n{OCTAHEDRON}sew = {{ "corner 1" = "box" }}\n'
    assert _refused(first, BOX + 'on = "top of crown"\n').code == "no-such-part"


STALK = 'name = "mast"\nkind = "stalk"\nbegin = "box"\n'


@pytest.mark.parametrize("bubbles", [5, 6, 11, 40])
@pytest.mark.parametrize("strands", [1, 2])
def test_stalks_of_any_length(bubbles: int, strands: int) -> None:
    design, net, notes = _joined(BOX, f"{STALK}bubbles = {bubbles}\nstrands = {strands}\n")
    _makeable(design, net)
    own = [b for b, panel in enumerate(net.bubble_panels) if panel == "mast"]
    assert len(own) == bubbles * strands
    told = "knotted on" in notes[0].message
    assert told == (strands == 1 and bubbles > 5) and ("strands = 2" in notes[0].remedy) == told
    if strands == 2:
        inner = [j for j, n in enumerate(net.joint_names) if n.startswith("mast joint")][:-1]
        assert all(len(net.ends_at()[j]) == 4 for j in inner)


@pytest.mark.parametrize("bubbles", [5, 9, 21])
def test_long_handles_of_one_strand(bubbles: int) -> None:
    keys = f'end = "box: right (2, 3)"\nbubbles = {bubbles}\n'
    design, net, notes = _joined(BOX, STALK + keys)
    _makeable(design, net)
    assert "knotted on" in notes[0].message


def test_parts_and_stalks_on_a_stalk() -> None:
    design, net, notes = _joined(
        BOX,
        STALK + "bubbles = 3\n",
        f'name = "knob"\n{OCTAHEDRON}on = "top of mast"\n',
        'name = "arm"\nkind = "stalk"\nbegin = "mast: joint 2"\ntowards = [1, 0, 0]\nbubbles = 2\n',
    )
    _makeable(design, net)
    assert Counter(net.kinds)["free"] == 1
    assert "1 joint of the knob is locked onto 1 of the mast: mast joint 3" in notes[1].message


def test_every_finding_about_a_part_has_its_line() -> None:
    parts = (BOX, 'name = "roof"\nkind = "cone"\nacross = 1\nhigh = 9\non = "top of box"\n')
    lines = _text(*parts).split("\n")
    finding = _refused(*parts)
    assert finding.line is not None and "across = 1" in lines[finding.line - 1]
    assert finding.context == "across = 1"
    away = (BOX, BOX.replace("box", "lid", 1) + "at = [200, 0, 0]\n")
    finding = _refused(*away)
    assert finding.code == "parts-do-not-meet" and finding.line == 25
    assert _text(*away).split("\n")[24] == "[[form.part]]"


@pytest.mark.parametrize(
    ("profile", "code"),
    [
        ("[[10, 0], [10, 20], [10, 10]]", "profile-crosses"),
        ("[[10, 0], [0, 10], [10, 20]]", "profile-on-axis"),
        ("[[10, 0], [10, 0]]", "profile-point-twice"),
        ("[[10, 0]]", "profile-points"),
    ],
)
def test_findings_of_a_profile_have_its_line(profile: str, code: str) -> None:
    text = HEAD.replace('"joined"', f'"turned"\nprofile = {profile}')
    with pytest.raises(CannotMake) as caught:
        painted(design_from_text(text))
    finding = next(f for f in caught.value.findings if f.code == code)
    assert finding.line and text.split("\n")[finding.line - 1] == f"profile = {profile}"
