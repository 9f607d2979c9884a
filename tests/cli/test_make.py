"""`airweft make`: everything or nothing, said to people and to programs."""

from __future__ import annotations

import csv
import io
import json
import os
import signal
import time
from pathlib import Path

import pytest

from airweft.workshop import finishing, job
from airweft.workshop.options import FILE_NAMES
from tests.cli.running import SMALL, contents, finish, run, start

pytestmark = pytest.mark.usefixtures("capsys")


def test_all_files_and_a_summary(
    capsys: pytest.CaptureFixture[str], small: Path, tmp_path: Path
) -> None:
    ran = run(capsys, "make", small, "--out", tmp_path / "made")
    assert ran.code == 0 and ran.err == ""
    assert sorted(os.listdir(tmp_path / "made")) == sorted([*FILE_NAMES, ".airweft-folder"])
    for said in (
        "Pennant [small]", "16 bubbles", "the fewest there can be", "Loose twists", "minutes",
        "wide", "1 pack of 50", "R red, 260", "booklet.pdf", str(tmp_path / "made"),
        "WARNING: CHOKING HAZARD", "Adult supervision required.", "never release",
    ):  # fmt: skip
        assert said in ran.out, said
    assert "\x1b" not in ran.out


def test_the_files_are_what_their_names_say(made: job.Outcome) -> None:
    files = contents(made.folder)
    assert files["booklet.pdf"].startswith(b"%PDF-")
    assert files["picture.png"].startswith(b"\x89PNG\r\n\x1a\n")
    for name in ("chart.svg", "picture.svg"):
        assert b"<svg" in files[name][:200]
    assert b"<html" in files["steps.html"][:200]
    assert json.loads(files["plan.json"])["format"] == "airweft-plan"
    (row,) = csv.DictReader(io.StringIO(files["shopping.csv"].decode("utf-8")))
    assert row["mark"] == "R" and row["balloons needed"] == str(len(made.plan.balloons))


def test_the_answer_for_programs(
    capsys: pytest.CaptureFixture[str], small: Path, tmp_path: Path
) -> None:
    ran = run(capsys, "make", small, "--out", tmp_path / "made", "--json", "--style", "Rounds")
    answer = json.loads(ran.out)
    assert (ran.code, ran.err) == (0, "")
    assert answer["done"] is True and answer["style"] == "rounds"
    assert answer["claims"]["bubbles"] == 16
    assert answer["files"] == list(FILE_NAMES)
    assert answer["shopping"][0]["packs"] == [{"of": 50, "packs": 1}]
    assert answer["design"]["name"] == "Pennant [small]"
    assert ran.out.isascii()


def test_made_twice_it_is_the_same_to_the_byte(tmp_path: Path, small: Path) -> None:
    twice = [
        start("make", small, "--out", tmp_path / f"made{seed}", PYTHONHASHSEED=seed)
        for seed in ("1", "2")
    ]
    assert [finish(process).code for process in twice] == [0, 0]
    assert contents(tmp_path / "made1") == contents(tmp_path / "made2")


def test_letter_and_large_type_are_other_booklets_of_the_same_plan(
    capsys: pytest.CaptureFixture[str], small: Path, tmp_path: Path, made: job.Outcome
) -> None:
    out = tmp_path / "made"
    options = ("--paper", "letter", "--edition", "large")
    assert run(capsys, "make", small, "--out", out, *options).code == 0
    ours, usual = contents(out), contents(made.folder)
    assert ours["booklet.pdf"] != usual["booklet.pdf"]
    assert ours["plan.json"] == usual["plan.json"]


def test_a_design_with_faults_makes_nothing(
    capsys: pytest.CaptureFixture[str], small: Path, tmp_path: Path
) -> None:
    small.write_text(SMALL.replace("bubble =", "bubbel =").replace('"260"', '"26"'))
    ran = run(capsys, "make", small, "--out", tmp_path / "made")
    assert ran.code == 2 and ran.out == ""
    assert f"{small}:7" in ran.err and "bubbel = 2.5" in ran.err and "^^^^^^" in ran.err
    assert "Did you mean" in ran.err and '"26"' in ran.err
    assert not (tmp_path / "made").exists()


