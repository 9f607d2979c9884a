"""`airweft new`: starter designs that can be made as they are, and never write over a file."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.running import run

FORMS = ["sheet", "tube", "box", "blocks", "net"]


@pytest.mark.parametrize("form", ["sheet", "tube", "box", "blocks"])
def test_a_starter_can_be_made(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, form: str
) -> None:
    path = tmp_path / "mine.toml"
    ran = run(capsys, "new", form, "--out", path)
    assert ran.code == 0 and str(path) in ran.out
    checked = run(capsys, "check", path)
    assert checked.code == 0, checked.err


@pytest.mark.parametrize("form", FORMS)
def test_to_the_screen_exactly(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, form: str
) -> None:
    ran = run(capsys, "new", form)
    assert ran.code == 0 and f'kind   = "{form}"'.split() == next(
        line.split()[:3] for line in ran.out.splitlines() if line.startswith("kind")
    )
    run(capsys, "new", form, "--out", tmp_path / "x.toml")
    assert (tmp_path / "x.toml").read_text(encoding="utf-8") == ran.out


def test_never_over_another_file(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text("mine")
    ran = run(capsys, "new", "box", "--out", path)
    assert ran.code == 2 and path.read_text() == "mine" and "left alone" in ran.err
    assert run(capsys, "new", "box", "--out", tmp_path).code == 2
    assert run(capsys, "new", "box", "--out", tmp_path / "no" / "where.toml").code == 2


def test_an_unknown_form_names_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    ran = run(capsys, "new", "bocks")
    assert ran.code == 2 and ran.out == "" and "blocks" in ran.err
