"""A small design, and the same made once for all tests that only look at it."""

from __future__ import annotations

from pathlib import Path

import pytest

from airweft.workshop.job import Outcome
from airweft.workshop.job import run as run_job
from tests.cli.running import SMALL


@pytest.fixture(autouse=True)
def _no_width(monkeypatch: pytest.MonkeyPatch) -> None:
    """No width of a screen is given, as where output goes to a file; test workers give one."""
    monkeypatch.delenv("COLUMNS", raising=False)


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """The path of a design file of 16 bubbles."""
    path = tmp_path / "pennant.toml"
    path.write_text(SMALL, encoding="utf-8")
    return path


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Outcome:
    """The small design, made. Only to be looked at."""
    top = tmp_path_factory.mktemp("made")
    (top / "pennant.toml").write_text(SMALL, encoding="utf-8")
    return run_job(top / "pennant.toml", top / "out")
