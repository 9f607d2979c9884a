"""The page on which a piece is made, step by step, with both hands full."""

from __future__ import annotations

import time
from collections import OrderedDict
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from nicegui import run, ui

from airweft.base.errors import AirweftError
from airweft.web.findings import show_finding
from airweft.web.frame import pages
from airweft.web.kit import Dialog, Field, Words, box, button, icon, link, toast
from airweft.web.make.bench import Bench, Job, Went
from airweft.web.make.side import Deeds, State, done_words, show_side
from airweft.web.view.pack import Pack, pack_book
from airweft.web.view.twin import Twin
from airweft.web.view.view import PieceView
from airweft.workshop.at_work import AtWork, at_work

if TYPE_CHECKING:
    from airweft.records.plan import Plan
    from airweft.records.steps import Chapter
    from airweft.web.frame import Frame
    from airweft.workshop.desk import Desk
    from airweft.workshop.making import Copy, Offer

_KEPT = 4


@dataclass(frozen=True, slots=True)
class Laid:
    """A plan laid out: its words, and what the view needs of it."""

    work: AtWork
    pack: Pack


_laid: OrderedDict[tuple[str, int], Laid] = OrderedDict()


def lay_out(desk: Desk, plan: Plan) -> Laid:
    """The plan in words and pictures, kept for the next tablet; seconds for a large one."""
    key = (desk.key, id(plan))
    found = _laid.get(key)
    if found is None or found.work.book.plan is not plan:
        work = at_work(desk, plan)
        found = _laid[key] = Laid(work, pack_book(work.book))
        while len(_laid) > _KEPT:
            _laid.popitem(last=False)
    return found


def page(desk: Desk, frame: Frame) -> None:
    """The bench, or the way to a plan where there is none."""
    made = _Page(desk)
    frame.listen(made.heard)


