"""What lies on the work table: the book of a copy's own plan, and how its stops meet its rows.

A stop is one press of Next; progress is kept in rows of the plan, which outlive its words.
"""

from __future__ import annotations

import bisect
import itertools
from dataclasses import dataclass

from airweft.base.errors import BadInput
from airweft.booklet.book import Book
from airweft.booklet.phone_data import stops_of
from airweft.check.replay import replay
from airweft.records.design import Design
from airweft.records.plan import Plan
from airweft.workshop.desk import Desk
from airweft.workshop.finishing import put_in_words
from airweft.workshop.reading import read_all


@dataclass(frozen=True, slots=True)
class AtWork:
    """A plan in words, ready to be made by.

    rows    how many rows are done when so many stops are; one entry more than there are stops
    steps   for each stop the number of its step, from 1
    """

    book: Book
    rows: tuple[int, ...]
    steps: tuple[int, ...]

    @property
    def stops(self) -> int:
        """How many stops there are."""
        return len(self.steps)

    def stop_at(self, row: int) -> int:
        """How many stops are done where so many rows are; a stop half done is not."""
        return max(0, bisect.bisect_right(self.rows, row) - 1)


def at_work(desk: Desk, plan: Plan) -> AtWork:
    """The plan, of this piece, in words. O(actions); raises BadInput where no design is known."""
    design = _design(desk, plan)
    counted = replay(plan)
    own = design.fingerprint == plan.fingerprint
    told = put_in_words(plan, counted, design, inside=own)
    book = Book(design=design, plan=plan, instructions=told)
    stops = stops_of(book)
    return AtWork(book, _rows(book, [s.step for s in stops]), tuple(s.step + 1 for s in stops))


def _design(desk: Desk, plan: Plan) -> Design:
    """The design that the plan was made for; where that is not at hand, the one on the desk."""
    now = desk.design
    if now is not None and now.fingerprint == plan.fingerprint:
        return now
    planned = desk.texts()[2]
    then = read_all(planned, name=desk.file.name, folder=desk.folder).design if planned else None
    if then is not None and then.fingerprint == plan.fingerprint:
        return then
    readable = now or then
    if readable is None:
        raise BadInput(desk.findings)
    return readable


def _rows(book: Book, step_of: list[int]) -> tuple[int, ...]:
    """How many rows are whole when none, one, two ... stops are done."""
    actions = book.plan.actions
    row_ends = list(
        itertools.accumulate(len(list(g)) for _, g in itertools.groupby(actions, lambda a: a.row))
    )
    ends = [0]
    for number, stops in itertools.groupby(step_of):
        step = book.instructions.steps[number]
        own = actions[step.first_action : step.last_action]
        sizes = [len(list(g)) for _, g in itertools.groupby(own, lambda a: a.row)]
        if len(list(stops)) != len(sizes):
            sizes = [len(own)]
        ends += [step.first_action + end for end in itertools.accumulate(sizes)]
    rows = [bisect.bisect_right(row_ends, end) for end in ends]
    return tuple(itertools.accumulate(rows, max))
