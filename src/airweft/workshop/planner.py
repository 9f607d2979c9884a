"""Planning at the desk: the ways side by side, the plan chosen, and work that outlives a page.

What is found is kept at the desk whether or not a page is still looking. One planner belongs to a
desk, whatever number of tabs shows it.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any, Literal

from airweft.base.errors import AirweftError
from airweft.base.findings import Finding
from airweft.records.net import Net
from airweft.records.plan import Plan
from airweft.workshop import tasks
from airweft.workshop.beside import Beside, one_for_each
from airweft.workshop.changes import file_changes
from airweft.workshop.desk import Desk
from airweft.workshop.long_work import Options
from airweft.workshop.planned import Planned
from airweft.workshop.settled import Settled
from airweft.workshop.side_by_side import NotFor, Row
from airweft.workshop.weighing import other_than, reweighed

Doing = Literal["compare", "plan"]
LONGER = 4.0
"""How much longer than usual a search goes on that is asked to."""


class Planner(Beside):
    """See the module. `doing` is the work going on; None while there is none."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._lock = threading.Lock()
        self._rows: tuple[Row | NotFor, ...] = ()
        self._text = ""
        self._net: Net | None = None
        self.doing: tuple[Doing, tasks.Task] | None = None

    @property
    def rows(self) -> tuple[Row | NotFor, ...]:
        """The ways compared last, by today's weights; none before a comparison."""
        design = self._desk.design
        return self._rows if design is None else reweighed(self._rows, design)

    @property
    def rows_changes(self) -> tuple[str, ...]:
        """What changed since the comparison that makes its rows those of another design."""
        if not self._rows:
            return ()
        found = other_than(self._text, self._desk.text)
        return found or file_changes(self._net, self._desk.net)

    def compare(self) -> tasks.Task:
        """Begin to compare every style; what comes out is in `rows`."""
        desk = self._desk
        text, net = desk.text, desk.net

        def done(rows: tuple[Row | NotFor, ...]) -> None:
            self._rows, self._text, self._net = rows, text, net

        return self._start("compare", desk, text, {}, done)

    def plan(self, *, longer: bool = False, go_on: bool = False, choice: str = "") -> tasks.Task:
        """Begin to plan the design as it says; the plan is kept at the desk. `go_on` searches on
        from the plan that there is, `longer` does so with more effort. With the gesture of
        a `choice` just made, choice and plan are one step of the history."""
        desk = self._desk
        text, net, settled, before = desk.text, desk.net, desk.settled, desk.plan
        options: Options = {}
        if settled is not None:
            options["settled"] = settled
        if (longer or go_on) and before is not None:
            options |= {"effort": LONGER if longer else 1.0, "after": before}

        def done(made: tuple[Planned, Settled]) -> None:
            planned, shape = made
            if net is not None:
                desk.keep_settled(shape, net)
            _keep(desk, planned.plan, choice)

        return self._start("plan", desk, text, options, done)

    def stop(self) -> None:
        """Stop what is going on, if anything is."""
        doing = self.doing
        if doing is not None:
            doing[1].stop()

    def _start(
        self, doing: Doing, desk: Desk, text: str, options: Options, done: Callable[[Any], None]
    ) -> tasks.Task:
        with self._lock:
            before, task = self.doing, tasks.start(doing, text, desk.folder, options)
            self.doing = (doing, task)
        if before is not None:
            before[1].stop()

        def over() -> None:
            with self._lock:
                if self.doing is not None and self.doing[1] is task:
                    self.doing = None

        def good(result: Any) -> None:
            try:
                done(result)
            finally:
                over()

        def bad(_: tuple[Finding, ...]) -> None:
            over()

        task.on(lambda *_: None, good, bad)
        return task


def _keep(desk: Desk, plan: Plan, choice: str) -> None:
    try:
        desk.keep_plan(plan, gesture=choice)
    except AirweftError as refusal:
        desk.say(*refusal.findings)


planner_of = one_for_each(Planner)
"""The planner of a desk, always the same one."""
