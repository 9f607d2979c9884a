"""The plain files of the designs: written whole or not at all, in the manner they were found."""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import secrets
import time
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path

from airweft.base.errors import BadInput
from airweft.base.findings import Finding
from airweft.base.refusals import system_refusals
from airweft.design.source import MOST_BYTES, decode

_STRAY = re.compile(r"\..+\.toml\.[0-9a-f]{8}", re.IGNORECASE)
_YOUNG_S = 60.0
_MARK = b"\xef\xbb\xbf"


@dataclass(frozen=True, slots=True)
class Found:
    """A file as it is: the hash of its bytes, and its text or why it cannot be read."""

    hash: str
    text: str | None
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class Seen:
    """How a file looks from outside: enough to know that somebody wrote it."""

    changed_ns: int
    size: int
    node: int

    @property
    def age(self) -> float:
        """Seconds since it was last written; an editor may still be at it."""
        return time.time() - self.changed_ns / 1e9


def seen(file: Path) -> Seen | None:
    """How the file looks now; None where it is not there."""
    try:
        found = file.stat()
    except OSError:
        return None
    return Seen(found.st_mtime_ns, found.st_size, found.st_ino)


def look(file: Path) -> Found | None:
    """What is in a design's file; None where there is none or the system does not say."""
    try:
        with file.open("rb") as opened:
            data = opened.read(MOST_BYTES + 1)
    except OSError:
        return None
    try:
        return Found(hash_of(data), decode(data, file.name))
    except BadInput as refusal:
        return Found(hash_of(data), None, refusal.findings)


def as_bytes(text: str, file: Path) -> bytes:
    """The text with the line ends and the mark at its beginning that the file has now."""
    try:
        with file.open("rb") as opened:
            had = opened.read(MOST_BYTES)
    except OSError:
        had = b""
    data = text.encode("utf-8", "replace")
    if b"\r\n" in had and had.count(b"\n") == had.count(b"\r\n"):
        data = data.replace(b"\n", b"\r\n")
    return _MARK + data if had.startswith(_MARK) else data


def write_beside(file: Path, data: bytes) -> Path:
    """A new file with the bytes, in the same folder, to be moved in. Raises BadInput."""
    beside = file.with_name(f".{file.name}.{secrets.token_hex(4)}")
    with _writing(file):
        file.parent.mkdir(parents=True, exist_ok=True)
        try:
            with beside.open("xb") as new:
                new.write(data)
                new.flush()
                os.fsync(new.fileno())
            if file.exists():
                beside.chmod(file.stat().st_mode & 0o777)
        except BaseException:
            with contextlib.suppress(OSError):
                beside.unlink()
            raise
    return beside


def sweep_strays(folder: Path) -> None:
    """Remove what killed programs left half written; what is young may still be wanted."""
    with contextlib.suppress(OSError):
        for entry in os.scandir(folder):
            if _STRAY.fullmatch(entry.name) and time.time() - entry.stat().st_mtime > _YOUNG_S:
                os.unlink(entry.path)


def move_in(beside: Path, file: Path) -> None:
    """Put the one file in the place of the other, in one go. Raises BadInput."""
    with _writing(file):
        os.replace(beside, file.resolve() if file.is_symlink() else file)


def _writing(file: Path) -> AbstractContextManager[None]:
    return system_refusals(
        code="file-cannot-be-written",
        where=file.name,
        what="the system refuses to write there",
        remedy="Nothing is lost, the workshop keeps the design; free some room or check that the "
        "file is yours to write.",
    )


def hash_of(data: bytes) -> str:
    """The SHA-256 of some bytes, in hexadecimal."""
    return hashlib.sha256(data).hexdigest()
