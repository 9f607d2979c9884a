"""From a file to its text: everything that can be wrong with a file before a word of it is read."""

from __future__ import annotations

import codecs
from dataclasses import dataclass
from pathlib import Path

from airweft.base.errors import BadInput
from airweft.base.findings import Finding
from airweft.design.report import short, shown_line

MOST_BYTES = 2_000_000
"""Largest design file; 50,000 bubbles by hand, each on a line of its own, stay below it."""
LONGEST_LINE = 2_000


@dataclass(frozen=True, slots=True)
class Kind:
    """What a file is meant to be, for messages: "design", and the command that begins one."""

    what: str
    begin: str


DESIGN = Kind("design", "airweft new box")
STOCK = Kind("stock", "airweft new stock")


def read_text(path: Path, kind: Kind = DESIGN) -> str:
    """The text of a file of the maker's with "\\n" line ends. Raises BadInput, never an OSError."""
    name = short(path.name or str(path), 60)
    try:
        if path.is_dir():
            raise _bad(
                "file-is-folder",
                name,
                f"{name} is a folder, not a {kind.what} file.",
                f"Give the {kind.what} file itself; its name usually ends in .toml.",
            )
        if not path.exists():
            raise _bad(
                "file-not-found",
                name,
                f"There is no file {name} here.",
                f"Check the spelling and the folder, or begin one with: {kind.begin}",
            )
        if not path.is_file():
            raise _bad(
                "file-not-readable",
                name,
                f"{name} is not an ordinary file.",
                f"Give a {kind.what} file; its name usually ends in .toml.",
            )
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:  # ValueError: a name that no file can have
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise _bad(
            "file-not-readable",
            name,
            f"{name} cannot be read: {reason}.",
            "Check that the file is yours to read and not open elsewhere.",
        ) from error
    return decode(data, name, kind)


def decode(data: bytes, name: str, kind: Kind = DESIGN) -> str:
    """The text that the bytes of such a file hold. Raises BadInput.

    A byte order mark is dropped, and line ends of every system become "\\n".
    """
    if len(data) > MOST_BYTES:
        raise _bad(
            "file-too-large",
            name,
            f"{name} is larger than {MOST_BYTES // 1_000_000} million bytes, "
            f"which no {kind.what} needs.",
            f"Check that this is a {kind.what} file. If it is, make it shorter.",
        )
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        raise _bad(
            "file-not-utf8",
            name,
            f"{name} is saved as UTF-16 (sometimes called Unicode), not as UTF-8.",
            "Open it in your editor and save it again with the encoding UTF-8.",
        )
    data = data.removeprefix(codecs.BOM_UTF8)
    if b"\0" in data:
        raise _bad(
            "file-not-text",
            name,
            f"{name} is not a text file: it holds bytes that no text has.",
            f"Give the {kind.what} file, not a picture or a document made by another program.",
        )
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data[: error.start].replace(b"\r\n", b"\n").replace(b"\r", b"\n").count(b"\n") + 1
        lines = _one_line_end(data.decode("utf-8", errors="replace")).split("\n")
        raise _bad(
            "file-not-utf8",
            name,
            f"Line {line} holds a character that is not saved as UTF-8.",
            "Open the file in your editor and save it again with the encoding UTF-8.",
            line=line,
            context=shown_line(lines, line),
        ) from error
    text = _one_line_end(text)
    if not text.strip():
        raise _bad("file-empty", name, f"{name} is empty.", f"Begin with: {kind.begin}")
    for number, content in enumerate(text.split("\n"), start=1):
        if len(content) > LONGEST_LINE:
            raise _bad(
                "line-too-long",
                name,
                f"Line {number} has {len(content):,} characters; "
                f"a line of a {kind.what} has at most {LONGEST_LINE:,}.",
                "Break it into several lines.",
                line=number,
                context=shown_line([content], 1),
            )
    return text


def _one_line_end(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _bad(
    code: str, name: str, message: str, remedy: str, *, line: int | None = None, context: str = ""
) -> BadInput:
    return BadInput(
        Finding(
            code=code,
            severity="cannot",
            where=name,
            message=message,
            remedy=remedy,
            line=line,
            context=context,
        )
    )
