"""`airweft compare`: the styles side by side."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.running import SMALL, run


def test_the_styles_side_by_side(capsys: pytest.CaptureFixture[str], small: Path) -> None:
    ran = run(capsys, "compare", small)
    assert ran.code == 0
    for said in ("pairs", "rounds", "balloons", "at least", "minutes", "loose", "lines"):
        assert said in ran.out


def test_for_programs(capsys: pytest.CaptureFixture[str], small: Path) -> None:
    answer = json.loads(run(capsys, "compare", small, "--json").out)
    suited = [style for style in answer["styles"] if style["suits"]]
    assert {style["style"] for style in answer["styles"]} == {"pairs", "rounds"}
    assert suited
    for style in suited:
        assert style["balloons"] >= style["bound"] >= 1
        assert 0 <= style["waste_percent"] < 100
        assert style["minutes"][0] <= style["minutes"][1]
        assert style["peak_loose"] <= 4 and style["lines"] >= 1 and style["travel_mm"] > 0


def test_faults_are_said_as_by_make(capsys: pytest.CaptureFixture[str], small: Path) -> None:
    small.write_text(SMALL.replace("columns = 4", "columns = 5"))
    assert run(capsys, "compare", small).code == 1
    small.write_text("nonsense")
    ran = run(capsys, "compare", small, "--json")
    assert ran.code == 2 and json.loads(ran.out)["findings"]
