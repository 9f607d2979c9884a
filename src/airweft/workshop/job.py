"""The whole job: from a design file to a folder with everything needed to make the piece."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding, blocks, in_order
from airweft.base.progress import Progress
from airweft.costing.minutes import Minutes
from airweft.costing.returns import stock_after
from airweft.costing.shopping import Line
from airweft.plan.exact import ExactLimit
from airweft.records.design import Design
from airweft.records.plan import Plan
from airweft.records.steps import Instructions
from airweft.workshop.choosing import Search, wanted, with_crew
from airweft.workshop.claims import ended_early
from airweft.workshop.finishing import book_of, files_of, put_files
from airweft.workshop.folder import look_at
from airweft.workshop.going_on import plan_before
from airweft.workshop.notes import notes
from airweft.workshop.options import FILE_NAMES, Edition, Paper, Style
from airweft.workshop.planned import planned
from airweft.workshop.settled import Settled, settle, with_balloons
from airweft.workshop.shape import open_design, painted
from airweft.workshop.stock_return import look_at_return, put_back
from airweft.workshop.stocked import Store

_STAGES = (
    "reading",
    "weaving",
    "settling",
    "planning",
    "words",
    "pictures",
    "booklet",
    "phone page",
    "saving",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What was made, and where.

    `kept` are files of the maker's that stood in the way and were kept, as (name, new name).
    `returned` is the file of the stock as it is afterwards, and `kept_stock` the name under which
    one that stood there was kept; None where none was asked for.
    `findings` are notes and risks; a design that cannot be made gives no outcome.
    """

    design: Design
    plan: Plan
    instructions: Instructions
    shopping: tuple[Line, ...]
    minutes: Minutes
    settled: Settled
    findings: tuple[Finding, ...]
    folder: Path
    files: tuple[str, ...]
    kept: tuple[tuple[str, str], ...]
    returned: Path | None = None
    kept_stock: Path | None = None


def run(
    design_path: Path,
    out: Path,
    *,
    style: Style | None = None,
    paper: Paper = "a4",
    edition: Edition = "standard",
    seed: int | None = None,
    crew: int | None = None,
    replace: bool = False,
    store: Store | None = None,
    return_to: Path | None = None,
    exact: ExactLimit | None = None,
    effort: float = 1.0,
    go_on: bool = False,
    progress: Progress | None = None,
) -> Outcome:
    """Make the design at `design_path` into the folder `out`, all of it or nothing.

    A `style`, `seed` or `crew` given here goes before the design's own. With a `store` the plan is
    made from stock, and `return_to` gets the stock as it is afterwards. Only for plans without one:
    `exact`; `effort`, a multiple of the usual search; `go_on`, to search on from the plan in `out`.
    Raises BadInput for a file that cannot be read or a folder that must not be written, CannotMake
    for a design that cannot be made; then nothing has been written. Same design, seed and version
    give the same bytes.
    """
    stage = _Stages(progress or Progress())
    stage.enter("reading")
    design = with_crew(open_design(design_path, progress=stage.within()), crew)
    style, seed = wanted(design, style, seed)
    look_at(out, FILE_NAMES, design_name=design.name, replace=replace)
    if return_to is not None:
        look_at_return(return_to, replace=replace)
    stage.enter("weaving")
    net, seams = painted(design)
    stage.enter("settling")
    settled = settle(net, design, seed=seed, progress=stage.within())
    stage.enter("planning")
    made = planned(
        design,
        settled.net,
        style=style,
        seed=seed,
        progress=stage.within(),
        size=settled.size_mm,
        store=store,
        search=Search(
            exact=exact,
            effort=effort,
            after=plan_before(out, settled.net) if go_on else None,
        ),
    )
    design, plan, counted = made.design, made.plan, made.counted
    ended = [ended_early(plan)] if plan.ended_early else []
    settled = with_balloons(settled, plan, made.flats)
    findings = tuple(
        in_order(
            [
                *notes(design, net),
                *seams,
                *settled.findings,
                *ended,
                *counted.findings,
                *made.findings,
            ]
        )
    )
    if blocks(made.findings):
        raise CannotMake(findings)
    stage.enter("words")
    book = book_of(
        design,
        plan,
        counted,
        shopping=made.shopping,
        minutes=made.minutes,
        settled=settled,
        findings=findings,
    )
    files = files_of(book, paper=paper, edition=edition, enter=stage.enter)
    stage.enter("saving")
    placed = put_files(out, files, design, replace=replace)
    kept_stock = None
    if return_to is not None and made.stock is not None and made.supplied is not None:
        after = stock_after(made.stock, made.supplied, design.palette)
        kept_stock = put_back(return_to, after, replace=replace)
    return Outcome(
        design=design,
        plan=plan,
        instructions=book.instructions,
        shopping=made.shopping,
        minutes=made.minutes,
        settled=settled,
        findings=findings,
        folder=placed.folder,
        files=FILE_NAMES,
        kept=placed.kept,
        returned=return_to,
        kept_stock=kept_stock,
    )


class _Stages:
    """Reports the stages of the job as parts of one whole."""

    def __init__(self, progress: Progress) -> None:
        self._progress = progress
        self._at = 0

    def enter(self, name: str) -> None:
        self._at = _STAGES.index(name)
        self._progress.report(self._at, len(_STAGES), name)

    def within(self) -> Progress:
        """For a stage that reports on its own: its text beside the whole job's count."""

        farthest = 0.0

        def tell(done: int, total: int, text: str) -> None:
            # A stage of several runs begins again at none; the whole job never goes back.
            nonlocal farthest
            farthest = max(farthest, min(1.0, done / total if total > 0 else 0.0))
            scale = 100
            self._progress.report(round(scale * (self._at + farthest)), scale * len(_STAGES), text)

        return Progress(tell, within=self._progress)
