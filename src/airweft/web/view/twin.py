"""The text twin of a view: the same piece in words, for ears, keys and eyes that read rather."""

from __future__ import annotations

from nicegui import ui

from airweft.web.view.view import PieceView


class Twin(ui.element, component="twin.js"):
    """What a view shows, in words: from where it is seen, then a list of bubbles and joints.

    It keeps step with the view: what one points to lights up in the other, and Enter on an entry
    does what a click on the bubble does, painting included. It is closed at first unless `opened`,
    and filled only while it is open.
    """

    def __init__(self, view: PieceView, *, opened: bool = False) -> None:
        super().__init__()
        self._props["view"] = view.id
        self._props["number"] = self.id
        self._props["opened"] = opened
