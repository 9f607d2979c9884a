"""Long work as people see it: what is done, how far it is, and a way to stop it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from nicegui import ui

from airweft.base.findings import Finding
from airweft.web.findings import explain
from airweft.web.kit import Words, box, button
from airweft.workshop.tasks import Task

_LOOK_SECONDS = 0.15


class Working:
    """A strip for one task in the element that is open now; it is gone once the task has ended.

    `done` gets the result, `failed` the findings (by default they are shown); both are called in
    the page's own thread. With `search` there is a button that takes the best found so far.
    """

    def __init__(
        self,
        title: str,
        task: Task,
        done: Callable[[Any], None],
        failed: Callable[[tuple[Finding, ...]], None] | None = None,
        *,
        search: bool = False,
    ) -> None:
        self._task, self._done, self._failed = task, done, failed
        self._title = title
        with box("work", role="group", aria_label=title) as self._strip:
            self._words = Words(title)
            with box("sheet-actions"):
                if search:
                    button("Take the best so far", self._enough)
                self._stop = button("Stop", self._stop_it, symbol="stop")
            self._bar = box("", "progress", max="1", aria_label=title)
        self._timer = ui.timer(_LOOK_SECONDS, self._look)

    def _look(self) -> None:
        task = self._task
        if task.state in ("waiting", "running"):
            done, total, text = task.at
            self._words.text = f"{self._title}: {text}" if text else self._title
            if total > 0:
                self._bar.props["value"] = f"{min(1.0, done / total):.3f}"
                self._bar.update()
            return
        self._timer.cancel()
        around = self._strip.parent_slot
        assert around is not None
        with around.parent:
            self._strip.delete()
            if task.state == "done":
                self._done(task.result)
            elif self._failed is not None:
                self._failed(task.findings)
            elif task.state == "failed":
                explain("This could not be done", task.findings)

    def _enough(self) -> None:
        self._title = "Taking the best so far"
        self._task.enough()

    def _stop_it(self) -> None:
        self._title = "Stopping"
        self._task.stop()
