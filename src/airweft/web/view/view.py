"""The view of a piece as an element of a page: turned, picked, painted, cut open, measured."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from nicegui import ui
from nicegui.events import GenericEventArguments

import airweft.draw
from airweft.web.view.pack import Pack

Mode = Literal["look", "paint"]
Axis = Literal["sight", "depth", "width", "height"]
Tone = Literal["chosen", "note", "risky", "cannot"]
Side = Literal["corner", "front", "right", "back", "left", "above", "below"]
Tool = Literal["zoom", "turn", "inside", "measures"]

TOOLS: tuple[Tool, ...] = ("zoom", "turn", "inside", "measures")
CANVAS = Path(airweft.draw.__file__).parent / "canvas"
"""The modules that the phone page is made of too."""


@dataclass(frozen=True, slots=True)
class Pick:
    """What was clicked: names of the bubble in front and of the joint, if one was meant."""

    bubbles: tuple[str, ...]
    joint: str | None


@dataclass(frozen=True, slots=True)
class Stroke:
    """A part of a stroke: the bubbles that it has met since its last part, as names.

    `number` is the same for all parts of one stroke; `done` is true of the last.
    """

    bubbles: tuple[str, ...]
    number: int
    done: bool


@dataclass(frozen=True, slots=True)
class Seen:
    """From where the piece is seen: degrees around from the front, and above the level."""

    around: int
    above: int


class PieceView(
    ui.element,
    component="view.js",
    esm={"airweft-view": "js", "airweft-canvas": str(CANVAS)},
):
    """A piece in three dimensions on a canvas, painted by the phone page's painter.

    Give it a size by style or class. It keeps its state over a reload of the page, and speaks in
    names of bubbles and joints; names that the shown piece does not have are left out.
    """

    def __init__(self, *, tools: Sequence[Tool] = TOOLS) -> None:
        super().__init__()
        self._pack: Pack | None = None
        self._bubble_at: dict[str, int] = {}
        self._joint_at: dict[str, int] = {}
        self._marks: list[tuple[Tone, tuple[str, ...], tuple[str, ...]]] = []
        self._met = False
        self._props["number"] = self.id
        self._props["tools"] = list(tools)
        self._props["state"] = {}
        self.client.on_connect(self._meet)

    @property
    def pack(self) -> Pack | None:
        """What is shown."""
        return self._pack

    def show(self, pack: Pack) -> None:
        """Show a piece, or the same one changed, from where the eye is. Sends what has changed."""
        before = self._pack.data if self._pack is not None else {}
        whole = before.get("kind") != pack.data["kind"]
        self._pack = pack
        self._bubble_at = {name: k for k, name in enumerate(pack.bubbles)}
        self._joint_at = {name: k for k, name in enumerate(pack.joints)}
        self._props["pack"] = pack.data
        part = {k: v for k, v in pack.data.items() if whole or before.get(k) != v}
        if part:
            self._tell("take", part, whole)
        if self._marks:
            self._change(marks=self._numbered(), reveal=False)

    def mode(self, mode: Mode, *, colour: str = "") -> None:
        """Whether a drag looks around or paints in the colour with this mark."""
        self._change(mode=mode, brush=colour)

    def light(
        self,
        bubbles: Iterable[str] = (),
        joints: Iterable[str] = (),
        *,
        tone: Tone = "chosen",
        more: bool = False,
        reveal: bool = False,
    ) -> None:
        """Ring these bubbles and joints; nothing takes the rings away.

        `more` keeps the earlier ones; `reveal` turns the piece where none of them is in view.
        """
        if not more:
            self._marks = []
        mark = (tone, tuple(bubbles), tuple(joints))
        if mark[1] or mark[2]:
            self._marks.append(mark)
        self._change(marks=self._numbered(), reveal=reveal)

    def step(self, stop: int | None) -> None:
        """Show a stop of the making (0 is the first), the rest veiled; None for the whole piece.

        The eye follows the work. A number past the last stop shows the finished piece.
        """
        self._change(step=stop)

    def camera(self, where: Side | tuple[float, float]) -> None:
        """Look from a side, or from degrees around the front and above the level."""
        self._tell("camera", where if isinstance(where, str) else list(where))

    def section(self, axis: Axis | None, share: float = 0.5) -> None:
        """Cut off a `share` (0 to 1) of the piece from one side so that the inside shows."""
        cut = None if axis is None else {"axis": axis, "share": min(1.0, max(0.0, share))}
        self._change(section=cut)

    def measures(self, shown: bool) -> None:
        """Draw width, depth and height beside the piece, or not."""
        self._change(measures=shown)

    def letters(self, shown: bool) -> None:
        """Write the colours' marks on the bubbles of the whole piece, or not."""
        self._change(letters=shown)

    def on_pick(self, call: Callable[[Pick], Any]) -> None:
        """Call when a bubble or joint is clicked, or the ground beside the piece (nothing)."""
        self.on("pick", lambda event: call(self._picked(event)))

    def on_stroke(self, call: Callable[[Stroke], Any]) -> None:
        """Call for every part of a stroke while it is drawn; its bubbles are painted already."""
        self.on("stroke", lambda event: call(self._stroked(event)))

    def on_camera(self, call: Callable[[Seen], Any]) -> None:
        """Call when the piece has been turned and the hand rests."""
        self.on("camera", lambda event: call(_seen(event)))

    def _picked(self, event: GenericEventArguments) -> Pick:
        names = self._pack.joints if self._pack else ()
        joint = _whole(event.args.get("joint"))
        return Pick(self._names(event), names[joint] if 0 <= joint < len(names) else None)

    def _stroked(self, event: GenericEventArguments) -> Stroke:
        number = _whole(event.args.get("number"))
        return Stroke(self._names(event), number, event.args.get("done") is True)

    def _names(self, event: GenericEventArguments) -> tuple[str, ...]:
        """Bubbles of an event; numbers that a changed piece no longer has are dropped."""
        names = self._pack.bubbles if self._pack else ()
        sent = event.args.get("bubbles")
        numbers = map(_whole, sent if isinstance(sent, list) else [])
        return tuple(names[k] for k in numbers if 0 <= k < len(names))

    def _numbered(self) -> list[dict[str, Any]]:
        return [
            {
                "tone": tone,
                "bubbles": [self._bubble_at[name] for name in bubbles if name in self._bubble_at],
                "joints": [self._joint_at[name] for name in joints if name in self._joint_at],
            }
            for tone, bubbles, joints in self._marks
        ]

    def _change(self, **state: Any) -> None:
        self._props["state"] = {**self._props["state"], **state}
        self._tell("change", state)

    def _tell(self, method: str, *args: Any) -> None:
        """Once the page is up, changes are sent by themselves; before, they are in the page."""
        if self._met:
            self.run_method(method, *args)

    def _meet(self) -> None:
        self._met = True


def _seen(event: GenericEventArguments) -> Seen:
    return Seen(_whole(event.args.get("around"), 0), _whole(event.args.get("above"), 0))


def _whole(value: Any, otherwise: int = -1) -> int:
    """A whole number from the browser, whatever it sent."""
    return value if isinstance(value, int) and not isinstance(value, bool) else otherwise
