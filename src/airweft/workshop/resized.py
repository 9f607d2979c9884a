"""A design for balloons of another size: the same net, larger or smaller, or as long as before."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

from airweft.balloon.sizes import FIGURES, SIZES, bubbles_per_balloon
from airweft.balloon.stock import Stock
from airweft.base.progress import Progress
from airweft.design.canonical import write_design
from airweft.design.read import design_from_text
from airweft.net.file import read_net
from airweft.records.budget import Budget
from airweft.records.design import (
    Ball,
    Cone,
    Design,
    Joined,
    MeshFile,
    Part,
    PartForm,
    Ring,
    Turned,
)
from airweft.workshop.model import with_model

Given = PartForm | MeshFile


def budget_for(size: str, stock: Stock) -> tuple[Budget, tuple[str, ...]] | None:
    """The length budget of a size and which of its figures are assumed; None where none is known.

    What is shipped, or else all six figures of an entry of the stock.
    """
    if size in SIZES:
        return SIZES[size].budget, FIGURES
    for entry in stock.entries:
        if entry.size == size and entry.budget is not None:
            return entry.budget, ()
    return None


def resized(
    design: Design,
    old: str,
    new: str,
    *,
    scale: Fraction | None,
    budget: Budget,
    assumed: tuple[str, ...],
) -> Design:
    """The design with balloons of size `new` wherever it has `old`.

    With a `scale` every length of the design grows by it, so that the net stays the same; without
    one all lengths stay. A fixed tail is kept where it still leaves room for a bubble. Nets given
    in files have lengths of their own, which stay.
    """
    form = design.form
    if isinstance(form, Joined):
        parts = tuple(
            replace(part, size=new if part.size == old else part.size) for part in form.parts
        )
        form = Joined(parts=tuple(_part(part, scale) for part in parts) if scale else parts)
    elif scale is not None:
        form = _form(form, scale)  # type: ignore[assignment]
    changed = replace(design, form=form)
    if scale is not None:
        changed = replace(changed, bubble=_scaled(design.bubble, scale))
    if design.size != old:
        return changed
    tail = design.tail
    step = min(design.tail_step, budget.flat // 4)
    if tail is not None and not bubbles_per_balloon(budget, changed.bubble, step=step, tail=tail):
        tail = None
    return replace(changed, size=new, budget=budget, assumed=assumed, tail=tail, tail_step=step)


def read_again(design: Design, path: Path, *, progress: Progress) -> Design:
    """The design as it would be read from a file of this text at `path`.

    So nothing is offered or written that could not be read. Raises BadInput or CannotMake.
    """
    read = design_from_text(
        write_design(design), name=path.name, folder=path.parent, read_net=read_net
    )
    return with_model(read, path.parent, progress=progress)


def _part(part: Part, scale: Fraction) -> Part:
    return replace(
        part,
        form=_form(part.form, scale),
        at=None if part.at is None else _spot(part.at, scale),
        shift=_spot(part.shift, scale),
        bubble=_scaled(part.bubble, scale),
    )


def _spot(spot: tuple[int, int, int], scale: Fraction) -> tuple[int, int, int]:
    x, y, z = spot
    return _scaled(x, scale), _scaled(y, scale), _scaled(z, scale)


def _form(form: Given, scale: Fraction) -> Given:
    """The form with its lengths scaled; forms counted in bubbles have none."""
    match form:
        case Turned():
            points = tuple((_scaled(r, scale), _scaled(h, scale)) for r, h in form.profile)
            return replace(form, profile=points)
        case Ball():
            return replace(form, across=_scaled(form.across, scale))
        case Ring():
            across, thick = _scaled(form.across, scale), _scaled(form.thick, scale)
            return replace(form, across=across, thick=thick)
        case Cone():
            return replace(form, across=_scaled(form.across, scale), high=_scaled(form.high, scale))
        case MeshFile():
            return replace(
                form, height=_scaled(form.height, scale), width=_scaled(form.width, scale)
            )
    return form


def _scaled(length: int, scale: Fraction) -> int:
    """The length times the scale, to the nearest hundredth of a millimetre."""
    return round(length * scale)
