"""The plan file: round trips, canonical bytes, and every problem told at its place."""

from __future__ import annotations

import copy
import json
import os
from collections.abc import Callable
from dataclasses import fields
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airweft.base.errors import BadInput, TooNew
from airweft.net.fabric import weave
from airweft.records.mesh import Face, Mesh
from airweft.records.plan import Plan
from airweft.records.planfile import read_plan, write_plan
from tests.check.broken_plans import with_net
from tests.check.hand_plans import HAND_PLANS, loops, triangle, two_parts
from tests.check.random_plans import legal_plan

Edit = Callable[[dict[str, Any]], Any]


def problems(text: str) -> list[tuple[str, str]]:
    """(code, JSON path) of each problem of a text that must be refused."""
    with pytest.raises(BadInput) as caught:
        read_plan(text)
    for finding in caught.value.findings:
        assert finding.severity == "cannot" and finding.message and finding.where and finding.remedy
        assert finding.message.isprintable()
    return [(finding.code, finding.where) for finding in caught.value.findings]


def edited(edit: Edit, plan: Plan | None = None) -> str:
    value = json.loads(write_plan(plan or triangle()))
    edit(value)
    return json.dumps(value)


def same(a: Plan, b: Plan) -> bool:
    """Are two plans equal, arrays and all?"""
    nets = all(
        np.array_equal(getattr(a.net, f.name), getattr(b.net, f.name)) for f in fields(a.net)
    )
    rest = (f.name for f in fields(a) if f.name != "net")
    return nets and all(getattr(a, name) == getattr(b, name) for name in rest)


# Round trips.


@pytest.mark.parametrize("name", HAND_PLANS)
def test_write_read_write_gives_the_same_bytes_and_plan(name: str) -> None:
    plan = HAND_PLANS[name]()
    text = write_plan(plan)
    again = read_plan(text)
    assert same(plan, again)
    assert write_plan(again) == text


@settings(max_examples=60, deadline=None)
@given(
    st.integers(0, 60),
    st.lists(st.floats(-1e6, 1e6), min_size=3, max_size=3),
    st.integers(1, 10**7),
    st.text(st.characters(exclude_categories=("Cs",)), max_size=20),
)
def test_any_lengths_positions_and_names_come_back(
    seed: int, xyz: list[float], length: int, name: str
) -> None:
    plan = legal_plan(seed)
    joints, lengths = plan.net.joints.copy(), plan.net.lengths.copy()
    joints[0], lengths[0] = xyz, length
    plan = with_net(plan, joints=joints, lengths=lengths, joint_names=(name,) * len(joints))
    text = write_plan(plan)
    again = read_plan(text)
    assert write_plan(again) == text
    assert again.net.lengths[0] == length
    assert np.abs(again.net.joints[0] - xyz).max() <= 0.005 + 1e-9


def test_cells_panels_places_and_seams_come_back() -> None:
    corners = [(x, y, 0) for y in range(2) for x in range(3)]
    mesh = Mesh(
        np.array(corners, dtype=float),
        (Face((0, 1, 4, 3), "left", 0, 0), Face((1, 2, 5, 4), "right", 0, 0)),
        ("left", "right"),
    )
    net = weave(mesh, bubble=2500, size="260")
    plan = with_net(triangle(), **{f.name: getattr(net, f.name) for f in fields(net)})
    plan = with_net(plan, colours=("R",) * net.bubble_count)
    again = read_plan(write_plan(plan))
    assert same(plan, again)
    assert again.net.cells and again.net.seams and again.net.panels == ("left", "right")


def test_text_is_canonical() -> None:
    text = write_plan(loops())
    assert text.endswith("}\n") and not text.endswith("\n\n") and "\r" not in text
    value = json.loads(text)
    assert list(value) == [
        "format", "version", "design", "provenance", "hands", "net", "balloons", "budget",
        "actions", "bound", "claims",
    ]  # fmt: skip
    assert list(value["net"]["bubbles"][0])[:5] == ["a", "b", "length_mm", "colour", "kind"]
    assert value["actions"][2] == {"do": "lock", "joint": 0, "balloons": ["R1"], "row": 1}


