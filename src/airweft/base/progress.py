"""Progress and cancellation: one small object passed down into long work."""

from __future__ import annotations

from collections.abc import Callable


class Stopped(Exception):
    """Raised inside long work when the caller asked it to stop."""


class Progress:
    """Reports how far long work is, and carries the wish to stop back.

    `tell(done, total, text)` is called with counts of the same unit; it must be quick. There are
    two wishes: `stop` ends everything, `enough` ends a search that can give what it has so far.
    """

    def __init__(
        self,
        tell: Callable[[int, int, str], None] | None = None,
        *,
        within: Progress | None = None,
    ) -> None:
        """`within` is the progress of the work that this is a part of: its wishes count too."""
        self._tell = tell
        self._within = within
        self._stop = False
        self._enough = False

    def stop(self) -> None:
        """Ask the work to stop at its next report."""
        self._stop = True

    def enough(self) -> None:
        """Ask the search that is going on to give the best it has so far."""
        self._enough = True

    def resume(self) -> bool:
        """Let the work after a search go on; True if the search was asked to end early."""
        ended, self._enough = self._enough, False
        return ended or (self._within is not None and self._within.resume())

    @property
    def stopping(self) -> bool:
        """True once the caller asked to stop or had enough: what comes back is the best so far."""
        return self._stop or self._enough or (self._within is not None and self._within.stopping)

    def check(self) -> None:
        """Raise Stopped when the caller asked to stop or had enough, and report nothing."""
        if self.stopping:
            raise Stopped("stopped")

    def report(self, done: int, total: int, text: str) -> None:
        """Say how far the work is; raises Stopped like `check`."""
        if self._tell is not None:
            self._tell(done, total, text)
        self.check()
