"""Progress and cancellation: one small object passed down into long work."""

from __future__ import annotations

from collections.abc import Callable


class Stopped(Exception):
    """Raised inside long work when the caller asked it to stop."""


class Progress:
    """Reports how far long work is, and carries the wish to stop back.

    `tell(done, total, text)` is called with counts of the same unit; it must be quick.
    """

    def __init__(self, tell: Callable[[int, int, str], None] | None = None) -> None:
        self._tell = tell
        self._stop = False

    def stop(self) -> None:
        """Ask the work to stop at its next report."""
        self._stop = True

    @property
    def stopping(self) -> bool:
        """True once the caller asked to stop: what comes back then is the best so far."""
        return self._stop

    def check(self) -> None:
        """Raise Stopped when the caller asked to stop, and report nothing."""
        if self._stop:
            raise Stopped("stopped")

    def report(self, done: int, total: int, text: str) -> None:
        """Say how far the work is; raises Stopped when the caller asked to stop."""
        if self._tell is not None:
            self._tell(done, total, text)
        if self._stop:
            raise Stopped(text)