@pytest.mark.parametrize(
    ("written", "hundredths", "back"),
    [
        ("25.4", 2540, "25.4"),
        ("25", 2500, "25"),
        ("25.00", 2500, "25"),
        ("2.54e1", 2540, "25.4"),
        ("25.404", 2540, "25.4"),
        ("25.405", 2541, "25.41"),  # a half goes up; as a binary fraction it would not
        ("1.005", 101, "1.01"),
        ("0.01", 1, "0.01"),
    ],
)
def test_lengths_are_rounded_once_and_halves_go_up(
    written: str, hundredths: int, back: str
) -> None:
    text = write_plan(triangle()).replace('"length_mm": 25,', f'"length_mm": {written},', 1)
    plan = read_plan(text)
    assert plan.net.lengths[0] == hundredths
    assert f'"length_mm": {back},' in write_plan(plan)


def test_keys_of_others_are_ignored() -> None:
    def edit(value: dict[str, Any]) -> None:
        value["studio"] = {"deep": [1, None, {"a": 2}]}
        for action in value["actions"]:
            action["row"] = "first"
        for bubble in value["net"]["bubbles"]:
            bubble.update(name=7, panel=None, place="here", size=12, note="x")
        value["net"].update(joint_names={}, panels=3, seams=[99], cells=[{"joints": [0]}])

    plan = read_plan(edited(edit))
    assert plan.actions[1].row == 0
    assert plan.net.bubble_names == ("b0", "b1", "b2")
    assert plan.net.joint_names == ("j0", "j1", "j2")
    assert plan.net.sizes == ("", "", "") and plan.net.cells == () and plan.net.seams == ()
    assert write_plan(read_plan(write_plan(plan))) == write_plan(plan)


def test_whole_numbers_may_be_written_with_a_point() -> None:
    text = write_plan(triangle()).replace('"joint": 0', '"joint": 0.0')
    assert same(read_plan(text), triangle())


# Refusals of whole files.


def test_a_newer_version_is_told_as_such() -> None:
    with pytest.raises(TooNew) as caught:
        read_plan(edited(lambda v: v.update(version=2, actions="another shape")))
    (finding,) = caught.value.findings
    assert "version 2" in finding.message and "version 1" in finding.message


@pytest.mark.parametrize("version", [0, -1, "1", True, 1.5, None, [1]])
def test_other_versions_are_refused(version: Any) -> None:
    text = edited(lambda v: v.update(version=version))
    assert [where for _, where in problems(text)] == ["version"]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "not-json"),
        ("  \n ", "not-json"),
        ("plan", "not-json"),
        ("{'format': 1}", "not-json"),
        ("[1, 2", "not-json"),
        ('{"format": "airweft-plan", ', "not-json"),
        ("[" * 100_000, "nested-too-deep"),
        ('{"a":' * 100_000, "nested-too-deep"),
        ("[]", "plan-file-wrong-format"),
        ("null", "plan-file-wrong-format"),
        ("3", "plan-file-wrong-format"),
        ("{}", "plan-file-wrong-format"),
        ('{"format": "airweft-design", "version": 1}', "plan-file-wrong-format"),
        ('{"format": ["airweft-plan"]}', "plan-file-wrong-format"),
        ("9" * 100_000, "plan-file-wrong-format"),
        ("NaN", "plan-file-wrong-format"),
    ],
)
def test_what_is_no_plan_file_is_told_so(text: str, code: str) -> None:
    assert [c for c, _ in problems(text)] == [code]


def test_a_file_that_breaks_off_is_told_so_wherever_it_does() -> None:
    text = write_plan(triangle())
    for end in range(0, len(text) - 2, 7):
        with pytest.raises(BadInput) as caught:
            read_plan(text[:end])
        (finding,) = caught.value.findings
        assert finding.code == "not-json"
        if end > 0 and text[end - 1] in ",:[{":
            assert "breaks off" in finding.message


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    (tmp_path / "latin").write_bytes('{"format": "é"}'.encode("latin-1"))
    (tmp_path / "marked").write_bytes(b"\xef\xbb\xbf" + write_plan(triangle()).encode())
    assert same(read_plan(tmp_path / "marked"), triangle())
    os.mkfifo(tmp_path / "pipe")
    for name, code in [
        ("none", "cannot-open"),
        ("latin", "not-utf-8"),
        ("", "not-a-file"),
        ("pipe", "not-a-file"),
        ("x" * 5000, "cannot-open"),
        ("a\0b", "cannot-open"),
    ]:
        with pytest.raises(BadInput) as caught:
            read_plan(tmp_path / name)
        assert [f.code for f in caught.value.findings] == [code]


# Refusals inside, each at its path.


