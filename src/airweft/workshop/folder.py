"""The folder of a made design: written whole or not at all, and nothing of the maker's lost.

The files are first written in full beside their place and moved in only when all of them are there;
if a move fails, the moves before it are taken back. A small file, `MARK_NAME`, says which files
airweft wrote and what was in them, so that a file changed since is known from one that was not.

What may happen to a folder that is already there:

- empty: it is filled.
- made by airweft for a design of the same name, its files untouched: they are replaced; other
  files in it stay as they are.
- made for another design, or a file of airweft's changed since, or not made by airweft: refused.
  Told to replace, airweft fills it all the same; any file that stands in the way, and is not
  an untouched one of its own, is kept beside it under a new name.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import shutil
from collections.abc import Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from itertools import count
from pathlib import Path

from airweft.base.errors import BadInput
from airweft.base.refusals import refusal, system_refusals

MARK_NAME = ".airweft-folder"
_MARK_VERSION = 1
_MARK_BYTES = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """What made a folder: program version, design, and the SHA-256 of each file by its name."""

    program: str
    design_name: str
    fingerprint: str
    files: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Placed:
    """Where the files are, and which files of the maker's were kept, as (name, new name)."""

    folder: Path
    kept: tuple[tuple[str, str], ...]


def look_at(out: Path, names: Sequence[str], *, design_name: str, replace: bool) -> None:
    """Raise BadInput if files called `names` could not be placed in `out` as things stand.

    Meant for before the long work; `place` looks again. Changes nothing.
    """
    with _writing(out):
        folder = Path(os.path.realpath(out))
        _must_take(out, folder, names, design_name=design_name, replace=replace)


def place(out: Path, files: Mapping[str, bytes], mark: Mark, *, replace: bool = False) -> Placed:
    """Put `files` (name to contents) and the mark into the folder `out`, all or none.

    Folders above `out` are made where missing. `mark.files` is filled in here. Raises BadInput
    where the folder must not or cannot be written; then everything is as it was before.
    """
    with _writing(out):
        folder = Path(os.path.realpath(out))
        _must_take(out, folder, tuple(files), design_name=mark.design_name, replace=replace)
        contents = {**files, MARK_NAME: _mark_text(mark, files)}
        fresh = not os.path.lexists(folder)
        with _staging(_existing_parent(folder) if fresh else folder) as staging:
            for name, data in contents.items():
                _write(staging / "new" / name, data)
            if fresh:
                _move_folder(staging / "new", folder)
                return Placed(folder, ())
            return Placed(folder, _move_files(staging, folder, tuple(contents)))


def read_mark(folder: Path) -> Mark | None:
    """The mark in `folder`; None if there is none that this version can read and trust."""
    path = folder / MARK_NAME
    if path.is_symlink() or not path.is_file():
        return None
    with path.open("rb") as file:
        data = file.read(_MARK_BYTES + 1)
    if len(data) > _MARK_BYTES:
        return None
    try:
        values = json.loads(data)
        if values["airweft-folder"] != _MARK_VERSION:
            return None
        mark = Mark(
            program=values["program"],
            design_name=values["design"]["name"],
            fingerprint=values["design"]["fingerprint"],
            files=dict(values["files"]),
        )
    except (ValueError, TypeError, KeyError, RecursionError):
        return None
    texts = (mark.program, mark.design_name, mark.fingerprint, *mark.files, *mark.files.values())
    return mark if all(isinstance(text, str) for text in texts) else None


def _must_take(
    out: Path, folder: Path, names: Sequence[str], *, design_name: str, replace: bool
) -> None:
    if not os.path.lexists(folder):
        parent = _existing_parent(folder)
        if not parent.is_dir():
            raise _refusal(
                "out-under-a-file",
                out,
                f"{parent} is a file, so no folder can be made in it",
                "give --out another folder",
            )
        _must_write(parent, out)
        return
    if not folder.is_dir():
        raise _refusal(
            "out-is-a-file",
            out,
            "there is already a file of this name, and it is left alone",
            "give --out a new folder",
        )
    _must_write(folder, out)
    if replace or not os.listdir(folder):
        return
    mark = read_mark(folder)
    if mark is None:
        raise _refusal(
            "folder-not-ours",
            out,
            "this folder is not empty and was not made by airweft, so it is left alone",
            "give --out a new or empty folder, or add --replace: files in the way are then kept "
            "under new names",
        )
    if mark.design_name != design_name:
        raise _refusal(
            "folder-of-another-design",
            out,
            f"this folder holds the design “{mark.design_name}”, not “{design_name}”",
            "give --out another folder, or add --replace to put this design in its place",
        )
    changed = [name for name in (*names, MARK_NAME) if _is_makers(folder, name, mark)]
    if changed:
        raise _refusal(
            "files-changed-since",
            out,
            f"changed since airweft made this folder: {', '.join(changed)}",
            "move the changed files elsewhere, give --out another folder, or add --replace: they "
            "are then kept under new names",
        )


