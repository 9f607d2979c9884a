"""The workshop's store: the pieces in one data folder."""

from __future__ import annotations

import contextlib
import os
import shutil
import threading
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path, PurePath
from weakref import WeakValueDictionary

from airweft.base.errors import AirweftError, BadInput
from airweft.base.findings import Finding
from airweft.workshop.desk import Desk
from airweft.workshop.reading import Read, read_all
from airweft.workshop.sheets import card_svg
from airweft.workshop.store import names
from airweft.workshop.store.arrive import arrive, own_name, refused
from airweft.workshop.store.bundle import Bundle, pack, unpack
from airweft.workshop.store.clock import now
from airweft.workshop.store.database import Database
from airweft.workshop.store.depart import depart
from airweft.workshop.store.drawer import Drawer, Piece, no_such_piece
from airweft.workshop.store.files import look, sweep_strays
from airweft.workshop.store.history import History, State, sweep
from airweft.workshop.store.sync import sync
from airweft.workshop.store.watch import MOST_DRAWN, Watch

_OPEN = 8  # desks kept open though nobody holds them, for going back and forth


class Store:
    """Everything a maker keeps, in one folder. One for each folder in a program; safe for threads.

    Raises BadInput or TooNew where the folder cannot be used; nothing is changed then.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = Path(folder)
        self.designs = self.folder / "designs"
        self.bin_folder = self.folder / "bin"
        try:
            for one in (self.folder, self.designs, self.bin_folder):
                one.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise BadInput(_folder_unusable(self.folder, error)) from error
        sweep_strays(self.designs)
        self._base = Database(self.folder / "workshop.db")
        self._lock = threading.RLock()
        self._desks: WeakValueDictionary[str, Desk] = WeakValueDictionary()
        self._recent: OrderedDict[str, Desk] = OrderedDict()
        self._watch = Watch(self._open_desks)

    def pieces(self, *, binned: bool = False) -> tuple[Piece, ...]:
        """The pieces on the shelf, or in the bin, the newest change first.

        Designs that were put into the folder of designs by hand come onto the shelf.
        """
        if not binned:
            self._adopt()
        return self._pieces(f"binned IS {'NOT ' if binned else ''}NULL ORDER BY changed DESC, key")

    def _pieces(self, which: str, *values: object) -> tuple[Piece, ...]:
        rows = self._base.rows(
            "SELECT key, name, changed, picture, bubbles, balloons, stale FROM piece"
            f" WHERE {which}",
            *values,
        )
        return tuple(
            Piece(
                key=key,
                name=name,
                changed=changed,
                picture=picture,
                bubbles=bubbles,
                balloons=balloons,
                stale=bool(stale),
            )
            for key, name, changed, picture, bubbles, balloons, stale in rows
        )

    def piece(self, key: str) -> Piece:
        """One piece, on the shelf or in the bin. Raises BadInput where there is none."""
        self._adopt()
        for piece in self._pieces("key = ?", key):
            return piece
        raise no_such_piece(key)

    def new(self, text: str, *, files: Mapping[str, bytes] | None = None) -> Piece:
        """A new piece of a design's text, with the files that it names; a name of its own.

        Raises BadInput with every finding for a text that cannot be read; then nothing was made.
        """
        return self.piece(self._arrive(text, files or {}))

    def duplicate(self, key: str) -> Piece:
        """A piece just like another, its design and its files, under a name of its own."""
        return self._take_in(replace(depart(self.open(key)), copies=()))

    def export(self, key: str) -> bytes:
        """The piece as one zip file: design, its files, plan, progress. Not its history."""
        desk = self.open(key)
        return pack(depart(desk), name=desk.name)

    def import_(self, data: bytes) -> Piece:
        """A piece from what `export` gave, perhaps on another machine; a name of its own.

        Raises BadInput for anything else, and takes nothing of it then. A plan that does not keep
        the making rules is left out.
        """
        return self._take_in(unpack(data))

    def rename(self, key: str, name: str) -> None:
        """Another name for a piece, a gesture as any. Raises BadInput for one that is none."""
        self.open(key).rename(name)

    def bin(self, key: str) -> None:
        """Put a piece into the bin, with its files; all of it can be taken out again."""
        self._to_or_from_bin(key, binned=True)

    def restore(self, key: str) -> None:
        """Take a piece out of the bin, as it was."""
        self._to_or_from_bin(key, binned=False)

    def erase(self, key: str) -> None:
        """Remove a piece from the bin for good, with its history. Raises BadInput elsewhere."""
        with self._lock, self._base.change():
            self._desks.pop(key, None)
            self._recent.pop(key, None)
            line = Drawer(self._base, key).line()
            if not line.binned:
                raise refused(
                    "not-in-bin",
                    line.name,
                    "only what is in the bin can be removed for good",
                    "Put the piece into the bin first.",
                )
            self._base.do("DELETE FROM piece WHERE key = ?", key)
            sweep(self._base)
            (self.bin_folder / line.file).unlink(missing_ok=True)
            shutil.rmtree(self.bin_folder / key, ignore_errors=True)

    def _to_or_from_bin(self, key: str, *, binned: bool) -> None:
        drawer = Drawer(self._base, key)
        if binned:
            with contextlib.suppress(AirweftError):
                self.open(key).look()  # what an editor wrote last goes with it
        with self._base.change():
            line = drawer.line()
            if line.binned == binned:
                return
            self._base.do(
                "UPDATE piece SET binned = ?, version = version + 1, changed = ? WHERE key = ?",
                now() if binned else None,
                now(),
                key,
            )
            source, target = self.designs, self.bin_folder
            if not binned:
                source, target = target, source
            for name in (line.file, key):
                if (source / name).exists() and not (target / name).exists():
                    try:
                        os.rename(source / name, target / name)
                    except OSError as error:
                        raise BadInput(_folder_unusable(source / name, error)) from error
        self.open(key).look()

    def _aside(self, desk: Desk) -> str:
        return self._take_in(replace(depart(desk), copies=())).name

    def _take_in(self, bundle: Bundle) -> Piece:
        key = self._arrive(bundle.text, bundle.files)
        if bundle.plan:
            with contextlib.suppress(AirweftError):
                desk = self.open(key)
                desk.bring_plan(bundle.plan, bundle.planned)
                for name, step in bundle.copies:
                    copy = desk.making.add_copy(name)
                    desk.making.go(copy, min(step, copy.steps), 0.0)
        return self.piece(key)

    def _arrive(self, text: str, given: Mapping[str, bytes]) -> str:
        with self._lock:
            rows = self._base.rows("SELECT key, name, binned IS NULL FROM piece")
            taken = {name for _, name, on_shelf in rows if on_shelf}
            keys = {key for key, _, _ in rows}
            name = own_name(text, taken)

            def is_taken(key: str) -> bool:
                places = (self.designs / key, self.designs / f"{key}.toml")
                return key in keys or any(os.path.lexists(place) for place in places)

            key = names.free(names.slug(name), is_taken)
            arrived = arrive(text, given, key=key, name=name, designs=self.designs)
            self._put_on_shelf(arrived.key, f"{key}.toml", arrived.read)
        with contextlib.suppress(BadInput):  # the piece is kept; its file is written later
            sync(Drawer(self._base, key), self.designs)
        return key

    def _adopt(self) -> None:
        with self._lock:
            rows = self._base.rows("SELECT key, file FROM piece")
            keys, known = {key for key, _ in rows}, {file for _, file in rows}
            try:
                found = sorted(entry.name for entry in os.scandir(self.designs) if entry.is_file())
            except OSError:
                return
            for file in found:
                if file in known or file.startswith(".") or not file.lower().endswith(".toml"):
                    continue
                there = look(self.designs / file)
                if there is None or there.text is None:
                    continue  # no design that could be read; it is left alone
                key = names.free(names.slug(PurePath(file).stem), keys.__contains__)
                keys.add(key)
                read = read_all(there.text, name=file, folder=self.designs)
                self._put_on_shelf(key, file, read, wrote=there.hash)

    def _put_on_shelf(self, key: str, file: str, read: Read, *, wrote: str = "") -> None:
        base, net, design = self._base, read.net, read.design
        picture = ""
        if net is not None and design is not None and net.bubble_count <= MOST_DRAWN:
            picture = card_svg(net, design)
        with base.change():
            base.add(
                "INSERT INTO piece (key, file, name, version, here, tip, created, changed, wrote,"
                " picture, bubbles) VALUES (?, ?, ?, 0, 0, 0, ?, ?, ?, ?, ?)",
                key,
                file,
                design.name if design is not None else PurePath(file).stem,
                now(),
                now(),
                wrote,
                picture,
                net.bubble_count if net is not None else 0,
            )
            text = base.keep(read.text)
            step = History(base, key).begin(
                State(text=text, print=design.fingerprint if design is not None else "")
            )
            base.do("UPDATE piece SET here = ?, tip = ? WHERE key = ?", step, step, key)

    def open(self, key: str) -> Desk:
        """The desk of a piece; the same one for every caller while it is open."""
        with self._lock:
            drawer = Drawer(self._base, key)
            drawer.line()  # another program may have removed it for good
            desk = self._desks.get(key)
            if desk is None:
                desk = Desk(drawer, self.designs, self._watch.changed, self._aside)
                self._desks[key] = desk
            self._recent[key] = desk
            self._recent.move_to_end(key)
            while len(self._recent) > _OPEN:
                self._recent.popitem(last=False)
            self._watch.start()
            return desk

    def _open_desks(self) -> list[Desk]:
        with self._lock:
            return list(self._desks.values())

    def flush(self) -> None:
        """Write now what is still to be written to the designs' files."""
        self._watch.tend_all()

    def close(self) -> None:
        """Close the store; what was changed is kept. It cannot be used afterwards."""
        self._watch.stop()
        self._base.close()


def _folder_unusable(folder: Path, error: OSError) -> Finding:
    return Finding(
        code="store-folder",
        severity="cannot",
        where=str(folder),
        message=f"the workshop's folder cannot be used: {error.strerror or error}",
        remedy="Check that it is a folder of yours with room in it, or name another one in "
        "AIRWEFT_HOME.",
    )
