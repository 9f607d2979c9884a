"""A box with six sides, any of them open."""

from __future__ import annotations

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.records.design import Box
from airweft.records.mesh import Mesh
from airweft.surface.lattice import VIEWS, Spot, Square, lattice_mesh
from airweft.surface.limits import cell_edge_mm, check_counts, check_total

_OPPOSITE = ({"top", "bottom"}, {"front", "back"}, {"left", "right"})


def box_mesh(form: Box, *, bubble: int) -> Mesh:
    """One panel for each closed side, named after it, in building order.

    Columns and rows of a panel count from its lower left as seen from outside; the top is seen from
    above with the front edge down, the bottom from below with the front edge up. Raises CannotMake
    on counts that are odd or too small, and when the open sides leave nothing or two loose panels.
    """
    check_counts(
        {"across": form.across, "deep": form.deep, "high": form.high}, form="box", bubble=bubble
    )
    wide, deep, high = form.across // 2, form.deep // 2, form.high // 2
    size = {
        "bottom": (wide, deep),
        "front": (wide, high),
        "right": (deep, high),
        "back": (wide, high),
        "left": (deep, high),
        "top": (wide, deep),
    }
    lower_left: dict[str, Spot] = {
        "bottom": (0, deep, 0),
        "front": (0, 0, 0),
        "right": (wide, 0, 0),
        "back": (wide, deep, 0),
        "left": (0, deep, 0),
        "top": (0, 0, high),
    }
    panels = [side for side in VIEWS if side not in form.open]
    _check_panels(panels)
    check_total(sum(4 * size[side][0] * size[side][1] for side in panels), form="box")
    squares = [
        Square(side, column, row, side, _shift(lower_left[side], side, column, row))
        for side in panels
        for row in range(size[side][1])
        for column in range(size[side][0])
    ]
    return lattice_mesh(squares, panels=panels, edge_mm=cell_edge_mm(bubble))


def _shift(spot: Spot, side: str, column: int, row: int) -> Spot:
    """`spot` moved by cells to the right and up, as seen from outside that side."""
    view = VIEWS[side]
    x, y, z = (s + column * r + row * u for s, r, u in zip(spot, view.right, view.up, strict=True))
    return x, y, z


def _check_panels(panels: list[str]) -> None:
    """Raise CannotMake unless the closed sides hang together."""
    if not panels:
        raise CannotMake(
            Finding(
                code="nothing-left",
                severity="cannot",
                where="box, open",
                message="All six sides are open, so there is no fabric left.",
                remedy="Take at least one side out of the list of open sides.",
            )
        )
    if len(panels) == 2 and set(panels) in _OPPOSITE:
        one, other = panels
        raise CannotMake(
            Finding(
                code="separate-parts",
                severity="cannot",
                where="box, open",
                message=f"Only {one} and {other} are closed; they touch nowhere, "
                "so the piece would fall apart in two.",
                remedy="Close one more side to hold them together.",
            )
        )
