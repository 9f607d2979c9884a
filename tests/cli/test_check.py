"""`airweft check`: every finding about a design or a plan from anywhere."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from airweft.workshop.job import Outcome
from tests.cli.running import SMALL, finish, run, start


def test_a_sound_design(capsys: pytest.CaptureFixture[str], small: Path) -> None:
    ran = run(capsys, "check", small)
    assert ran.code == 0 and ran.err == ""
    assert "“Pennant [small]” can be made." in ran.out and "16 bubbles" in ran.out


def test_a_sound_plan(capsys: pytest.CaptureFixture[str], made: Outcome) -> None:
    ran = run(capsys, "check", made.folder / "plan.json")
    assert ran.code == 0 and "can be made" in ran.out


def test_a_plan_is_known_by_how_it_begins(
    capsys: pytest.CaptureFixture[str], made: Outcome, tmp_path: Path
) -> None:
    copy = tmp_path / "from-a-friend"
    copy.write_bytes(b"\xef\xbb\xbf\n " + (made.folder / "plan.json").read_bytes())
    ran = run(capsys, "check", copy, "--json")
    assert json.loads(ran.out)["kind"] == "plan"


def test_a_plan_that_breaks_a_rule(
    capsys: pytest.CaptureFixture[str], made: Outcome, tmp_path: Path
) -> None:
    plan = json.loads((made.folder / "plan.json").read_text(encoding="utf-8"))
    del plan["actions"][-1]
    broken = tmp_path / "plan.json"
    broken.write_text(json.dumps(plan), encoding="utf-8")
    ran = run(capsys, "check", broken)
    assert ran.code == 1 and "M9" in ran.err and "cannot be made" in ran.err
    answer = json.loads(run(capsys, "check", broken, "--json").out)
    assert answer["done"] is False and answer["readable"] is True
    assert any(finding["rule"] == "M9" for finding in answer["findings"])


def test_all_findings_of_a_design_at_once(capsys: pytest.CaptureFixture[str], small: Path) -> None:
    small.write_text(
        SMALL.replace('"260"', '"26"').replace("bubble =", "bubbel =").replace('"R"', '"Q"')
    )
    ran = run(capsys, "check", small)
    assert ran.code == 2
    for line in (6, 7, 19):
        assert f"{small}:{line}" in ran.err


def test_an_odd_count_cannot_be_made(capsys: pytest.CaptureFixture[str], small: Path) -> None:
    small.write_text(SMALL.replace("columns = 4", "columns = 5"))
    ran = run(capsys, "check", small)
    assert ran.code == 1 and "odd" in ran.err


@pytest.mark.parametrize(
    "text",
    [
        "", "{", "[]", "{}", '{"format": "airweft-plan", "version": 99}', "nonsense", "[" * 50_000,
        '{"format": "airweft-plan", "version": 1}', "\x00", '{"a": 1e999999}',
    ],
)  # fmt: skip
@pytest.mark.parametrize("name", ["x.json", "x.toml", "x"])
def test_anything_else_is_said_to_be_unreadable(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, name: str, text: str
) -> None:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    ran = run(capsys, "check", path)
    assert ran.code == 2 and ran.out == "" and "What to do" in ran.err
    assert json.loads(run(capsys, "check", path, "--json").out)["readable"] is False


def test_a_missing_file(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    assert run(capsys, "check", tmp_path / "none.json").code == 2
    assert run(capsys, "check", tmp_path).code == 2
    assert run(capsys, "check", "nul\0byte").code == 2


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_on_a_console_that_knows_few_signs(small: Path, encoding: str) -> None:
    small.write_text(SMALL.replace("Pennant", "Wimpel “日本” ✂"), encoding="utf-8")
    ran = finish(start("check", small, PYTHONIOENCODING=encoding), encoding)
    assert ran.code == 0 and "Wimpel" in ran.out and ran.err == ""
