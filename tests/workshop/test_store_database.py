"""The database: older and later versions, damage, and programs that are killed."""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
import zlib
from hashlib import sha256
from pathlib import Path

import pytest

from airweft.base.errors import BadInput, TooNew
from airweft.workshop.desk import Desk
from airweft.workshop.store.database import Database
from airweft.workshop.store.migrations import VERSION
from airweft.workshop.store.store import Store
from tests.workshop.pieces import SMALL

# A database as version 1 wrote it: one piece, one gesture. Never changed.
VERSION_1 = """
CREATE TABLE piece (
  key      TEXT PRIMARY KEY,
  file     TEXT NOT NULL UNIQUE,
  name     TEXT NOT NULL,
  version  INTEGER NOT NULL,
  here     INTEGER NOT NULL,
  tip      INTEGER NOT NULL,
  created  TEXT NOT NULL,
  changed  TEXT NOT NULL,
  binned   TEXT,
  wrote    TEXT NOT NULL DEFAULT '',
  writing  TEXT NOT NULL DEFAULT '',
  picture  TEXT NOT NULL DEFAULT '',
  bubbles  INTEGER NOT NULL DEFAULT 0,
  balloons INTEGER NOT NULL DEFAULT 0,
  stale    INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE TABLE step (
  id       INTEGER PRIMARY KEY AUTOINCREMENT,
  piece    TEXT NOT NULL REFERENCES piece ON DELETE CASCADE,
  before   INTEGER,
  number   INTEGER NOT NULL,
  gesture  TEXT NOT NULL,
  gestures INTEGER NOT NULL,
  text     TEXT NOT NULL,
  print    TEXT NOT NULL,
  plan     TEXT,
  planned  TEXT,
  at       TEXT NOT NULL
) STRICT;
CREATE INDEX step_of_piece ON step (piece, number);
CREATE INDEX step_after ON step (before);
CREATE TABLE content (
  hash     TEXT PRIMARY KEY,
  data     BLOB NOT NULL
) STRICT;
INSERT INTO piece (key, file, name, version, here, tip, created, changed) VALUES
  ('ferry-flag', 'ferry-flag.toml', 'Ferry flag', 1, 2, 2,
   '2026-01-01T08:00:00.000Z', '2026-01-01T08:01:00.000Z');
INSERT INTO step (id, piece, before, number, gesture, gestures, text, print, at) VALUES
  (1, 'ferry-flag', NULL, 0, '', 1, '{old}', '', '2026-01-01T08:00:00.000Z'),
  (2, 'ferry-flag', 1, 1, 'Height', 1, '{new}', '', '2026-01-01T08:01:00.000Z');
PRAGMA user_version = 1;
"""


def shape_of(file: Path) -> list[tuple[str, list[tuple[object, ...]]]]:
    link = sqlite3.connect(file)
    names = [n for (n,) in link.execute("SELECT name FROM sqlite_master ORDER BY name")]
    shape = [(name, link.execute(f"PRAGMA table_info('{name}')").fetchall()) for name in names]
    link.close()
    return shape


def sound(folder: Path) -> bool:
    link = sqlite3.connect(folder / "workshop.db")
    answers = link.execute("PRAGMA integrity_check").fetchall()
    strays = link.execute("PRAGMA foreign_key_check").fetchall()
    link.close()
    return answers == [("ok",)] and strays == []


def test_a_version_1_database_is_brought_up_and_kept_as_a_copy(tmp_path: Path) -> None:
    file = tmp_path / "workshop.db"
    texts = SMALL.encode(), SMALL.replace("rows    = 4", "rows    = 6").encode()
    old, new = (sha256(text).hexdigest() for text in texts)
    link = sqlite3.connect(file)
    link.executescript(VERSION_1.replace("{old}", old).replace("{new}", new))
    for name, text in ((old, texts[0]), (new, texts[1])):
        link.execute("INSERT INTO content VALUES (?, ?)", (name, zlib.compress(text)))
    link.commit()
    link.close()
    store = Store(tmp_path)
    desk = store.open("ferry-flag")
    assert desk.text.encode() == texts[1] and desk.undo() == "Height"
    assert desk.making.copies == ()
    store.close()
    assert (tmp_path / "workshop.version-1.db").exists() and sound(tmp_path)
    fresh = tmp_path / "fresh"
    Store(fresh).close()
    assert shape_of(fresh / "workshop.db") == shape_of(file)


def test_a_later_version_is_left_alone(tmp_path: Path) -> None:
    file = tmp_path / "workshop.db"
    link = sqlite3.connect(file)
    link.execute(f"PRAGMA user_version = {VERSION + 1}")
    link.close()
    before = file.read_bytes()
    with pytest.raises(TooNew):
        Store(tmp_path)
    assert file.read_bytes() == before


