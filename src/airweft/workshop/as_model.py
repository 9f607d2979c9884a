"""A design as a 3D model for other programs: in the shape that it will take, without a plan."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding, blocks, in_order
from airweft.base.progress import Progress
from airweft.base.refusals import wrong_option
from airweft.records.design import Design
from airweft.workshop.choosing import wanted
from airweft.workshop.notes import notes_while_editing
from airweft.workshop.settled import Settled, settle
from airweft.workshop.shape import open_design, painted
from airweft.workshop.sheets import model_glb
from airweft.workshop.starter import must_be_new, write_new

ENDING = ".glb"


@dataclass(frozen=True, slots=True, kw_only=True)
class Modelled:
    """A model that was written: of what, in which shape, and how many bytes it has."""

    design: Design
    settled: Settled
    findings: tuple[Finding, ...]
    file: Path
    size: int


def save_model(
    design_path: Path, file: Path, *, seed: int | None = None, progress: Progress | None = None
) -> Modelled:
    """Write the design at `design_path` as a GLB to `file`, which must be new and be called so.

    A `seed` given here goes before the design's own. Raises BadInput for a file that cannot be read
    or written, CannotMake for a design that cannot be made; then nothing has been written. Same
    design, seed and version give the same bytes, and they are those of the app's page of print.
    """
    if file.suffix.lower() != ENDING:
        raise wrong_option(
            "--out",
            f"--out cannot be “{file}”: a model is a GLB file",
            f"Give it a name that ends in {ENDING}, such as {file.with_suffix(ENDING).name}."
            if file.stem
            else f"Give it a name that ends in {ENDING}.",
        )
    must_be_new(file)
    progress = progress or Progress()
    design = open_design(design_path, progress=progress)
    net, seams = painted(design)
    settled = settle(net, design, seed=wanted(design, None, seed)[1], progress=progress)
    found = in_order([*notes_while_editing(design, net), *seams, *settled.findings])
    if blocks(found):
        raise CannotMake(found)
    data = model_glb(settled.net, design)
    write_new(file, data)
    return Modelled(
        design=design, settled=settled, findings=tuple(found), file=file, size=len(data)
    )
