"""A page to look at the view: `python -m tests.web.view_page [design] [port]`."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

from nicegui import ui

from airweft.web.view.pack import pack_net
from airweft.web.view.view import Pick, PieceView, Stroke
from airweft.workshop.shape import open_design, painted_net

THEME = Path(__file__).parents[2] / "src" / "airweft" / "web" / "theme.css"


def build(design_path: str) -> None:
    """The page: the view, how it is used, and what it says."""
    design = open_design(Path(design_path))
    net = painted_net(design)
    palette = design.palette

    @ui.page("/")
    def page(light: str = "light") -> None:
        ui.add_css(THEME.read_text(encoding="utf-8"))
        ui.add_head_html(f'<script>document.documentElement.dataset.light="{light}"</script>')
        held = {"net": net}
        view = PieceView().style("height: min(70vh, 640px); width: 100%")

        def painted(stroke: Stroke) -> None:
            now = held["net"]
            wanted = set(stroke.bubbles)
            colours = tuple(
                palette[0].mark if name in wanted else mark
                for name, mark in zip(now.bubble_names, now.colours, strict=True)
            )
            held["net"] = replace(now, colours=colours)
            view.show(pack_net(held["net"], palette, name=design.name, unit=design.units))
            said.text = f"stroke {stroke.number}: {', '.join(stroke.bubbles)} {stroke.done}"

        view.show(pack_net(net, palette, name=design.name, unit=design.units))
        view.on_stroke(painted)

        def picked(pick: Pick) -> None:
            said.text = str(pick)
            view.light(pick.bubbles, [pick.joint] if pick.joint else [])

        view.on_pick(picked)
        with ui.row():
            ui.button("Paint", on_click=lambda: view.mode("paint", colour=palette[0].mark))
            ui.button("Look", on_click=lambda: view.mode("look"))
            ui.button(
                "Joint",
                on_click=lambda: view.light(
                    joints=[net.joint_names[-1]], tone="cannot", reveal=True
                ),
            )
            for side in ("front", "back", "above", "corner"):
                ui.button(side, on_click=lambda side=side: view.camera(side))
        said = ui.label()


if __name__ in ("__main__", "__mp_main__"):
    build(sys.argv[1] if len(sys.argv) > 1 else "examples/harbour-lantern.toml")
    port = int(sys.argv[2]) if len(sys.argv) > 2 else 8177
    ui.run(host="127.0.0.1", port=port, show=False, reload=False)
