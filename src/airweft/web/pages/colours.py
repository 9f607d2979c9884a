"""The page on which a piece is painted: picture and flat chart side by side, both take paint."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from nicegui import ui

from airweft.web.chart.chart import Chart
from airweft.web.controls import Choice, Switch
from airweft.web.hand import Hand
from airweft.web.kit import Words, box, button, toast
from airweft.web.palette import PaletteEditor, other_mark, swatch
from airweft.web.pattern import Patterns
from airweft.web.piece import Findings, Shown
from airweft.web.view.twin import Twin
from airweft.web.view.view import PieceView
from airweft.workshop.brush import REACHES, Brush, Mirror, Reach
from airweft.workshop.palette import EYES, Eyes, alike, seen_by

if TYPE_CHECKING:
    from airweft.records.design import Colour
    from airweft.web.frame import Frame
    from airweft.web.view.canvas import Pick, Stroke
    from airweft.workshop.desk import Desk

Tool = Literal["paint", "take", "turn"]
STYLE = Path(__file__).parent.parent / "piece.css"
_TOOLS: tuple[tuple[Tool, str, str], ...] = (
    ("paint", "Paint", "colours"),
    ("take", "Take a colour up", "pipette"),
    ("turn", "Turn and look", "restore"),
)
_REACHES: dict[Reach, str] = {
    "bubble": "Bubble",
    "row": "Row",
    "round": "Row all round",
    "column": "Column",
    "panel": "Panel",
    "flood": "All that touch",
}
_MIRRORS: tuple[tuple[Mirror, str], ...] = (
    ("width", "Left and right"),
    ("depth", "Front and back"),
    ("height", "Above and below"),
)
_ROUND: tuple[tuple[str, str], ...] = (
    ("", "Not turned"),
    ("half", "2 times round"),
    ("third", "3 times round"),
    ("quarter", "4 times round"),
)
_EYES: dict[Eyes, str] = {
    "usual": "As it is",
    "grey": "In grey, as printed",
    "red": "Eyes that lack red",
    "green": "Eyes that lack green",
    "blue": "Eyes that lack blue",
}
_DIGITS = (
    "(e) => { if (!e.ctrlKey && !e.metaKey && !e.altKey && /^[1-9]$/.test(e.key)"
    " && !e.target.closest('input, select, textarea')) emit(Number(e.key)); }"
)


def page(desk: Desk, frame: Frame) -> None:
    """Brush and colours at the left, the piece and its chart at the right."""
    ui.add_css(STYLE.read_text(encoding="utf-8"))
    _Page(desk, frame)


class _Page:
    def __init__(self, desk: Desk, frame: Frame) -> None:
        self._desk, self._hand = desk, Hand(desk)
        self._tool: Tool = "paint"
        self._reach: Reach = "bubble"
        self._mark = ""
        self._mirrors: dict[str, bool] = {}
        self._round = ""
        self._eyes: Eyes = "usual"
        self._brush: Brush | None = None
        self._swatches: dict[str, ui.element] = {}
        self._palette: tuple[Colour, ...] = ()
        frame.content.classes("main-wide")
        Words("Colours", "h1", "unseen")
        with box("bench bench-colours"):
            with box("bench-piece"):
                with box("pair") as pair:
                    self._view = PieceView().classes("bench-view")
                    chart = Chart(self._view).classes("bench-view")
                    self._shown = Shown(desk, self._view, chart)
                self._alike = Words("", "p", "alike")
                self._alike.props["role"] = "status"
                Twin(self._view)
            pair.on("keydown", self._digit, js_handler=_DIGITS)
            with box("bench-brush"):
                self._brushes()
            with box("bench-inputs"):
                self._more(frame)
        for number, canvas in enumerate(self._shown.canvases):
            canvas.on_stroke(partial(self._stroked, number))
            canvas.on_pick(self._picked)
        frame.listen(self._heard)
        self._show()

    def _brushes(self) -> None:
        self._tools: dict[str, ui.element] = {}
        with box("tools", role="group", aria_label="Tool"):
            for tool, said, symbol in _TOOLS:
                self._tools[tool] = button(said, partial(self._use, tool), symbol=symbol)
        self._tones = box("swatches", role="group", aria_label="Colour of the brush")
        self._reaches: dict[str, ui.element] = {}
        with box("reach", role="group", aria_label="What one stroke paints"):
            for reach in REACHES:
                self._reaches[reach] = button(_REACHES[reach], partial(self._reach_to, reach))
                self._reaches[reach].classes("kind")

    def _more(self, frame: Frame) -> None:
        with box("field", "fieldset"):
            Words("Painted alike", "legend")
            with box("switches"):
                for mirror, said in _MIRRORS:
                    Switch(said, False, partial(self._mirror, mirror))
            Choice("Round the upright axis", "", _ROUND, self._turned)
            self._lone = Words("", "p", "quiet field-hint")
            self._lone.props["role"] = "status"
        Choice("Seen", "usual", [(one, _EYES[one]) for one in EYES], self._see,
               hint="Whether the colours can be told apart; the piece stays as it is.")  # fmt: skip
        Words("Palette", "h2")
        self._editor = PaletteEditor(self._desk, self._hand)
        Words("Pattern underneath", "h2")
        self._pattern = Patterns(self._hand)
        self._findings = Findings(frame, self._shown)

    # What the piece says

    def _heard(self, what: str) -> None:
        if what == "design":
            self._shown.show()
            self._show()

    def _show(self) -> None:
        palette = self._shown.palette
        if palette != self._palette or not self._swatches:
            self._mark = other_mark(self._palette, palette).get(self._mark, self._mark)
            self._palette = palette
            marks = [colour.mark for colour in palette]
            if self._mark not in marks:
                self._mark = marks[0] if marks else ""
            self._build_swatches()
            self._state()
        self._editor.show(palette)
        self._pattern.show(palette)
        self._tell_alike()
        self._findings.show()

    def _build_swatches(self) -> None:
        self._tones.clear()
        self._swatches = {}
        with self._tones:
            for number, colour in enumerate(self._palette, start=1):
                made = button("", partial(self._take, colour.mark)).classes("swatch")
                key = f", key {number}" if number <= 9 else ""
                made.props["aria-label"] = f"{colour.name} ({colour.mark}){key}"
                made.props["title"] = made.props["aria-label"]
                with made:
                    swatch(colour)
                    Words(colour.mark, classes="swatch-mark")
                    Words(colour.name, classes="swatch-name")
                self._swatches[colour.mark] = made

    def _state(self) -> None:
        """Show which tool, colour and reach are in hand, and give them to picture and chart."""
        chosen = ((self._tools, self._tool), (self._swatches, self._mark),
                  (self._reaches, self._reach))  # fmt: skip
        for buttons, now in chosen:
            for word, made in buttons.items():
                pressed = "true" if word == now else "false"
                if made.props.get("aria-pressed") != pressed:
                    made.props["aria-pressed"] = pressed
                    made.update()
        for canvas in self._shown.canvases:
            canvas.mode("paint" if self._tool == "paint" else "look", colour=self._mark)

    def _tell_alike(self) -> None:
        pairs = alike(self._palette, self._eyes)
        told = "; ".join(f"{p.one.name} and {p.other.name}" for p in pairs[:4])
        more = f"; and {len(pairs) - 4} more" if len(pairs) > 4 else ""
        if pairs:
            said = f"Hard to tell apart: {told}{more}. Go by the marks on the bubbles."
        else:
            said = "" if self._eyes == "usual" else "All colours can be told apart."
        if self._alike.text != said:
            self._alike.text = said

    # What the hand does

    def _use(self, tool: Tool) -> None:
        self._tool = tool
        self._state()

    def _reach_to(self, reach: Reach) -> None:
        self._reach = reach
        self._tool = "paint"
        self._state()

    def _take(self, mark: str) -> None:
        self._mark = mark
        self._tool = "paint"
        self._state()

    def _digit(self, event: Any) -> None:
        number = event.args if isinstance(event.args, int) else 0
        if 1 <= number <= len(self._palette):
            self._take(self._palette[number - 1].mark)

    async def _mirror(self, mirror: str, on: bool) -> None:
        self._mirrors[mirror] = on
        self._tell_lone()

    async def _turned(self, times: str) -> str:
        self._round = times if times in dict(_ROUND) else ""
        self._tell_lone()
        return ""

    async def _see(self, eyes: str) -> str:
        self._eyes = next((one for one in EYES if one == eyes), "usual")
        self._shown.seen_as(lambda palette: seen_by(palette, self._eyes))
        self._tell_alike()
        return ""

    def _in_mirrors(self) -> tuple[Mirror, ...]:
        found: list[Mirror] = [mirror for mirror, _ in _MIRRORS if self._mirrors.get(mirror)]
        for times in ("half", "third", "quarter"):
            if self._round == times:
                found.append(times)
        return tuple(found)

    def _tell_lone(self) -> None:
        """Say how much of the piece has no counterpart."""
        brush, mirrors = self._with_brush(), self._in_mirrors()
        lone = brush.without_twin(mirrors) if brush is not None and mirrors else 0
        self._lone.text = (
            f"{lone:,} bubbles have no counterpart and are painted alone." if lone else ""
        )

    def _with_brush(self) -> Brush | None:
        net = self._desk.net
        if net is None:
            return None
        if self._brush is None:
            self._brush = Brush(net)
        elif self._brush.net is not net:
            self._brush = self._brush.on(net)
        return self._brush

    def _name(self, mark: str) -> str:
        return next((colour.name for colour in self._palette if colour.mark == mark), mark)

    async def _stroked(self, canvas: int, stroke: Stroke) -> None:
        mark, reach, mirrors = self._mark, self._reach, self._in_mirrors()
        if not mark or not stroke.bubbles or self._tool != "paint":
            return

        def painted() -> dict[str, str]:
            brush = self._with_brush()
            met = brush.reached(stroke.bubbles, reach, mirrors) if brush is not None else ()
            return dict.fromkeys(met, mark)

        said = "Paint" if reach == "bubble" else f"Paint {_REACHES[reach].lower()}"
        merge = f"stroke {id(self)} {canvas} {stroke.number}"
        await self._hand.paint(painted, gesture=f"{said} {self._name(mark)}", merge=merge)

    def _picked(self, pick: Pick) -> None:
        net = self._desk.net
        if self._tool == "take" and net is not None:
            for name in pick.bubbles:
                if name in net.bubble_names:
                    mark = net.colours[net.bubble_names.index(name)]
                    if mark in self._swatches:
                        self._take(mark)
                        toast(f"In the brush: {self._name(mark)}")
                    return
            return
        for canvas in self._shown.canvases:
            canvas.light(pick.bubbles, [pick.joint] if pick.joint else [])
