"""Writing the stock as it is after a plan was made; what stood there before is kept."""

from __future__ import annotations

from pathlib import Path

from airweft.balloon.stock import Stock
from airweft.base.errors import BadInput
from airweft.base.refusals import refusal, system_refusals
from airweft.design.stock_writing import write_stock
from airweft.workshop.folder import free_name
from airweft.workshop.starter import write_new

_OPTION = "--return-to"
_ANOTHER = f"Give {_OPTION} the name of a new file in a folder that exists."


def look_at_return(file: Path, *, replace: bool) -> None:
    """Raise BadInput if the stock could not be written to `file` as things stand."""
    if file.is_dir():
        raise _refusal(file, "file-is-folder", "this is a folder")
    if file.exists() and not replace:
        raise _refusal(
            file,
            "file-exists",
            "there is already a file of this name, and it is left alone",
            f"Give {_OPTION} the name of a new file, or add --replace: the old one is then kept "
            "under a new name.",
        )
    if not file.absolute().parent.is_dir():
        raise _refusal(file, "file-cannot-be-written", "there is no such folder")


def put_back(file: Path, stock: Stock, *, replace: bool) -> Path | None:
    """Write `stock`, and give the new name of a file that stood there. Raises BadInput."""
    text = write_stock(stock)
    if not (replace and file.exists()):
        write_new(file, text, option=_OPTION)
        return None
    kept = file.with_name(free_name(file.absolute().parent, file.name))
    with system_refusals(
        code="file-cannot-be-written",
        where=str(file),
        what="the system refuses to",
        remedy=_ANOTHER,
    ):
        file.rename(kept)
    try:
        write_new(file, text, option=_OPTION)
    except BaseException:
        kept.rename(file)
        raise
    return kept


def _refusal(file: Path, code: str, message: str, remedy: str = _ANOTHER) -> BadInput:
    return refusal(code=code, where=str(file), message=message, remedy=remedy)
