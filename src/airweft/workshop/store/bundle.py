"""One file for a whole piece: a zip with the design, its files, its plan and the progress.

    airweft-piece.json      {"airweft-piece": 1, "name": ..., "copies": [{"name", "step"}, ...]}
    design.toml             the design's text
    files/...               the files that the design names, as it names them
    plan.json               the plan, where there is one
    planned.toml            the design that the plan was made for, where it is another text

A bundle that comes in is believed in nothing: not in its sizes, its paths, nor its plan.
"""

from __future__ import annotations

import io
import json
import stat
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from airweft.base.errors import AirweftError, BadInput, TooNew
from airweft.design.source import MOST_BYTES, decode
from airweft.records.plan import Plan
from airweft.records.planfile import read_plan
from airweft.workshop.claims import must_pass
from airweft.workshop.reading import stays_inside
from airweft.workshop.store.arrive import MOST_FILE, MOST_FILES, refused, safe_path

VERSION = 1
MOST_BUNDLE = 100_000_000
"""Largest bundle that is read, in bytes."""
MOST_UNPACKED = 200_000_000
_MOST_RATIO = 200  # deflate cannot do better than about 1,030; text is seldom better than 50
_SMALL = 1_000_000  # so little is unpacked whatever its ratio
_HEAD = "airweft-piece.json"
_DESIGN = "design.toml"
_PLAN = "plan.json"
_PLANNED = "planned.toml"
_FILES = "files/"
_MOST_PLAN = 60_000_000
_MOST_COPIES = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Bundle:
    """What a bundle holds. `copies` are names and how many steps of the plan are done."""

    text: str
    files: Mapping[str, bytes] = field(default_factory=dict)
    plan: str = ""
    planned: str = ""
    copies: tuple[tuple[str, int], ...] = ()


def pack(bundle: Bundle, *, name: str) -> bytes:
    """The bundle as one zip; the same piece gives the same bytes."""
    head = {
        "airweft-piece": VERSION,
        "name": name,
        "copies": [{"name": copy, "step": step} for copy, step in bundle.copies],
    }
    entries: dict[str, bytes] = {
        _HEAD: (json.dumps(head, ensure_ascii=False, indent=1) + "\n").encode(),
        _DESIGN: bundle.text.encode(),
    }
    if bundle.plan:
        entries[_PLAN] = bundle.plan.encode()
        if bundle.planned != bundle.text:
            entries[_PLANNED] = bundle.planned.encode()
    for file, data in sorted(bundle.files.items()):
        entries[_FILES + file] = data
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for entry, data in entries.items():
            info = zipfile.ZipInfo(entry, date_time=(1980, 1, 1, 0, 0, 0))
            info.compress_type = zipfile.ZIP_DEFLATED
            info.external_attr = 0o644 << 16
            packed.writestr(info, data)
    return out.getvalue()


def unpack(data: bytes) -> Bundle:
    """What is in a bundle, looked through. Raises BadInput, TooNew for a later version."""
    if len(data) > MOST_BUNDLE:
        raise refused(
            "bundle-too-large",
            "bundle",
            f"this file is larger than {MOST_BUNDLE // 1_000_000} million bytes, which no piece "
            "needs",
            "Check that it is a piece that was exported from a workshop.",
        )
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            entries = _entries(packed)
    except BadInput:
        raise
    except (
        zipfile.BadZipFile,
        zlib.error,
        EOFError,
        NotImplementedError,
        RuntimeError,
        OSError,
        ValueError,
        KeyError,
        IndexError,
    ) as error:
        raise _damaged("it is not a whole zip file") from error
    head = _head(entries)
    if _DESIGN not in entries:
        raise _damaged(f"there is no {_DESIGN} in it")
    plan = planned = ""
    if _PLAN in entries:
        plan, planned = _plan(entries)
    copies = _copies(head) if plan else ()
    return Bundle(
        text=decode(entries[_DESIGN], _DESIGN),
        files={
            name.removeprefix(_FILES): content
            for name, content in entries.items()
            if name.startswith(_FILES)
        },
        plan=plan,
        planned=planned,
        copies=copies,
    )


