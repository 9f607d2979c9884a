"""The one door to the forms: a design's form in, a polygon mesh out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from airweft.base.findings import Finding
from airweft.base.units import Unit
from airweft.records.design import Ball, Blocks, Box, Cone, Joined, Ring, Sheet, Solid, Tube, Turned
from airweft.records.mesh import Mesh
from airweft.surface.ball import ball_mesh, ball_notes
from airweft.surface.blocks import blocks_mesh, blocks_notes
from airweft.surface.box import box_mesh
from airweft.surface.cone import cone_mesh
from airweft.surface.ring import ring_mesh
from airweft.surface.sheet import sheet_mesh
from airweft.surface.solid import solid_mesh
from airweft.surface.tube import tube_mesh
from airweft.surface.turned import turned_mesh

BUILDERS: dict[type, Callable[..., Mesh]] = {
    Sheet: sheet_mesh,
    Tube: tube_mesh,
    Box: box_mesh,
    Blocks: blocks_mesh,
    Turned: turned_mesh,
    Ball: ball_mesh,
    Ring: ring_mesh,
    Cone: cone_mesh,
    Solid: solid_mesh,
}
"""Builder of each form that has a surface. A new form is one file and one line here."""


def build(form: Any, *, bubble: int) -> Mesh:
    """The mesh of `form`, cells sized for bubbles of `bubble` hundredths of a millimetre.

    Raises CannotMake, with every finding, where the form cannot close. Every edge of the result
    lies in one or two faces, and faces that share an edge run along it in opposite directions.
    """
    return BUILDERS[type(form)](form, bubble=bubble)


def form_notes(form: Any, *, bubble: int, units: Unit = "mm") -> tuple[Finding, ...]:
    """Notes on a form that can be built: what was left out, what comes out of another size.

    `bubble` in hundredths of a millimetre; `units` is the maker's. Of a joined form, for each part.
    """
    if isinstance(form, Joined):
        return tuple(
            replace(note, where=f"part {part.name}: {note.where}")
            for part in form.parts
            for note in form_notes(part.form, bubble=part.bubble or bubble, units=units)
        )
    if isinstance(form, Ball):
        return ball_notes(form, bubble=bubble, units=units)
    return blocks_notes(form) if isinstance(form, Blocks) else ()
