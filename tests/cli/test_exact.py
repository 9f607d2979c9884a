"""`--exact` and `--time-limit`: fewest balloons or a proof, and what does not go together."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.running import SMALL, run

RIBBON = SMALL.replace("columns = 4", "columns = 2").replace("rows    = 4", "rows    = 8")


@pytest.fixture
def ribbon(small: Path) -> Path:
    """A chain of rings that one balloon covers and four loose twists cannot make of one."""
    assert RIBBON.count("columns = 2") == 1 and RIBBON.count("rows    = 8") == 1
    small.write_text(RIBBON, encoding="utf-8")
    return small


def test_a_proof_is_said_in_words(capsys: pytest.CaptureFixture[str], ribbon: Path) -> None:
    ran = run(capsys, "compare", ribbon, "--exact", "--json")
    assert ran.code == 0
    rows = [row for row in json.loads(ran.out)["styles"] if row["suits"]]
    assert min(row["balloons"] for row in rows) == 2
    assert {row["bound"] for row in rows} == {2}


def test_make_with_a_time_limit(
    capsys: pytest.CaptureFixture[str], ribbon: Path, tmp_path: Path
) -> None:
    ran = run(
        capsys, "make", ribbon, "--out", tmp_path / "out", "--exact", "--time-limit", "60", "--json"
    )
    assert ran.code == 0
    answer = json.loads(ran.out)
    assert answer["bound"]["proven"]
    assert "every way was tried" in answer["bound"]["reason"]


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--time-limit", "5"], "--exact"),
        (["--exact", "--time-limit", "0"], "1 to 86400"),
        (["--exact", "--time-limit", "soon"], "whole number"),
        (["--exact", "--stock", "mine.toml"], "Leave one of the two out"),
    ],
)
@pytest.mark.parametrize("command", ["make", "compare"])
def test_what_does_not_go_together(
    capsys: pytest.CaptureFixture[str],
    small: Path,
    tmp_path: Path,
    command: str,
    options: list[str],
    said: str,
) -> None:
    where = ["--out", tmp_path / "out"] if command == "make" else []
    ran = run(capsys, command, small, *where, *options)
    assert ran.code == 2
    assert said in ran.err
    assert not (tmp_path / "out").exists()
