"""The page on which a piece gets its shape: every key of the form beside the live picture."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import TYPE_CHECKING

from nicegui import ui

from airweft.web.form_inputs import FormInputs
from airweft.web.hand import Hand
from airweft.web.kit import Words, box, button
from airweft.web.pages.shape_measures import Measures
from airweft.web.pages.shape_units import Units
from airweft.web.parts import Parts
from airweft.web.piece import Findings, Shown
from airweft.web.view.twin import Twin
from airweft.web.view.view import PieceView
from airweft.workshop.inputs import (
    as_kind,
    form_kinds,
    inputs_of,
    piece_inputs,
    raw,
    unit_of,
)

if TYPE_CHECKING:
    from airweft.base.findings import Finding
    from airweft.web.frame import Frame
    from airweft.web.view.canvas import Pick
    from airweft.workshop.desk import Desk

STYLE = Path(__file__).parent.parent / "piece.css"


def page(desk: Desk, frame: Frame) -> None:
    """The inputs at the left, the picture at the right; on a phone the picture on top."""
    ui.add_css(STYLE.read_text(encoding="utf-8"))
    _Page(desk, frame)


class _Page:
    def __init__(self, desk: Desk, frame: Frame) -> None:
        self._desk, self._hand = desk, Hand(desk)
        self._kind: tuple[object, object] | None = None
        self._groups: list[tuple[str, FormInputs]] = []
        self._parts: Parts | None = None
        frame.content.classes("main-wide")
        Words("Shape", "h1", "unseen")
        with box("bench"):
            with box("bench-piece"):
                view = PieceView().classes("bench-view")
                self._shown = Shown(desk, view)
                self._measures = Measures(desk, self._shown)
                Twin(view)
            with box("bench-inputs"):
                self._units = Units(self._hand)
                self._inputs = box("inputs")
                self._findings = Findings(frame, self._shown, self._go)
                self._outcome = Findings(
                    frame,
                    self._shown,
                    self._go,
                    others=lambda: self._measures.findings,
                    title="What comes out",
                )
        view.on_pick(self._picked)
        frame.listen(self._heard)
        self._show()

    def _heard(self, what: str) -> None:
        if what != "design":
            return
        if self._version == self._desk.version:  # only the shape that it will take has come
            self._measures.show()
            self._outcome.show()
        else:
            self._show()

    def _show(self) -> None:
        self._version = self._desk.version
        data = raw(self._desk.text)
        form = data.get("form")
        form = form if isinstance(form, dict) else {}
        if (kind := (form.get("kind"), data.get("units"))) != self._kind:
            self._kind = kind
            self._build(str(form.get("kind", "")))
        for section, group in self._groups:
            found = data.get(section) if section else data
            group.show(found if isinstance(found, dict) else {})
        self._measures.show()
        self._units.show()
        if self._parts is not None:
            self._parts.show(form.get("part"), self._shown.palette)
        self._show_wrongs(str(form.get("kind", "")))
        self._findings.show()
        self._outcome.show()

    def _build(self, kind: str) -> None:
        self._inputs.clear()
        self._groups, self._parts = [], None
        unit = unit_of(self._desk.text)
        with self._inputs:
            with box("inputs-head"):
                Words("Form", "h2")
                self._kinds(kind)
            file = raw(self._desk.text).get("form", {})
            if isinstance(file, dict) and isinstance(file.get("file"), str):
                Words(f"From the file {file['file']}", "p", "quiet")
            if inputs_of(kind):
                with box("inputs-grid"):
                    group = FormInputs(self._hand, ("form",), inputs_of(kind), unit)
                self._groups.append(("form", group))
            if kind == "joined":
                self._parts = Parts(self._hand, unit)
            Words("Balloons", "h2")
            with box("inputs-grid"):
                for section, one in piece_inputs(kind):
                    path = (section,) if section else ()
                    self._groups.append((section, FormInputs(self._hand, path, (one,), unit)))

    def _kinds(self, kind: str) -> None:
        """All forms, each a button; the one that is there is pressed."""
        with box("kinds", role="group", aria_label="Kind of form"):
            offered = form_kinds() if kind in form_kinds() else (kind, *form_kinds())
            for one in offered:
                made = button(one.capitalize(), self._chooser(one)).classes("kind")
                made.props["aria-pressed"] = "true" if one == kind else "false"

    def _chooser(self, kind: str) -> Callable[[], Awaitable[None]]:
        async def choose() -> None:
            if self._kind is None or self._kind[0] != kind:
                await self._hand.remake(
                    lambda text: as_kind(text, kind, name=self._desk.name),
                    gesture=f"Form {kind}",
                )

        return choose

    def _show_wrongs(self, kind: str) -> None:
        reasons = {
            f.where.replace(f"{kind}, ", "[form] ", 1): f"{f.message} {f.remedy}"
            for f in reversed(self._desk.findings)
            if f.severity != "note"
        }
        for _, group in self._groups:
            group.wrong(reasons)
        if self._parts is not None:
            self._parts.wrong(reasons)

    def _go(self, finding: Finding) -> bool:
        """To the input that a finding is about."""
        place = finding.where
        if any(group.focus(place) for _, group in self._groups):
            return True
        return self._parts is not None and self._parts.focus(place)

    async def _picked(self, pick: Pick) -> None:
        for canvas in self._shown.canvases:
            canvas.light(pick.bubbles, [pick.joint] if pick.joint else [])
        net = self._desk.net
        if self._parts is None or net is None:
            return
        bubble = pick.bubbles[0] if pick.bubbles else ""
        at = net.bubble_names.index(bubble) if bubble in net.bubble_names else None
        ends = [] if at is None else [net.joint_names[end] for end in net.ends[at]]
        if await self._parts.pressed(pick.joint or "", ends):
            return
        if at is not None:
            self._parts.open(net.bubble_panels[at])
