"""From a design to its painted net: the surface, the fabric on it, extra bubbles, colours."""

from __future__ import annotations

from pathlib import Path

from airweft.colour.paint import paint
from airweft.design.read import read_design
from airweft.net.fabric import weave
from airweft.net.frame import frame
from airweft.net.file import read_net
from airweft.net.seams import add_loops
from airweft.records.design import Blocks, Box, Design, NetFile, Solid
from airweft.records.net import Net
from airweft.surface.build import build


def open_design(path: Path) -> Design:
    """The design in a file, with the net it names. Raises BadInput or CannotMake."""
    return read_design(path, read_net=read_net)


def painted_net(design: Design) -> Net:
    """The net of `design`, every bubble with its colour. Raises CannotMake with all findings."""
    return paint(_bare_net(design), design.pattern, design.palette)


def _bare_net(design: Design) -> Net:
    form = design.form
    if isinstance(form, NetFile):
        return form.net
    if isinstance(form, Solid) and form.build == "frame":
        return frame(build(form, bubble=design.bubble), size=design.size)
    net = weave(build(form, bubble=design.bubble), bubble=design.bubble, size=design.size)
    if isinstance(form, Box | Blocks) and form.seams == "extra":
        net = add_loops(net)
    return net
