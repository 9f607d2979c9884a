"""The plans for one design side by side: what each costs and asks of the hands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.base.progress import Progress
from airweft.draw.tradeoffs import Choice, tradeoffs
from airweft.plan.comfort import beats, unbeaten
from airweft.plan.exact import ExactLimit
from airweft.plan.make import FAILED, styles_for
from airweft.plan.measure import waste_percent
from airweft.records.design import Design
from airweft.workshop.choosing import Candidate, Search, answers, candidate, with_crew
from airweft.workshop.claims import budgets_of
from airweft.workshop.options import Style
from airweft.workshop.shape import open_design, painted_net
from airweft.workshop.starter import write_new
from airweft.workshop.stocked import Store, for_design, own_figures, supply_design
from airweft.workshop.store_choice import store_choice


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One plan, measured. `waste_percent` is the share of all balloons' length that is cut off.

    `label` names it among the others: its style, and its seed where there are several of a style.
    `lines` counts the lines of instruction after folding, `travel_mm` how far the hands travel
    over the finished piece from one movement to the next, `turning` the turns of the piece,
    `awkward` the locks and knots made when no hand gets inside any more. `score` is the weighted
    sum, less is better, and `best` is true for the least. `beaten_by` are the labels of plans that
    are no worse in anything that is traded, and better in something. `unkept` are the maker's
    choices that it does not keep. `missing` counts the balloons that the stock has not, None where
    none was asked. `ended_early` says that the comparison was told to end before it was done.
    """

    style: str
    label: str
    seed: int
    balloons: int
    bound: int
    proven: bool
    waste_mm: float
    waste_percent: float
    minutes: tuple[int, int]
    peak_loose: int
    lines: int
    colour_changes: int
    travel_mm: float
    turning: int
    awkward: int
    score: float
    best: bool
    beaten_by: tuple[str, ...]
    unkept: tuple[str, ...]
    missing: int | None = None
    ended_early: bool = False

    @property
    def rank(self) -> tuple[int, int, float]:
        """Smaller is better: balloons missing, choices not kept, then the score."""
        return self.missing or 0, len(self.unkept), self.score


@dataclass(frozen=True, slots=True)
class NotFor:
    """A style without a plan, and why: it does not suit the design, or it was left out, by a
    `fault` of airweft or because the comparison was `ended` before its turn."""

    style: str
    findings: tuple[Finding, ...]
    fault: bool = False
    ended: bool = False


def side_by_side(
    path: Path,
    *,
    seed: int | None = None,
    crew: int | None = None,
    variants: int = 1,
    store: Store | None = None,
    exact: ExactLimit | None = None,
    progress: Progress | None = None,
) -> tuple[Design, tuple[Row | NotFor, ...]]:
    """The design and a row for each style, or for each plan of `variants` seeds in a style.

    A style that fails, or whose plan the checker refuses, is a row that says so. Raises BadInput or
    CannotMake like the whole job, and CannotMake where nothing is left because of such faults.
    """
    progress = progress or Progress()
    design = with_crew(open_design(path), crew)
    net = painted_net(design)
    first = (design.choices.seed or 0) if seed is None else seed
    budgets = budgets_of(design, net)
    stock = None if store is None else for_design(store.stock, design)
    if stock is not None:
        budgets |= own_figures(design, net, stock)
    plans: list[tuple[Candidate, int | None]] = []
    unsuited: list[NotFor] = []
    for answer in answers(
        design,
        net,
        seeds=range(first, first + variants),
        progress=progress,
        budgets=budgets,
        search=Search(exact=exact),
        every=True,
    ):
        if answer.plan is None:
            fault = any(finding.code == FAILED for finding in answer.findings)
            unsuited.append(NotFor(answer.style, answer.findings, fault))
            continue
        try:
            if stock is None:
                plans.append((candidate(answer.plan, design), None))
            else:
                supplied = supply_design(answer.plan, design, stock)
                plans.append((candidate(supplied.plan, design), supplied.missing))
        except CannotMake as refusal:
            unsuited.append(NotFor(answer.style, refusal.findings, fault=True))
    if not plans and any(other.fault for other in unsuited):
        raise CannotMake(finding for other in unsuited for finding in other.findings)
    plans = sorted(plans, key=lambda plan: _first_with(plan[0].plan.style, plans))
    rows: list[Row | NotFor] = [*_rows(plans), *unsuited]
    if progress.resume():
        rows = [replace(row, ended_early=True) if isinstance(row, Row) else row for row in rows]
        told = {row.style for row in rows}
        rows += [_not_reached(style) for style in styles_for(design) if style not in told]
    return design, with_best(rows)


