"""Fixed choices made by hand: written as one gesture each, and what is known before planning."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from itertools import permutations
from pathlib import Path
from typing import Any

import pytest

from airweft.base.errors import BadInput
from airweft.base.progress import Progress
from airweft.design.read import design_from_text
from airweft.design.setting import with_key
from airweft.records.choices import KeepBefore, KeepPanels, KeepToward, KeepTrail
from airweft.workshop.by_hand import (
    ByHand,
    KeepStart,
    cannot_keep,
    chosen,
    fix,
    fixed_choices,
    joints_of,
    marks,
    panels,
    place_of,
    style_says,
    trails,
)
from airweft.workshop.changes import changes
from airweft.workshop.desk import Desk
from airweft.workshop.planning import checked_plan
from airweft.workshop.shape import painted_net
from airweft.workshop.starter import starter_text
from airweft.workshop.store.store import Store

STYLES: dict[str, str | None] = {
    "painted": None,
    "best": None,
    "pairs": "the style pairs does not work by fixed choices",
    "rounds": "the style rounds does not work by fixed choices",
    "parts": "the style parts does not work by fixed choices",
    "fewest": "the fewest balloons go before your fixed choices",
}


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    store = Store(tmp_path / "home")
    found = store.open(store.new(starter_text("box")).key)
    found.__dict__["kept"] = store  # the desk lives as long as its store
    return found


def of_each_kind(desk: Desk) -> list[ByHand]:
    net = desk.net
    assert net is not None
    here, there = net.joint_names[0], net.joint_names[-1]
    plan, *_ = checked_plan(desk.design, net, style="rounds", seed=0, progress=Progress())  # type: ignore[arg-type]
    trail = next(t for t in trails(plan) if len(t.bubbles) > 2)
    return [
        KeepStart(here),
        KeepToward(here, there),
        KeepTrail(trail.bubbles),
        KeepPanels(("bottom", "front")),
        KeepBefore(tuple(marks(net)[:2])),
    ]


def test_each_kind_is_one_gesture_and_comes_back_as_it_was(desk: Desk) -> None:
    texts = [desk.text]
    choices = of_each_kind(desk)
    for choice in choices:
        fix(desk, choice)
        assert desk.can_undo == f"Fix {choice.title}"
        assert desk.design is not None and choice in chosen(desk.design)
        # The maker's own text stands as before, apart from what came to it.
        assert texts[-1].split("[plan]")[0].rstrip() in desk.text
        texts.append(desk.text)
    assert set(chosen(desk.design)) == set(choices)  # type: ignore[arg-type]
    listed = fixed_choices(desk.text, desk.design, desk.net, None)  # type: ignore[arg-type]
    assert [one.choice for one in listed] == choices
    assert [one.place for one in listed] == [None, 0, 1, 2, 3]
    for choice, text in zip(reversed(choices), reversed(texts[:-1]), strict=True):
        assert desk.undo() == f"Fix {choice.title}"
        assert desk.text == text


def test_what_is_there_already_is_refused(desk: Desk) -> None:
    for choice in of_each_kind(desk):
        fix(desk, choice)
        text = desk.text
        with pytest.raises(BadInput) as refused:
            fix(desk, choice)
        assert refused.value.findings[0].code == "choice-there-already"
        assert desk.text == text


def test_another_start_takes_the_place_of_the_first(desk: Desk) -> None:
    assert desk.net is not None
    for name in desk.net.joint_names[:2]:
        fix(desk, KeepStart(name))
    assert tomllib.loads(desk.text)["plan"]["start"] == desk.net.joint_names[1]


def test_a_stale_plan_names_the_choice(desk: Desk) -> None:
    before = desk.text
    for choice in of_each_kind(desk):
        now = desk.text
        fix(desk, choice)
        (said,) = changes(now, desk.text)
        expected = (
            f"start none -> {choice.start}" if isinstance(choice, KeepStart) else choice.title
        )
        assert said.startswith("plan: ") and expected in said
        assert len(changes(desk.text, now)) == 1
    assert len(changes(before, desk.text)) == 5


def test_what_cannot_be_kept_is_known_before_planning() -> None:
    text = starter_text("box")
    design = design_from_text(text)
    net = painted_net(design)
    first, second = marks(net)[:2]
    assert cannot_keep(design, net) == ()
    assert cannot_keep(design, net, KeepBefore((first, second))) == ()
    with_order = design_from_text(with_key(text, ("plan", "keep", 0), {"before": [first, second]}))
    (against,) = cannot_keep(with_order, net, KeepBefore((second, first)))
    assert against.where == f"plan, {second} before {first}"
    assert against.code == "plan-choice-cannot-be-kept"
    (unknown,) = cannot_keep(design, net, KeepStart("nowhere (1, 1)"))
    assert "nowhere (1, 1)" in unknown.where
    # Two bubbles that do not touch.
    far = next(
        (one, other)
        for one, other in permutations(net.bubble_names, 2)
        if not set(joints_of(one, net)) & set(joints_of(other, net))
    )
    assert cannot_keep(design, net, KeepTrail(far))


@pytest.mark.parametrize("style", STYLES)
def test_a_style_that_does_not_work_by_choices_says_so(style: str) -> None:
    text = with_key(starter_text("box"), ("plan", "style"), style)
    if style == "parts":
        text = with_key(text, ("plan", "crew"), 2)
    assert style_says(design_from_text(text)) is None  # nothing is fixed
    found = style_says(design_from_text(with_key(text, ("plan", "start"), "bottom (1, 0)")))
    wanted = STYLES[style]
    assert (found is None) == (wanted is None)
    assert found is None or (wanted is not None and wanted in found.message)


def test_a_crew_without_a_style_says_so_too() -> None:
    text = with_key(starter_text("box"), ("plan",), {"crew": 2, "start": "bottom (1, 0)"})
    found = style_says(design_from_text(text))
    assert found is not None and "parts" in found.message


@pytest.mark.parametrize("form", ["box", "tube", "blocks", "ball", "joined", "turned"])
def test_every_panel_that_is_offered_can_be_named(form: str) -> None:
    design = design_from_text(starter_text(form))
    net = painted_net(design)
    offered = panels(net)
    covered = [one.panels for one in offered]
    assert len(set(covered)) == len(covered)
    for one in offered:
        named = place_of(KeepPanels((one.name,)), net)[0]
        assert len(named) == one.count > 0
        inside = {net.bubble_panels[net.bubble_names.index(bubble)] for bubble in named}
        assert inside == set(one.panels)
    for one, other in permutations(offered, 2):
        if not set(one.panels) & set(other.panels):
            assert not cannot_keep(design, net, KeepPanels((one.name, other.name)))


def test_joints_and_trails_by_name(desk: Desk) -> None:
    net = desk.net
    assert net is not None and trails(None) == ()
    for bubble, ends in zip(net.bubble_names, net.ends.tolist(), strict=True):
        assert set(joints_of(bubble, net)) == {net.joint_names[joint] for joint in ends}
    assert joints_of("nowhere 1", net) == ()


def test_a_fixed_choice_is_kept_by_the_next_plan(desk: Desk) -> None:
    made: Callable[..., Any] = checked_plan
    for choice in of_each_kind(desk)[:3]:
        fix(desk, choice)
        plan, *_ = made(desk.design, desk.net, style="painted", seed=0, progress=Progress())
        assert desk.design is not None
        found = fixed_choices(desk.text, desk.design, desk.net, plan)
        assert all(one.finding is None for one in found)
        desk.undo()
