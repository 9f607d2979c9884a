"""What the view and the flat chart have in common: a piece on a canvas that can be painted."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from nicegui import ui
from nicegui.events import GenericEventArguments

import airweft.draw
from airweft.web.view.pack import Pack

Mode = Literal["look", "paint"]
Tone = Literal["chosen", "note", "risky", "cannot"]

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


class Canvas(
    ui.element,
    esm={"airweft-view": "js", "airweft-canvas": str(CANVAS)},
):
    """A piece on a canvas. Speaks in names of bubbles and joints; unknown ones are left out.

    What is shown is kept, so that a page which is sent late or again shows it too.
    """

    def __init__(self) -> None:
        super().__init__()
        self._pack: Pack | None = None
        self._bubble_at: dict[str, int] = {}
        self._joint_at: dict[str, int] = {}
        self._lit: list[tuple[Tone, tuple[str, ...], tuple[str, ...]]] = []
        self._serial = 0  # counts the pieces whose bubbles or joints are counted differently
        self._met = False
        self._props["number"] = self.id
        self._props["state"] = {}
        self.client.on_connect(self._meet)

    @property
    def pack(self) -> Pack | None:
        """What is shown."""
        return self._pack

    def show(self, pack: Pack) -> None:
        """Show a piece, or the same one changed, from where the eye is. Sends what has changed."""
        before = self._pack
        old = before.data if before is not None else {}
        whole = old.get("kind") != pack.data["kind"]
        recounted = before is None or (before.bubbles, before.joints) != (pack.bubbles, pack.joints)
        if recounted:
            self._serial += 1
            self._bubble_at = {name: k for k, name in enumerate(pack.bubbles)}
            self._joint_at = {name: k for k, name in enumerate(pack.joints)}
        self._pack = pack
        self._keep("pack", {**pack.data, "serial": self._serial})
        part = {k: v for k, v in pack.data.items() if whole or old.get(k) != v}
        if part:
            self._tell("take", {**part, "serial": self._serial}, whole)
        if recounted and self._lit:
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
            self._lit = []
        mark = (tone, tuple(bubbles), tuple(joints))
        if mark[1] or mark[2]:
            self._lit.append(mark)
        self._change(marks=self._numbered(), reveal=reveal)

    def on_pick(self, call: Callable[[Pick], Any]) -> None:
        """Call when a bubble or joint is clicked, or the ground beside the piece (nothing)."""
        self.on("pick", lambda event: call(self._picked(event)))

    def on_stroke(self, call: Callable[[Stroke], Any]) -> None:
        """Call for every part of a stroke while it is drawn; its bubbles are painted already."""
        self.on("stroke", lambda event: call(self._stroked(event)))

    def _picked(self, event: GenericEventArguments) -> Pick:
        sent = self._sent(event)
        names = self._pack.joints if self._pack else ()
        joint = whole_number(sent.get("joint"))
        return Pick(self._names(sent), names[joint] if 0 <= joint < len(names) else None)

    def _stroked(self, event: GenericEventArguments) -> Stroke:
        sent = self._sent(event)
        return Stroke(self._names(sent), whole_number(sent.get("number")), sent.get("done") is True)

    def _sent(self, event: GenericEventArguments) -> dict[str, Any]:
        """What an event says of the piece that is shown now; of an earlier one, nothing."""
        sent = event.args if isinstance(event.args, dict) else {}
        return sent if sent.get("serial") == self._serial else {"done": sent.get("done")}

    def _names(self, sent: dict[str, Any]) -> tuple[str, ...]:
        names = self._pack.bubbles if self._pack else ()
        bubbles = sent.get("bubbles")
        numbers = map(whole_number, bubbles if isinstance(bubbles, list) else [])
        return tuple(names[k] for k in numbers if 0 <= k < len(names))

    def _numbered(self) -> list[dict[str, Any]]:
        return [
            {
                "tone": tone,
                "bubbles": [self._bubble_at[name] for name in bubbles if name in self._bubble_at],
                "joints": [self._joint_at[name] for name in joints if name in self._joint_at],
            }
            for tone, bubbles, joints in self._lit
        ]

    def _change(self, **state: Any) -> None:
        self._keep("state", {**self._props["state"], **state})
        self._tell("change", state)

    def _keep(self, name: str, value: dict[str, Any]) -> None:
        """Keep what the page is built from, without sending all of it at once."""
        with self._props.suspend_updates():
            self._props[name] = value

    def _tell(self, method: str, *args: Any) -> None:
        """Once the page is up, changes are sent by themselves; before, they go with the page."""
        if self._met:
            self.run_method(method, *args)
        else:
            self.update()

    def _meet(self) -> None:
        self._met = True


def whole_number(value: Any, otherwise: int = -1) -> int:
    """A whole number from the browser, whatever it sent."""
    return value if isinstance(value, int) and not isinstance(value, bool) else otherwise