def test_a_design_that_cannot_be_made(
    capsys: pytest.CaptureFixture[str], small: Path, tmp_path: Path
) -> None:
    small.write_text(SMALL.replace("columns = 4", "columns = 5"))
    ran = run(capsys, "make", small, "--out", tmp_path / "made")
    assert ran.code == 1
    assert "odd" in ran.err and "4 or 6" in ran.err
    ran = run(capsys, "make", small, "--out", tmp_path / "made", "--json")
    assert ran.code == 1 and json.loads(ran.out)["done"] is False
    assert not (tmp_path / "made").exists()


@pytest.mark.parametrize("what", ["missing", "folder", "bytes", "empty"])
def test_a_file_that_is_no_design(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, what: str
) -> None:
    path = tmp_path / "x.toml"
    if what == "folder":
        path.mkdir()
    elif what != "missing":
        path.write_bytes(b"\xff\xfe\x00\x80" if what == "bytes" else b"")
    ran = run(capsys, "make", path, "--out", tmp_path / "made")
    assert ran.code == 2 and "What to do" in ran.err
    assert not (tmp_path / "made").exists()


def test_a_folder_of_the_makers_is_left_alone_unless_told(
    capsys: pytest.CaptureFixture[str], small: Path, tmp_path: Path
) -> None:
    out = tmp_path / "mine"
    out.mkdir()
    (out / "booklet.pdf").write_text("my own")
    ran = run(capsys, "make", small, "--out", out)
    assert ran.code == 2 and "--replace" in ran.err
    assert contents(out) == {"booklet.pdf": b"my own"}
    ran = run(capsys, "make", small, "--out", out, "--replace")
    assert ran.code == 0 and "kept as booklet.kept-1.pdf" in ran.out
    assert (out / "booklet.kept-1.pdf").read_text() == "my own"


def test_a_plan_that_the_checker_refuses_is_not_written(
    capsys: pytest.CaptureFixture[str],
    small: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from dataclasses import replace

    from airweft.plan import make

    right = make.make_plan

    def wrong(*design: object, **how: object) -> object:
        plan = right(*design, **how)  # type: ignore[arg-type]
        return replace(plan, actions=plan.actions[:-1])

    monkeypatch.setattr(make, "make_plan", wrong)
    ran = run(capsys, "make", small, "--style", "rounds", "--out", tmp_path / "made")
    assert ran.code == 1
    assert "plan-refused" in ran.err and "M9" in ran.err
    assert not (tmp_path / "made").exists()


def test_stopped_by_the_keyboard_nothing_is_left(
    capsys: pytest.CaptureFixture[str],
    small: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def stop(*_: object, **__: object) -> bytes:
        raise KeyboardInterrupt

    monkeypatch.setattr(finishing, "make_pdf", stop)
    ran = run(capsys, "make", small, "--out", tmp_path / "made")
    assert (ran.code, ran.out) == (130, "")
    assert "Nothing was written" in ran.err
    assert os.listdir(tmp_path) == [small.name]


@pytest.mark.skipif(os.name == "nt", reason="signals work differently there")
@pytest.mark.parametrize("sent", [signal.SIGINT, signal.SIGTERM])
def test_a_signal_at_any_moment_leaves_all_or_nothing(
    small: Path, tmp_path: Path, sent: signal.Signals
) -> None:
    process = start("make", small, "--out", tmp_path / "made")
    time.sleep(1.2)
    process.send_signal(sent)
    ran = finish(process)
    assert "Traceback" not in ran.err
    there = sorted(os.listdir(tmp_path))
    if ran.code == 0:
        assert there == ["made", small.name]
    else:
        assert there == [small.name]


def test_on_a_full_disk_nothing_is_left(
    capsys: pytest.CaptureFixture[str],
    small: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from airweft.workshop import folder

    def full(path: Path, data: bytes) -> None:
        path.write_bytes(data[: len(data) // 2])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(folder, "_write", full)
    ran = run(capsys, "make", small, "--out", tmp_path / "made")
    assert ran.code == 2 and "No space left on device" in ran.err
    assert os.listdir(tmp_path) == [small.name]
