"""Outside 3D models woven: the file of a mesh form read, mended, remeshed and made into a net."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from airweft.base.findings import Finding
from airweft.base.progress import Progress
from airweft.design.canonical import fingerprint
from airweft.net.fabric import weave
from airweft.records.design import Design, Joined, MeshFile


def with_model(design: Design, folder: Path, *, progress: Progress) -> Design:
    """The design with the nets woven on its models; the files' paths count from `folder`.

    What was done to a model is added to the design's findings. Always the same seed, so that the
    net belongs to the file and the design alone. Raises BadInput or CannotMake with the place.
    """
    form = design.form
    findings: tuple[Finding, ...] = ()
    if isinstance(form, MeshFile):
        form, findings = _woven(form, folder, design.bubble, design.size, progress)
    elif isinstance(form, Joined) and any(isinstance(p.form, MeshFile) for p in form.parts):
        parts = []
        for part in form.parts:
            if isinstance(part.form, MeshFile):
                size, bubble = part.size or design.size, part.bubble or design.bubble
                own, said = _woven(part.form, folder, bubble, size, progress)
                part = replace(part, form=own)
                findings += tuple(replace(f, where=f"part {part.name}, {f.where}") for f in said)
            parts.append(part)
        form = Joined(parts=tuple(parts))
    if form is design.form:
        return design
    read = replace(design, form=form, findings=(*design.findings, *findings))
    return replace(read, fingerprint=fingerprint(read))


def _woven(
    form: MeshFile, folder: Path, bubble: int, size: str, progress: Progress
) -> tuple[MeshFile, tuple[Finding, ...]]:
    """The form with its net, and what was done to its model."""
    # A large library, which designs without a model need not wait for.
    from airweft.surface.outside.form import outside_mesh

    mesh, findings, _ = outside_mesh(
        folder / form.file,
        bubble=bubble,
        height_mm=form.height / 100 if form.height else None,
        width_mm=form.width / 100 if form.width else None,
        fabric=form.fabric,
        up=form.up,
        openings=form.openings,
        progress=progress,
    )
    return replace(form, net=weave(mesh, bubble=bubble, size=size)), tuple(findings)
