"""Pictures of what a new piece can begin with: drawn once for each version, by another process."""

from __future__ import annotations

import os
import signal
import time
from pathlib import Path
from xml.etree import ElementTree

import pytest

from airweft.workshop import beginning_pictures, beginnings
from airweft.workshop.beginning_pictures import Pictures, draw_all
from airweft.workshop.beginnings import Beginning, examples, forms


@pytest.fixture
def few(monkeypatch: pytest.MonkeyPatch) -> tuple[Beginning, ...]:
    """Two forms, and one that nobody can weave."""
    wrong = Beginning("form-none", "None", "", "airweft = 1\n")
    offered = (*forms()[:2], wrong)
    monkeypatch.setattr(beginning_pictures, "forms", lambda: offered)
    monkeypatch.setattr(beginning_pictures, "examples", lambda: ())
    # What makes a process its own, and that of the tests is not.
    monkeypatch.setattr(os, "nice", lambda by: 0, raising=False)
    monkeypatch.setattr(signal, "signal", lambda *_: None)
    return offered


def test_all_are_drawn_once_and_what_is_old_goes(
    few: tuple[Beginning, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = tmp_path / "cache"
    pages = kept / "pages"
    pages.mkdir(parents=True)
    (kept / "form-box-0123456789abcdef.svg").write_text("of an earlier version")
    (kept / "form-box-0123456789abcdef.svg.12-34").write_text("cut short")
    pictures = Pictures(kept)
    assert [pictures.read(one) for one in few] == [None] * 3
    draw_all(kept)
    found = [pictures.read(one) or "" for one in few]
    for svg in found[:2]:
        assert ElementTree.fromstring(svg).tag == "{http://www.w3.org/2000/svg}svg"
    assert found[2] == ""  # there is no picture of it, and it is not tried again
    assert pages.is_dir() and len(list(kept.glob("*.svg*"))) == 3
    monkeypatch.setattr(beginning_pictures, "_drawn", lambda one: pytest.fail("drawn again"))
    draw_all(kept)
    assert [pictures.draw(one) for one in few] == found
    pictures.start()
    assert not pictures.drawing


def test_another_version_draws_anew(
    few: tuple[Beginning, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pictures = Pictures(tmp_path)
    assert pictures.draw(few[0]) == pictures.read(few[0])
    monkeypatch.setattr(beginning_pictures, "__version__", "0.0.0")
    assert pictures.read(few[0]) is None


def test_a_folder_that_takes_nothing_still_shows_pictures(
    few: tuple[Beginning, ...], tmp_path: Path
) -> None:
    (tmp_path / "file").write_bytes(b"")
    pictures = Pictures(tmp_path / "file" / "cache")
    assert pictures.draw(few[0]).startswith("<svg")


def test_a_process_of_its_own_draws_and_is_stopped(tmp_path: Path) -> None:
    pictures = Pictures(tmp_path)
    pictures.start()
    assert pictures.drawing
    first = forms()[0]
    for _ in range(600):
        if pictures.read(first) is not None:
            break
        time.sleep(0.05)
    assert (pictures.read(first) or "").startswith("<svg")
    pictures.stop()
    for _ in range(100):
        if not pictures.drawing:
            break
        time.sleep(0.05)
    assert not pictures.drawing


def test_every_beginning_has_a_key_of_its_own() -> None:
    keys = [one.key for one in (*forms(), *examples())]
    assert len(set(keys)) == len(keys)
    assert all(beginnings.beginning(key) is not None for key in keys)
