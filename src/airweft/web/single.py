"""One app at a time for one folder: the second only shows the first."""

from __future__ import annotations

import contextlib
import sys
from pathlib import Path
from typing import IO

from airweft.base.errors import BadInput
from airweft.base.findings import Finding


class Single:
    """Holds a lock in the folder for as long as the app runs; the system frees it at any end."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._file: IO[bytes] | None = None

    def take(self) -> str | None:
        """Take the folder: None if it is ours now, else the address of the app that has it.

        Raises BadInput if the folder cannot be used.
        """
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            file = (self._folder / "app.lock").open("a+b")
        except (OSError, ValueError) as error:
            said = (error.strerror if isinstance(error, OSError) else None) or str(error)
            raise BadInput(
                Finding(
                    code="folder-cannot-be-used",
                    severity="cannot",
                    where=str(self._folder),
                    message=f"The system refuses to keep pieces there: {said}.",
                    remedy="Give --home a folder that is yours.",
                )
            ) from error
        if not _locked(file):
            file.close()
            return self._address() or "look for its window in your browser"
        self._file = file
        return None

    def tell(self, address: str) -> None:
        """Leave the address for a second app to show."""
        with contextlib.suppress(OSError):
            (self._folder / "app.address").write_text(address, encoding="ascii")

    def leave(self) -> None:
        """Let the folder go."""
        if self._file is not None:
            with contextlib.suppress(OSError):
                (self._folder / "app.address").unlink(missing_ok=True)
            self._file.close()
            self._file = None

    def _address(self) -> str:
        try:
            text = (self._folder / "app.address").read_text(encoding="ascii")[:100]
        except (OSError, ValueError):
            return ""
        return text if text.startswith("http://127.0.0.1:") else ""


if sys.platform == "win32":
    import msvcrt

    def _locked(file: IO[bytes]) -> bool:
        file.seek(0)
        try:
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _locked(file: IO[bytes]) -> bool:
        try:
            fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True
