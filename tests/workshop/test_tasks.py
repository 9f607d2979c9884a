"""Long work in processes of its own: results, refusals, progress, and stopping at once."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from airweft.base.findings import Finding
from airweft.base.progress import Progress
from airweft.check.replay import replay
from airweft.workshop.planning import checked_plan
from airweft.workshop.settled import settle
from airweft.workshop.shape import open_design, painted_net
from airweft.workshop.tasks import Pool, Task
from airweft.workshop.worker import own_fault, packed
from tests.workshop.pieces import box_text


@pytest.fixture(scope="module")
def pool() -> Iterator[Pool]:
    made = Pool(1)
    yield made
    made.close()


def ended(task: Task) -> Task:
    assert task.wait(60)
    return task


def test_a_plan_comes_back_as_it_would_be_made_here(pool: Pool, tmp_path: Path) -> None:
    file = tmp_path / "cube.toml"
    file.write_text(box_text(4), encoding="utf-8")
    design = open_design(file)
    here = settle(painted_net(design), design, seed=0, progress=Progress())
    wanted = checked_plan(
        design, here.net, style="rounds", seed=0, progress=Progress(), size=here.size_mm
    )[0]
    seen: list[Any] = []
    task = pool.start("plan", box_text(4), tmp_path, {"style": "rounds"})
    task.on(lambda *at: seen.append(at), seen.append, seen.append)
    planned, settled = ended(task).result
    assert planned.plan.actions == wanted.actions and planned.plan.balloons == wanted.balloons
    assert np.array_equal(settled.net.joints, here.net.joints)
    assert not settled.net.joints.flags.writeable
    assert not [f for f in replay(planned.plan).findings if f.severity == "cannot"]
    assert any(isinstance(one, tuple) and len(one) == 3 for one in seen)


def test_a_refusal_comes_with_its_findings(pool: Pool, tmp_path: Path) -> None:
    task = ended(pool.start("settle", "airweft = 1\n", tmp_path, {}))
    assert task.state == "failed"
    assert {f.code for f in task.findings} >= {"missing-key"}
    late: list[Any] = []
    task.on(lambda *_: None, late.append, late.append)
    assert late == [task.findings]


def test_a_file_outside_the_folder_is_not_read(pool: Pool, tmp_path: Path) -> None:
    (tmp_path / "secret.json").write_text("{}", encoding="utf-8")
    home = tmp_path / "home"
    home.mkdir()
    text = box_text(4)
    begin, end = text.index("[form]"), text.index("[colours]")
    text = f'{text[:begin]}[form]\nkind = "net"\nfile = "../secret.json"\n{text[end:]}'
    task = ended(pool.start("settle", text, home, {}))
    assert task.state == "failed" and task.findings


def test_work_is_stopped_within_half_a_second_and_what_waits_goes_on(
    pool: Pool, tmp_path: Path
) -> None:
    begun, told = threading.Event(), threading.Event()
    answers: list[tuple[Finding, ...]] = []

    def answered(findings: tuple[Finding, ...]) -> None:
        answers.append(findings)
        told.set()

    task = pool.start("settle", box_text(40), tmp_path, {})
    task.on(lambda *_: begun.set(), lambda _: None, answered)
    waiting = pool.start("settle", box_text(4), tmp_path, {})
    dropped = pool.start("settle", box_text(4), tmp_path, {})
    assert begun.wait(60)
    dropped.stop()
    assert dropped.state == "stopped"
    task.stop()
    assert told.wait(0.5), "no answer within half a second"
    assert task.state == "stopped" and answers[0][0].code == "stopped"
    assert ended(waiting).state == "done"


def test_a_process_that_dies_is_told_and_replaced(pool: Pool, tmp_path: Path) -> None:
    begun = threading.Event()
    task = pool.start("settle", box_text(40), tmp_path, {})
    task.on(lambda *_: begun.set(), lambda _: None, lambda _: None)
    assert begun.wait(60)
    pool._processes[0].process.kill()
    assert ended(task).findings[0].code == "work-ended"


def test_a_listener_at_fault_stops_nobody(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    reported: list[Any] = []
    monkeypatch.setattr(threading, "excepthook", reported.append)
    heard: list[Any] = []
    task = Task(Pool(1), (1,))

    def faulty(*_: Any) -> None:
        raise ValueError("mine")

    task.on(faulty, faulty, faulty)
    task.on(lambda *_: None, heard.append, heard.append)
    task.end("done", "result", ())
    task.end("failed", None, ())
    assert heard == ["result"] and task.state == "done" and len(reported) == 1


def test_a_closed_pool_ends_what_waits(tmp_path: Path) -> None:
    pool = Pool(1)
    pool.close()
    task = pool.start("settle", box_text(4), tmp_path, {})
    assert not task.wait(0.05)
    task.stop()
    assert task.state == "stopped"


def test_a_fault_of_its_own_names_the_place() -> None:
    try:
        raise KeyError("x")
    except KeyError as error:
        finding = own_fault(error)
    assert "test_tasks.py, line" in finding.where and "KeyError" in finding.message
    assert packed(("at", 1)) == packed(("at", 1))