def _entries(packed: zipfile.ZipFile) -> dict[str, bytes]:
    infos = [info for info in packed.infolist() if not info.is_dir()]
    if len(infos) > MOST_FILES + 4:
        raise refused(
            "too-many-files",
            "bundle",
            f"{len(infos)} files are in it; a piece has at most {MOST_FILES}",
            "Check that it is a piece that was exported from a workshop.",
        )
    entries: dict[str, bytes] = {}
    left = MOST_UNPACKED
    for info in infos:
        name = info.filename
        _look_at(info)
        if name.casefold() in (known.casefold() for known in entries):
            raise _strange(name, "it comes twice")
        most = min(left, _most(name))
        with packed.open(info) as opened:
            content = opened.read(most + 1)
        if len(content) > most:
            raise _strange(name, "it is larger than such a file may be")
        left -= len(content)
        entries[name] = content
    return entries


def _look_at(info: zipfile.ZipInfo) -> None:
    """Raise BadInput for an entry that no bundle of ours has."""
    name = info.filename
    if info.orig_filename != name or not stays_inside(name) or len(name) > 200:
        raise _strange(name, "its path leads out of the piece, or has signs that no path has")
    if info.flag_bits & 1:
        raise _strange(name, "it is locked with a password")
    if stat.S_IFMT(info.external_attr >> 16) not in (0, stat.S_IFREG):
        raise _strange(name, "it is a link or a device, not a file")
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise _strange(name, "it is packed in a way that is not read here")
    if info.file_size > max(_SMALL, info.compress_size * _MOST_RATIO):
        raise _strange(name, "it would become very much larger when it is unpacked")
    if name in (_HEAD, _DESIGN, _PLAN, _PLANNED):
        return
    if not name.startswith(_FILES):
        raise _strange(name, "no piece has such a file")
    safe_path(name.removeprefix(_FILES))


def _most(name: str) -> int:
    if name.startswith(_FILES):
        return MOST_FILE
    return _MOST_PLAN if name == _PLAN else MOST_BYTES


def _head(entries: Mapping[str, bytes]) -> dict[str, Any]:
    try:
        head = json.loads(entries[_HEAD])
        version = head["airweft-piece"]
        if isinstance(version, bool) or not isinstance(version, int) or version < 1:
            raise ValueError
    except (ValueError, KeyError, TypeError, RecursionError):
        raise _damaged(f"{_HEAD} in it is missing or says nothing of use") from None
    if version > VERSION:
        raise TooNew(
            refused(
                "bundle-too-new",
                "bundle",
                f"this piece was exported in version {version} of the bundle; this program reads "
                f"up to version {VERSION}",
                "Install the newest airweft to bring it in.",
            ).findings
        )
    assert isinstance(head, dict)
    return head


def _copies(head: Mapping[str, Any]) -> tuple[tuple[str, int], ...]:
    """The copies that can be believed; what does not fit is left out."""
    found = []
    given = head.get("copies")
    for copy in given[:_MOST_COPIES] if isinstance(given, list) else ():
        name, step = (copy.get("name"), copy.get("step")) if isinstance(copy, dict) else (0, 0)
        if isinstance(name, str) and isinstance(step, int) and not isinstance(step, bool):
            found.append((name, min(max(step, 0), 1_000_000)))
    return tuple(found)


def _plan(entries: Mapping[str, bytes]) -> tuple[str, str]:
    """The plan and the text it is for, if the independent checker lets it pass; else neither."""
    try:
        text = entries[_PLAN].decode()
        plan: Plan = read_plan(text)
        must_pass(plan)
        planned = decode(entries.get(_PLANNED, entries[_DESIGN]), _PLANNED)
    except (AirweftError, UnicodeDecodeError):
        return "", ""
    return text, planned


def _strange(name: str, why: str) -> BadInput:
    return refused(
        "bundle-refused",
        name,
        f"this file in the bundle is refused: {why}; nothing of the bundle was taken",
        "Bring in only bundles that were exported from a workshop, from people whom you know.",
    )


def _damaged(why: str) -> BadInput:
    return refused(
        "bundle-damaged",
        "bundle",
        f"this cannot be brought in as a piece: {why}",
        "Export the piece again and bring in the new file. A design alone is brought in as a text.",
    )
