"""Joined forms: seams that hold, named joints, stalks, own sizes; every plan passes the checker."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding, blocks
from airweft.base.progress import Progress
from airweft.design.read import design_from_text
from airweft.records.design import Design
from airweft.records.net import Net
from airweft.workshop.planning import checked_plan
from airweft.workshop.shape import painted
from tests.net.joined import HEAD, one_piece

TUBE = 'kind = "tube"\naround = 12\nrows = 4\n'
BOX = 'kind = "box"\nacross = 6\ndeep = 4\nhigh = 4\n'
BALL = 'kind = "ball"\nacross = 16\n'


def _part(name: str, keys: str, **place: str) -> str:
    lines = [f"{key} = {value}" for key, value in place.items()]
    return f'\n[[form.part]]\nname = "{name}"\n{keys}' + "\n".join(lines) + "\n"


def _joined(*parts: str) -> tuple[Design, Net, tuple[Finding, ...]]:
    design = design_from_text(HEAD + "".join(parts))
    return design, *painted(design)


def _refusal(*parts: str) -> Finding:
    with pytest.raises(CannotMake) as caught:
        _joined(*parts)
    (finding,) = caught.value.findings
    assert finding.where.startswith("part ") and finding.message and finding.remedy
    return finding


def _planned(design: Design, net: Net) -> None:
    plan, replay, *_ = checked_plan(design, net, style="rounds", seed=0, progress=Progress())
    assert not blocks(replay.findings)
    assert plan.claims.bubbles == net.bubble_count


def test_like_borders_are_locked_one_to_one() -> None:
    design, net, notes = _joined(_part("low", TUBE), _part("high", TUBE, on='"top of low"'))
    one_piece(net)
    # Two tubes of 12 by 4 sewn together are the tube of 12 by 8.
    assert (net.bubble_count, net.joint_count) == (96, 54)
    assert Counter(map(len, net.ends_at())) == {4: 42, 2: 12}
    (note,) = notes
    assert (note.code, note.severity, len(note.joints)) == ("seam", "note", 6)
    assert "6 joints of the high are locked onto 6 of the low" in note.message
    _planned(design, net)


def test_unlike_borders_leave_joints_free_and_say_so() -> None:
    wider = TUBE.replace("12", "14")
    design, net, notes = _joined(_part("low", wider), _part("high", TUBE, on='"top of low"'))
    one_piece(net)
    assert "6 joints of the high are locked onto 6 of the low" in notes[0].message
    assert "1 of the low's joints along the seam stays free" in notes[0].message
    _planned(design, net)


def test_borders_apart_are_stitched_as_a_row_of_the_fabric() -> None:
    foot = 'kind = "turned"\nprofile = [[8, 0], [8, 6]]\naround = 20\n'
    rim = 'kind = "turned"\nprofile = [[5.3, 0], [5.3, 6]]\naround = 20\n'
    design, net, notes = _joined(_part("low", foot), _part("high", rim, on='"top of low"'))
    one_piece(net)
    stitches = [b for b, kind in enumerate(net.kinds) if kind == "frame"]
    assert len(stitches) == 20
    assert "20 stitches" in notes[0].message
    assert all(len(ends) % 2 == 0 for ends in net.ends_at())
    assert net.lengths[stitches].min() >= 2000 and net.lengths[stitches].max() <= 5000
    _planned(design, net)


@pytest.mark.parametrize("side", ["top", "bottom", "left", "right", "front", "back"])
@pytest.mark.parametrize("keys", [BALL, BOX, TUBE], ids=["ball", "box", "tube"])
def test_every_side_can_be_sewn_to(side: str, keys: str) -> None:
    cap = 'kind = "turned"\nprofile = [[4, 0], [4, 5]]\nclosed = ["top"]\n'
    turn = {"left": "[0, -90, 0]", "right": "[0, 90, 0]", "front": "[90, 0, 0]",
            "back": "[-90, 0, 0]", "bottom": "[180, 0, 0]"}.get(side, "0")  # fmt: skip
    _, net, notes = _joined(
        _part("body", keys), _part("ear", cap, on=f'"{side} of body"', turn=turn)
    )
    one_piece(net)
    assert len(notes[0].joints) >= 2
    body = net.joints[[n.startswith("body") for n in net.joint_names]].mean(axis=0)
    ear = net.joints[[n.startswith("ear") for n in net.joint_names]].mean(axis=0)
    way = {"top": (0, 0, 1), "bottom": (0, 0, -1), "left": (-1, 0, 0), "right": (1, 0, 0),
           "front": (0, -1, 0), "back": (0, 1, 0)}[side]  # fmt: skip
    assert (ear - body) @ np.array(way) > 0.8 * np.linalg.norm(ear - body)


def test_closed_parts_are_locked_where_they_touch() -> None:
    design, net, _ = _joined(_part("body", BALL), _part("head", BALL, on='"top of body"'))
    one_piece(net)
    assert max(map(len, net.ends_at())) == 8
    _planned(design, net)


def test_parts_have_their_own_size_bubble_and_pattern() -> None:
    small = 'kind = "tube"\naround = 16\nrows = 4\n'
    design, net, _ = _joined(
        _part("low", TUBE),
        _part("high", small, on='"top of low"', size='"160"', bubble="2.2",
              pattern='{ kind = "rows", repeat = "WR" }'),
    )  # fmt: skip
    high = [b for b, name in enumerate(net.bubble_names) if name.startswith("high")]
    assert {net.sizes[b] for b in high} == {"160"}
    assert set(net.lengths[high].tolist()) == {2200}
    assert {net.colours[b] for b in high} == {"R", "W"}
    low = [b for b in range(net.bubble_count) if b not in high]
    assert {net.sizes[b] for b in low} == {"260"}
    assert {net.colours[b] for b in low} == {"R"}
    _planned(design, net)


def test_a_pattern_of_panels_may_name_parts() -> None:
    text = (HEAD + _part("low", TUBE) + _part("high", TUBE, on='"top of low"')).replace(
        'kind = "plain"\ncolour = "R"', 'kind = "panels"\nlow = "R"\nhigh = "W"'
    )
    net, _ = painted(design_from_text(text))
    for name, mark in zip(net.bubble_names, net.colours, strict=True):
        assert mark == ("R" if name.startswith("low") else "W")


STALK = 'kind = "stalk"\nbegin = "body"\n'


def test_a_stalk_hangs_free_or_is_held_at_both_ends() -> None:
    design, net, notes = _joined(
        _part("body", BOX),
        _part("feeler", STALK, towards="[-2, 0, 3]", bubbles="3"),
        _part("handle", STALK, end='"body: right (2, 3)"', towards="[0, 0, 1]", bubbles="4"),
    )
    one_piece(net)
    kinds = Counter(net.kinds)
    assert (kinds["free"], kinds["frame"]) == (1, 6)
    assert notes[0].message.endswith("hangs free.")
    assert net.joint_names[notes[1].joints[1]] == "body right (2, 3)"
    tip = int(net.ends[net.kinds.index("free"), 1])
    assert net.joints[tip][0] < -80 and net.joints[tip][2] > 150
    _planned(design, net)


def test_what_cannot_be_joined_is_refused_with_the_part() -> None:
    far = _part("high", TUBE, on='"top of low"', shift="[40, 0, 0]")
    assert _refusal(_part("low", TUBE), far).code == "parts-do-not-meet"
    away = _part("high", TUBE, at="[200, 0, 0]")
    assert _refusal(_part("low", TUBE), away).code == "parts-do-not-meet"
    body = _part("body", BOX)
    short = _part("s", STALK, end='"body: right (2, 3)"', bubbles="2")
    assert _refusal(body, short).code == "stalk-too-short"
    wrong = STALK.replace('"body"', '"body: front (2, 2)"')
    finding = _refusal(body, _part("s", wrong))
    assert finding.code == "no-such-joint"
    assert 'Is "front (' in finding.remedy and '" of "body" meant?' in finding.remedy
    odd = _part("low", TUBE.replace("12", "13"))
    with pytest.raises(CannotMake):
        _joined(odd)


def test_the_same_design_gives_the_same_net() -> None:
    parts = (_part("body", BALL), _part("head", TUBE, on='"top of body"'))
    one, two = _joined(*parts)[1], _joined(*parts)[1]
    assert one.joints.tobytes() == two.joints.tobytes()
    assert one.ends.tobytes() == two.ends.tobytes()
    assert one.joint_names == two.joint_names