def _must_write(folder: Path, out: Path) -> None:
    if not os.access(folder, os.W_OK | os.X_OK):
        raise _refusal(
            "out-not-writable",
            out,
            f"{folder} does not let you write in it",
            "give --out a folder of your own, or change the rights of this one",
        )


def _is_makers(folder: Path, name: str, mark: Mark | None) -> bool:
    """Whether something called `name` is there that is not an untouched file of airweft's."""
    path = folder / name
    if not os.path.lexists(path) or (name == MARK_NAME and mark is not None):
        return False
    if mark is None or name not in mark.files or path.is_symlink() or not path.is_file():
        return True
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest() != mark.files[name]


def _mark_text(mark: Mark, files: Mapping[str, bytes]) -> bytes:
    values = {
        "airweft-folder": _MARK_VERSION,
        "program": mark.program,
        "design": {"name": mark.design_name, "fingerprint": mark.fingerprint},
        "files": {name: hashlib.sha256(data).hexdigest() for name, data in files.items()},
    }
    return (json.dumps(values, indent=1, sort_keys=True, ensure_ascii=False) + "\n").encode()


def _move_folder(staged: Path, folder: Path) -> None:
    """Move the staged folder to a place where there was none, making the folders above it."""
    made: list[Path] = []
    try:
        for parent in reversed(list(_missing_parents(folder))):
            made.append(parent)
            parent.mkdir()
        staged.rename(folder)
    except BaseException:
        for parent in reversed(made):
            with contextlib.suppress(OSError):
                parent.rmdir()
        raise


def _move_files(staging: Path, folder: Path, names: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """Move the staged files in, those in their way aside; on any failure take all moves back."""
    mark = read_mark(folder)
    kept: list[tuple[str, str]] = []
    moves: list[tuple[Path, Path]] = []

    def move(source: Path, target: Path) -> None:
        moves.append((source, target))  # first, so that a stop in between is taken back too
        source.rename(target)

    try:
        for name in names:
            path = folder / name
            if _is_makers(folder, name, mark):
                aside = free_name(folder, name)
                kept.append((name, aside))
                move(path, folder / aside)
            elif os.path.lexists(path):
                move(path, staging / "old" / name)
            move(staging / "new" / name, path)
    except BaseException:
        for source, target in reversed(moves):
            if os.path.lexists(target) and not os.path.lexists(source):
                target.rename(source)
        raise
    return tuple(kept)


def free_name(folder: Path, name: str) -> str:
    """A name in `folder` that nothing has, for keeping what is called `name`."""
    stem, dot, ending = name.rpartition(".")
    stem, ending = (stem, dot + ending) if stem else (name, "")
    for n in count(1):
        free = f"{stem}.kept-{n}{ending}"
        if not os.path.lexists(folder / free):
            return free
    raise AssertionError("unreachable")


@contextlib.contextmanager
def _staging(parent: Path) -> Iterator[Path]:
    """A scratch folder in `parent` (so that moves out of it are renames), gone afterwards."""
    for n in count():
        staging = parent / f".airweft-work-{os.getpid()}-{n}"
        try:
            staging.mkdir()
            break
        except FileExistsError:
            continue
    try:
        (staging / "new").mkdir()
        (staging / "old").mkdir()
        yield staging
    finally:
        shutil.rmtree(staging, ignore_errors=True)


def _write(path: Path, data: bytes) -> None:
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _existing_parent(folder: Path) -> Path:
    return next(parent for parent in folder.parents if os.path.lexists(parent))


def _missing_parents(folder: Path) -> Iterator[Path]:
    for parent in folder.parents:
        if os.path.lexists(parent):
            return
        yield parent


def _refusal(code: str, out: Path, message: str, remedy: str) -> BadInput:
    return refusal(code=code, where=str(out), message=message, remedy=remedy)


def _writing(out: Path) -> AbstractContextManager[None]:
    """Turn what the system says about `out` into a finding."""
    return system_refusals(
        code="out-cannot-be-written",
        where=str(out),
        what="the system refuses to write there",
        remedy="nothing was changed; free some room or close programs that hold the files, or "
        "give --out another folder",
    )