class _Page:
    """The page of one browser tab."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._making = desk.making
        self._bench: _AtBench | None = None
        with box("heading"):
            Words(f"Make {desk.name}", "h1")
        self._whole = box()
        self._build()

    def heard(self, what: str) -> None:
        if self._bench is not None:
            self._bench.heard(what)
        elif what == "plan":
            self._build()

    def _build(self) -> None:
        self._whole.clear()
        with self._whole:
            if self._desk.plan is None and not self._making.copies:
                _no_plan(self._desk)
                return
            self._wait = Words("Laying out the steps …", "p", "quiet")
            self._wait.props["role"] = "status"
            ui.timer(0.01, self._lay, once=True)

    async def _lay(self) -> None:
        copies = self._making.copies
        copy = max(copies, key=lambda one: one.changed, default=None)
        plan = self._desk.plan if copy is None else self._making.plan(copy)
        if plan is None:
            return
        try:
            laid = await run.io_bound(lay_out, self._desk, plan)
        except AirweftError as refusal:
            self._whole.clear()
            with self._whole:
                Words("The steps cannot be laid out.", "h2")
                for finding in refusal.findings:
                    show_finding(finding)
            return
        if laid is None or self._whole.is_deleted:
            return
        self._whole.clear()
        with self._whole:
            self._bench = _AtBench(self._desk, laid, copy, box())


class _AtBench:
    """View, words and what stands beside them, for the copy that lies on the bench."""

    def __init__(self, desk: Desk, laid: Laid, copy: Copy | None, ground: ui.element) -> None:
        self._desk, self._making = desk, desk.making
        self._ground = ground  # stays while the buttons beside the bench are drawn anew
        self._laid, self._copy = laid, copy
        self._busy = False
        with Bench(desk.key) as self._bench:
            self._view = PieceView(tools=("zoom", "turn"))
            self._view.show(laid.pack)
        self._bench.with_view(self._view)
        with self._bench.add_slot("words"):
            Twin(self._view)
        with self._bench.add_slot("rest"):
            self._side = box("mk-rest-inner")
        self._bench.on_go(self._go)
        self._bench.on_copy("enter", self._enter)
        self._bench.on_copy("leave", self._leave)
        self._bench.on_copy("rest", self._rest)
        self._bench.on_copy("other", self._other)
        self._deeds = Deeds(
            make=self._make, choose=self._choose, add=self._add, rename=self._rename,
            remove=self._remove, take=self._take, section=self._section,
            own_place=self._own_place,
        )  # fmt: skip
        self._entered = False
        self._news()

    def heard(self, what: str) -> None:
        """Something changed, here or on another device."""
        if what == "progress":
            self._news()
        elif what in ("plan", "design") and not self._entered:
            self._show_side()
            if what == "plan" and self._copy is None and self._desk.plan is not None:
                self._soon(self._lay_current)

    async def _lay_current(self) -> None:
        plan = self._desk.plan
        if plan is None or plan is self._laid.work.book.plan:
            return
        laid = await run.io_bound(lay_out, self._desk, plan)
        if laid is not None and self._copy is None:
            self._laid = laid
            self._view.show(laid.pack)
            self._show_side()

    # What is shown

    def _news(self) -> None:
        if self._copy is not None:
            copies = self._making.copies
            found = next((one for one in copies if one.id == self._copy.id), None)
            if found is not None and found.plan == self._copy.plan:
                self._copy = found
                self._bench.hand(self._job(found, copies))
            elif found is not None and not self._busy:
                self._soon(partial(self._bring, found))
            elif found is None:
                self._copy = None
        if not self._entered:
            self._show_side()

    def _job(self, copy: Copy, copies: tuple[Copy, ...]) -> Job:
        work = self._laid.work
        return Job(
            copy=copy.id,
            name=copy.name,
            plan=copy.plan,
            stop=work.stop_at(copy.step),
            stops=work.stops,
            others=[(one.id, one.name, done_words(one)) for one in copies],
            chapters=[(c.first_step, c.title) for c in work.book.instructions.chapters],
        )

    def _show_side(self) -> None:
        self._side.clear()
        with self._side:
            show_side(self._state(), self._deeds)

    def _state(self) -> State:
        book, work = self._laid.work.book, self._laid.work
        factor = self._making.factor()
        claims = book.plan.claims
        stop = 0 if self._copy is None else work.stop_at(self._copy.step)
        left = (0.0, 0.0)
        if self._copy is not None:
            usual = sum(self._making.worked(self._copy.plan).usual[self._copy.step + 1 :])
            if factor is not None:
                left = (usual * factor.low, usual * factor.high)
            else:
                left = (0.7 * usual, 1.3 * usual)
        bubbles = book.net.bubble_count
        return State(
            facts=f"{len(book.instructions.steps):,} steps · {bubbles:,} bubbles · "
            f"{len(book.plan.balloons):,} balloons · {claims.minutes_low} to "
            f"{claims.minutes_high} minutes for practised hands",
            copy=self._copy,
            step=work.steps[min(stop, work.stops - 1)] if work.stops else 0,
            steps=len(book.instructions.steps),
            left=left,
            copies=self._making.copies,
            offers=self._making.offers(),
            chapters=book.instructions.chapters,
            factor=factor,
        )

    def _say(self, text: str) -> None:
        with self._ground:
            toast(text)

    def _soon(self, do: Callable[[], Awaitable[None]]) -> None:
        with self._ground:
            ui.timer(0.01, do, once=True)

    # From the bench

    def _go(self, went: Went, serial: int) -> None:
        try:
            copy = self._making.copy(went.copy)
            here = self._copy is not None and copy.plan == self._copy.plan == went.plan
            rows = self._laid.work.rows
            if not here or not 0 <= went.stop < len(rows):
                self._bench.refused(
                    serial, "This step was not saved: the copy goes by another plan."
                )
                return
            if went.late:
                self._making.pause(copy)
            self._making.go(copy, rows[went.stop], time.monotonic() - went.ago)
        except AirweftError as refusal:
            self._bench.refused(serial, refusal.findings[0].message)
            return
        self._bench.saved(serial)

    def _enter(self, copy: int) -> None:
        self._entered = True
        try:
            self._making.start(copy, time.monotonic())
        except AirweftError as refusal:
            self._say(refusal.findings[0].message)

    def _leave(self, copy: int) -> None:
        self._entered = False
        self._making.pause(copy)
        self._show_side()

    def _rest(self, copy: int) -> None:
        self._making.pause(copy)

    async def _other(self, copy: int) -> None:
        try:
            found = self._making.copy(copy)
        except AirweftError as refusal:
            self._say(refusal.findings[0].message)
            return
        await self._bring(found)

    # From beside it

    async def _make(self) -> None:
        try:
            copy = self._copy or self._making.add_copy()
        except AirweftError as refusal:
            self._say(refusal.findings[0].message)
            return
        await self._bring(copy)
        self._bench.enter(copy.id)

    async def _choose(self, copy: Copy) -> None:
        await self._bring(copy)

    async def _bring(self, copy: Copy) -> None:
        """Put a copy on the bench, with its own plan."""
        self._busy = True
        try:
            laid = await run.io_bound(lay_out, self._desk, self._making.plan(copy))
            if laid is None:
                return
            if laid is not self._laid:
                self._laid = laid
                self._view.show(laid.pack)
            self._copy = copy
            self._bench.hand(self._job(copy, self._making.copies))
        except AirweftError as refusal:
            self._say(refusal.findings[0].message)
            return
        finally:
            self._busy = False
        if not self._entered:
            self._show_side()

    async def _add(self) -> None:
        try:
            copy = self._making.add_copy()
        except AirweftError as refusal:
            self._say(refusal.findings[0].message)
            return
        await self._bring(copy)
        self._say(f"{copy.name} is on the bench")

    def _rename(self, copy: Copy) -> None:
        with self._ground:
            asking = Dialog(f"Rename {copy.name}")

        def rename() -> None:
            asking.close()
            try:
                self._making.rename_copy(copy.id, field.value)
            except AirweftError as refusal:
                self._say(refusal.findings[0].message)

        with asking.body:
            field = Field("Name", copy.name, most=80)
            field.on_enter(rename)
            field.input.props["autofocus"] = "autofocus"
        with asking.actions:
            button("Cancel", asking.close, kind="quiet")
            button("Rename", rename, kind="main")
        asking.open()

    def _remove(self, copy: Copy) -> None:
        with self._ground:
            asking = Dialog(f"Remove {copy.name}?")

        def remove() -> None:
            asking.close()
            try:
                self._making.remove_copy(copy.id)
            except AirweftError as refusal:
                self._say(refusal.findings[0].message)

        with asking.body:
            Words(
                f"Its place ({done_words(copy)}) is forgotten; this cannot be undone. The times of "
                "its steps are kept.",
                "p",
            )
        with asking.actions:
            button("Keep it", asking.close, kind="quiet")
            button("Remove", remove, kind="danger")
        asking.open()

    async def _take(self, offer: Offer) -> None:
        try:
            copy = self._making.take(offer)
        except AirweftError as refusal:
            self._say(refusal.findings[0].message)
            return
        await self._bring(copy)

    async def _section(self, chapter: Chapter) -> None:
        await self._begin(chapter, own=False)

    async def _own_place(self, chapter: Chapter) -> None:
        await self._begin(chapter, own=True)

    async def _begin(self, chapter: Chapter, *, own: bool) -> None:
        work = self._laid.work
        stop = next(n for n, step in enumerate(work.steps) if step >= chapter.first_step)
        try:
            copy = self._copy
            if copy is None or own:
                copy = self._making.add_copy(chapter.title if own else "")
            copy = self._making.go(copy, work.rows[stop], time.monotonic())
        except AirweftError as refusal:
            self._say(refusal.findings[0].message)
            return
        await self._bring(copy)
        self._bench.enter(copy.id)


def _no_plan(desk: Desk) -> None:
    with box("welcome"):
        icon("plan")
        Words("There is no plan yet", "h2")
        Words(
            "The steps come from a plan: which balloon makes which bubbles, and in what order. "
            "Choose one, and the making begins here.",
            "p",
        )
    if "plan" in dict(pages()):
        link("Go to the plan", f"/piece/{desk.key}/plan", classes="btn btn-main", symbol="plan")
    else:
        Words("The page of the plan is not there.", "p", "quiet")
