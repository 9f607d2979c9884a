"""A cone that stands on its wide end."""

from __future__ import annotations

from airweft.records.design import Cone, Turned
from airweft.records.mesh import Mesh
from airweft.surface.limits import check_lengths
from airweft.surface.turned import turned_mesh


def cone_mesh(form: Cone, *, bubble: int) -> Mesh:
    """The panels "cone" and, unless it is open, "bottom": a turned profile with its tip on top.

    Raises CannotMake where it is too small for its bubbles.
    """
    least = 2 * bubble
    check_lengths({"across": form.across, "high": form.high}, form="cone", least=least)
    turned = Turned(
        profile=((form.across // 2, 0), (0, form.high)),
        closed=() if "bottom" in form.open else ("bottom",),
    )
    return turned_mesh(turned, bubble=bubble, name="cone", kind="cone")