@pytest.mark.parametrize(
    "data", [b"no database at all" * 100, b"SQLite format 3\0" + b"\xff" * 4000]
)
def test_a_damaged_file_is_said_and_left_alone(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "workshop.db").write_bytes(data)
    with pytest.raises(BadInput) as refusal:
        Store(tmp_path)
    assert refusal.value.findings[0].code in ("store-damaged", "store-not-usable")
    assert (tmp_path / "workshop.db").read_bytes() == data


def test_a_changed_text_is_noticed(tmp_path: Path) -> None:
    base = Database(tmp_path / "workshop.db")
    name = base.keep("text")
    base.do("UPDATE content SET data = ? WHERE hash = ?", zlib.compress(b"other"), name)
    with pytest.raises(BadInput, match="missing or changed"):
        base.kept(name)
    base.close()


def test_a_refused_change_leaves_nothing_behind(tmp_path: Path) -> None:
    base = Database(tmp_path / "workshop.db")
    with pytest.raises(RuntimeError), base.change():
        base.keep("text")
        with base.change():
            base.keep("another")
        raise RuntimeError
    assert base.rows("SELECT * FROM content") == []
    base.close()


WRITER = """
import sys
from pathlib import Path
from airweft.workshop.store.store import Store
store = Store(Path(sys.argv[1]))
desk = store.open("ferry-flag")
print("ready", flush=True)
n = int(sys.argv[2])
while True:
    n += 1
    if n % 7 == 3:
        desk.undo(), desk.redo()
    desk.set(("notes",), f"gesture {n}", gesture=f"{n}")
    print(n, flush=True)
"""


def noted(desk: Desk) -> int:
    """The number of the gesture that the design's notes name."""
    notes = desk.design.notes if desk.design is not None else ""
    return int(notes.split()[1]) if notes else 0


def test_a_killed_program_loses_at_most_the_gesture_at_hand(tmp_path: Path) -> None:
    store = Store(tmp_path)
    store.new(SMALL)
    store.close()
    chance = random.Random(5)
    done = 0
    for _ in range(5):
        writer = subprocess.Popen(
            [sys.executable, "-c", WRITER, str(tmp_path), str(done)],
            stdout=subprocess.PIPE,
            text=True,
        )
        assert writer.stdout is not None and writer.stdout.readline() == "ready\n"
        time.sleep(chance.uniform(0.0, 0.7))
        os.kill(writer.pid, signal.SIGKILL)
        told = [int(line) for line in writer.stdout.read().split()]
        writer.wait()
        writer.stdout.close()
        done = max([done, *told])
        assert sound(tmp_path)
        store = Store(tmp_path)
        desk = store.open("ferry-flag")
        there = noted(desk)
        if there == done - 1:  # killed between its undo and its redo
            assert (done + 1) % 7 == 3 and desk.redo() == str(done)
            there = noted(desk)
        assert there in (done, done + 1)
        assert desk.can_undo in (str(there), None)
        desk.look()
        assert desk.file.read_text(encoding="utf-8") == desk.text
        assert desk.notices == ()  # its own file is never taken for somebody else's
        done = there
        store.close()
    assert done > 5
    strays = [path for path in (tmp_path / "designs").iterdir() if path.name.startswith(".")]
    assert len(strays) <= 5


def test_a_program_killed_while_the_making_goes_on(tmp_path: Path) -> None:
    from airweft.base.progress import Progress
    from airweft.workshop.planning import checked_plan

    store = Store(tmp_path)
    desk = store.open(store.new(SMALL).key)
    assert desk.design is not None and desk.net is not None
    desk.keep_plan(
        checked_plan(desk.design, desk.net, style="rounds", seed=0, progress=Progress())[0]
    )
    desk.making.add_copy()
    store.close()
    code = WRITER.split("print(")[0] + (
        "(copy,) = desk.making.copies\n"
        "for n in range(1, copy.steps + 1):\n"
        "    desk.making.go(copy, n, float(n)); print(n, flush=True)\n"
        "    if n == 1: sys.stdin.readline()\n"
    )
    maker = subprocess.Popen(
        [sys.executable, "-c", code, str(tmp_path), "0"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert maker.stdout is not None and maker.stdin is not None
    assert maker.stdout.readline() == "1\n"
    os.kill(maker.pid, signal.SIGKILL)
    maker.wait()
    maker.stdout.close()
    maker.stdin.close()
    store = Store(tmp_path)
    assert store.open("ferry-flag").making.copies[0].step == 1
    store.close()
