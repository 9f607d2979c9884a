"""Files that a maker drops on the shelf: designs, what they name, 3D models, exported pieces."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import PurePosixPath

from airweft.base.errors import BadInput
from airweft.base.refusals import refusal
from airweft.workshop.reading import files_of
from airweft.workshop.starter import starter_text
from airweft.workshop.store.drawer import Piece
from airweft.workshop.store.store import Store

MODELS = (".obj", ".stl", ".ply", ".glb", ".off")
DESIGN, EXPORTED, NET = ".toml", ".zip", ".json"
MOST_FILES = 40
MOST_BYTES = 64 * 1024 * 1024
_KINDS = (DESIGN, EXPORTED, NET, *MODELS)


def bring_in(shelf: Store, files: Mapping[str, bytes]) -> list[Piece]:
    """The new pieces that these files make; a design takes the other files that it names.

    Raises BadInput for a file that is none of these kinds or too large, or CannotMake; pieces made
    before that stay.
    """
    named = {_plain_name(name): data for name, data in files.items()}
    _check(named)
    designs = {name: _text(name, data) for name, data in named.items() if _kind(name) == DESIGN}
    others = {name: data for name, data in named.items() if _kind(name) not in (DESIGN, EXPORTED)}
    taken: set[str] = set()
    made = [shelf.import_(data) for name, data in named.items() if _kind(name) == EXPORTED]
    for text in designs.values():
        wanted = {at: _plain_name(at) for _, at in files_of(text)}
        taken |= set(wanted.values())
        given = {at: others[name] for at, name in wanted.items() if name in others}
        made.append(shelf.new(text, files=given))
    for name, data in others.items():
        if name in taken:
            continue
        if _kind(name) == NET:
            raise refusal(
                code="upload-alone",
                where=name,
                message="This file of a net is named by no design that came with it",
                remedy="Drop it together with the design file that names it.",
            )
        made.append(_woven(shelf, name, data))
    return made


def _woven(shelf: Store, name: str, data: bytes) -> Piece:
    """A piece of a model alone; one that cannot be woven is refused and leaves nothing behind."""
    file = f"model{_kind(name)}"
    piece = shelf.new(model_design(name, file), files={file: data})
    if not piece.bubbles:
        findings = shelf.open(piece.key).findings
        shelf.bin(piece.key)
        shelf.erase(piece.key)
        raise BadInput(replace(f, where=name, line=None, context="") for f in findings)
    return piece


def model_design(name: str, file: str) -> str:
    """A design that weaves the model in `file`, called after the name that it came with."""
    stem = re.sub(r"[\W_]+", " ", PurePosixPath(name).stem).strip()[:60]
    title = (stem[:1].upper() + stem[1:]) or "Model"
    text = starter_text("mesh")
    text = text.replace('"Harbour seal"', json.dumps(title, ensure_ascii=False))
    return text.replace('"seal.obj"', json.dumps(file))


def _check(named: Mapping[str, bytes]) -> None:
    if len(named) > MOST_FILES:
        raise refusal(
            code="upload-too-many",
            where="files",
            message=f"{len(named)} files are too many at once",
            remedy=f"Bring in at most {MOST_FILES} at a time.",
        )
    for name, data in named.items():
        if _kind(name) not in _KINDS:
            raise refusal(
                code="upload-kind",
                where=name,
                message="This is no kind of file that airweft takes",
                remedy="It takes designs (.toml), exported pieces (.zip) and 3D models "
                "(.obj, .stl, .ply, .glb, .off).",
            )
        if len(data) > MOST_BYTES:
            raise refusal(
                code="upload-too-large",
                where=name,
                message=f"This file has more than {MOST_BYTES // 2**20} MB",
                remedy="Save the model with fewer faces.",
            )


def _text(name: str, data: bytes) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise refusal(
            code="upload-text",
            where=name,
            message="This is no text in UTF-8, as a design has to be",
            remedy="Save it as plain text in UTF-8.",
        ) from None


def _plain_name(name: str) -> str:
    """The last part of a name, whatever separators it uses."""
    return re.split(r"[/\\]", name)[-1][-120:] or "file"


def _kind(name: str) -> str:
    return PurePosixPath(name).suffix.lower()
