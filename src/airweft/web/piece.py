"""The piece as the pages show it: picture and chart that follow the desk, and findings in place."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from airweft.base.findings import Finding, in_order
from airweft.base.units import Unit, show_length
from airweft.web.chart.chart import Chart
from airweft.web.chart.pack import pack_chart
from airweft.web.findings import show_finding
from airweft.web.frame import Frame
from airweft.web.kit import Words, box
from airweft.web.view.canvas import Canvas
from airweft.web.view.pack import WAYS, pack_net, repainted
from airweft.web.view.view import PieceView
from airweft.workshop.changes import same_but_colours

if TYPE_CHECKING:
    from airweft.records.design import Colour
    from airweft.records.net import Net
    from airweft.workshop.desk import Desk
    from airweft.workshop.settled import Settled


class Shown:
    """A view, and where wanted a chart, kept at what the desk says.

    Where only colours have changed only colours are sent. `palette` may be exchanged for showing
    the same piece in other colours. With `as_settled` the piece is shown in the shape that it will
    take, as soon as the desk has that.
    """

    def __init__(self, desk: Desk, view: PieceView, chart: Chart | None = None) -> None:
        self._desk, self._view, self._chart = desk, view, chart
        self._net: Net | None = None
        self._about: tuple[object, ...] = ()
        self.as_settled = False
        self._seen_as: Callable[[Sequence[Colour]], Sequence[Colour]] = tuple
        self.palette: tuple[Colour, ...] = ()
        self.show()

    @property
    def canvases(self) -> tuple[Canvas, ...]:
        """What shows the piece."""
        return (self._view,) if self._chart is None else (self._view, self._chart)

    def seen_as(self, change: Callable[[Sequence[Colour]], Sequence[Colour]]) -> None:
        """Show all colours as `change` makes them."""
        self._seen_as = change
        self.show()

    def show(self) -> None:
        """Show the piece as it is now, or as it last could be woven."""
        desk, net = self._desk, self._desk.net
        if desk.design is not None:
            self.palette = desk.design.palette
        if net is None:
            return
        seen = tuple(self._seen_as(self.palette))
        unit = desk.design.units if desk.design else "cm"
        settled = self.settled
        if settled is not None:
            net = settled.net
        before, self._net = self._net, net
        last, self._about = self._about, (desk.name, unit, settled is not None)
        same = before is not None and same_but_colours(before, net) and last == self._about
        for canvas in self.canvases:
            if same and canvas.pack is not None:
                canvas.show(repainted(canvas.pack, seen, net.colours))
            elif isinstance(canvas, PieceView):
                pack = pack_net(net, seen, name=desk.name, unit=unit)
                if settled is not None:
                    sizes = [list(pair) for pair in settled_sizes(settled, unit)]
                    pack = replace(pack, data=pack.data | {"sizes": sizes})
                canvas.show(pack)
            else:
                canvas.show(pack_chart(net, seen, name=desk.name))

    @property
    def settled(self) -> Settled | None:
        """The shape that is shown, where it is the one that the piece will take."""
        found = self._desk.settled if self.as_settled else None
        return found if found is not None and found.shape is not None else None

    def light(self, finding: Finding) -> None:
        """Ring the joints and bubbles that a finding is about, in sight."""
        net = self._desk.net
        if net is None:
            return
        bubbles = [net.bubble_names[b] for b in finding.bubbles if b < net.bubble_count]
        joints = [net.joint_names[j] for j in finding.joints if j < net.joint_count]
        for canvas in self.canvases:
            canvas.light(bubbles, joints, tone=finding.severity, reveal=True)

    def sizes(self) -> tuple[tuple[str, str], ...]:
        """Width, depth and height in words."""
        pack = self._view.pack
        return () if pack is None else tuple((way, text) for way, text in pack.data["sizes"])


class Findings:
    """The findings of the piece beside its picture; pressed, one shows its place.

    `go` leads to what a finding is about. `others` gives findings beside those of the desk, which
    stand by themselves under a `title`, if there are any.
    """

    def __init__(
        self,
        frame: Frame,
        shown: Shown,
        go: Callable[[Finding], bool] | None = None,
        *,
        others: Callable[[], Sequence[Finding]] | None = None,
        title: str = "Findings",
    ) -> None:
        self._frame, self._shown, self._go, self._others = frame, shown, go, others
        self._title = title
        self._told: list[Finding] | None = None
        self._box = box("piece-findings", "section", aria_label=title)
        if others is None:
            frame.on_finding(shown.light)
        self.show()

    def show(self) -> None:
        """Bring them up to date."""
        findings = in_order([*(self._others() if self._others else self._frame.desk.findings)])
        if findings == self._told:
            return
        self._told = findings
        self._box.clear()
        self._box.set_visibility(bool(findings) or self._others is None)
        with self._box:
            Words(self._title, "h2")
            for finding in findings:
                placed = bool(finding.joints or finding.bubbles)
                known = placed or self._go is not None
                show_finding(finding, self._doer(finding) if known else None)
            if not findings:
                Words("No findings: it can be woven as it is.", "p", "quiet")

    def _doer(self, finding: Finding) -> Callable[[], None]:
        def do() -> None:
            self._shown.light(finding)
            if self._go is not None and not (finding.joints or finding.bubbles):
                self._go(finding)

        return do


def settled_sizes(settled: Settled, unit: Unit) -> tuple[tuple[str, str], ...]:
    """Width, depth and height that are to be expected, in words; to 5 mm or 1/4 in, as balloons
    are no truer than that."""
    sides = settled.size_mm or (0.0, 0.0, 0.0)
    return tuple(
        (way, show_length(round(side / 5) * 500, unit, fraction=4))
        for way, side in zip(WAYS, sides, strict=True)
    )
