"""Printing a plan that is there: its files in the made folder, and its pages to look at first.

Each edition on each paper has a folder of its own, such as made/lantern/standard-a4, in the maker's
data folder. It is written whole or not at all; the pictures of the pages stand beside the files, in
a folder that begins with a dot, and can be thrown away.
"""

from __future__ import annotations

import hashlib
import shutil
from dataclasses import dataclass
from pathlib import Path

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding, blocks, in_order
from airweft.base.progress import Progress
from airweft.booklet.pdf import make_pages
from airweft.costing.minutes import estimate
from airweft.costing.shopping import shop
from airweft.records.design import Design
from airweft.records.planfile import read_plan
from airweft.workshop.choosing import choice_findings, wanted
from airweft.workshop.claims import must_pass
from airweft.workshop.desk import Desk
from airweft.workshop.finishing import book_of, files_of, put_files
from airweft.workshop.folder import look_at, read_mark
from airweft.workshop.notes import notes
from airweft.workshop.options import EDITIONS, FILE_NAMES, PAPERS, Edition, Paper
from airweft.workshop.settled import Settled, settle, with_balloons
from airweft.workshop.shape import painted
from airweft.workshop.sheets import model_glb

MODEL = "model.glb"
PRINTED = (*FILE_NAMES, MODEL)
"""The files of a piece that the app gives out: those of the whole job, and the piece in 3D."""
PAGES = ".pages"
_STAGES = ("reading", "pictures", "booklet", "phone page", "pages to look at", "saving")


@dataclass(frozen=True, slots=True)
class Printed:
    """What was written, and where; `pages` counts the booklet's pages."""

    folder: Path
    files: tuple[str, ...]
    pages: int
    settled: Settled
    findings: tuple[Finding, ...]


def kinds() -> tuple[tuple[Edition, Paper], ...]:
    """Every edition on every paper."""
    return tuple((edition, paper) for edition in EDITIONS for paper in PAPERS)


def made_folder(desk: Desk, edition: Edition, paper: Paper) -> Path:
    """Where the files of a piece are put."""
    return desk.folder.parent / "made" / desk.key / f"{edition}-{paper}"


def is_made(desk: Desk, edition: Edition, paper: Paper) -> bool | None:
    """Whether the files there are those of the plan as it is; None where there are none."""
    mark = read_mark(made_folder(desk, edition, paper))
    if mark is None:
        return None
    text = desk.texts()[1]
    return (
        not desk.plan_text_changes
        and mark.files.get("plan.json") == hashlib.sha256(text.encode()).hexdigest()
    )


def pages_there(desk: Desk, edition: Edition, paper: Paper) -> int:
    """How many pages there are to look at."""
    return sum(1 for _ in (made_folder(desk, edition, paper) / PAGES).glob("*.png"))


def made_file(desk: Desk, kind: str, name: str) -> Path | None:
    """A file of a piece by the name of its folder and its own, such as "standard-a4" and
    "booklet.pdf" or "7.png"; None where there is none, or it belongs to an earlier plan."""
    for edition, paper in kinds():
        if kind == f"{edition}-{paper}" and is_made(desk, edition, paper):
            folder = made_folder(desk, edition, paper)
            number = name.removesuffix(".png")
            if name not in PRINTED:
                if not (number.isascii() and number.isdigit() and len(number) < 5):
                    return None
                folder /= PAGES
            path = folder / name
            return path if path.is_file() and not path.is_symlink() else None
    return None


def printed(
    design: Design,
    *,
    plan_text: str,
    out: Path,
    paper: Paper,
    edition: Edition,
    settled: Settled | None,
    progress: Progress,
) -> Printed:
    """Write all files of the plan in `plan_text`, made for this `design`, into `out`.

    Raises BadInput for no plan file or a folder that must not be written, CannotMake where the
    checker refuses the plan; then nothing was written.
    """

    def enter(stage: str) -> None:
        progress.report(_STAGES.index(stage), len(_STAGES), stage)

    enter("reading")
    net, seams = painted(design)
    plan = read_plan(plan_text)
    counted = must_pass(plan)
    look_at(out, PRINTED, design_name=design.name, replace=True)
    if settled is None:
        settled = settle(net, design, seed=wanted(design, None, None)[1], progress=progress)
    settled = with_balloons(settled, plan)
    findings = tuple(
        in_order(
            [
                *notes(design, net),
                *seams,
                *settled.findings,
                *counted.findings,
                *choice_findings(design, plan),
            ]
        )
    )
    if blocks(findings):
        raise CannotMake(findings)
    book = book_of(
        design,
        plan,
        counted,
        shopping=shop(plan, design.palette),
        minutes=estimate(plan),
        settled=settled,
        findings=findings,
    )
    files = files_of(book, paper=paper, edition=edition, enter=enter)
    files["plan.json"] = plan_text.encode()
    files[MODEL] = model_glb(plan.net, design)
    enter("pages to look at")
    pages = make_pages(book, paper=paper, edition=edition)
    enter("saving")
    placed = put_files(out, files, design, replace=True)
    _put_pages(placed.folder, pages)
    return Printed(placed.folder, PRINTED, len(pages), settled, findings)


def _put_pages(folder: Path, pages: list[bytes]) -> None:
    """The pages to look at; a picture that cannot be written is not worth failing for."""
    there = folder / PAGES
    shutil.rmtree(there, ignore_errors=True)
    try:
        there.mkdir()
        for number, data in enumerate(pages, start=1):
            (there / f"{number}.png").write_bytes(data)
    except OSError:
        shutil.rmtree(there, ignore_errors=True)
