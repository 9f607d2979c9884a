"""The view of a piece as an element of a page: turned, picked, painted, cut open, measured."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from nicegui.events import GenericEventArguments

from airweft.web.view.canvas import Canvas, whole_number

Axis = Literal["sight", "depth", "width", "height"]
Side = Literal["corner", "front", "right", "back", "left", "above", "below"]
Tool = Literal["zoom", "turn", "inside", "measures"]

TOOLS: tuple[Tool, ...] = ("zoom", "turn", "inside", "measures")


@dataclass(frozen=True, slots=True)
class Seen:
    """From where the piece is seen: degrees around from the front, and above the level."""

    around: int
    above: int


class PieceView(Canvas, component="view.js"):
    """A piece in three dimensions, painted by the phone page's painter.

    Give it a size by style or class.
    """

    def __init__(self, *, tools: Sequence[Tool] = TOOLS) -> None:
        super().__init__()
        self._props["tools"] = list(tools)

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

    def on_camera(self, call: Callable[[Seen], Any]) -> None:
        """Call when the piece has been turned and the hand rests."""
        self.on("camera", lambda event: call(_seen(event)))


def _seen(event: GenericEventArguments) -> Seen:
    sent = event.args if isinstance(event.args, dict) else {}
    return Seen(whole_number(sent.get("around"), 0), whole_number(sent.get("above"), 0))
