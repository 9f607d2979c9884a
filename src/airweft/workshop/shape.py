"""From a design to its painted net: the surface, the fabric on it, extra bubbles, colours."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.base.progress import Progress
from airweft.colour.paint import paint
from airweft.design.forms import EMPTY_NET
from airweft.design.read import read_design
from airweft.net.fabric import weave
from airweft.net.file import read_net
from airweft.net.frame import frame
from airweft.net.join import Joining, join
from airweft.net.scale import scaled, usual_length
from airweft.net.seams import add_loops
from airweft.records.design import (
    Blocks,
    Box,
    Design,
    Joined,
    MeshFile,
    NetFile,
    Part,
    Simple,
    Solid,
    Stalk,
)
from airweft.records.net import Net
from airweft.surface.build import build
from airweft.workshop.model import with_model
from airweft.workshop.where import with_line


def open_design(path: Path, *, progress: Progress | None = None) -> Design:
    """The design in a file, with the net or the model it names. Raises BadInput or CannotMake."""
    design = read_design(path, read_net=read_net)
    return with_model(design, path.parent, progress=progress or Progress())


def painted_net(design: Design) -> Net:
    """The net of `design`, every bubble with its colour. Raises CannotMake with all findings."""
    return painted(design)[0]


def painted(design: Design) -> tuple[Net, tuple[Finding, ...]]:
    """The net of `design` with its colours, and notes on the seams of a joined form.

    Raises CannotMake with all findings; those about the form have its line in the file.
    """
    try:
        return _painted(design)
    except CannotMake as refusal:
        raise CannotMake(with_line(design, f) for f in refusal.findings) from None


def _painted(design: Design) -> tuple[Net, tuple[Finding, ...]]:
    form = design.form
    notes: tuple[Finding, ...] = ()
    if isinstance(form, Joined):
        joined = _joined(form, design)
        net, notes = joined.net, joined.findings
    elif isinstance(form, NetFile | MeshFile):
        net = form.net
    else:
        net = _woven(form, bubble=design.bubble, size=design.size)
    return paint(net, design.pattern, design.palette), notes


def _joined(form: Joined, design: Design) -> Joining:
    """All parts sewn together; those with a pattern of their own are painted."""
    parts = tuple(
        replace(
            part, bubble=part.bubble or _own_bubble(part, design), size=part.size or design.size
        )
        for part in form.parts
    )
    nets = []
    for part in parts:
        if isinstance(part.form, Stalk):
            nets.append(EMPTY_NET)
            continue
        try:
            net = _part_net(part)
            if part.pattern is not None:
                net = paint(net, part.pattern, design.palette)
        except CannotMake as refusal:
            raise CannotMake(
                replace(f, where=f"part {part.name}: {f.where}") for f in refusal.findings
            ) from None
        nets.append(net)
    return join(parts, nets, hands=design.hands)


def part_joints(design: Design, at: int) -> tuple[str, ...]:
    """The names of the joints of one part of a joined form within the part, before it is sewn.

    Raises CannotMake where the part cannot be woven.
    """
    form = design.form
    assert isinstance(form, Joined)
    part = form.parts[at]
    if isinstance(part.form, Stalk):
        return tuple(f"joint {k}" for k in range(1, part.form.bubbles + (not part.form.end)))
    return _part_net(
        replace(
            part, bubble=part.bubble or _own_bubble(part, design), size=part.size or design.size
        )
    ).joint_names


def _own_bubble(part: Part, design: Design) -> int:
    """A net's own bubble length, that of the design for all others."""
    if isinstance(part.form, NetFile) and part.form.net.bubble_count:
        return usual_length(part.form.net)
    return design.bubble


def _part_net(part: Part) -> Net:
    """The part's own net: woven, woven on its model, or that of its file in the wanted size."""
    form = part.form
    assert not isinstance(form, Stalk)
    if isinstance(form, NetFile):
        return scaled(form.net, bubble=part.bubble, size=part.size)
    if isinstance(form, MeshFile):
        return form.net
    return _woven(form, bubble=part.bubble, size=part.size)


def _woven(form: Simple, *, bubble: int, size: str) -> Net:
    mesh = build(form, bubble=bubble)
    if isinstance(form, Solid) and form.build == "frame":
        return frame(mesh, size=size)
    net = weave(mesh, bubble=bubble, size=size)
    if isinstance(form, Box | Blocks) and form.seams == "extra":
        net = add_loops(net)
    return net
