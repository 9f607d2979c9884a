"""Who wants to know when something changes."""

from __future__ import annotations

import threading
from collections.abc import Callable

Listener = Callable[[str], None]


class Listeners:
    """Those that are told. Safe for threads; nobody is called while a lock is held here."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._calls: list[Listener] = []

    def add(self, call: Listener) -> Callable[[], None]:
        """Have `call` told from now on; returns what stops that."""
        with self._lock:
            self._calls.append(call)
        return lambda: self._remove(call)

    def tell(self, *words: str) -> None:
        """Tell everyone each word once; one that raises is not called again."""
        for word in dict.fromkeys(words):
            for call in tuple(self._calls):
                try:
                    call(word)
                except Exception:  # a tab that is gone must not keep the others from hearing
                    self._remove(call)

    def _remove(self, call: Listener) -> None:
        with self._lock:
            if call in self._calls:
                self._calls.remove(call)
