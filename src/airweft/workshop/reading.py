"""A design's text read as far as it goes: the design, its net, and everything there is to say."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import Any

from airweft.base.errors import AirweftError, BadInput
from airweft.base.findings import Finding, in_order
from airweft.base.progress import Progress
from airweft.design.canonical import fingerprint
from airweft.design.read import design_from_text
from airweft.design.syntax import parse
from airweft.net.file import read_net
from airweft.records.design import Design, Joined, MeshFile
from airweft.records.net import Net
from airweft.workshop.model import with_model
from airweft.workshop.notes import notes_while_editing
from airweft.workshop.shape import painted
from airweft.workshop.store.files import seen


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """What a text says. `design` is None where it cannot be read, `net` where it cannot be woven.

    `woven` is what was woven on outside models and may serve the next reading.
    """

    text: str
    design: Design | None
    net: Net | None
    findings: tuple[Finding, ...]
    woven: Woven | None = None


@dataclass(frozen=True, slots=True)
class Woven:
    """A form with nets woven on models, and what they were woven from."""

    source: object
    form: MeshFile | Joined
    findings: tuple[Finding, ...]


def read_all(text: str, *, name: str, folder: Path, before: Woven | None = None) -> Read:
    """The design in a text, its painted net and all findings; never raises for what the text says.

    Files that it names must lie in `folder` or under it. What was woven on a model `before` is
    taken again where neither the model's file nor anything that bears on it has changed.
    """
    design: Design | None = None
    woven = before
    try:
        outside = _outside(text, name)
        if outside:
            raise BadInput(outside)
        design = design_from_text(text, name=name, folder=folder, read_net=_read_net(folder))
        design, woven = _with_model(design, folder, before)
        net, seams = painted(design)
    except AirweftError as refusal:
        return Read(
            text=text,
            design=design,
            net=None,
            findings=tuple(in_order([*(design.findings if design else ()), *refusal.findings])),
            woven=woven,
        )
    found = tuple(in_order([*seams, *notes_while_editing(design, net)]))
    return Read(text=text, design=design, net=net, findings=found, woven=woven)


def files_of(text: str) -> tuple[tuple[tuple[str | int, ...], str], ...]:
    """Every file that a design's text names, each with the path of its key; none if unreadable."""
    if "file" not in text:  # most designs; they need not be read twice
        return ()
    data = parse(text, "design").data or {}
    form = data.get("form")
    if not isinstance(form, dict):
        return ()
    found: list[tuple[tuple[str | int, ...], str]] = []
    if isinstance(form.get("file"), str):
        found.append((("form", "file"), form["file"]))
    parts = form.get("part")
    for number, part in enumerate(parts if isinstance(parts, list) else ()):
        if isinstance(part, dict) and isinstance(part.get("file"), str):
            found.append((("form", "part", number, "file"), part["file"]))
    return tuple(found)


def stays_inside(file: str) -> bool:
    """True for a relative path that cannot lead out of the folder it counts from, on any system."""
    windows = PureWindowsPath(file)
    if not file or windows.drive or windows.root or "\\" in file or not file.isprintable():
        return False
    return ".." not in PurePosixPath(file).parts and ":" not in file


def _outside(text: str, name: str) -> list[Finding]:
    return [_leads_out(file, name) for _, file in files_of(text) if not stays_inside(file)]


def _leads_out(file: str, name: str) -> Finding:
    shown = "".join(c if c.isprintable() else "?" for c in file[:60])
    return Finding(
        code="file-outside",
        severity="cannot",
        where=name,
        message=f"the design names the file {shown}, which lies outside its own folder",
        remedy="Bring the file in with the design, and name it without “..”, “\\” or a drive.",
    )


def _read_net(folder: Path) -> Callable[..., Net]:
    """Reads nets, but follows no link out of the folder."""
    home = folder.resolve()

    def read(path: Path, **options: Any) -> Net:
        if not path.resolve().is_relative_to(home):
            raise BadInput(_leads_out(path.name, path.name))
        return read_net(path, **options)

    return read


def _with_model(design: Design, folder: Path, before: Woven | None) -> tuple[Design, Woven | None]:
    form = design.form
    if not isinstance(form, MeshFile | Joined) or (
        isinstance(form, Joined) and not any(isinstance(p.form, MeshFile) for p in form.parts)
    ):
        return design, before
    home = folder.resolve()
    for file in _models(form):
        if not (folder / file).resolve().is_relative_to(home):
            raise BadInput(_leads_out(file, file))
    source = (
        _bare(form),
        design.bubble,
        design.size,
        tuple(seen(folder / f) for f in _models(form)),
    )
    if before is not None and before.source == source:
        kept = _painted_as(before.form, form)
        read = replace(design, form=kept, findings=(*design.findings, *before.findings))
        return replace(read, fingerprint=fingerprint(read)), before
    read = with_model(design, folder, progress=Progress())
    assert isinstance(read.form, MeshFile | Joined)
    return read, Woven(source, read.form, read.findings[len(design.findings) :])


def _models(form: MeshFile | Joined) -> list[str]:
    if isinstance(form, MeshFile):
        return [form.file]
    return [part.form.file for part in form.parts if isinstance(part.form, MeshFile)]


def _bare(form: MeshFile | Joined) -> object:
    """All that a model's net depends on."""
    if isinstance(form, MeshFile):
        return (form.file, form.height, form.width, form.fabric, form.up)
    return tuple(
        (p.size, p.bubble, _bare(p.form)) for p in form.parts if isinstance(p.form, MeshFile)
    )


def _painted_as(woven: MeshFile | Joined, form: MeshFile | Joined) -> MeshFile | Joined:
    """The form as it is read now, with the nets woven before."""
    if isinstance(form, MeshFile):
        assert isinstance(woven, MeshFile)
        return replace(form, net=woven.net)
    assert isinstance(woven, Joined)
    nets = iter([p.form.net for p in woven.parts if isinstance(p.form, MeshFile)])
    return Joined(
        parts=tuple(
            replace(p, form=replace(p.form, net=next(nets))) if isinstance(p.form, MeshFile) else p
            for p in form.parts
        )
    )