@pytest.mark.parametrize(
    ("edit", "code", "where"),
    [
        (lambda v: v.pop("hands"), "missing", "hands"),
        (lambda v: v.pop("version"), "missing", "version"),
        (lambda v: v["net"].pop("joints"), "missing", "net.joints"),
        (lambda v: v["net"]["bubbles"][1].pop("kind"), "missing", "net.bubbles[1].kind"),
        (lambda v: v["actions"][1].pop("to"), "missing", "actions[1].to"),
        (lambda v: v["claims"].pop("peak_loose"), "missing", "claims.peak_loose"),
        (lambda v: v["budget"]["260"].pop("stub_mm"), "missing", 'budget["260"].stub_mm'),
        (lambda v: v["actions"][1].update(bubble=17), "no-such", "actions[1].bubble"),
        (lambda v: v["actions"][1].update(bubble=-1), "no-such", "actions[1].bubble"),
        (lambda v: v["actions"][1].update(bubble=10**30), "no-such", "actions[1].bubble"),
        (lambda v: v["actions"][1].update(to=3), "no-such", "actions[1].to"),
        (lambda v: v["actions"][0].update(balloon="R2"), "no-such", "actions[0].balloon"),
        (lambda v: v["actions"][4].update(balloons=["R1", "B"]), "no-such",
         "actions[4].balloons[1]"),
        (lambda v: v["balloons"][0].update(start=9), "no-such", "balloons[0].start"),
        (lambda v: v["balloons"][0]["bubbles"].append(3), "no-such", "balloons[0].bubbles[3]"),
        (lambda v: v["net"]["bubbles"][2].update(a=3), "no-such", "net.bubbles[2].a"),
        (lambda v: v["actions"][1].update(bubble="0"), "wrong-type", "actions[1].bubble"),
        (lambda v: v["actions"][1].update(bubble=True), "wrong-type", "actions[1].bubble"),
        (lambda v: v["actions"][1].update(bubble=0.5), "wrong-type", "actions[1].bubble"),
        (lambda v: v["actions"][4].update(balloons="R1"), "wrong-type", "actions[4].balloons"),
        (lambda v: v.update(actions={}), "wrong-type", "actions"),
        (lambda v: v.update(net=None), "wrong-type", "net"),
        (lambda v: v["actions"].insert(0, "start"), "wrong-type", "actions[0]"),
        (lambda v: v["bound"].update(proven="yes"), "wrong-type", "bound.proven"),
        (lambda v: v["net"]["joints"][0].append(1), "wrong-count", "net.joints[0]"),
        (lambda v: v["net"]["joints"][0].__setitem__(1, "0"), "wrong-type", "net.joints[0][1]"),
        (lambda v: v["net"]["joints"][0].__setitem__(1, 1e9), "out-of-range", "net.joints[0][1]"),
        (lambda v: v["claims"].update(size_mm=[1, 2]), "wrong-count", "claims.size_mm"),
        (lambda v: v["net"]["bubbles"][0].update(length_mm=0), "out-of-range",
         "net.bubbles[0].length_mm"),
        (lambda v: v["net"]["bubbles"][0].update(length_mm=-25), "out-of-range",
         "net.bubbles[0].length_mm"),
        (lambda v: v["net"]["bubbles"][0].update(length_mm=1e300), "wrong-type",
         "net.bubbles[0].length_mm"),
        (lambda v: v["net"]["bubbles"][0].update(length_mm=float("nan")), "wrong-type",
         "net.bubbles[0].length_mm"),
        (lambda v: v["net"]["joints"][2].__setitem__(0, float("inf")), "wrong-type",
         "net.joints[2][0]"),
        (lambda v: v.update(note={"mine": [float("-inf")]}), "wrong-type", "note.mine[0]"),
        (lambda v: v["net"]["bubbles"][0].update(kind="fabrik"), "unknown-word",
         "net.bubbles[0].kind"),
        (lambda v: v["actions"][4].update(do="look"), "unknown-word", "actions[4].do"),
        (lambda v: v.update(hands=0), "out-of-range", "hands"),
        (lambda v: v["balloons"][0].update(tail_mm=-5), "out-of-range", "balloons[0].tail_mm"),
        (lambda v: v["balloons"][0].update(size="160"), "no-budget", "balloons[0].size"),
        (lambda v: v["balloons"][0].update(code=""), "empty", "balloons[0].code"),
        (lambda v: v["balloons"][0].update(code="R\n1"), "unprintable", "balloons[0].code"),
        (lambda v: v["balloons"][0].update(code="R\x1b[2J"), "unprintable", "balloons[0].code"),
        (lambda v: v["balloons"][0].update(code="R" * 999), "too-long", "balloons[0].code"),
        (lambda v: v["design"].update(name="\ud800"), "half-character", "design.name"),
        (lambda v: v["budget"]["260"].update(flat_mm=0), "out-of-range", 'budget["260"].flat_mm'),
        (lambda v: v["balloons"].append(v["balloons"][0]), "code-twice", "balloons[1].code"),
    ],
)  # fmt: skip
def test_a_problem_is_told_at_its_path(edit: Edit, code: str, where: str) -> None:
    assert (f"plan-file-{code}", where) in problems(edited(edit))


