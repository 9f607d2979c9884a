"""The one thread of a store: files written, editors noticed, pictures drawn, all unasked."""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable

from airweft.base.errors import AirweftError
from airweft.workshop.desk import Desk
from airweft.workshop.store.clock import seconds

MOST_DRAWN = 6_000
"""Bubbles of the largest piece that the shelf has a picture of."""
_EVERY_S = 0.25
_QUIET_S = 1.0  # a picture is drawn when nothing was changed for so long


class Watch:
    """Tends all open desks four times a second, and those changed last until they are tended."""

    def __init__(self, desks: Callable[[], list[Desk]]) -> None:
        self._desks = desks
        self._lock = threading.Lock()
        self._tending = threading.Lock()
        self._to_draw: dict[Desk, float] = {}
        self._end = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self) -> None:
        """Begin, if it has not begun."""
        with self._lock:
            if self._thread is None and not self._end.is_set():
                self._thread = threading.Thread(target=self._run, name="workshop", daemon=True)
                self._thread.start()

    def changed(self, desk: Desk) -> None:
        """A desk was changed: its file is to be written and its picture drawn."""
        with self._lock:
            self._to_draw[desk] = seconds()
        self.start()

    def tend_all(self, *, draw: bool = False) -> None:
        """Tend every open desk once; `draw` also what was changed just now."""
        with self._tending:
            for desk in self._desks():
                self._tend(desk)
            with self._lock:
                due = [d for d, at in self._to_draw.items() if draw or seconds() - at > _QUIET_S]
                for desk in due:
                    del self._to_draw[desk]
            for desk in due:
                with contextlib.suppress(AirweftError):
                    desk.draw(MOST_DRAWN)

    def stop(self) -> None:
        """Tend all desks for the last time and end."""
        self._end.set()
        if self._thread is not None and self._thread is not threading.current_thread():
            self._thread.join()
        self.tend_all(draw=True)

    def _tend(self, desk: Desk) -> None:
        try:
            desk.tend()
        except AirweftError as error:
            desk.say(*error.findings)

    def _run(self) -> None:
        while not self._end.wait(_EVERY_S):
            # Whatever is wrong with one piece, the others go on being kept.
            with contextlib.suppress(Exception):
                self.tend_all()
