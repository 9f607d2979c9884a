"""What is said at the desk: of changes made by others, and of what cannot be done there."""

from __future__ import annotations

from dataclasses import replace

from airweft.base.errors import BadInput
from airweft.base.findings import Finding
from airweft.base.refusals import refusal
from airweft.workshop.store.files import Found

_MOST_TEXT = 2_000_000


def clean(text: str, name: str) -> str:
    """The text with one kind of line end. Raises BadInput for what no file can hold."""
    text = text.replace("\r\n", "\n").replace("\r", "\n").removeprefix("\ufeff")
    try:
        size = len(text.encode())
    except UnicodeEncodeError:
        size = -1
    if not 0 <= size <= _MOST_TEXT or "\0" in text:
        raise BadInput(
            Finding(
                code="file-too-large" if size > _MOST_TEXT else "file-not-text",
                severity="cannot",
                where=name,
                message="this text is larger than any design"
                if size > _MOST_TEXT
                else "this text holds signs that no text file can hold",
                remedy="Check that it is the text of a design; nothing was changed.",
            )
        )
    return text


def changed_elsewhere(name: str, gesture: str) -> Finding:
    """Another program changed the piece."""
    return Finding(
        code="changed-elsewhere",
        severity="note",
        where=name,
        message="another window of the workshop changed this piece"
        + (f": {gesture}" if gesture else ""),
        remedy="It is shown as it is now; undo takes single changes back, whoever made them.",
    )


def both_kept(name: str, other: str) -> Finding:
    """Two programs each wrote the whole text."""
    return Finding(
        code="both-kept",
        severity="note",
        where=name,
        message=f"another window wrote a whole text for this piece too; it is kept as “{other}”",
        remedy="Compare the two and put what you do not need into the bin.",
    )


def changed_in_file(file: str) -> Finding:
    """An editor changed the file."""
    return Finding(
        code="changed-in-file",
        severity="note",
        where=file,
        message=f"the file {file} was changed by another program; the change was taken over",
        remedy="Undo takes it back, in the file too.",
    )


def unreadable_file(found: Found) -> Finding:
    """An editor left a file that cannot be read."""
    first = found.findings[0]
    return replace(
        first,
        code="file-left-alone",
        severity="risky",
        message=f"the design's file was changed by another program and is left alone: "
        f"{first.message}",
        remedy=f"{first.remedy} Until then changes are kept in the workshop only.",
    )


def too_busy(name: str) -> BadInput:
    """Too many changes by another program at once."""
    return refusal(
        code="store-busy",
        where=name,
        message="another program changes this piece all the time; your change was not made",
        remedy="Close the piece in the other window and try again.",
    )


def other_plan(name: str) -> BadInput:
    """A plan that belongs to no state of this piece."""
    return refusal(
        code="plan-of-another-design",
        where=name,
        message="this plan was made for a design that this piece never was",
        remedy="Plan this piece anew; the plan that it had is kept.",
    )


def no_generation(name: str) -> BadInput:
    """A state that is not kept any more."""
    return refusal(
        code="no-such-generation",
        where=name,
        message="this earlier state of the piece is not kept any more",
        remedy="Take another one of the list.",
    )
