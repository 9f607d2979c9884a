"""An outside 3D model woven: the file of a mesh form read, mended, remeshed and made into a net."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from airweft.base.progress import Progress
from airweft.design.canonical import fingerprint
from airweft.net.fabric import weave
from airweft.records.design import Design, MeshFile


def with_model(design: Design, folder: Path, *, progress: Progress) -> Design:
    """The design with the net woven on its model; the file's path counts from `folder`.

    What was done to the model is added to the design's findings. Always the same seed, so that the
    net belongs to the file and the design alone. Raises BadInput or CannotMake with the place.
    """
    form = design.form
    if not isinstance(form, MeshFile):
        return design
    # A large library, which designs without a model need not wait for.
    from airweft.surface.outside.form import outside_mesh

    mesh, findings, _ = outside_mesh(
        folder / form.file,
        bubble=design.bubble,
        height_mm=form.height / 100 if form.height else None,
        width_mm=form.width / 100 if form.width else None,
        fabric=form.fabric,
        up=form.up,
        progress=progress,
    )
    net = weave(mesh, bubble=design.bubble, size=design.size)
    read = replace(design, form=replace(form, net=net), findings=(*design.findings, *findings))
    return replace(read, fingerprint=fingerprint(read))
