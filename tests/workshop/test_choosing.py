"""Choosing by weights, the design's own style and seed, choices that are told, and storing one."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from airweft.base.errors import BadInput, CannotMake
from airweft.base.progress import Progress
from airweft.design.read import design_from_text
from airweft.plan.comfort import WEIGHTS
from airweft.workshop.choosing import (
    answers,
    candidate,
    choice_findings,
    choose_plan,
    wanted,
)
from airweft.workshop.claims import budgets_of
from airweft.workshop.shape import painted_net
from airweft.workshop.store_choice import snapshot, store_choice

TUBE = """\
airweft = 1
name    = "Bollard"
units   = "cm"
[balloon]
size   = "260"
bubble = 2.5
[form]
kind   = "tube"
around = 12
rows   = 8
[colours]
R = "red"
W = "white"
[pattern]
kind   = "rows"
repeat = "RW"
"""


def only(name: str) -> str:
    """A table of weights in which one thing alone counts."""
    return "[plan.weights]\n" + "".join(f"{n} = {int(n == name)}\n" for n in WEIGHTS)


@pytest.mark.parametrize("name", list(WEIGHTS))
def test_the_weights_decide(name: str) -> None:
    design = design_from_text(TUBE + only(name))
    net = painted_net(design)
    budgets = budgets_of(design, net)
    every = [
        candidate(answer.plan, design)
        for answer in answers(design, net, seeds=range(1), progress=Progress(), budgets=budgets)
        if answer.plan is not None
    ]
    assert len(every) > 1
    chosen = candidate(
        choose_plan(design, net, style="best", seed=0, progress=Progress(), budgets=budgets).plan,
        design,
    )
    assert getattr(chosen.measures, name) == min(getattr(c.measures, name) for c in every)
    assert chosen.score == pytest.approx(getattr(chosen.measures, name))


def test_the_same_plan_of_two_seeds_is_told_once() -> None:
    design = design_from_text(TUBE)
    net = painted_net(design)
    found = list(
        answers(design, net, seeds=range(3), progress=Progress(), budgets=budgets_of(design, net))
    )
    plans = [(a.style, a.plan.actions, a.plan.balloons) for a in found if a.plan]
    assert len(plans) == len(set(plans)) >= 2


def test_what_is_asked_now_goes_before_the_design() -> None:
    plain = design_from_text(TUBE)
    chosen = design_from_text(TUBE + '[plan]\nstyle = "pairs"\nseed = 3\n')
    assert wanted(plain, None, None) == ("best", 0)
    assert wanted(chosen, None, None) == ("pairs", 3)
    assert wanted(chosen, "rounds", 0) == ("rounds", 0)


def test_a_style_of_a_later_version_is_said_to_be_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("airweft.plan.make.STYLES", {})
    design = design_from_text(TUBE)
    net = painted_net(design)
    with pytest.raises(CannotMake) as refused:
        choose_plan(
            design, net, style="painted", seed=0, progress=Progress(),
            budgets=budgets_of(design, net),
        )  # fmt: skip
    assert refused.value.findings[0].code == "plan-style-not-yet"


def test_choices_that_cannot_be_kept_and_those_that_were_not() -> None:
    keep = """
[plan]
start = "tube (1, 99)"
[[plan.keep]]
trail = ["tube 1.1", "tube 9.7"]
[[plan.keep]]
before = ["R", "W"]
"""
    design = design_from_text(TUBE + keep)
    net = painted_net(design)
    plan = choose_plan(
        design, net, style="pairs", seed=0, progress=Progress(), budgets=budgets_of(design, net)
    ).plan
    told = choice_findings(design, plan)
    assert all(f.severity == "risky" for f in told)
    where = [f.where for f in told]
    assert len(set(where)) == len(where) >= 2
    assert {f.where for f in told if f.code == "plan-choice-cannot-be-kept"} >= {
        "plan, start tube (1, 99)",
        "plan, trail tube 1.1, tube 9.7",
    }
    assert choice_findings(design_from_text(TUBE), plan) == ()


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "bollard.toml"
    path.write_text(TUBE, encoding="utf-8")
    return path


def test_a_choice_is_stored_once(file: Path) -> None:
    file.chmod(0o640)
    assert store_choice(file, snapshot(file), style="rounds", seed=2)
    text = file.read_text(encoding="utf-8")
    assert text.startswith(TUBE)
    assert design_from_text(text).choices.style == "rounds"
    assert stat.S_IMODE(file.stat().st_mode) == 0o640
    assert not store_choice(file, snapshot(file), style="rounds", seed=2)
    assert file.read_text(encoding="utf-8") == text
    assert os.listdir(file.parent) == [file.name]


def test_a_link_stays_a_link(file: Path, tmp_path: Path) -> None:
    link = tmp_path / "link.toml"
    link.symlink_to(file)
    assert store_choice(link, snapshot(link), style="pairs")
    assert link.is_symlink() and 'style = "pairs"' in file.read_text(encoding="utf-8")


def test_a_file_changed_meanwhile_is_left_alone(file: Path) -> None:
    before = snapshot(file)
    file.write_text(TUBE + "# a thought\n", encoding="utf-8")
    with pytest.raises(BadInput) as refused:
        store_choice(file, before, style="rounds")
    assert refused.value.findings[0].code == "design-changed-meanwhile"
    assert file.read_text(encoding="utf-8") == TUBE + "# a thought\n"
    assert os.listdir(file.parent) == [file.name]


def test_a_file_that_is_gone_or_cannot_be_replaced(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = snapshot(file)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(BadInput) as refused:
        store_choice(file, before, style="rounds")
    assert "No space left" in refused.value.findings[0].message
    assert file.read_bytes() == before and os.listdir(file.parent) == [file.name]
    file.unlink()
    assert snapshot(file) == b""
    with pytest.raises(BadInput):
        store_choice(file, before, style="rounds")
    assert os.listdir(file.parent) == []
