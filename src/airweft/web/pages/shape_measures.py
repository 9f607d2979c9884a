"""The measures of a piece: as it is drawn and, once that is known, as it will come out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from nicegui import ui

from airweft.base.findings import Finding
from airweft.web.kit import Words, box, button, enable
from airweft.web.piece import Shown, settled_sizes
from airweft.words.stance import rough, stance
from airweft.workshop.settled import Settled, stand_of
from airweft.workshop.settling import settling_of

if TYPE_CHECKING:
    from airweft.base.units import Unit
    from airweft.records.shape import Shape, Stand
    from airweft.workshop.desk import Desk

Facts = list[tuple[str, str]]
_REST_SECONDS = 0.8
"""How long the hand rests before the shape is worked out, so that no work is begun in vain."""
_LOOK_SECONDS = 0.2
_WILL: dict[Stand, str] = {
    "table": "As it will stand",
    "hang": "As it will hang",
    "free": "As it will be",
}


class Measures:
    """What the piece measures, and which of its two shapes that is; to be made in a box."""

    def __init__(self, desk: Desk, shown: Shown) -> None:
        self._desk, self._shown = desk, shown
        self._settling = settling_of(desk)
        self._wish: Literal["drawn", "settled"] = "settled"
        self._rests = 0.0
        self._told: object = None
        with box("measures", "section", aria_label="Measures"):
            with box("measures-of"):
                with box("kinds", role="group", aria_label="Shape that is shown and measured"):
                    self._drawn = button("As drawn", lambda: self._want("drawn")).classes("kind")
                    self._will = box("btn btn-plain kind", "button", type="button")
                    with self._will:
                        self._will_words = Words("As it will be")
                    self._will.on("click", lambda: self._want("settled"), [])
                self._said = Words("", "p", "quiet")
                self._said.props["role"] = "status"
                self._do = button("Work it out", self._start)
            self._facts = box("facts", "dl", aria_label="Measurements")
        leave = self._settling.watch()
        ui.context.client.on_delete(leave)
        self._timer = ui.timer(_LOOK_SECONDS, self._look, active=False)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is to be said of the shape that it will take, where that is known."""
        settled = self._desk.settled if self._desk.is_woven else None
        return () if settled is None else settled.findings

    def show(self) -> None:
        """Bring everything up to date; work on a shape that is not known begins soon."""
        self._rests = 0.0
        state = self._settling.state
        self._timer.active = state == "working" or (state == "wanted" and self._settling.at_once)
        self._picture()
        self._tell()

    def _picture(self) -> None:
        as_settled = self._wish == "settled" and self._settling.state == "known"
        if as_settled != self._shown.as_settled:
            self._shown.as_settled = as_settled
        self._shown.show()

    def _tell(self) -> None:
        desk, state = self._desk, self._settling.state
        settled = self._shown.settled
        unit = desk.design.units if desk.design is not None else "cm"
        facts = drawn_facts(self._shown) if settled is None else settled_facts(settled, unit)
        net = desk.net
        if net is not None:
            facts += [("Bubbles", f"{net.bubble_count:,}"), ("Joints", f"{net.joint_count:,}")]
        known = state == "known" and desk.settled is not None and desk.settled.shape is not None
        told = (facts, state, known, settled is None, self._settling.at_once)
        if told == self._told:
            return
        self._told = told
        stand = stand_of(desk.design) if desk.design is not None else "free"
        self._will_words.text = _WILL[stand]
        for made, pressed in ((self._drawn, settled is None), (self._will, settled is not None)):
            made.props["aria-pressed"] = "true" if pressed else "false"
            made.update()
        enable(self._will, known)
        self._said.text = self._saying(known, settled)
        self._do.set_visibility(
            state == "failed" or (state == "wanted" and not self._settling.at_once)
        )
        self._facts.clear()
        with self._facts:
            for name, said in facts:
                with box():
                    Words(name, "dt")
                    Words(said, "dd")

    def _saying(self, known: bool, settled: Settled | None) -> str:
        """Which of the two shapes is told of, and what becomes of the other."""
        state = self._settling.state
        if settled is not None:
            return "Estimates: your balloons, your air and your hands decide."
        if known:
            return "These are the lines that were drawn, not what comes out."
        match state:
            case "nothing":
                return "As it last could be woven. The findings say why it cannot be now."
            case "failed":
                why = " ".join(
                    f"{f.message.rstrip('.')}. {f.remedy}" for f in self._settling.findings[:1]
                )
                return f"As it is drawn. What comes out could not be worked out: {why}"
            case "known":
                why = " ".join(f.message for f in self.findings[:1])
                return f"As it is drawn. {why}"
            case "wanted" if not self._settling.at_once:
                return "As it is drawn. For so many bubbles working it out takes a while."
            case _:
                return "As it is drawn; the shape that it will take is being worked out."

    def _want(self, which: Literal["drawn", "settled"]) -> None:
        self._wish = which
        self._picture()
        self._tell()

    def _start(self) -> None:
        self._settling.start()
        self._timer.active = True
        self._tell()

    def _look(self) -> None:
        state = self._settling.state
        if state == "wanted" and self._settling.at_once:
            self._rests += _LOOK_SECONDS
            if self._rests >= _REST_SECONDS:
                self._settling.start()
        elif state != "working":
            self._timer.active = False
        self._tell()


def drawn_facts(shown: Shown) -> Facts:
    """The size of the piece as it is drawn."""
    return [(way.capitalize(), text) for way, text in shown.sizes()]


def settled_facts(settled: Settled, unit: Unit) -> Facts:
    """The piece as it will come out, in words: all of these are estimates."""
    shape, weight = settled.shape, settled.weight
    assert shape is not None
    facts = [(way.capitalize(), said) for way, said in settled_sizes(settled, unit)]
    if settled.standing is not None or shape.stand == "hang":
        does, figure, _ = stance(shape, settled.standing)
        facts.append((does, figure))
    pumped = "1 stroke" if weight.strokes == 1 else f"{rough(weight.strokes)} strokes"
    worst, mean = (f"{100 * error:.1f}\u00a0%" for error in shape.length_error)
    facts += [
        ("Weighs", f"{rough(weight.latex_g)} g"),
        ("Pump", f"{pumped}, {rough(weight.air_l)} litres"),
        ("Bubble lengths", f"{mean} off, the worst {worst}"),
        ("Room", _room(shape)),
    ]
    return facts


def _room(shape: Shape) -> str:
    pairs = len(shape.overlaps)
    if not pairs:
        return "for all"
    tight = f"{pairs:,} pair{'' if pairs == 1 else 's'} of bubbles too tight"
    return f"{tight}, the worst by {100 * shape.worst_overlap:.0f}\u00a0%"
