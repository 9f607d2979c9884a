"""A piece as it leaves the shelf: its text with plain file names, its files, plan and copies."""

from __future__ import annotations

import contextlib
from pathlib import Path, PurePosixPath

from airweft.base.errors import BadInput
from airweft.design.setting import with_key
from airweft.workshop.desk import Desk
from airweft.workshop.reading import files_of, stays_inside
from airweft.workshop.store.arrive import KINDS, MOST_FILE, MOST_FILES
from airweft.workshop.store.bundle import Bundle


def depart(desk: Desk) -> Bundle:
    """Everything of a piece but its history."""
    text, plan, planned = desk.texts()
    places, files = _files(desk.folder, desk.key, text)
    copies = tuple((c.name, c.step) for c in desk.making.copies if c.fresh) if plan else ()
    return Bundle(
        text=_plain(text, places),
        files=files,
        plan=plan,
        planned=_plain(planned, places) if plan else "",
        copies=copies,
    )


def _plain(text: str, places: dict[str, str]) -> str:
    """The text with the files named as they are in the bundle."""
    with contextlib.suppress(BadInput):
        for path, file in files_of(text):
            if file in places:
                text = with_key(text, path, places[file])
    return text


def _files(folder: Path, key: str, text: str) -> tuple[dict[str, str], dict[str, bytes]]:
    """What each file that the text names is called in the bundle, and all files of the piece."""
    own = folder / key
    found = [path for path in sorted(own.rglob("*")) if path.suffix.lower() in KINDS]
    named = [folder / file for _, file in files_of(text) if stays_inside(file)]
    places: dict[str, str] = {}
    files: dict[str, bytes] = {}
    home = folder.resolve()
    for path in dict.fromkeys([*named, *found]):
        if len(files) >= MOST_FILES or not path.resolve().is_relative_to(home):
            continue
        inside = path.relative_to(own) if path.is_relative_to(own) else PurePosixPath(path.name)
        place = inside.as_posix()
        with contextlib.suppress(OSError):
            if place not in files and path.is_file() and path.stat().st_size <= MOST_FILE:
                files[place] = path.read_bytes()
                places[path.relative_to(folder).as_posix()] = place
    return places, files
