"""JSON text from anywhere turned into plain values, with every trap of the format refused.

Fractions come back as `Decimal`, so that lengths can be rounded once and exactly; whole numbers as
`int`. What Python's reader would let pass or fall over (NaN, numbers of thousands of digits, keys
given twice, nesting without end, half characters) is either refused here or comes back as `Odd`,
which `airweft.records.jsonread` refuses at its place.
"""

from __future__ import annotations

import json
import stat
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

from airweft.base.errors import BadInput
from airweft.base.findings import Finding

# A plan of 24,000 bubbles takes 6 MB; nothing that two hands can make comes near this.
MOST_BYTES = 256 * 1024 * 1024
_MOST_DIGITS = 40


@dataclass(frozen=True, slots=True)
class Odd:
    """A value that is written in the file but cannot be used; `why` completes "this is ...".

    `text` is what was written, cut short.
    """

    text: str
    why: str


class Record(dict[str, Any]):
    """A JSON object; `twice` are the keys that were given more than once."""

    __slots__ = ("twice",)
    twice: tuple[str, ...]


def text_of_file(path: Path, *, what: str) -> str:
    """The text of a UTF-8 file; `what` says in a word what was wanted ("plan file").

    Raises BadInput with the reason if it is not there, not a plain file, too large or not UTF-8.
    """
    where = str(path)
    try:
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):
            raise _bad("not-a-file", where, f"this is not a file, so no {what}", "Name the file.")
        if found.st_size > MOST_BYTES:
            raise _bad(
                "too-large",
                where,
                f"the file has {found.st_size:,} bytes; a {what} has at most {MOST_BYTES:,}",
                f"Check that this is a {what}.",
            )
        return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _bad(
            "not-utf-8",
            where,
            f"byte {error.start + 1} is not UTF-8 text",
            "Save the file again as UTF-8, or get it again if it was damaged on its way.",
        ) from error
    except OSError as error:
        reason = error.strerror or str(error)
        raise _bad(
            "cannot-open", where, f"the file cannot be read: {reason}", "Check name and rights."
        ) from error
    except ValueError as error:  # a zero byte in the name
        raise _bad(
            "cannot-open", repr(where), "this cannot be the name of a file", "Check the name."
        ) from error


def json_of_text(text: str, *, what: str) -> Any:
    """The value that `text` holds; fractions as Decimal, objects as Record, misfits as Odd.

    Raises BadInput if the text is not JSON; a text that breaks off is told as such.
    """
    try:
        return json.loads(
            text,
            parse_float=_fraction,
            parse_int=_integer,
            parse_constant=_constant,
            object_pairs_hook=_record,
        )
    except json.JSONDecodeError as error:
        if not text.strip():
            message = "the file is empty"
        elif not text[error.pos :].strip() or error.msg.startswith("Unterminated"):
            message = f"the text breaks off in line {error.lineno}: the end is missing"
        else:
            message = f"line {error.lineno}, column {error.colno} is not JSON: {error.msg}"
        line = text.split("\n")[error.lineno - 1][:120]
        raise BadInput(
            Finding(
                code="not-json",
                severity="cannot",
                where=what,
                message=message,
                remedy=f"Get the {what} again, or mend it at this place.",
                line=error.lineno,
                context="".join(c if c.isprintable() else " " for c in line),
            )
        ) from error
    except RecursionError as error:
        raise _bad(
            "nested-too-deep",
            what,
            "lists or objects are nested hundreds deep",
            f"A {what} is at most five deep; check that this is one.",
        ) from error


def _bad(code: str, where: str, message: str, remedy: str) -> BadInput:
    return BadInput(
        Finding(code=code, severity="cannot", where=where, message=message, remedy=remedy)
    )


def _short(text: str) -> str:
    return text if len(text) <= 24 else text[:20] + " ..."


def _fraction(text: str) -> Decimal | Odd:
    # An exponent of a million is harmless as text and ruinous as a number.
    if len(text) <= _MOST_DIGITS:
        try:
            value = Decimal(text)
        except InvalidOperation:
            return Odd(_short(text), "a number with an exponent too large to use")
        if not value or -_MOST_DIGITS < value.adjusted() < _MOST_DIGITS:
            return value
        return Odd(_short(text), "a number far too large or too small to use")
    return Odd(_short(text), "a number with too many digits to use")


def _integer(text: str) -> int | Odd:
    if len(text) <= _MOST_DIGITS:
        return int(text)
    return Odd(_short(text), "a number with too many digits to use")


def _constant(text: str) -> Odd:
    return Odd(text, "not a number that JSON allows")


def _record(pairs: list[tuple[str, Any]]) -> Record:
    record = Record(pairs)
    record.twice = ()
    if len(record) != len(pairs):
        seen: set[str] = set()
        twice: dict[str, None] = {}
        for key, _ in pairs:
            if key in seen:
                twice[key] = None
            seen.add(key)
        record.twice = tuple(twice)
    return record
