"""The flat chart as an element of a page: every bubble at once, painted like the view."""

from __future__ import annotations

from airweft.web.view.canvas import Canvas
from airweft.web.view.view import PieceView


class Chart(Canvas, component="chart.js", esm={"airweft-chart": "js"}):
    """The flat chart of `pack_chart`. Give it a size by style or class.

    Beside a `view` of the same piece, what one points to in one of them lights up in the other.
    """

    def __init__(self, view: PieceView | None = None) -> None:
        super().__init__()
        self._props["view"] = -1 if view is None else view.id
