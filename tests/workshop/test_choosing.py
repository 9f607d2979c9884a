"""Choosing by weights, the design's own style and seed, choices that are told, and storing one."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from airweft.base.errors import BadInput, CannotMake
from airweft.base.findings import Finding
from airweft.base.progress import Progress
from airweft.check.replay import Replay
from airweft.design.read import design_from_text
from airweft.plan import make
from airweft.plan.comfort import WEIGHTS
from airweft.records.plan import Plan
from airweft.records.planfile import read_plan, write_plan
from airweft.workshop import choosing
from airweft.workshop.choosing import (
    Search,
    answers,
    candidate,
    choice_findings,
    choose_plan,
    wanted,
)
from airweft.workshop.claims import budgets_of
from airweft.workshop.options import Style
from airweft.workshop.planned import planned
from airweft.workshop.shape import painted_net
from airweft.workshop.side_by_side import NotFor, Row, choose_row, side_by_side
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


def refuse(monkeypatch: pytest.MonkeyPatch, *styles: str) -> None:
    """Have the checker refuse the plans of these styles, as it would a plan that breaks a rule."""
    real = choosing.must_pass
    bad = Finding(
        code="joint-loose", severity="cannot", where="joint 3", message="a twist is loose",
        remedy="Lock it.", rule="M9",
    )  # fmt: skip

    def must_pass(plan: Plan) -> Replay:
        if plan.style in styles:
            told = Finding(
                code="plan-refused", severity="cannot", where="plan", message="refused",
                remedy="Report it.",
            )  # fmt: skip
            raise CannotMake((told, bad))
        return real(plan)

    monkeypatch.setattr(choosing, "must_pass", must_pass)


def fail(monkeypatch: pytest.MonkeyPatch, *styles: str) -> None:
    """Have these styles fail by a fault of their own."""

    def broken(_: object) -> None:
        raise IndexError("list index out of range")

    monkeypatch.setattr(make, "STYLES", make.STYLES | dict.fromkeys(styles, broken))


@pytest.mark.parametrize("wish", ["best", "fewest"])
@pytest.mark.parametrize("spoil", [refuse, fail])
def test_a_refused_style_is_left_out_and_named(
    monkeypatch: pytest.MonkeyPatch,
    file: Path,
    wish: Style,
    spoil: Callable[..., None],
) -> None:
    design = design_from_text(TUBE)
    net = painted_net(design)
    budgets = budgets_of(design, net)
    given: Any = {"style": wish, "seed": 0, "progress": Progress(), "budgets": budgets}
    usual = choose_plan(design, net, **given)
    assert usual.left_out == ()
    spoil(monkeypatch, usual.plan.style)
    chosen = choose_plan(design, net, **given)
    assert chosen.plan.style != usual.plan.style
    (note,) = chosen.left_out
    assert (note.code, note.severity) == ("plan-style-left-out", "note")
    assert note.where == f"style {usual.plan.style}"
    assert ("M9: a twist is loose" if spoil is refuse else "IndexError") in note.message
    # It goes along with the plan, and the rows side by side say it in its place.
    made = planned(design, net, style=wish, seed=0, progress=Progress())
    assert note in made.findings
    _, rows = side_by_side(file)
    faults = [row for row in rows if isinstance(row, NotFor) and row.fault]
    assert [row.style for row in faults] == [usual.plan.style]
    assert any(isinstance(row, Row) and row.best for row in rows)


@pytest.mark.parametrize("spoil", [refuse, fail])
def test_where_every_style_is_refused_there_is_no_plan(
    monkeypatch: pytest.MonkeyPatch, file: Path, spoil: Callable[..., None]
) -> None:
    spoil(monkeypatch, *make.STYLES)
    design = design_from_text(TUBE)
    net = painted_net(design)
    for wish in ("best", "fewest"):
        with pytest.raises(CannotMake) as refused:
            choose_plan(
                design, net, style=wish, seed=0, progress=Progress(),  # type: ignore[arg-type]
                budgets=budgets_of(design, net),
            )  # fmt: skip
        code = "plan-refused" if spoil is refuse else "plan-style-failed"
        assert code in {f.code for f in refused.value.findings}
    with pytest.raises(CannotMake):
        side_by_side(file)


def test_a_plan_says_that_its_search_was_ended_early(file: Path) -> None:
    design = design_from_text(TUBE)
    net = painted_net(design)
    done = planned(design, net, style="best", seed=0, progress=Progress())
    assert not done.plan.ended_early and "ended_early" not in write_plan(done.plan)
    # Enough as soon as there is something.
    progress = Progress(lambda *at: progress.enough() if "looking further" in at[2] else None)
    made = planned(design, net, style="best", seed=0, progress=progress)
    assert made.plan.ended_early and read_plan(write_plan(made.plan)).ended_early
    assert not progress.stopping  # the wish has been minded
    # Searched on from there to the end, it says so no more.
    on = planned(
        design, net, style="best", seed=0, progress=Progress(), search=Search(after=made.plan)
    )
    assert not on.plan.ended_early
    assert len(on.plan.balloons) <= len(made.plan.balloons)
    again = Progress(lambda *at: again.enough() if "looking further" in at[2] else None)
    _, rows = side_by_side(file, progress=again)
    assert {row.style for row in rows} == set(make.styles_for(design))
    assert all(row.ended_early for row in rows if isinstance(row, Row))
    reached = {row.style for row in rows if isinstance(row, Row)}
    ended = {row.style for row in rows if isinstance(row, NotFor) and row.ended}
    assert reached and ended == set(make.styles_for(design)) - reached


@pytest.mark.parametrize(
    ("style", "crew", "said"),
    [("parts", 2, 2), ("best", 2, 2), ("best", 1, 1), ("rounds", 2, 3), ("parts", None, 3)],
)
def test_the_crew_is_stored_where_the_choice_depends_on_it(
    file: Path, style: Style, crew: int | None, said: int
) -> None:
    file.write_text(TUBE + "[plan]\ncrew = 3  # on Saturdays\n", encoding="utf-8")
    before = snapshot(file)
    row = _row(style)
    told = choose_row(file, before, design_from_text(TUBE), [row], style, crew=crew)
    text = file.read_text(encoding="utf-8")
    assert design_from_text(text).choices.crew == said and "# on Saturdays" in text
    assert (f"crew = {crew}" in told) == (crew is not None and style != "rounds")


def _row(style: str) -> Row:
    return Row(
        style=style, label=style, seed=0, balloons=9, bound=9, proven=True, waste_mm=0.0,
        waste_percent=0.0, minutes=(1, 2), peak_loose=3, lines=4, colour_changes=0, travel_mm=0.0,
        turning=0, awkward=0, score=1.0, best=True, beaten_by=(), unkept=(),
    )  # fmt: skip


def test_searching_on_in_one_style_never_loses_what_there_was(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    design = design_from_text(TUBE)
    net = painted_net(design)
    given: Any = {
        "style": "rounds", "seed": 0, "progress": Progress(), "budgets": budgets_of(design, net),
    }  # fmt: skip
    good = choose_plan(design, net, **given).plan
    worse = replace(good, balloons=(*good.balloons, good.balloons[-1]))
    monkeypatch.setattr(make, "make_plan", lambda *_, **__: worse)
    assert choose_plan(design, net, **given, search=Search(after=good)).plan is good
    # A plan of another state of the design is only searched on from.
    other = replace(good, fingerprint="0" * 64)
    assert choose_plan(design, net, **given, search=Search(after=other)).plan is worse
