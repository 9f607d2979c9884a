"""The maker's fixed choices: those that there are, and a way to add one of every kind by hand."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from nicegui import run, ui

from airweft.base.errors import AirweftError
from airweft.web.choice_inputs import (
    BeforeMaker,
    Maker,
    PanelsMaker,
    StartMaker,
    TowardMaker,
    TrailMaker,
    into_sight,
    sentence,
)
from airweft.web.findings import show_finding
from airweft.web.hand import Hand
from airweft.web.kit import Words, box, button, enable, toast
from airweft.web.piece import Shown
from airweft.web.view.twin import Twin
from airweft.web.view.view import PieceView
from airweft.workshop.by_hand import (
    Fixed,
    KeepStart,
    cannot_keep,
    chosen,
    fix,
    fixed_choices,
    place_of,
    style_says,
)

if TYPE_CHECKING:
    from airweft.base.findings import Finding
    from airweft.records.design import Colour
    from airweft.records.net import Net
    from airweft.web.view.canvas import Pick
    from airweft.workshop.by_hand import ByHand
    from airweft.workshop.desk import Desk

_KINDS: tuple[tuple[str, str], ...] = (
    ("start", "The first knot"),
    ("toward", "A direction"),
    ("trail", "A balloon's trail"),
    ("panels", "An order of panels"),
    ("before", "An order of colours"),
)


class ByHandPart:
    """The section of the fixed choices, in the element that is open.

    `choose` chooses a style, `plan` makes the plan; both are the page's.
    """

    def __init__(self, desk: Desk, choose: Callable[[str], None], plan: Callable[[], None]) -> None:
        self._desk, self._hand = desk, Hand(desk)
        self._choose, self._plan = choose, plan
        self._kind = ""
        self._maker: Maker | None = None
        self._made_for: object = None
        self._shown: Shown | None = None
        self._view: PieceView | None = None
        Words("Your fixed choices", "h2")
        self._list = box("fixed-list")
        Words("Fix something", "h3").props["id"] = "by-hand"
        with box("by-hand"):
            self._kinds: dict[str, ui.element] = {}
            with box("by-hand-kinds", role="group", aria_labelledby="by-hand"):
                for kind, said in _KINDS:
                    self._kinds[kind] = button(said, partial(self._open, kind))
            self._piece = box("by-hand-piece")
            with box("by-hand-form", role="group", aria_label="The choice") as self._form:
                self._inputs = box("by-hand-inputs")
                self._says = Words("", "p", "by-hand-says")
                self._says.props["role"] = "status"
                self._why = box("", role="alert")
                with box("plan-actions"):
                    button("Fix it", self._fix, kind="main")
                    button("Close", partial(self._open, ""), kind="quiet")
        self._piece.set_visibility(False)
        self._form.set_visibility(False)

    def show(self) -> None:
        """Bring it up to date."""
        desk = self._desk
        self._list.clear()
        with self._list:
            self._show_list()
        for made in self._kinds.values():
            enable(made, desk.design is not None and desk.net is not None)
        if self._shown is not None:
            self._shown.show()
        if self._kind and self._made_for != self._about():
            self._build()
        elif self._kind:
            self._changed()

    # The list

    def _show_list(self) -> None:
        desk, design = self._desk, self._desk.design
        if design is None:
            Words("They are shown once the design can be read again.", "p", "quiet")
            return
        plan = None if desk.plan_text_changes else desk.plan
        found = fixed_choices(desk.text, design, desk.net, plan)
        if not found:
            Words("None: the planner is free in all.", "p", "quiet")
            return
        with box("fixed-all", "ul"):
            for fixed in found:
                with box("", "li"):
                    self._show_fixed(fixed, design.palette, planned=plan is not None)
        free = style_says(design)
        if free is not None:
            with box("fixed-style"):
                show_finding(free)
                with box("plan-actions"):
                    button("Choose Painted", partial(self._choose, "painted"))
                    button("Leave it open: best by your weights", partial(self._choose, "best"))
        elif plan is None:
            with box("plan-actions"):
                again = desk.plan is not None
                button("Plan again with these" if again else "Plan with these", self._plan)
                Words("Then you see here which of them are kept.", "p", "quiet")

    def _show_fixed(self, fixed: Fixed, palette: Sequence[Colour], *, planned: bool) -> None:
        choice, finding = fixed.choice, fixed.finding
        with box("fixed-words"):
            Words(sentence(choice, palette))
            if finding is not None:
                said = "cannot be kept" if fixed.impossible else "not kept"
                Words(said, classes="sign sign-risky")
            elif planned:
                Words("kept", classes="sign sign-best")
        with box("fixed-do"):
            if self._desk.net is not None and any(place_of(choice, self._desk.net)):
                button(
                    "Show",
                    partial(self._light, choice),
                    kind="quiet",
                    aria_label=f"Show: {choice.title}",
                )
            at = ("start",) if fixed.place is None else ("keep", fixed.place)
            button(
                "Remove", partial(self._remove, at, choice), kind="quiet", symbol="bin",
                aria_label=f"Remove: {choice.title}",
            )  # fmt: skip
        if finding is not None:
            show_finding(finding)

    async def _remove(self, at: tuple[str | int, ...], choice: ByHand) -> None:
        await self._hand.set(("plan", *at), None, gesture=f"Remove {choice.title}")

    # The piece

    def _light(self, choice: ByHand) -> None:
        net = self._desk.net
        if net is None:
            return
        self._show_piece(net)
        assert self._view is not None
        bubbles, joints = place_of(choice, net)
        self._view.light(bubbles, joints, reveal=True)
        self._away.set_visibility(not self._kind)
        into_sight(self._piece)

    def _put_away(self) -> None:
        self._piece.set_visibility(False)

    def _show_piece(self, net: Net) -> None:
        self._piece.set_visibility(True)
        if self._shown is None:
            with self._piece:
                self._view = PieceView(tools=("zoom", "turn", "inside")).classes("by-hand-view")
                self._shown = Shown(self._desk, self._view)
                Twin(self._view)
                self._away = button("Put the picture away", self._put_away, kind="quiet")
            self._view.on_pick(self._picked)

    def _picked(self, pick: Pick) -> None:
        if self._maker is not None:
            self._maker.picked(pick)

    # A new choice

    def _open(self, kind: str) -> None:
        kind = "" if kind == self._kind else kind
        self._kind = kind
        for one, made in self._kinds.items():
            made.props["aria-pressed"] = "true" if one == kind else "false"
            made.update()
        self._form.set_visibility(bool(kind))
        net = self._desk.net
        if not kind or net is None:
            self._maker = None
            self._inputs.clear()
            self._piece.set_visibility(False)
            return
        self._show_piece(net)
        self._away.set_visibility(False)
        self._build()

    def _about(self) -> object:
        """What the inputs are made from; others are made when it changes."""
        desk, net = self._desk, self._desk.net
        if net is None:
            return None
        plan = desk.plan if self._kind == "trail" else None
        palette = desk.design.palette if desk.design is not None else ()
        return self._kind, net.joint_names, net.bubble_names, net.colours, palette, id(plan)

    def _build(self) -> None:
        desk, net = self._desk, self._desk.net
        self._maker, self._made_for = None, self._about()
        self._inputs.clear()
        if net is None or desk.design is None:
            return
        palette, changed = desk.design.palette, self._changed
        with self._inputs:
            match self._kind:
                case "start":
                    self._maker = StartMaker(net, changed)
                case "toward":
                    self._maker = TowardMaker(net, changed)
                case "trail":
                    self._maker = TrailMaker(net, changed, desk.plan, palette)
                case "panels":
                    self._maker = PanelsMaker(net, changed)
                case _:
                    self._maker = BeforeMaker(net, changed, palette)
        self._changed()

    def _changed(self) -> None:
        """Say what is chosen now and what speaks against it."""
        maker, design = self._maker, self._desk.design
        if maker is None or design is None:
            return
        choice = maker.choice()
        self._says.text = maker.missing() if choice is None else sentence(choice, design.palette)
        if isinstance(choice, KeepStart) and design.choices.start not in ("", choice.start):
            self._says.text += f" It takes the place of {design.choices.start}."
        self._tell(self._against(choice) if choice is not None else ())
        if self._view is not None:
            self._view.light(*maker.lit(), reveal=True)

    def _against(self, choice: ByHand) -> tuple[Finding, ...]:
        """Why the piece cannot keep it beside the choices that there are."""
        design, net = self._desk.design, self._desk.net
        if design is None or net is None or choice in chosen(design):
            return ()
        found = cannot_keep(design, net, choice)
        before = cannot_keep(design, net) if found else ()
        return tuple(finding for finding in found if finding not in before)

    def _tell(self, findings: Sequence[Finding]) -> None:
        self._why.clear()
        with self._why:
            for finding in findings:
                show_finding(finding)

    async def _fix(self) -> None:
        choice = self._maker.choice() if self._maker is not None else None
        if choice is None:
            self._why.clear()
            with self._why:
                Words("Something is still missing.", "p", "wrong")
            return
        against = self._against(choice)
        if against:
            self._tell(against)
            return
        desk = self._desk
        try:
            await run.io_bound(fix, desk, choice)
        except AirweftError as refusal:
            self._tell(refusal.findings)
            return
        self._build()
        gesture = desk.can_undo
        toast(f"Fixed: {choice.title}", do=partial(self._not_fixed, gesture), do_text="Undo")

    async def _not_fixed(self, gesture: str | None) -> None:
        if gesture is not None and self._desk.can_undo == gesture:
            await run.io_bound(self._desk.undo)
