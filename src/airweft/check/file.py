"""Checking a plan file from anywhere."""

from __future__ import annotations

from pathlib import Path

from airweft.base.findings import Finding
from airweft.check.replay import replay
from airweft.records.planfile import read_plan


def check_plan_file(path: Path) -> tuple[Finding, ...]:
    """Everything that the replay of a plan file finds; nothing if the plan is sound.

    Raises BadInput (TooNew for a later format) if the file is no plan file that can be read.
    """
    return replay(read_plan(path)).findings
