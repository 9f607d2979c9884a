"""`airweft compare`: the styles side by side."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from airweft.plan import make
from airweft.workshop.starter import starter_text
from tests.cli.running import SMALL, run


def test_the_styles_side_by_side(capsys: pytest.CaptureFixture[str], small: Path) -> None:
    ran = run(capsys, "compare", small)
    assert ran.code == 0
    for said in (
        "pairs", "rounds", "balloons", "at least", "cut off", "minutes", "loose", "lines", "colour",
        "travel", "turns", "outside", "by weight",
    ):  # fmt: skip
        assert said in ran.out
    assert ran.out.count("*") == 2  # at the best, and what the star means


def test_for_programs(capsys: pytest.CaptureFixture[str], small: Path) -> None:
    answer = json.loads(run(capsys, "compare", small, "--json").out)
    suited = [style for style in answer["styles"] if style["suits"]]
    assert {style["style"] for style in answer["styles"]} == set(make.STYLES) - {"parts"}
    assert suited
    for style in suited:
        assert style["balloons"] >= style["bound"] >= 1
        assert 0 <= style["waste_percent"] < 100
        assert style["minutes"][0] <= style["minutes"][1]
        assert style["peak_loose"] <= 4 and style["lines"] >= 1 and style["travel_mm"] > 0
        assert style["colour_changes"] == 0 == style["turning"]  # one colour, a flat sheet
    scores = [style["score"] for style in suited]
    assert [style["best"] for style in suited].count(True) == 1
    assert next(style["score"] for style in suited if style["best"]) == min(scores)
    assert answer["stored"] is None


def test_faults_are_said_as_by_make(capsys: pytest.CaptureFixture[str], small: Path) -> None:
    small.write_text(SMALL.replace("columns = 4", "columns = 5"))
    assert run(capsys, "compare", small).code == 1
    small.write_text("nonsense")
    ran = run(capsys, "compare", small, "--json")
    assert ran.code == 2 and json.loads(ran.out)["findings"]


STRIPED = (
    SMALL.replace('R = "red"', 'R = "red"\nW = "white"  # new stock')
    .replace("columns = 4", "columns = 8")
    .replace('kind   = "plain"\ncolour = "R"', 'kind = "checks"\nrepeat = "RW"')
)


def test_several_seeds(capsys: pytest.CaptureFixture[str], small: Path) -> None:
    small.write_text(STRIPED, encoding="utf-8")
    answer = json.loads(run(capsys, "compare", small, "--variants", "3", "--json").out)
    labels = [row["label"] for row in answer["styles"]]
    assert len(labels) == len(set(labels)) >= 2
    for row in answer["styles"]:
        assert row["label"] in (row["style"], f"{row['style']} (seed {row['seed']})")
        assert row["seed"] in range(3)
        assert set(row["beaten_by"]) < set(labels) - {row["label"]} or not row["beaten_by"]
    for wrong in ("0", "101", "some"):
        ran = run(capsys, "compare", small, "--variants", wrong)
        assert ran.code == 2 and "--variants" in ran.err


def test_a_picture(capsys: pytest.CaptureFixture[str], small: Path, tmp_path: Path) -> None:
    file = tmp_path / "trade.svg"
    assert run(capsys, "compare", small, "--picture", file).code == 0
    drawn = file.read_bytes()
    assert drawn.startswith(b"<svg ") and b"Pennant [small]" in drawn
    ran = run(capsys, "compare", small, "--picture", file)
    assert ran.code == 2 and "--picture" in ran.err and file.read_bytes() == drawn


def test_a_stored_choice_is_made(
    capsys: pytest.CaptureFixture[str], small: Path, tmp_path: Path
) -> None:
    small.write_text(STRIPED, encoding="utf-8")
    for style in ("pairs", "rounds"):
        ran = run(capsys, "compare", small, "--choose", style)
        assert ran.code == 0 and f'The design says now: style = "{style}"' in ran.out
        assert small.read_text(encoding="utf-8").startswith(STRIPED)
        made = json.loads(run(capsys, "make", small, "--out", tmp_path / style, "--json").out)
        assert made["style"] == style
    asked = json.loads(
        run(capsys, "make", small, "--style", "pairs", "--out", tmp_path / "asked", "--json").out
    )
    assert asked["style"] == "pairs"


def test_a_choice_that_does_not_suit_is_refused(
    capsys: pytest.CaptureFixture[str], small: Path
) -> None:
    frame = SMALL.replace(
        'kind    = "sheet"\ncolumns = 4\nrows    = 4',
        'kind = "solid"\nname = "cube"\nbuild = "frame"',
    )
    small.write_text(frame, encoding="utf-8")
    ran = run(capsys, "compare", small, "--choose", "pairs")
    assert ran.code == 1 and "pairs-no-cells" in ran.err
    assert small.read_text(encoding="utf-8") == frame
    ran = run(capsys, "compare", small, "--choose", "parts")
    assert ran.code == 1 and "plan-style-not-offered" in ran.err and "crew" in ran.err
    ran = run(capsys, "compare", small, "--choose", "roundz")
    assert ran.code == 2 and "Did you mean rounds?" in ran.err
    assert small.read_text(encoding="utf-8") == frame


def test_a_crew_is_stored_with_its_parts(
    capsys: pytest.CaptureFixture[str], small: Path, tmp_path: Path
) -> None:
    small.write_text(starter_text("box"), encoding="utf-8")
    ran = run(capsys, "compare", small, "--crew", "2", "--choose", "parts")
    assert ran.code == 0 and 'The design says now: style = "parts", crew = 2' in ran.out
    made = json.loads(run(capsys, "make", small, "--out", tmp_path / "crew", "--json").out)
    assert made["style"] == "parts"


def test_a_style_that_fails_is_named_and_the_others_stand(
    capsys: pytest.CaptureFixture[str], small: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(_: object) -> None:
        raise IndexError("list index out of range")

    monkeypatch.setattr(make, "STYLES", make.STYLES | {"rounds": broken})
    ran = run(capsys, "compare", small)
    assert ran.code == 0 and "pairs" in ran.out
    assert "The style rounds was left out by a fault of airweft" in ran.out
    assert "plan-style-failed" in ran.out
    ran = run(capsys, "make", small, "--out", tmp_path / "out", "--json")
    told = json.loads(ran.out)
    assert ran.code == 0 and told["style"] != "rounds"
    assert "plan-style-left-out" in {finding["code"] for finding in told["findings"]}


def test_weights_and_choices_of_the_design(
    capsys: pytest.CaptureFixture[str], small: Path, tmp_path: Path
) -> None:
    plan = '\n[plan.weights]\nloose = 1000\n\n[[plan.keep]]\ntrail = ["sheet 1.1", "sheet 9.9"]\n'
    small.write_text(SMALL + plan, encoding="utf-8")
    answer = json.loads(run(capsys, "compare", small, "--json").out)
    suited = [row for row in answer["styles"] if row["suits"]]
    least = min(row["peak_loose"] for row in suited)
    assert all(row["peak_loose"] == least for row in suited if row["best"])
    assert all(row["unkept"] == ["trail sheet 1.1, sheet 9.9"] for row in suited)
    for command in (("make", small, "--out", tmp_path / "out"), ("check", small)):
        ran = run(capsys, *command)
        assert ran.code == 0
        assert "plan-choice-cannot-be-kept" in ran.out and "sheet 9.9" in ran.out
