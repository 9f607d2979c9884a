"""Inputs of many cells: the profile of a turned form, and cubes in layers."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from functools import partial
from typing import Any

from nicegui import ui

from airweft.base.units import NotALength, Unit
from airweft.web.controls import Line
from airweft.web.kit import Words, box, button
from airweft.workshop.inputs import written_length
from airweft.workshop.shown_lengths import beyond, middle_of, shown_length

Put = Callable[[object, str], Awaitable[None]]
_MOST_CELLS = 400


class _Cells:
    """A group of inputs that is built anew where its shape has changed, and only then."""

    def __init__(self, name: str) -> None:
        with box("field", "fieldset") as self.element:
            Words(name, "legend")
            self._inside = box("cells")
            self._wrong = Words("", "p", "wrong")
            self._wrong.props["role"] = "alert"

    def wrong(self, text: str) -> None:
        """Say what is wrong with it; nothing for an empty text."""
        if self._wrong.text != text:
            self._wrong.text = text

    def focus(self) -> None:
        """Go to the first cell."""
        ui.run_javascript(
            f"getHtmlElement({self._inside.id})?.querySelector('input, button')?.focus()"
        )


class Profile(_Cells):
    """Radius and height of each point, as a table; points are put in, moved and taken out."""

    def __init__(self, name: str, unit: Unit, put: Put) -> None:
        super().__init__(name)
        self._unit, self._put = unit, put
        self._points: list[list[Any]] = []
        self._lines: list[tuple[Line, Line]] = []

    def show(self, value: object) -> None:
        """Show what the piece says."""
        points = [list(p) for p in value if isinstance(p, list) and len(p) == 2] if (
            isinstance(value, list)) else []  # fmt: skip
        again = len(points) != len(self._points) or not self._lines
        self._points = points
        if again:
            self._build()
        for (radius, height), lines in zip(points, self._lines, strict=True):
            lines[0].show(shown_length(radius, self._unit)[0])
            lines[1].show(shown_length(height, self._unit)[0])

    def _build(self) -> None:
        self._inside.clear()
        self._lines = []
        with self._inside:
            with box("profile", "table"):
                with box("", "thead"), box("", "tr"):
                    for heading in ("Point", f"Radius, {self._unit}", f"Height, {self._unit}"):
                        Words(heading, "th").props["scope"] = "col"
                    with box("", "td"):
                        Words("Changes", classes="unseen")
                with box("", "tbody"):
                    for at in range(len(self._points)):
                        self._row(at)
            button("Point at the end", partial(self._add, len(self._points) - 1), symbol="plus")

    def _row(self, at: int) -> None:
        with box("", "tr"):
            Words(str(at + 1), "th").props["scope"] = "row"
            lines = []
            for which, name in enumerate(("radius", "height")):
                with box("", "td"):
                    lines.append(
                        Line(f"Point {at + 1}: {name}", "", partial(self._settle, at, which),
                             numbers=True, bare=True)
                    )  # fmt: skip
            with box("profile-do", "td"):
                button(f"Put a point in after point {at + 1}", partial(self._add, at),
                       kind="quiet", symbol="plus", only_symbol=True)  # fmt: skip
                button(f"Take point {at + 1} out", partial(self._remove, at),
                       kind="quiet", symbol="minus", only_symbol=True)  # fmt: skip
            self._lines.append((lines[0], lines[1]))

    async def _settle(self, at: int, which: int, said: str) -> str:
        try:
            value = written_length(said, self._unit, zero=True)
        except NotALength as error:
            return f"{error.message} {error.remedy}"
        points = [list(p) for p in self._points]
        points[at][which] = value
        await self._put(points, f"point {at + 1}")
        return ""

    async def _add(self, at: int) -> None:
        points = [list(p) for p in self._points]
        here = points[at] if 0 <= at < len(points) else [5, 0]
        following = points[at + 1] if at + 1 < len(points) else None
        new = [here[0], beyond(here[1], self._unit)]
        if following is not None:
            new = [middle_of(a, b, self._unit) for a, b in zip(here, following, strict=True)]
        points.insert(at + 1, new)
        await self._put(points, f"point {at + 2} put in")

    async def _remove(self, at: int) -> None:
        points = [list(p) for k, p in enumerate(self._points) if k != at]
        await self._put(points, f"point {at + 1} taken out")


class Layers(_Cells):
    """Cubes drawn layer by layer, each a field of switches seen from above, its front below."""

    def __init__(self, name: str, put: Put) -> None:
        super().__init__(name)
        self._put = put
        self._layers: list[list[str]] = []
        self._cells: dict[tuple[int, int, int], ui.element] = {}

    def show(self, value: object) -> None:
        """Show what the piece says."""
        texts = [t for t in value if isinstance(t, str)] if isinstance(value, list) else []
        layers = [[line.strip() for line in t.strip().split("\n")] for t in texts]
        again = [[len(r) for r in x] for x in layers] != [[len(r) for r in x] for x in self._layers]
        self._layers = layers
        if again:
            self._build()
        for (z, y, x), cell in self._cells.items():
            pressed = "true" if layers[z][y][x] == "#" else "false"
            if cell.props.get("aria-pressed") != pressed:
                cell.props["aria-pressed"] = pressed
                cell.update()

    def _build(self) -> None:
        self._inside.clear()
        self._cells = {}
        wide, deep = self._size()
        with self._inside:
            if len(self._layers) * wide * deep > _MOST_CELLS:
                Words("So many cubes are changed in the text of the design.", "p", "quiet")
                return
            for z, lines in enumerate(self._layers):
                said = "bottom layer" if z == 0 else f"layer {z + 1}"
                with box("layer", role="group", aria_label=said.capitalize()):
                    Words(said.capitalize(), classes="layer-name")
                    with box("layer-cells", style=f"--wide: {wide}"):
                        for y, line in enumerate(lines):
                            for x in range(len(line)):
                                self._cell(z, y, x, f"{said}, column {x + 1}, {_line(y, deep)}")
            with box("layer-do"):
                button("Layer on top", self._higher, symbol="plus")
                button("Column at the right", self._wider, symbol="plus")
                button("Line at the back", self._deeper, symbol="plus")
                button("Cut off what is empty", self._trim, symbol="minus")

    def _cell(self, z: int, y: int, x: int, said: str) -> None:
        cell = box("cube", "button", type="button", aria_label=f"Cube, {said}")
        cell.on("click", partial(self._turn, z, y, x), [])
        self._cells[z, y, x] = cell

    def _size(self) -> tuple[int, int]:
        lines = [line for layer in self._layers for line in layer]
        return max(map(len, lines), default=0), max(map(len, self._layers), default=0)

    async def _turn(self, z: int, y: int, x: int) -> None:
        line = self._layers[z][y]
        mark = "." if line[x] == "#" else "#"
        layers = [list(layer) for layer in self._layers]
        layers[z][y] = f"{line[:x]}{mark}{line[x + 1 :]}"
        await self._write(layers, "cube put in" if mark == "#" else "cube taken out")

    async def _higher(self) -> None:
        top = self._layers[-1] if self._layers else ["#"]
        await self._write([*self._layers, list(top)], "layer on top")

    async def _wider(self) -> None:
        await self._write([[f"{r}." for r in layer] for layer in self._layers], "column more")

    async def _deeper(self) -> None:
        wide, _ = self._size()
        await self._write([["." * wide, *layer] for layer in self._layers], "line more")

    async def _trim(self) -> None:
        full = [layer for layer in self._layers if any("#" in line for line in layer)]
        columns = [x for x in range(self._size()[0])
                   if any(line[x : x + 1] == "#" for layer in full for line in layer)]  # fmt: skip
        rows = [y for y in range(self._size()[1])
                if any("#" in layer[y] for layer in full if y < len(layer))]  # fmt: skip
        if not columns or not rows:
            return
        cut = [[layer[y][columns[0] : columns[-1] + 1] for y in range(rows[0], rows[-1] + 1)]
               for layer in full]  # fmt: skip
        await self._write(cut, "cut to size")

    async def _write(self, layers: list[list[str]], said: str) -> None:
        await self._put(["\n".join(layer) for layer in layers], said)


def _line(y: int, deep: int) -> str:
    return "at the front" if y == deep - 1 else "at the back" if y == 0 else f"line {y + 1}"
