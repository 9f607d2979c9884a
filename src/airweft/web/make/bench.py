"""The bench as an element of a page: words, pedals, keys, voice and screen around a view."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from nicegui import ui
from nicegui.events import GenericEventArguments

import airweft.booklet
from airweft.web.view.canvas import whole_number
from airweft.web.view.view import PieceView
from airweft.words.cautions import CAUTIONS

_PHONE = Path(airweft.booklet.__file__).parent / "phone"


@dataclass(frozen=True, slots=True)
class Job:
    """The copy on the bench: `stop` of its plan's `stops` are done. `plan` tells plans apart.

    `others` are all copies as (id, name, what is done in words), `chapters` the sections of a crew
    as (first step, title).
    """

    copy: int
    name: str
    plan: str
    stop: int
    stops: int
    others: Sequence[tuple[int, str, str]]
    chapters: Sequence[tuple[int, str]]


@dataclass(frozen=True, slots=True)
class Went:
    """The maker went to a stop of a copy, so many seconds `ago`; `late` after a broken line."""

    copy: int
    plan: str
    stop: int
    ago: float
    late: bool


class Bench(
    ui.element,
    component="bench.js",
    esm={"airweft-make": "js", "airweft-phone": str(_PHONE)},
):
    """Leads through the making. Steps are shown by the browser itself, without asking the server,
    and kept there until the server has saved them: a broken line stops nobody.

    What is put into it stands beside the view while the piece is not being made.
    """

    def __init__(self, piece: str) -> None:
        super().__init__()
        self._props["piece"] = piece
        self._props["given"] = None
        self._props["view"] = 0
        self._props["cautions"] = [[c.title, c.text] for c in CAUTIONS]

    def with_view(self, view: PieceView) -> None:
        """The view that follows the steps."""
        self._props["view"] = view.id

    def hand(self, job: Job) -> None:
        """Put a copy on the bench, or tell of its new state."""
        self._props["given"] = asdict(job)
        self.update()

    def enter(self, copy: int) -> None:
        """Begin making this copy."""
        self.run_method("enter", copy)

    def saved(self, serial: int) -> None:
        """Tell that the step sent with this number is saved."""
        self.run_method("saved", serial)

    def refused(self, serial: int, text: str) -> None:
        """Tell that the step could not be saved, and why."""
        self.run_method("refused", serial, text)

    def on_go(self, call: Callable[[Went, int], Any]) -> None:
        """Call with each step gone, and the number by which it is answered."""

        def went(event: GenericEventArguments) -> None:
            sent = event.args if isinstance(event.args, dict) else {}
            ago = sent.get("ago")
            call(
                Went(
                    copy=whole_number(sent.get("copy")),
                    plan=str(sent.get("plan")),
                    stop=whole_number(sent.get("stop")),
                    ago=float(ago) if isinstance(ago, int | float) and 0 <= ago < 1e6 else 0.0,
                    late=sent.get("late") is True,
                ),
                whole_number(sent.get("serial")),
            )

        self.on("go", went)

    def on_copy(self, event: str, call: Callable[[int], Any]) -> None:
        """Call with a copy's number at "enter", "leave", "rest" or "other" (another one chosen)."""
        self.on(event, lambda e: call(whole_number(e.args)))
