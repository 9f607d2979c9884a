"""A design in the database and its plain file brought together, whoever changed either.

The database is ahead of the file for less than a second. Before a file is written it is noted what
will be in it, so that a file found later is known to be our own, even after a kill in between.
"""

from __future__ import annotations

import contextlib
import os
from dataclasses import dataclass
from pathlib import Path

from airweft.workshop.store import files
from airweft.workshop.store.drawer import Drawer
from airweft.workshop.store.files import Found, Seen, hash_of, look, seen


@dataclass(frozen=True, slots=True)
class Synced:
    """What came of it: what somebody else wrote there, and how the file looked when it was known.

    `seen` is None where it has to be looked at again.
    """

    foreign: Found | None
    seen: Seen | None


def sync(drawer: Drawer, designs: Path) -> Synced:
    """Write the piece's text to its file; or say what is there, where somebody else wrote it.

    Nothing is overwritten that was not read from there or written there before. Raises BadInput
    where the system refuses.
    """
    base = drawer.base
    with base.change():
        line = drawer.line()
        if line.binned:
            return Synced(None, None)
        file = designs / line.file
        text = base.kept(drawer.history.step(line.here).state.text)
        before = seen(file)  # first: what is written after this is seen the next time
        found = look(file)
        if found is not None and found.text == text:
            if line.wrote != found.hash or line.writing:
                took(drawer, found.hash)
            return Synced(None, before)
        if found is None and os.path.lexists(file):
            return Synced(
                None, before
            )  # not to be read now: a folder, a link to nowhere, the rights of others
        if found is not None and found.hash not in (line.wrote, line.writing):
            return Synced(found, before)
        data = files.as_bytes(text, file)
        writing = hash_of(data)
        base.do(
            "UPDATE piece SET wrote = ?, writing = ? WHERE key = ?",
            found.hash if found is not None else line.wrote,
            writing,
            drawer.key,
        )
    beside = files.write_beside(file, data)
    try:
        with base.change():
            again = look(file)
            same = (again and again.hash) == (found and found.hash)
            if same and drawer.line().writing == writing:
                after = seen(beside)
                files.move_in(beside, file)
                took(drawer, writing)
                return Synced(None, after)
    finally:
        with contextlib.suppress(OSError):
            beside.unlink()
    return Synced(None, None)


def took(drawer: Drawer, hash: str) -> None:
    """Note that the file is known as it is."""
    drawer.base.do(
        "UPDATE piece SET wrote = ?, writing = '' WHERE key = ?",
        hash,
        drawer.key,
    )
