"""What stands beside a desk: always the same one, whatever number of tabs shows the piece."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TypeVar
from weakref import WeakKeyDictionary, ref

from airweft.workshop.desk import Desk

Own = TypeVar("Own", bound="Beside")


class Beside:
    """Belongs to one desk, and keeps it not open: only work going on does."""

    def __init__(self, desk: Desk) -> None:
        self._ref = ref(desk)

    @property
    def _desk(self) -> Desk:
        desk = self._ref()
        assert desk is not None  # whoever asks has it open
        return desk


def one_for_each(kind: Callable[[Desk], Own]) -> Callable[[Desk], Own]:
    """A function that makes one of this kind for each desk, and gives the same one ever after."""
    made: WeakKeyDictionary[Desk, Own] = WeakKeyDictionary()
    lock = threading.Lock()

    def of(desk: Desk) -> Own:
        with lock:
            if desk not in made:
                made[desk] = kind(desk)
            return made[desk]

    return of
