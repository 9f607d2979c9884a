"""The long pieces of work, as they run in a process of their own: from settle to print."""

from __future__ import annotations

import hashlib
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TypedDict

from airweft.base.progress import Progress
from airweft.plan.exact import ExactLimit
from airweft.records.design import Design
from airweft.records.net import Net
from airweft.records.plan import Plan
from airweft.workshop.choosing import Search, wanted, with_crew
from airweft.workshop.job import Outcome, run
from airweft.workshop.options import Edition, Paper, Style, exact_limit
from airweft.workshop.planned import Planned, planned
from airweft.workshop.printing import Printed, printed
from airweft.workshop.reading import files_of, stays_inside
from airweft.workshop.settled import Settled, settle, with_balloons
from airweft.workshop.shape import open_design, painted_net
from airweft.workshop.side_by_side import NotFor, Row, side_by_side

DESIGN_FILE = "design.toml"


class Options(TypedDict, total=False):
    """What is asked for beside the design; as `job.run` and `side_by_side` take it.

    `seconds` ends an exact search; `settled` spares the work of settling the same net again;
    `after` is a plan to search on from; `out` is the folder of `make` and `print`, and `plan` the
    plan file that is printed.
    """

    style: Style
    seed: int
    crew: int
    effort: float
    exact: bool
    seconds: float
    settled: Settled
    after: Plan
    plan: str
    variants: int
    out: Path
    paper: Paper
    edition: Edition
    replace: bool


def settle_work(text: str, folder: Path, options: Options, progress: Progress) -> Settled:
    """The predicted shape."""
    design, net = _read(text, folder, progress)
    _, seed = wanted(design, options.get("style"), options.get("seed"))
    return settle(net, design, seed=seed, progress=progress)


def plan_work(
    text: str, folder: Path, options: Options, progress: Progress
) -> tuple[Planned, Settled]:
    """A checked plan and the shape it is for."""
    design, net = _read(text, folder, progress)
    design = with_crew(design, options.get("crew"))
    style, seed = wanted(design, options.get("style"), options.get("seed"))
    settled = options.get("settled") or settle(net, design, seed=seed, progress=progress)
    made = planned(
        design,
        settled.net,
        style=style,
        seed=seed,
        progress=progress,
        size=settled.size_mm,
        search=Search(
            exact=_exact(options),
            effort=options.get("effort", 1.0),
            after=options.get("after"),
        ),
    )
    return made, with_balloons(settled, made.plan, made.flats)


def compare_work(
    text: str, folder: Path, options: Options, progress: Progress
) -> tuple[Row | NotFor, ...]:
    """A row for each style."""
    with _laid_out(text, folder) as design_file:
        return side_by_side(
            design_file,
            seed=options.get("seed"),
            crew=options.get("crew"),
            variants=options.get("variants", 1),
            exact=_exact(options),
            progress=progress,
        )[1]


def make_work(text: str, folder: Path, options: Options, progress: Progress) -> Outcome:
    """Everything for a piece, into the folder `out`."""
    with _laid_out(text, folder) as design_file:
        return run(
            design_file,
            options["out"],
            style=options.get("style"),
            seed=options.get("seed"),
            crew=options.get("crew"),
            effort=options.get("effort", 1.0),
            exact=_exact(options),
            paper=options.get("paper", "a4"),
            edition=options.get("edition", "standard"),
            replace=options.get("replace", False),
            progress=progress,
        )


def print_work(text: str, folder: Path, options: Options, progress: Progress) -> Printed:
    """The files of a plan that is there already, and the pages of its booklet as pictures."""
    with _laid_out(text, folder) as design_file:
        return printed(
            open_design(design_file, progress=progress),
            plan_text=options["plan"],
            out=options["out"],
            paper=options.get("paper", "a4"),
            edition=options.get("edition", "standard"),
            settled=options.get("settled"),
            progress=progress,
        )


Work = Callable[[str, Path, Options, Progress], object]
KINDS: dict[str, Work] = {
    "settle": settle_work,
    "plan": plan_work,
    "compare": compare_work,
    "make": make_work,
    "print": print_work,
}
"""Every kind of long work by its name."""

_last: dict[str, tuple[Design, Net]] = {}


def _exact(options: Options) -> ExactLimit | None:
    return exact_limit(options.get("exact", False), options.get("seconds"))


def _read(text: str, folder: Path, progress: Progress) -> tuple[Design, Net]:
    """The design and its net; the last one stays, as planning often follows settling."""
    with _laid_out(text, folder) as design_file:
        mark = _mark(design_file.parent)
        if mark not in _last:
            design = open_design(design_file, progress=progress)
            net = painted_net(design)
            _last.clear()
            _last[mark] = design, net
        return _last[mark]


def _mark(folder: Path) -> str:
    """The same for the same design with the same files."""
    whole = hashlib.sha256()
    for file in sorted(path for path in folder.rglob("*") if path.is_file()):
        data = file.read_bytes()
        whole.update(f"{file.relative_to(folder)}\0{len(data)}\0".encode())
        whole.update(data)
    return whole.hexdigest()


@contextmanager
def _laid_out(text: str, folder: Path) -> Iterator[Path]:
    """The design in a folder for it alone, with the files that it names, as they are now."""
    home = folder.resolve()
    with tempfile.TemporaryDirectory(prefix="airweft-") as there:
        design_file = Path(there, DESIGN_FILE)
        design_file.write_text(text, encoding="utf-8", newline="\n")
        for _, name in files_of(text):
            source, copy = (folder / name).resolve(), Path(there, name)
            if stays_inside(name) and source.is_relative_to(home) and source.is_file():
                copy.parent.mkdir(parents=True, exist_ok=True)
                shutil.copyfile(source, copy)
        yield design_file
