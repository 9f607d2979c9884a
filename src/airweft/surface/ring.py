"""A ring that lies flat: a lifebelt, a wreath, a tyre."""

from __future__ import annotations

import math

import numpy as np

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.records.design import Ring
from airweft.records.mesh import Mesh
from airweft.surface.arc import cut_arc
from airweft.surface.limits import check_lengths, check_total
from airweft.surface.profile import profile_of
from airweft.surface.rows import climb, usual_cells
from airweft.surface.spin import Level, spin
from airweft.surface.turned import check_rooms

_POINTS = 96  # points of the circle that is turned


def ring_mesh(form: Ring, *, bubble: int) -> Mesh:
    """Rows of cells around the ring in panels "ring", "ring 2" ..., all closed.

    The rows run from the outer rim over the top to the inner rim and back below, so that upper and
    lower side are alike. Of a part of a ring, both ends are open. Raises CannotMake where the ring
    is too thin or its hole too small.
    """
    check_lengths({"across": form.across, "thick": form.thick}, form="ring", least=2 * bubble)
    length = bubble / 100
    middle, thick = (form.across - form.thick) / 200, form.thick / 200
    inner = middle - thick
    if inner < 0.9 * length:
        least = form.thick * 2 + math.ceil(1.8 * bubble)
        raise CannotMake(
            Finding(
                code="no-hole",
                severity="cannot",
                where="ring, across",
                message=f"A ring {form.across / 1000:g} cm across and {form.thick / 1000:g} cm "
                f"thick has a hole of {max(2 * inner, 0) / 10:.1f} cm: too small for bubbles of "
                f"{bubble / 1000:g} cm.",
                remedy=f"Make it {least / 1000:.1f} cm across or more, or thinner.",
            )
        )
    turn = np.linspace(0.0, 2 * math.pi, _POINTS + 1)
    line = profile_of(np.stack([middle + thick * np.cos(turn), thick * np.sin(turn)], axis=1))
    check_total(int(line.length * 2 * math.pi * middle / (length**2 / 2)), form="ring")
    cells = usual_cells(middle + thick, length)
    half = climb(line.part(0.0, line.length / 2), cells=cells, most=cells, bubble=length, tip=False)
    over = list(zip(half.levels, half.cells, strict=True))
    levels = [Level(along, count, 0 < k < len(over) - 1) for k, (along, count) in enumerate(over)]
    levels += [
        Level(line.length - along, count, k > 0)
        for k, (along, count) in reversed(list(enumerate(over[:-1])))
    ]
    mesh = spin(
        line, levels, ["ring"] * (len(levels) - 1), bubble=length, around=cells, looped=True
    )
    check_rooms(mesh, length, "ring")
    return mesh if form.arc == 360 else cut_arc(mesh, form.arc)