def with_best(rows: Sequence[Row | NotFor]) -> tuple[Row | NotFor, ...]:
    """The rows, the first of the least rank among them marked as the best."""
    best = min((row for row in rows if isinstance(row, Row)), key=lambda r: r.rank, default=None)
    return tuple(replace(row, best=row is best) if isinstance(row, Row) else row for row in rows)


def write_picture(file: Path, design: Design, rows: Sequence[Row | NotFor]) -> None:
    """The plans as a picture of balloons against minutes, in a new SVG file. Raises BadInput."""
    write_new(
        file,
        tradeoffs(
            [
                Choice(
                    label=row.label,
                    balloons=row.balloons,
                    minutes=sum(row.minutes) / 2,
                    beaten=bool(row.beaten_by),
                    best=row.best,
                )
                for row in rows
                if isinstance(row, Row)
            ],
            title=design.name,
        ),
        option="--picture",
    )


def choose_row(
    path: Path,
    before: bytes,
    design: Design,
    rows: Sequence[Row | NotFor],
    style: Style,
    *,
    crew: int | None = None,
) -> str:
    """Store a style in the design at `path`, and the seed of its best plan where that is another.

    So is the `crew` that was asked for, where the choice depends on it: for parts, and for a style
    that is left open. Returns what the design says now. `before` is the file as it was when the
    rows were made. Raises CannotMake where the style does not suit, BadInput where the file cannot
    be changed.
    """
    people = crew if style in ("parts", "best", "fewest") else None
    if style in ("best", "fewest"):
        store_choice(path, before, style=style, crew=people)
        return _said(style, None, people)
    mine = [row for row in rows if isinstance(row, Row) and row.style == style]
    if not mine:
        reasons = [
            f
            for row in rows
            if isinstance(row, NotFor) and row.style == style
            for f in row.findings
        ]
        raise CannotMake(reasons or _not_offered(style))
    row = min(mine, key=lambda row: row.rank)
    seed = row.seed if row.seed != (design.choices.seed or 0) else None
    store_choice(path, before, style=style, seed=seed, crew=people)
    return _said(style, seed, people)


def _said(style: str, seed: int | None, crew: int | None) -> str:
    numbers = [("crew", crew), ("seed", seed)]
    return ", ".join(
        [f'style = "{style}"', *(f"{key} = {value}" for key, value in numbers if value is not None)]
    )


def _not_reached(style: str) -> NotFor:
    finding = Finding(
        code="plan-search-ended",
        severity="note",
        where=f"style {style}",
        message="the comparison was ended before the turn of this style",
        remedy="Compare again and let it go on.",
    )
    return NotFor(style, (finding,), ended=True)


def _not_offered(style: str) -> Finding:
    return Finding(
        code="plan-style-not-offered",
        severity="cannot",
        where="plan, style",
        message=f"the style {style} is not among those compared for this design"
        + (": it shares the work out among a crew" if style == "parts" else ""),
        remedy="Write how many people build, such as crew = 2, under [plan]."
        if style == "parts"
        else "Choose one of those compared.",
    )


def _first_with(style: str, plans: Sequence[tuple[Candidate, int | None]]) -> int:
    """Where a style comes first, so that its plans stand together."""
    return next(i for i, (plan, _) in enumerate(plans) if plan.plan.style == style)


def _rows(plans: Sequence[tuple[Candidate, int | None]]) -> list[Row]:
    found = [plan for plan, _ in plans]
    styles = [plan.plan.style for plan in found]
    labels = [
        plan.plan.style
        if styles.count(plan.plan.style) == 1
        else f"{plan.plan.style} (seed {plan.plan.seed})"
        for plan in found
    ]
    measures = [plan.measures for plan in found]
    stay = set(unbeaten(measures))
    return [
        Row(
            style=plan.plan.style,
            label=labels[i],
            seed=plan.plan.seed,
            balloons=plan.measures.balloons,
            bound=plan.plan.bound.balloons,
            proven=plan.plan.bound.proven,
            waste_mm=plan.measures.waste * 1000,
            waste_percent=waste_percent(plan.plan),
            minutes=(plan.minutes.low, plan.minutes.high),
            peak_loose=plan.counted.peak_loose,
            lines=plan.measures.lines,
            colour_changes=plan.measures.colour_changes,
            travel_mm=plan.measures.travel * 1000,
            turning=plan.measures.turning,
            awkward=plan.measures.awkward,
            score=plan.score,
            best=False,
            beaten_by=tuple(
                labels[j] for j in sorted(stay) if i not in stay and beats(measures[j], measures[i])
            ),
            unkept=tuple(finding.where.removeprefix("plan, ") for finding in plan.unkept),
            missing=missing,
        )
        for i, (plan, missing) in enumerate(plans)
    ]
