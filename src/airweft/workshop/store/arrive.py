"""A design that comes onto the shelf: a name of its own, its files put beside it, its text read."""

from __future__ import annotations

import shutil
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from airweft.base.errors import BadInput
from airweft.base.refusals import refusal
from airweft.design.setting import with_key
from airweft.design.syntax import parse
from airweft.workshop.reading import Read, files_of, read_all
from airweft.workshop.store import names

MOST_FILE = 50_000_000
"""Largest file that comes with a design, in bytes; the largest model that is read is smaller."""
MOST_FILES = 40
KINDS = (".json", ".obj", ".mtl", ".stl", ".ply", ".off", ".glb", ".gltf", ".bin")
"""Endings of files that may come with a design: nets and models, and what models refer to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrived:
    """A design ready for the shelf, its files in their place under `designs/key`."""

    key: str
    read: Read


def arrive(
    text: str,
    given: Mapping[str, bytes],
    *,
    key: str,
    name: str,
    designs: Path,
) -> Arrived:
    """Put the files of a design into its folder `key`, have its text name them there, and read it.

    The design is called `name` then. Raises BadInput with every finding where it cannot be read;
    then its folder is gone again.
    """
    places = _places(given)
    folder = designs / key
    text = with_key(text, ("name",), name) if name else text
    for path, file in files_of(text):
        place = places.get(file) or places.get(PurePosixPath(file.replace("\\", "/")).name)
        if place is not None:
            text = with_key(text, path, f"{key}/{place}")
    made = False
    try:
        if given:
            folder.mkdir()
            made = True
        for file, place in places.items():
            if file in given:
                target = folder / place
                target.parent.mkdir(parents=True, exist_ok=True)
                target.write_bytes(given[file])
        read = read_all(text, name=f"{key}.toml", folder=designs)
        if read.design is None:
            raise BadInput(read.findings)
    except BaseException as error:
        if made:
            shutil.rmtree(folder, ignore_errors=True)
        if not isinstance(error, OSError):
            raise
        raise refusal(
            code="file-cannot-be-written",
            where=key,
            message=f"the system refuses to write there: {error.strerror or error}",
            remedy="Free some room in the workshop's folder; nothing was added.",
        ) from error
    return Arrived(key=key, read=read)


def own_name(text: str, taken: set[str]) -> str:
    """The design's name, or with a number behind it where the shelf has it; "" if it has none."""
    data = parse(text, "design").data or {}
    name = data.get("name")
    if not isinstance(name, str) or not name.strip():
        return ""
    return name if name not in taken else names.next_name(name, taken)


def refused(code: str, where: str, message: str, remedy: str) -> BadInput:
    """A refusal of something that was to come onto the shelf."""
    shown = "".join(c if c.isprintable() else "?" for c in where[:80])
    return refusal(code=code, where=shown, message=message, remedy=remedy)


def _places(given: Mapping[str, bytes]) -> dict[str, str]:
    """For each file, by its name and by the end of it, where it goes in the piece's folder."""
    if len(given) > MOST_FILES:
        raise refused(
            "too-many-files",
            f"{len(given)} files",
            f"a design comes with at most {MOST_FILES} files",
            "Bring in only those that the design names.",
        )
    places: dict[str, str] = {}
    used: set[str] = set()
    for file, data in given.items():
        if len(data) > MOST_FILE:
            raise refused(
                "file-too-large",
                file,
                f"a file that comes with a design has at most {MOST_FILE // 1_000_000} "
                "million bytes",
                "Make the model simpler before it is brought in.",
            )
        place = safe_path(file)
        if place.casefold() in used:
            raise refused(
                "file-twice",
                file,
                "two files of the same name come with the design",
                "Give each file a name of its own.",
            )
        used.add(place.casefold())
        places[file] = place
    for file in given:
        places.setdefault(PurePosixPath(file.replace("\\", "/")).name, places[file])
    return places


def safe_path(file: str) -> str:
    """A relative path of plain names for a file that comes in, its folders kept.

    Raises BadInput for a kind of file that no design names.
    """
    parts: Sequence[str] = [p for p in file.replace("\\", "/").split("/") if p not in ("", ".")]
    ending = PurePosixPath(parts[-1]).suffix.lower() if parts else ""
    if ending not in KINDS or len(parts) > 4 or ".." in parts:
        raise refused(
            "file-kind",
            file,
            "this kind of file, or its path, cannot come with a design",
            f"Designs come with files of these kinds: {' '.join(KINDS)}.",
        )
    folders = [names.slug(part) for part in parts[:-1]]
    stem = parts[-1][: -len(ending)]
    return "/".join([*folders, _plain(stem) + ending])


def _plain(stem: str) -> str:
    """A file's own name where every system can have it, else one made from it."""
    is_plain = all(c.isascii() and (c.isalnum() or c in "-_.") for c in stem)
    is_device = stem.split(".")[0].lower() in names.DEVICES
    if is_plain and 0 < len(stem) <= 60 and stem[0] not in "-." and not is_device:
        return stem
    return names.slug(stem)
