"""Starter designs: the text for a form, and a new file that never replaces another."""

from __future__ import annotations

from pathlib import Path

from airweft.base.errors import BadInput
from airweft.base.findings import Finding
from airweft.design.starters import starter


def starter_text(form: str) -> str:
    """A commented design of the form, ready to be changed. Raises BadInput for an unknown form."""
    return starter(form)


def write_new(file: Path, text: str) -> None:
    """Write `text` to a file that is not there yet, whole or not at all. Raises BadInput."""
    try:
        with file.open("x", encoding="utf-8", newline="\n") as new:
            try:
                new.write(text)
                new.flush()
            except BaseException:
                file.unlink(missing_ok=True)
                raise
    except FileExistsError as error:
        raise BadInput(
            Finding(
                code="file-exists",
                severity="cannot",
                where=str(file),
                message="there is already something of this name, and it is left alone",
                remedy="Give --out the name of a new file.",
            )
        ) from error
    except (OSError, ValueError) as error:
        said = (error.strerror if isinstance(error, OSError) else None) or str(error)
        raise BadInput(
            Finding(
                code="file-cannot-be-written",
                severity="cannot",
                where=str(file),
                message=f"the system refuses to write there: {said}",
                remedy="Give --out a file in a folder that exists and is yours.",
            )
        ) from error
