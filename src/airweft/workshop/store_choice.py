"""Storing a maker's choice in their own design file: whole or not at all, and nothing else changed.

The new text is written beside the file and moved over it, so that at no moment a half-written
design stands there. A file that was changed since it was read is left alone.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import tempfile
from pathlib import Path

from airweft.base.errors import BadInput
from airweft.base.refusals import refusal, system_refusals
from airweft.design.edit import with_choice


def snapshot(path: Path) -> bytes:
    """The file as it is now, for `store_choice` later; empty where it cannot be read.

    Reading it as a design says what is wrong then.
    """
    try:
        return Path(path).read_bytes()
    except (OSError, ValueError):
        return b""


def store_choice(
    path: Path, before: bytes, *, style: str, seed: int | None = None, crew: int | None = None
) -> bool:
    """Write the choice under [plan] of the design at `path`; False if it stands there already.

    `before` is the file as it was when the choice was made. Raises BadInput if the file has changed
    since, if it cannot be written, or if the choice cannot be put into it; then it is as before.
    """
    try:
        text = before.decode("utf-8")
    except UnicodeDecodeError:
        raise _changed(path) from None
    after = with_choice(text, style=style, seed=seed, crew=crew, name=path.name).encode("utf-8")
    if after == before:
        return False
    with system_refusals(
        code="file-cannot-be-written",
        where=str(path),
        what="the choice cannot be stored in the design",
        remedy="Check whose the file and its folder are, and whether there is room.",
    ):
        place = Path(os.path.realpath(path))
        handle, beside = tempfile.mkstemp(dir=place.parent, prefix=f".{place.name}.", suffix=".new")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(after)
                file.flush()
                os.fsync(file.fileno())
            shutil.copymode(place, beside)
            if place.read_bytes() != before:
                raise _changed(path)
            os.replace(beside, place)
        finally:
            with contextlib.suppress(FileNotFoundError):
                os.unlink(beside)
    return True


def _changed(path: Path) -> BadInput:
    return refusal(
        code="design-changed-meanwhile",
        where=str(path),
        message="the design file was changed while its plans were compared, so it is left alone",
        remedy="Compare again.",
    )
