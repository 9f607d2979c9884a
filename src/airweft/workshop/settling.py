"""The shape that a piece will take, worked out beside the hand while its design is being changed.

One belongs to a desk, whatever number of tabs shows it. What is found is kept at the desk.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Literal

from airweft.base.findings import Finding
from airweft.records.net import Net
from airweft.workshop import tasks
from airweft.workshop.beside import Beside, one_for_each
from airweft.workshop.changes import same_but_colours
from airweft.workshop.desk import Desk
from airweft.workshop.settled import Settled, stand_of

State = Literal["nothing", "known", "working", "wanted", "failed"]
AT_ONCE = 4_000
"""Bubbles up to which the shape is worked out without being asked for; larger ones take longer."""


class Settling(Beside):
    """See the module."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._lock = threading.Lock()
        self._watching = 0
        self._of: tuple[Net, object] | None = None
        self._task: tasks.Task | None = None
        self._failed: tuple[Net, object, tuple[Finding, ...]] | None = None

    @property
    def state(self) -> State:
        """What is there of the shape of the piece as it is now.

        nothing     it cannot be woven as it is
        known       the desk has it
        working     it is being worked out
        wanted      nobody works on it yet
        failed      it could not be worked out; `findings` say why
        """
        desk = self._desk
        if desk.design is None or not desk.is_woven:
            return "nothing"
        if desk.settled is not None:
            return "known"
        if self._is_for(self._of) and self._task is not None:
            return "working"
        return "failed" if self._failed and self._is_for(self._failed[:2]) else "wanted"

    @property
    def at_once(self) -> bool:
        """Whether the piece is small enough not to be asked for."""
        net = self._desk.net
        return net is not None and net.bubble_count <= AT_ONCE

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Why the last work failed."""
        return self._failed[2] if self._failed else ()

    @property
    def at(self) -> tuple[int, int, str]:
        """How far the work is: done, of how many, in words."""
        task = self._task
        return (0, 0, "") if task is None else task.at

    def start(self) -> None:
        """Begin, unless the shape is known or being worked out; older work is stopped."""
        desk = self._desk
        if self.state not in ("wanted", "failed"):
            return
        net, design = desk.net, desk.design
        assert net is not None and design is not None
        with self._lock:
            before, self._failed = self._task, None
            task = tasks.start("settle", desk.text, desk.folder)
            self._of, self._task = (net, stand_of(design)), task
        if before is not None:
            before.stop()

        def good(found: Settled) -> None:
            desk.keep_settled(found, net)
            self._over(task)

        def bad(why: tuple[Finding, ...]) -> None:
            if not any(one.code == "stopped" for one in why):
                self._failed = (net, stand_of(design), why)
            self._over(task)

        task.on(lambda *_: None, good, bad)

    def stop(self) -> None:
        """Leave it; it can be begun again."""
        with self._lock:
            task, self._task = self._task, None
        if task is not None:
            task.stop()

    def watch(self) -> Callable[[], None]:
        """Say that somebody looks; returns what says that they have gone. Work that nobody waits
        for any more is stopped."""
        with self._lock:
            self._watching += 1
        gone = False

        def leave() -> None:
            nonlocal gone
            if not gone:
                gone = True
                with self._lock:
                    self._watching -= 1
                if not self._watching:
                    self.stop()

        return leave

    def _over(self, task: tasks.Task) -> None:
        with self._lock:
            if self._task is task:
                self._task = None

    def _is_for(self, what: tuple[Net, object] | None) -> bool:
        """Whether work is for the piece as it is now, whatever its colours."""
        net, design = self._desk.net, self._desk.design
        if what is None or net is None or design is None:
            return False
        return what[1] == stand_of(design) and same_but_colours(what[0], net)


settling_of = one_for_each(Settling)
"""What works out the shape of a desk's piece, always the same one."""
