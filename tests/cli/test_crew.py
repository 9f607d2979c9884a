"""`--crew`: several people make the piece at once."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from airweft.records.planfile import read_plan
from airweft.workshop.choosing import wanted, with_crew
from airweft.workshop.shape import open_design
from tests.cli.running import run
from tests.workshop.pieces import box_text


@pytest.fixture
def box(tmp_path: Path) -> Path:
    path = tmp_path / "box.toml"
    path.write_text(box_text(), encoding="utf-8")
    return path


def test_make_for_two(capsys: pytest.CaptureFixture[str], box: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    ran = run(capsys, "make", box, "--out", out, "--crew", "2")
    assert ran.code == 0
    assert "2 practised makers at once" in ran.out
    plan = read_plan(out / "plan.json")
    assert plan.style == "parts"
    assert [section.person for section in plan.sections] == [1, 2, 0]
    assert run(capsys, "check", out / "plan.json").code == 0


def test_the_crew_of_the_design(capsys: pytest.CaptureFixture[str], box: Path) -> None:
    box.write_text(box_text() + "[plan]\ncrew = 2\n", encoding="utf-8")
    design = open_design(box)
    assert wanted(design, None, None) == ("parts", 0)
    assert wanted(with_crew(design, 1), None, None) == ("best", 0)
    answer = json.loads(run(capsys, "compare", box, "--json").out)
    assert "parts" in [style["style"] for style in answer["styles"]]


def test_compare_for_two(capsys: pytest.CaptureFixture[str], box: Path) -> None:
    assert "parts" in run(capsys, "compare", box, "--crew", "2").out


@pytest.mark.parametrize("crew", ["0", "9", "two", "-1", "1.5"])
def test_a_wrong_number(
    capsys: pytest.CaptureFixture[str], box: Path, tmp_path: Path, crew: str
) -> None:
    ran = run(capsys, "make", box, "--out", tmp_path / "out", "--crew", crew)
    assert ran.code == 2
    assert not (tmp_path / "out").exists()


def test_a_style_and_a_crew(capsys: pytest.CaptureFixture[str], box: Path, tmp_path: Path) -> None:
    ran = run(capsys, "make", box, "--out", tmp_path / "out", "--crew", "2", "--style", "rounds")
    assert ran.code == 2
    assert "Leave one of the two out" in ran.err
    assert not (tmp_path / "out").exists()


def test_too_small_a_piece(capsys: pytest.CaptureFixture[str], small: Path, tmp_path: Path) -> None:
    ran = run(capsys, "make", small, "--out", tmp_path / "out", "--crew", "2")
    assert ran.code == 1
    assert "too small to be shared among 2 people" in " ".join(ran.err.split())
    assert not (tmp_path / "out").exists()
