"""Parts locked at named joints: what is offered, what is refused, and what stands in the text."""

from __future__ import annotations

import tomllib
from copy import deepcopy
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from airweft.workshop.desk import Desk
from airweft.workshop.sewing import (
    joints_there,
    onto,
    own_joints,
    owner_of,
    pairs_of,
    part_and_joint,
    parts_of,
    renamed,
    why_no_pair,
    with_pair,
    without_pair,
)
from airweft.workshop.store.store import Store

CROWN = """\
airweft = 1
name  = "Bollard with a crown"
units = "cm"
[balloon]
size = "260"
bubble = 2.5
[form]
kind = "joined"
[[form.part]]
name = "bollard"       # stands first
kind = "box"
across = 4
deep = 4
high = 6
[[form.part]]
name = "bollard 2"
kind = "stalk"
begin = "bollard: back (2, 5)"
towards = [0, 1, 1]
bubbles = 3
[[form.part]]
name = "crown"         # a frame
kind = "solid"
solid = "cube"
build = "frame"
on = "top of bollard"
[colours]
R = "red"
[pattern]
kind = "plain"
colour = "R"
"""


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    store = Store(tmp_path / "home")
    return store.open(store.new(CROWN).key)


def crown(text: str) -> dict[str, Any]:
    found: dict[str, Any] = tomllib.loads(text)["form"]["part"][2]
    return found


def test_what_can_be_chosen_is_what_there_is(desk: Desk) -> None:
    assert set(own_joints(desk, 2)) == {f"corner {k}" for k in range(1, 9)}
    assert own_joints(desk, 1) == ("joint 1", "joint 2", "joint 3")
    assert "top (2, 1)" in joints_there(desk, "bollard")
    assert set(joints_there(desk, "bollard 2")) == {"joint 1", "joint 2", "joint 3"}
    assert joints_there(desk, "nobody") == ()
    assert owner_of("bollard 2 joint 1", ["bollard", "bollard 2"]) == ("bollard 2", "joint 1")
    assert owner_of("bollard top (2, 1)", ["bollard", "bollard 2"]) == ("bollard", "top (2, 1)")
    assert owner_of("mast 1", ["bollard"]) == ("", "")


def test_the_first_named_joint_moves_the_part_there(desk: Desk) -> None:
    text = with_pair(desk.text, 2, "corner 1", "bollard: top (2, 1)")
    assert crown(text)["sew"] == {"corner 1": "bollard: top (2, 1)"}
    assert "on" not in crown(text)
    desk.replace(text, gesture="x")
    assert desk.is_woven, desk.findings
    net = desk.net
    assert net is not None
    there = net.joints[net.joint_names.index("bollard top (2, 1)")]
    met = [tuple(net.joint_names[j] for j in ends) for ends in net.ends]
    assert sum("bollard top (2, 1)" in ends for ends in met) == 4 + 3  # a corner of a cube has 3
    corner = net.joints[net.joint_names.index("crown corner 2")]
    assert np.linalg.norm(corner - there) == pytest.approx(25, abs=0.1)
    # The joint that was sewn is called by the earlier part now.
    assert "corner 1" not in joints_there(desk, "crown")
    assert "corner 1" in own_joints(desk, 2)


def test_a_nearest_joint_leaves_the_part_where_it_is(desk: Desk) -> None:
    text = with_pair(desk.text, 2, "bottom", "bollard")
    assert crown(text)["on"] == "top of bollard"
    assert crown(without_pair(text, 2, "bottom")) == crown(CROWN)


def test_pairs_change_and_the_last_one_gives_a_place_back(desk: Desk) -> None:
    text = with_pair(desk.text, 2, "corner 1", "bollard: top (2, 1)")
    text = with_pair(text, 2, "corner 2", "bollard")
    text = with_pair(text, 2, "corner 3", "bollard: top (1, 2)", instead="corner 1")
    assert dict(pairs_of(crown(text))) == {
        "corner 3": "bollard: top (1, 2)",
        "corner 2": "bollard",
    }
    text = without_pair(text, 2, "corner 3")
    assert crown(text)["on"] == "top of bollard"
    text = without_pair(text, 2, "corner 2")
    assert "sew" not in crown(text)
    assert text == CROWN


def test_what_cannot_be_locked_is_said_at_its_place(desk: Desk) -> None:
    desk.replace(with_pair(desk.text, 2, "corner 1", "bollard: top (2, 1)"), gesture="x")

    def why(own: str, part: str, joint: str, instead: str = "") -> tuple[str, str]:
        return why_no_pair(desk, 2, own, part, joint, instead=instead)

    assert why("corner 2", "bollard", "top (1, 2)") == ("", "")
    assert why("bottom", "bollard", "") == ("", "")
    assert why("corner 1", "bollard", "top (2, 1)", "corner 1") == ("", "")
    assert why("", "bollard", "")[0] == "Choose a joint of crown."
    assert "no joint “corner 9”. Did you mean “corner " in why("corner 9", "bollard", "")[0]
    assert "locked already, onto bollard" in why("corner 1", "bollard", "")[0]
    assert (
        "no joint “top (2,1)”. Did you mean “top (2, 1)”?" in why("top", "bollard", "top (2,1)")[1]
    )
    assert "has corner 1 already" in why("corner 2", "bollard", "top (2, 1)")[1]
    assert why("corner 2", "", "")[1] == "Choose the part that it is locked onto."


def test_a_new_name_goes_wherever_the_part_is_meant(desk: Desk) -> None:
    text = with_pair(desk.text, 2, "corner 1", "bollard: top (2, 1)")
    text = with_pair(text, 2, "corner 2", "bollard")
    parts = renamed(deepcopy(parts_of(text)), 0, "post")
    assert parts[0]["name"] == "post"
    assert parts[1]["begin"] == "post: back (2, 5)"
    assert parts[2]["sew"] == {"corner 1": "post: top (2, 1)", "corner 2": "post"}
    parts = renamed(deepcopy(parts_of(CROWN)), 0, "post")
    assert parts[2]["on"] == "top of post"
    assert parts[1]["name"] == "bollard 2"


def test_names_of_joints_go_both_ways() -> None:
    for said in ("head", "head: front (3, 2)"):
        assert onto(*part_and_joint(said)) == said