def test_a_tie_needs_two_balloons() -> None:
    tied = HAND_PLANS["tied pair"]()
    text = edited(lambda v: v["actions"][0].update(balloons=["R1"]), tied)
    assert problems(text) == [("plan-file-wrong-count", "actions[0].balloons")]


def test_a_key_given_twice_is_refused() -> None:
    text = write_plan(triangle()).replace('"hands": 4', '"hands": 4, "hands": 40')
    assert problems(text) == [("plan-file-key-twice", "hands")]


def test_a_near_key_is_named() -> None:
    def edit(value: dict[str, Any]) -> None:
        bubble = value["net"]["bubbles"][0]
        bubble["length"] = bubble.pop("length_mm")

    with pytest.raises(BadInput) as caught:
        read_plan(edited(edit))
    assert '"length"' in caught.value.findings[0].remedy


def test_all_problems_are_told_at_once() -> None:
    def edit(value: dict[str, Any]) -> None:
        value["hands"] = "four"
        value["net"]["bubbles"][2]["a"] = 99
        value["actions"][1]["bubble"] = 99
        value["claims"]["joints"] = -1
        del value["bound"]["reason"]

    assert [where for _, where in problems(edited(edit))] == [
        "net.bubbles[2].a", "actions[1].bubble", "hands", "bound.reason", "claims.joints",
    ]  # fmt: skip


def test_thousands_of_problems_are_counted_and_not_all_told() -> None:
    text = edited(lambda v: v["actions"].extend([7] * 5000))
    found = problems(text)
    assert len(found) == 201 and found[-1][0] == "plan-file-and-more"


# Whatever the file holds, it is read or refused, and nothing else.


def refused_or_read(text: str) -> None:
    try:
        plan = read_plan(text)
    except BadInput as error:
        assert error.findings
    else:
        assert write_plan(read_plan(write_plan(plan))) == write_plan(plan)


anything = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=8)
    | st.sampled_from(["R1", 0, 1, 2, "twist", "tie", 25.4, -1, 10**400, "\ud800"]),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=6,
)


@settings(max_examples=400, deadline=None)
@given(st.randoms(use_true_random=False), st.lists(anything, min_size=1, max_size=3))
def test_values_put_anywhere_never_fall_through(random: Random, values: list[Any]) -> None:
    value = json.loads(write_plan(two_parts()))
    for new in values:
        _put(value, copy.deepcopy(new), random)
    refused_or_read(json.dumps(value))


def _put(value: Any, new: Any, random: Random) -> None:
    """Replace, add or take away something at a random depth."""
    while True:
        keys = list(value) if isinstance(value, dict) else list(range(len(value)))
        if not keys:
            return
        key = random.choice(keys)
        if isinstance(value[key], dict | list) and value[key] and random.random() < 0.85:
            value = value[key]
            continue
        if random.random() < 0.2:
            del value[key]
        else:
            value[key] = new
        return


@settings(max_examples=300, deadline=None)
@given(st.integers(0, 3000), st.integers(0, 40), st.text(max_size=6))
def test_text_cut_and_pasted_never_falls_through(at: int, cut: int, paste: str) -> None:
    text = write_plan(triangle())
    refused_or_read(text[:at] + paste + text[at + cut :])


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=60))
def test_any_text_never_falls_through(text: str) -> None:
    refused_or_read(text)


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=60))
def test_any_bytes_never_fall_through(
    tmp_path_factory: pytest.TempPathFactory, data: bytes
) -> None:
    path = tmp_path_factory.mktemp("any") / "plan.json"
    path.write_bytes(data)
    with pytest.raises(BadInput):
        read_plan(path)
