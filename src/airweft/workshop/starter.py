"""Starter designs: the text for a form, and a new file that never replaces another."""

from __future__ import annotations

import os
from pathlib import Path

from airweft.base.errors import BadInput
from airweft.base.refusals import refusal, system_refusals
from airweft.design.starters import starter
from airweft.design.stock_writing import STARTER as STOCK_STARTER


def starter_text(form: str) -> str:
    """A commented design of the form, or a `stock`, ready to be changed. Raises BadInput."""
    return STOCK_STARTER if is_stock(form) else starter(form)


def is_stock(form: str) -> bool:
    """Whether a starter for the maker's stock is meant, not one for a design."""
    return form.strip().lower() == "stock"


def write_new(file: Path, content: str | bytes, *, option: str = "--out") -> None:
    """Write a file that is not there yet, whole or not at all; text as UTF-8. Raises BadInput.

    `option` is the one that named the file.
    """
    with system_refusals(
        code="file-cannot-be-written",
        where=str(file),
        what="the system refuses to write there",
        remedy=f"Give {option} a file in a folder that exists and is yours.",
    ):
        try:
            with file.open("xb") as new:
                try:
                    new.write(content if isinstance(content, bytes) else content.encode())
                    new.flush()
                except BaseException:
                    file.unlink(missing_ok=True)
                    raise
        except FileExistsError as error:
            raise _is_there(file, option) from error


def must_be_new(file: Path, *, option: str = "--out") -> None:
    """Raise BadInput if `file` cannot be made as things stand: before long work, not after it."""
    if os.path.lexists(file):
        raise _is_there(file, option)
    if not file.parent.is_dir():
        raise refusal(
            code="file-cannot-be-written",
            where=str(file),
            message=f"there is no folder {file.parent}",
            remedy=f"Give {option} a file in a folder that exists and is yours.",
        )


def _is_there(file: Path, option: str) -> BadInput:
    return refusal(
        code="file-exists",
        where=str(file),
        message="there is already something of this name, and it is left alone",
        remedy=f"Give {option} the name of a new file.",
    )
