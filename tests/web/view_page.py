"""Pages to look at the view and to test it: `python -m tests.web.view_page [design] [port]`.

`/` has view, chart and words of a design that can be painted, `/steps` a piece while it is made.
What the view tells is written on the page as JSON.
"""

from __future__ import annotations

import json
import sys
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from nicegui import ui

from airweft.records.design import Colour
from airweft.records.net import Net
from airweft.web.chart.chart import Chart
from airweft.web.chart.pack import pack_chart
from airweft.web.view.canvas import Canvas, Pick, Stroke
from airweft.web.view.pack import pack_book, pack_net, repainted
from airweft.web.view.twin import Twin
from airweft.web.view.view import PieceView
from airweft.workshop.shape import open_design, painted_net
from tests.phone.pages import folded_book

THEME = Path(__file__).parents[2] / "src" / "airweft" / "web" / "theme.css"
SIDES = ("front", "right", "back", "left", "above", "below", "corner")


def dress(light: str) -> None:
    """The app's own theme without its fonts, which the server of the app hands out."""
    css = THEME.read_text(encoding="utf-8")
    ui.add_css("\n".join(line for line in css.splitlines() if not line.startswith("@font-face")))
    ui.add_head_html(f'<script>document.documentElement.dataset.light="{light}"</script>')
    ui.add_head_html('<meta name="viewport" content="width=device-width, initial-scale=1">')


def said_on(*canvases: Canvas) -> None:
    """Write every event on the page, newest last."""
    told: list[Any] = []
    line = ui.label("[]").classes("told").style("overflow-wrap: anywhere; font-size: 12px")

    def tell(kind: str, event: Any) -> None:
        told.append({"kind": kind, **asdict(event)})
        line.text = json.dumps(told[-12:])

    # What a test waits for: whatever was sent before has been answered when this has counted on.
    count = ui.label("0").classes("answered hidden")
    asked = ui.element("button").classes("ask hidden")
    asked.on("click", lambda _: count.set_text(str(int(count.text) + 1)))
    for canvas in canvases:
        canvas.on_pick(lambda pick: tell("pick", pick))
        canvas.on_stroke(lambda stroke: tell("stroke", stroke))
        if isinstance(canvas, PieceView):
            canvas.on_camera(lambda seen: tell("camera", seen))


def show_design(net: Net, palette: tuple[Colour, ...], name: str) -> None:
    """The pages of a net that can be painted in the first colour of its palette."""

    @ui.page("/")
    def page(light: str = "light", only: str = "", open: str = "") -> None:
        dress(light)
        joints = net.joint_names
        held = {"marks": net.colours}
        with (
            ui.element("div")
            .classes("pair")
            .style(
                "display: grid; gap: 12px; padding: 8px;"
                "grid-template-columns: repeat(auto-fit, minmax(min(100%, 420px), 1fr))"
            )
        ):
            view = PieceView().style("height: min(68vh, 560px)")
            view.show(pack_net(net, palette, name=name))
            canvases: list[Canvas] = [view]
            if only != "view":
                chart = Chart(view).style("height: min(68vh, 560px)")
                chart.show(pack_chart(net, palette, name=name))
                canvases.append(chart)

        def painted(stroke: Stroke) -> None:
            wanted = set(stroke.bubbles)
            held["marks"] = tuple(
                palette[0].mark if bubble in wanted else mark
                for bubble, mark in zip(net.bubble_names, held["marks"], strict=True)
            )
            for canvas in canvases:
                assert canvas.pack is not None
                canvas.show(repainted(canvas.pack, palette, held["marks"]))

        def picked(pick: Pick) -> None:
            for canvas in canvases:
                canvas.light(pick.bubbles, [pick.joint] if pick.joint else [])

        def lit() -> None:
            for canvas in canvases:
                canvas.light(joints=joints[:1], tone="cannot")

        def mode(kind: Any) -> None:
            for canvas in canvases:
                canvas.mode(kind, colour=palette[0].mark)

        for canvas in canvases:
            canvas.on_stroke(painted)
            canvas.on_pick(picked)
        with ui.element("div").style("display: flex; flex-wrap: wrap; gap: 4px; padding: 0 8px"):
            for kind in ("paint", "look"):
                button(kind, lambda kind=kind: mode(kind))
            button("light", lit)
            button("reveal", lambda: view.light(joints=joints[-1:], tone="risky", reveal=True))
            button("measures", lambda: view.measures(True))
            button("cut", lambda: view.section("depth", 0.5))
            button("hole", lambda: view.show(pack_net(without(net), palette, name=name)))
            for side in SIDES:
                button(side, lambda side=side: view.camera(side))
        with ui.element("div").style("padding: 0 12px"):
            Twin(view, opened=bool(open))
        said_on(*canvases)


def without(net: Net) -> Net:
    """The net without its last bubble: another piece, as far as the view knows."""
    keep = slice(0, net.bubble_count - 1)
    return replace(
        net,
        ends=net.ends[keep],
        lengths=net.lengths[keep],
        colours=net.colours[keep],
        sizes=net.sizes[keep],
        kinds=net.kinds[keep],
        bubble_names=net.bubble_names[keep],
        bubble_panels=net.bubble_panels[keep],
        places=net.places[keep],
        cells=tuple(c for c in net.cells if net.bubble_count - 1 not in c.bubbles),
    )


def button(name: str, act: Any) -> None:
    """A plain button of the page, found by its name."""
    ui.html(f'<button class="btn" type="button">{name}</button>', sanitize=False).on(
        "click", lambda _: act()
    )


@ui.page("/steps")
def steps_page(light: str = "light") -> None:
    """A piece while it is made, with buttons to go on and back."""
    dress(light)
    pack = pack_book(folded_book())
    at = {"stop": 0}
    view = PieceView(tools=("zoom", "turn")).style("height: min(70vh, 600px); margin: 8px")
    view.show(pack)
    view.step(0)

    def go(by: int) -> None:
        at["stop"] = max(0, min(pack.stops, at["stop"] + by))
        view.step(at["stop"])

    with ui.element("div").style("display: flex; gap: 4px; padding: 0 8px"):
        button("next", lambda: go(1))
        button("back", lambda: go(-1))
        button("whole", lambda: view.step(None))
    with ui.element("div").style("padding: 0 12px"):
        Twin(view, opened=True)
    said_on(view)


if __name__ in ("__main__", "__mp_main__"):
    path = sys.argv[1] if len(sys.argv) > 1 else "examples/harbour-lantern.toml"
    design = open_design(Path(path))
    show_design(painted_net(design), design.palette, design.name)
    port = int(sys.argv[2]) if len(sys.argv) > 2 else 8177
    ui.run(host="127.0.0.1", port=port, show=False, reload=False)
