"""The tables of the workshop's database, and how those of an earlier version become today's.

Version n + 1 is version n and the n-th text of `MIGRATIONS`; a text that was ever released is never
changed again.
"""

from __future__ import annotations

_1 = """
CREATE TABLE piece (
  key      TEXT PRIMARY KEY,
  file     TEXT NOT NULL UNIQUE,       -- the design's file in the folder designs
  name     TEXT NOT NULL,
  version  INTEGER NOT NULL,           -- counts up with every change
  here     INTEGER NOT NULL,           -- the step of the history that is shown
  tip      INTEGER NOT NULL,           -- the step that redo leads to in the end
  created  TEXT NOT NULL,
  changed  TEXT NOT NULL,
  binned   TEXT,                       -- when, or NULL on the shelf
  wrote    TEXT NOT NULL DEFAULT '',   -- hash of the file as it was last written or read
  writing  TEXT NOT NULL DEFAULT '',   -- hash of the file as it is about to be written
  picture  TEXT NOT NULL DEFAULT '',
  bubbles  INTEGER NOT NULL DEFAULT 0,
  balloons INTEGER NOT NULL DEFAULT 0,
  stale    INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE TABLE step (
  id       INTEGER PRIMARY KEY AUTOINCREMENT,
  piece    TEXT NOT NULL REFERENCES piece ON DELETE CASCADE,
  before   INTEGER,                    -- NULL at the beginning
  number   INTEGER NOT NULL,           -- of the piece's gestures, counted from 0
  gesture  TEXT NOT NULL,
  gestures INTEGER NOT NULL,           -- how many went into it when the history was thinned
  text     TEXT NOT NULL,              -- hash of the design's text
  print    TEXT NOT NULL,              -- fingerprint of the design, '' where it cannot be read
  plan     TEXT,                       -- hash of the plan, with the text that it was made from
  planned  TEXT,
  at       TEXT NOT NULL
) STRICT;
CREATE INDEX step_of_piece ON step (piece, number);
CREATE INDEX step_after ON step (before);
CREATE TABLE content (
  hash     TEXT PRIMARY KEY,
  data     BLOB NOT NULL               -- deflated
) STRICT;
"""

# How far the making of a piece is, and how long each step of it took.
_2 = """
CREATE TABLE copy (
  id       INTEGER PRIMARY KEY AUTOINCREMENT,
  piece    TEXT NOT NULL REFERENCES piece ON DELETE CASCADE,
  name     TEXT NOT NULL,
  plan     TEXT NOT NULL,              -- hash of the plan that it is made by
  step     INTEGER NOT NULL,           -- so many steps of it are done
  begun    TEXT NOT NULL,
  changed  TEXT NOT NULL
) STRICT;
CREATE INDEX copy_of_piece ON copy (piece, id);
CREATE TABLE took (
  id       INTEGER PRIMARY KEY AUTOINCREMENT,
  piece    TEXT REFERENCES piece ON DELETE SET NULL,
  plan     TEXT NOT NULL,
  step     INTEGER NOT NULL,
  seconds  REAL NOT NULL,
  usual    REAL NOT NULL,              -- what practised hands take, as reckoned then
  at       TEXT NOT NULL
) STRICT;
CREATE INDEX took_for_plan ON took (plan, step);
"""

MIGRATIONS: tuple[str, ...] = (_1, _2)
VERSION = len(MIGRATIONS)
