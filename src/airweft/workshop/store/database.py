"""The database of the workshop: one file, safe for threads and for several programs at once."""

from __future__ import annotations

import contextlib
import hashlib
import sqlite3
import threading
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from airweft.base.errors import BadInput, TooNew
from airweft.base.findings import Finding
from airweft.workshop.store.migrations import MIGRATIONS, VERSION

_WAIT_MS = 10_000
_MOST_CONTENT = 200_000_000


class Database:
    """A connection that threads share, one at a time.

    Raises BadInput where the file cannot be opened or is no such database, TooNew where a later
    version wrote it; such a file is left alone. An older one is copied before it is changed.
    """

    def __init__(self, file: Path) -> None:
        self.file = file
        self._lock = threading.RLock()
        self._deep = 0
        with _as_bad_input(file):
            self._link = sqlite3.connect(
                file, check_same_thread=False, isolation_level=None, timeout=_WAIT_MS / 1000
            )
            try:
                self._prepare()
            except BaseException:
                self._link.close()
                raise

    def _prepare(self) -> None:
        link = self._link
        link.execute(f"PRAGMA busy_timeout = {_WAIT_MS}")
        if self.version() > VERSION:
            raise TooNew(_too_new(self.file))
        link.execute("PRAGMA journal_mode = WAL")
        link.execute("PRAGMA synchronous = NORMAL")
        link.execute("PRAGMA foreign_keys = ON")
        link.execute("PRAGMA trusted_schema = OFF")
        if self.version() < VERSION:
            self._migrate()

    def version(self) -> int:
        """The version of the tables in the file; 0 for a new file."""
        return int(self._link.execute("PRAGMA user_version").fetchone()[0])

    def _migrate(self) -> None:
        had = self.version()
        copy = self.file.with_name(f"{self.file.stem}.version-{had}{self.file.suffix}")
        if had and not copy.exists():
            self._link.execute("VACUUM INTO ?", (str(copy),))
        with self.change():
            # Another program may have done it while this one waited for its turn.
            for number in range(self.version(), VERSION):
                for statement in _statements(MIGRATIONS[number]):
                    self._link.execute(statement)
                self._link.execute(f"PRAGMA user_version = {number + 1}")

    @contextlib.contextmanager
    def change(self) -> Iterator[None]:
        """One transaction, all or nothing; inside another it is part of that."""
        with self._lock, _as_bad_input(self.file):
            if self._deep:
                yield
                return
            self._link.execute("BEGIN IMMEDIATE")
            self._deep += 1
            try:
                yield
                self._link.execute("COMMIT")
            except BaseException:
                with contextlib.suppress(sqlite3.Error):
                    self._link.execute("ROLLBACK")
                raise
            finally:
                self._deep -= 1

    def do(self, sql: str, *values: object) -> int:
        """Carry out one statement; returns how many lines it changed."""
        with self._lock, _as_bad_input(self.file):
            return self._link.execute(sql, values).rowcount

    def add(self, sql: str, *values: object) -> int:
        """Carry out an INSERT; returns the number of the new line."""
        with self._lock, _as_bad_input(self.file):
            return int(self._link.execute(sql, values).lastrowid or 0)

    def rows(self, sql: str, *values: object) -> list[tuple[Any, ...]]:
        """All lines of an answer."""
        with self._lock, _as_bad_input(self.file):
            return self._link.execute(sql, values).fetchall()

    def row(self, sql: str, *values: object) -> tuple[Any, ...] | None:
        """The first line of an answer, or None."""
        found = self.rows(sql, *values)
        return found[0] if found else None

    def keep(self, text: str) -> str:
        """Keep a text, once however often it is kept; returns its hash."""
        data = text.encode("utf-8", "surrogatepass")
        name = hashlib.sha256(data).hexdigest()
        self.do(
            "INSERT OR IGNORE INTO content (hash, data) VALUES (?, ?)", name, zlib.compress(data, 1)
        )
        return name

    def kept(self, name: str) -> str:
        """The text of a hash. Raises BadInput where it is not there or was damaged."""
        row = self.row("SELECT data FROM content WHERE hash = ?", name)
        if row is not None:
            with contextlib.suppress(zlib.error, UnicodeDecodeError):
                unpack = zlib.decompressobj()
                data = unpack.decompress(row[0], _MOST_CONTENT)
                if hashlib.sha256(data).hexdigest() == name:
                    return data.decode("utf-8", "surrogatepass")
        raise BadInput(_damaged(self.file, "a text that it should hold is missing or changed"))

    def close(self) -> None:
        """Close the file; nothing can be asked afterwards."""
        with self._lock:
            self._link.close()


def _statements(text: str) -> Iterator[str]:
    """The statements of a text, one by one: together they would end the transaction around them."""
    at = ""
    for line in text.splitlines(keepends=True):
        at += line
        if sqlite3.complete_statement(at):
            yield at
            at = ""


@contextlib.contextmanager
def _as_bad_input(file: Path) -> Iterator[None]:
    """Turn what the database says into a finding."""
    try:
        yield
    except sqlite3.DatabaseError as error:
        said = str(error)
        if isinstance(error, sqlite3.OperationalError):
            raise BadInput(
                Finding(
                    code="store-not-usable",
                    severity="cannot",
                    where=file.name,
                    message=f"the workshop's database cannot be used now: {said}",
                    remedy="Check that its folder is yours to write and has room, and that no "
                    "other program holds the file; nothing was changed.",
                )
            ) from error
        raise BadInput(_damaged(file, said)) from error


def _damaged(file: Path, said: str) -> Finding:
    return Finding(
        code="store-damaged",
        severity="cannot",
        where=file.name,
        message=f"the workshop's database is damaged: {said}",
        remedy="Move this file elsewhere and start again: the designs are in the folder designs "
        "beside it and will be found; plans and progress are in the moved file only.",
    )


def _too_new(file: Path) -> Finding:
    return Finding(
        code="store-too-new",
        severity="cannot",
        where=file.name,
        message="the workshop's database was written by a later version of airweft",
        remedy="Install the newest airweft; nothing was changed.",
    )
