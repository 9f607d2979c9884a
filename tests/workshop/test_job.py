"""The whole job from inside the program: progress, stopping, claims, and the styles' figures."""

from __future__ import annotations

import json
import os
from dataclasses import replace
from pathlib import Path

import pytest

from airweft.base.errors import BadInput, CannotMake
from airweft.base.progress import Progress, Stopped
from airweft.check.replay import replay
from airweft.plan.measure import travel_mm, waste_percent
from airweft.records.planfile import read_plan
from airweft.workshop.examine import examine
from airweft.workshop.folder import read_mark
from airweft.workshop.job import Outcome, run
from airweft.workshop.options import FILE_NAMES
from airweft.workshop.side_by_side import Row, side_by_side
from tests.cli.running import SMALL

TUBE = """\
airweft = 1
name    = "=Post; “sleeve”"
units   = "in"
[balloon]
size   = "260"
bubble = "1 in"
[form]
kind   = "tube"
around = 6
rows   = 4
[colours]
B = "navy"
W = "white"
[pattern]
kind   = "rows"
repeat = "BW"
"""


@pytest.fixture
def tube(tmp_path: Path) -> Path:
    path = tmp_path / "sleeve.toml"
    path.write_text(TUBE, encoding="utf-8")
    return path


@pytest.fixture
def outcome(tube: Path, tmp_path: Path) -> Outcome:
    return run(tube, tmp_path / "out")


def test_what_was_made_and_what_is_claimed(outcome: Outcome) -> None:
    assert outcome.files == FILE_NAMES and outcome.kept == ()
    claims = outcome.plan.claims
    assert (claims.bubbles, claims.minutes_low, claims.minutes_high) == (
        24, outcome.minutes.low, outcome.minutes.high,
    )  # fmt: skip
    assert all(side > 20 for side in claims.size_mm)
    written = read_plan(outcome.folder / "plan.json")
    assert replay(written).findings == replay(outcome.plan).findings
    assert json.loads((outcome.folder / "plan.json").read_text("utf-8"))["claims"]["size_mm"]


def test_the_mark_knows_the_design_and_every_file(outcome: Outcome) -> None:
    mark = read_mark(outcome.folder)
    assert mark is not None
    assert mark.design_name == outcome.design.name
    assert mark.fingerprint == outcome.plan.fingerprint == outcome.design.fingerprint
    assert sorted(mark.files) == sorted(FILE_NAMES)


def test_the_list_is_in_the_makers_unit_and_holds_no_formula(outcome: Outcome) -> None:
    text = (outcome.folder / "shopping.csv").read_bytes().decode("ascii")
    assert " in" in text and " cm" not in text


def test_assumed_figures_are_said(outcome: Outcome) -> None:
    assert "budget-assumed" in {finding.code for finding in outcome.findings}


def test_progress_rises_to_the_end_and_names_the_stages(tube: Path, tmp_path: Path) -> None:
    told: list[tuple[float, str]] = []
    progress = Progress(lambda done, total, text: told.append((done / total, text)))
    run(tube, tmp_path / "out", progress=progress)
    shares = [share for share, _ in told]
    assert shares == sorted(shares) and shares[0] >= 0 and shares[-1] <= 1
    for stage in ("reading", "planning", "booklet", "saving"):
        assert stage in {text for _, text in told}


@pytest.mark.parametrize("stage", ["weaving", "planning", "booklet", "saving"])
def test_asked_to_stop_it_stops_and_leaves_nothing(tube: Path, tmp_path: Path, stage: str) -> None:
    def tell(_done: int, _total: int, text: str) -> None:
        if text == stage:
            progress.stop()

    progress = Progress(tell)
    with pytest.raises(Stopped):
        run(tube, tmp_path / "out", progress=progress)
    assert os.listdir(tmp_path) == [tube.name]


def test_a_folder_that_must_not_be_written_is_said_before_the_long_work(
    tube: Path, tmp_path: Path
) -> None:
    (tmp_path / "out").write_text("mine")
    told: list[str] = []
    with pytest.raises(BadInput):
        run(tube, tmp_path / "out", progress=Progress(lambda _d, _t, text: told.append(text)))
    assert told == ["reading"]


def test_examined_from_a_file(tube: Path, outcome: Outcome) -> None:
    design, plan = examine(tube), examine(outcome.folder / "plan.json")
    assert design.makeable and plan.makeable
    assert (design.kind, plan.kind) == ("design", "plan")
    assert design.plan is not None and plan.plan is not None
    assert design.plan.claims == plan.plan.claims == outcome.plan.claims


def test_waste_is_what_no_bubble_knot_or_stub_uses(outcome: Outcome) -> None:
    plan = outcome.plan
    # By hand: of each balloon's full length, M4 leaves this much uncut.
    kept = 0
    for balloon in plan.balloons:
        budget = plan.budgets[balloon.size]
        kept += budget.knot + budget.stub
        kept += sum(int(plan.net.lengths[b]) + budget.twist_takes for b in balloon.bubbles)
    full = sum(plan.budgets[balloon.size].full for balloon in plan.balloons)
    assert waste_percent(plan) == pytest.approx(100 - 100 * kept / full)
    assert waste_percent(replace(plan, balloons=())) == 0


def test_hands_that_stay_in_place_do_not_travel(outcome: Outcome) -> None:
    plan = outcome.plan
    assert travel_mm(plan) > 0
    still = replace(plan, actions=tuple(replace(action, joint=0) for action in plan.actions))
    assert travel_mm(still) == 0


def test_what_is_made_is_the_best_of_those_side_by_side(tube: Path, outcome: Outcome) -> None:
    _, rows = side_by_side(tube)
    suited = [row for row in rows if isinstance(row, Row)]
    (best,) = [row for row in suited if row.best]
    assert best.score == min(row.score for row in suited) and not best.beaten_by
    assert (best.style, best.balloons) == (outcome.plan.style, len(outcome.plan.balloons))


def test_the_fewest_is_the_least_of_the_styles(tube: Path, tmp_path: Path) -> None:
    _, rows = side_by_side(tube)
    fewest = run(tube, tmp_path / "fewest", style="fewest")
    assert min(row.balloons for row in rows if isinstance(row, Row)) == len(fewest.plan.balloons)


def test_every_door_says_the_same_fault(tube: Path, tmp_path: Path) -> None:
    tube.write_text(TUBE.replace("around = 6", "around = 5"), encoding="utf-8")
    with pytest.raises(CannotMake) as made:
        run(tube, tmp_path / "out")
    with pytest.raises(CannotMake) as compared:
        side_by_side(tube)
    assert made.value.findings == compared.value.findings == examine(tube).findings


def test_a_design_without_its_net_file(tmp_path: Path) -> None:
    path = tmp_path / "star.toml"
    form = '[form]\nkind = "net"\nfile = "none.json"\n'
    start, end = SMALL.index("[form]"), SMALL.index("[colours]")
    pattern = SMALL.index("[pattern]")
    path.write_text(SMALL[:start] + form + SMALL[end:pattern], encoding="utf-8")
    with pytest.raises(BadInput) as error:
        run(path, tmp_path / "out")
    assert "none.json" in str(error.value.findings)
    assert not (tmp_path / "out").exists()
