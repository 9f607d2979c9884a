"""The page of the plan: the ways to make the piece side by side, and the one that is chosen."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import quote

from nicegui import run, ui

from airweft.base.errors import AirweftError
from airweft.draw.tradeoffs import Choice, tradeoffs
from airweft.web.findings import explain, show_finding
from airweft.web.frame import pages
from airweft.web.kit import Words, box, button, icon, link, toast
from airweft.web.pages.plan_by_hand import ByHandPart
from airweft.web.pages.plan_choices import weights_part
from airweft.web.pages.plan_words import (
    MEASURES,
    STYLES,
    label,
    least,
    picture_said,
    plan_figures,
)
from airweft.workshop.by_hand import fixed_choices
from airweft.workshop.planner import Doing, planner_of
from airweft.workshop.side_by_side import NotFor, Row

if TYPE_CHECKING:
    from airweft.records.plan import Plan
    from airweft.web.frame import Frame
    from airweft.workshop.desk import Desk
    from airweft.workshop.tasks import Task

LOOKS = Path(__file__).with_name("plan.css")
_TITLES: dict[Doing, str] = {"compare": "Comparing the ways to make it", "plan": "Planning"}
_AGAIN_SECONDS = 0.05


def page(desk: Desk, frame: Frame) -> None:
    """The plan of one piece; it follows the desk and takes up work that goes on already."""
    _Page(desk, frame)


class _Page:
    def __init__(self, desk: Desk, frame: Frame) -> None:
        self._desk, self._frame = desk, frame
        self._planner = planner_of(desk)
        ui.add_css(LOOKS)
        with box("heading"):
            Words("Plan", "h1")
        with box("plan"):
            self._now = box("", "section", aria_label="The plan")
            self._ways = box("", "section", aria_label="The ways to make it")
            with box("", "section", aria_label="Your fixed choices"):
                self._by_hand = ByHandPart(desk, self._choose, self._plan)
            with box("", "section", aria_label="What counts"):
                self._show_weights = weights_part(desk)
        self._show()
        frame.listen(self._heard)
        doing = self._planner.doing
        if doing is not None:
            self._work(*doing)

    def _heard(self, what: str) -> None:
        if what in ("design", "plan"):
            self._show()

    def _show(self) -> None:
        for part, show in (
            (self._now, self._show_now),
            (self._ways, self._show_ways),
        ):
            part.clear()
            with part:
                show()
        self._by_hand.show()
        self._show_weights()

    # Work

    def _work(self, doing: Doing, task: Task) -> None:
        self._frame.work(_TITLES[doing], task, lambda _: self._over(task), search=True)

    def _over(self, task: Task) -> None:
        doing = self._planner.doing
        if doing is not None and doing[1] is task:  # what it found is being kept just now
            ui.timer(_AGAIN_SECONDS, partial(self._over, task), once=True)
        else:
            self._show()

    def _compare(self) -> None:
        self._work("compare", self._planner.compare())

    def _plan(self, *, longer: bool = False, go_on: bool = False) -> None:
        self._work("plan", self._planner.plan(longer=longer, go_on=go_on))

    def _choose(self, style: str, seed: int | None = None) -> None:
        desk, name = self._desk, STYLES[style][0]
        gesture = f"Choose {name}"
        try:
            desk.set(("plan", "style"), style, gesture=gesture, merge=gesture)
            if (
                seed is not None
                and desk.design is not None
                and seed != (desk.design.choices.seed or 0)
            ):
                desk.set(("plan", "seed"), seed, gesture=gesture, merge=gesture)
        except AirweftError as refusal:
            explain("This cannot be chosen", refusal.findings)
            return
        self._work("plan", self._planner.plan(choice=gesture))
        toast(f"Chosen: {name}", do=partial(self._not_chosen, gesture), do_text="Undo")

    async def _not_chosen(self, gesture: str) -> None:
        """Take back the choice, and the plan that was made because of it."""
        self._planner.stop()
        if self._desk.can_undo == gesture:
            await run.io_bound(self._desk.undo)

    # What is shown

    def _show_now(self) -> None:
        desk = self._desk
        plan, changes = desk.plan, desk.plan_text_changes
        can = desk.design is not None
        if plan is None:
            compared = bool(self._planner.rows)
            with box("plan-now"):
                Words("There is no plan yet", "h2")
                first = "Choose one of the ways" if compared else "Compare the ways and choose one"
                Words(
                    "A plan says which balloon makes which bubbles, and in what order. "
                    f"{first}, or have the best made at once.",
                    "p",
                )
                with box("plan-actions"):
                    if not compared:
                        self._able(button("Compare the ways", self._compare, kind="main"), can)
                    else:
                        self._best(can)
                    self._able(button("Plan it at once", self._plan), can)
            return
        with box("plan-now " + ("is-stale" if changes else "is-fresh")):
            Words("The plan is out of date" if changes else "The plan is ready", "h2")
            if changes:
                Words("It was made for the piece as it was before this changed:", "p")
                with box("", "ul"):
                    for change in changes:
                        Words(change, "li")
            with box("plan-figures", "dl"):
                for name, said in plan_figures(plan):
                    with box():
                        Words(name, "dt")
                        Words(said, "dd")
            _bound(plan)
            if not changes:
                self._remarks(plan)
            with box("plan-actions"):
                if changes:
                    self._able(button("Plan again", self._plan, kind="main"), can)
                else:
                    there = dict(pages())
                    for at, said in (("make", "Make it"), ("print", "Print")):
                        if at in there:
                            kind = "btn btn-main" if at == "make" else "btn"
                            link(said, f"/piece/{desk.key}/{at}", classes=kind, symbol=at)
                    if plan.ended_early:
                        button("Go on searching", partial(self._plan, go_on=True))
                    elif not plan.bound.proven:
                        button("Search longer", partial(self._plan, longer=True))

    def _remarks(self, plan: Plan) -> None:
        """What its maker should know of a plan at once: an early end, choices that it misses."""
        if plan.ended_early:
            Words(
                "The search was ended early: this is the best plan until then. It can go on from "
                "here.",
                "p", "plan-remark",
            )  # fmt: skip
        desk = self._desk
        if desk.design is None:
            return
        kept = fixed_choices(desk.text, desk.design, desk.net, plan)
        missed = [fixed.choice.title for fixed in kept if fixed.finding is not None]
        if missed:
            Words(f"Not kept of your fixed choices: {'; '.join(missed)}.", "p", "plan-remark")

    def _best(self, can: bool) -> None:
        """The best of the ways compared, to be taken without looking through their cards."""
        rows = () if self._planner.rows_changes else self._planner.rows
        for row in rows:
            if isinstance(row, Row) and row.best:
                do = partial(self._choose, row.style, row.seed)
                self._able(button(f"Take the best: {label(row)}", do, kind="main"), can)

    @staticmethod
    def _able(made: ui.element, can: bool) -> None:
        if not can:
            made.props["disabled"] = "disabled"

    def _show_ways(self) -> None:
        rows, changes = self._planner.rows, self._planner.rows_changes
        Words("Ways to make it", "h2")
        if not rows:
            Words("They stand here side by side once they are compared.", "p", "quiet")
        elif changes:
            Words(
                f"Compared before this changed: {'; '.join(changes)}. Compare again.", "p", "wrong"
            )
        found = [row for row in rows if isinstance(row, Row)]
        if any(row.ended_early for row in found):
            Words(
                "The comparison was ended early: each way is as good as it was until then.",
                "p", "plan-remark",
            )  # fmt: skip
        marks = least(found)
        if rows:
            with box("ways", "ul"):
                for row in rows:
                    with box("way" + (" is-chosen" if self._chosen(row) else ""), "li"):
                        if isinstance(row, Row):
                            self._way(row, marks, fresh=not changes)
                        else:
                            _unsuited(row)
        with box("plan-actions"):
            can = self._desk.design is not None
            if rows or self._desk.plan is not None:  # else the offer stands above
                said = "Compare again" if rows else "Compare the ways"
                self._able(button(said, self._compare), can)
            for style in ("best", "fewest"):
                name = STYLES[style][0]
                chosen = self._style() == style
                leave = button(
                    f"Leave it open: {name[0].lower()}{name[1:]}",
                    partial(self._choose, style),
                    symbol="check" if chosen else "",
                    aria_pressed="true" if chosen else "false",
                )
                self._able(leave, can)
        if len(found) > 1:
            self._picture(found)

    def _style(self) -> str:
        design = self._desk.design
        return design.choices.style if design is not None else ""

    def _chosen(self, row: Row | NotFor) -> bool:
        design = self._desk.design
        if design is None or not isinstance(row, Row):
            return False
        return row.style == design.choices.style and row.seed == (design.choices.seed or 0)

    def _way(self, row: Row, marks: dict[str, float], *, fresh: bool) -> None:
        design = self._desk.design
        units = design.units if design is not None else "cm"
        name = label(row)
        with box("way-head"):
            Words(name, "h3")
            if row.best:
                Words("best by your weights", classes="sign sign-best")
            if row.beaten_by:
                Words("another is better all round", classes="sign")
            if row.unkept:
                Words(f"{len(row.unkept)} of your choices not kept", classes="sign sign-risky")
        Words(STYLES.get(row.style, ("", ""))[1], "p")
        with box("", "dl"):
            for measure in MEASURES:
                is_least = measure.figure(row) == marks.get(measure.name)
                with box():
                    Words(measure.title, "dt")
                    with box("is-least" if is_least else "", "dd"):
                        Words(measure.said(row, units))
                        if is_least:
                            Words(" (least)", classes="unseen")
            with box():
                Words("All weighed", "dt")
                Words(f"{row.score:.1f}", "dd")
            if row.unkept:
                with box():
                    Words("Not kept", "dt")
                    Words("; ".join(row.unkept), "dd")
        if self._chosen(row):
            with box("way-chosen", "p"):
                icon("check")
                Words("Chosen")
            return
        choose = button(
            f"Choose {name}",
            partial(self._choose, row.style, row.seed),
            kind="main" if row.best else "plain",
        )
        self._able(choose, fresh)

    def _picture(self, found: list[Row]) -> None:
        svg = tradeoffs(
            [
                Choice(
                    label=label(row), balloons=row.balloons, minutes=sum(row.minutes) / 2,
                    beaten=bool(row.beaten_by), best=row.best,
                )
                for row in found
            ],
            title=self._desk.name,
        )  # fmt: skip
        Words("Balloons against minutes", "h2")
        with box("tradeoffs", "figure"):
            with box("tradeoffs-frame", tabindex="0", role="group", aria_label="Picture, scrolls"):
                box("", "img", src=f"data:image/svg+xml,{quote(svg)}", alt=picture_said(found))
            Words(
                "Further left needs fewer balloons, further down less time.", "figcaption", "quiet"
            )


def _unsuited(row: NotFor) -> None:
    with box("way-head"):
        Words(STYLES.get(row.style, (row.style, ""))[0], "h3")
        if row.fault:
            Words("left out: a fault of airweft", classes="sign sign-risky")
        else:
            Words("not reached" if row.ended else "does not suit this piece", classes="sign")
    for finding in row.findings[:3]:
        show_finding(finding)


def _bound(plan: Plan) -> None:
    """Whether fewer balloons could do, and how that is known."""
    least = plan.bound.balloons
    said = (
        "It is proven that no fewer balloons will do."
        if plan.bound.proven
        else f"Whether fewer balloons would do is not known; with fewer than {least} it cannot be."
    )
    with box("why", "details"):
        Words(said, "summary")
        Words(f"At least {least}, because: {plan.bound.reason}.", "p", "quiet")
