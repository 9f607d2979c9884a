"""Longer and shorter searches, the best so far on Ctrl-C, and going on from an earlier plan."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import time
from pathlib import Path
from random import Random

import pytest

from airweft.check.replay import replay
from airweft.cli.run import run
from airweft.design.read import design_from_text
from airweft.records.planfile import read_plan
from airweft.workshop.shape import painted_net

CONFETTI = """airweft = 1
name = "Quay lamp"
units = "mm"
[balloon]
size = "260"
bubble = 25
most_bubbles = 5
[form]
kind = "box"
across = 6
deep = 6
high = 8
[colours]
R = "red"
W = "white"
[pattern]
kind = "columns"
repeat = "RRW"
"""


@pytest.fixture
def lamp(tmp_path: Path) -> Path:
    file = tmp_path / "lamp.toml"
    file.write_text(CONFETTI)
    return file


def made(lamp: Path, *options: str) -> int:
    return run(["make", str(lamp), "--out", str(lamp.parent / "out"), *options])


def test_go_on_from_an_earlier_plan(lamp, capsys):
    assert made(lamp, "--effort", "0.01") == 0
    first = read_plan(lamp.parent / "out" / "plan.json")
    assert made(lamp, "--effort", "0.05", "--go-on") == 0
    second = read_plan(lamp.parent / "out" / "plan.json")
    assert len(second.balloons) <= len(first.balloons)
    assert replay(second).findings == ()


def test_go_on_needs_a_plan_for_these_bubbles(lamp, capsys):
    assert made(lamp, "--go-on", "--json") == 2
    told = json.loads(capsys.readouterr().out)
    assert told["findings"][0]["code"] == "go-on-no-plan"
    assert made(lamp, "--effort", "0.01") == 0
    lamp.write_text(CONFETTI.replace("RRW", "RWW"))
    capsys.readouterr()
    assert made(lamp, "--go-on", "--json") == 2
    told = json.loads(capsys.readouterr().out)
    assert "other bubbles or colours" in told["findings"][0]["message"]


@pytest.mark.parametrize("value", ["", "-1", "0", "2000", "nan", "ten", "1e99"])
def test_effort_has_limits(lamp, capsys, value):
    assert made(lamp, f"--effort={value}") == 2
    assert "--effort" in capsys.readouterr().err
    assert not (lamp.parent / "out").exists()


def by_chance(text: str) -> str:
    """The design with every bubble red or white by a throw: many odd joints, few to a balloon."""
    net = painted_net(design_from_text(text))
    dice = Random(5)
    bubbles = "\n".join(f'"{name}" = "{dice.choice("RW")}"' for name in net.bubble_names)
    pattern = '[pattern]\nkind = "hand"\nbase = { kind = "plain", colour = "R" }\n'
    return text[: text.index("[pattern]")] + f"{pattern}[pattern.bubbles]\n{bubbles}\n"


@pytest.mark.skipif(sys.platform == "win32", reason="Ctrl-C is sent otherwise there")
def test_the_first_interruption_takes_the_best_so_far(lamp):
    """A search of hours, interrupted while it plans: everything is made, and a note says so."""
    lamp.write_text(by_chance(CONFETTI.replace("high = 8", "high = 12")))
    job = subprocess.Popen(
        [
            sys.executable, "-m", "airweft", "make", str(lamp),
            "--out", str(lamp.parent / "out"), "--style", "painted", "--effort", "1000", "--json",
        ],
        stdout=subprocess.PIPE,
        text=True,
    )  # fmt: skip
    time.sleep(20)
    job.send_signal(signal.SIGINT)
    answer, _ = job.communicate(timeout=200)
    if job.returncode == 130:  # a slow machine: it was not yet planning
        assert not (lamp.parent / "out").exists()
        return
    assert job.returncode == 0
    codes = [finding["code"] for finding in json.loads(answer)["findings"]]
    assert "plan-search-ended" in codes
    assert replay(read_plan(lamp.parent / "out" / "plan.json")).findings == ()
