"""The styles of building one design side by side: what each costs and asks of the hands."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from airweft.base.findings import Finding
from airweft.base.progress import Progress
from airweft.plan.make import compare as plan_styles
from airweft.records.design import Design
from airweft.records.plan import Plan
from airweft.workshop.job import put_in_words
from airweft.workshop.planning import budgets_of, must_pass, with_claims
from airweft.workshop.shape import open_design, painted_net


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One style, measured. `waste_percent` is the share of all balloons' length that is cut off.

    `lines` counts the lines of instruction after folding, `travel_mm` how far the hands travel
    over the finished piece from one movement to the next.
    """

    style: str
    balloons: int
    bound: int
    proven: bool
    waste_percent: float
    minutes: tuple[int, int]
    peak_loose: int
    lines: int
    travel_mm: float


@dataclass(frozen=True, slots=True)
class NotFor:
    """A style that does not suit the design, and why."""

    style: str
    findings: tuple[Finding, ...]


def side_by_side(
    path: Path, *, seed: int = 0, progress: Progress | None = None
) -> tuple[Design, tuple[Row | NotFor, ...]]:
    """The design and a row for each style. Raises BadInput or CannotMake like the whole job."""
    design = open_design(path)
    net = painted_net(design)
    rows: list[Row | NotFor] = []
    budgets = budgets_of(design, net)
    progress = progress or Progress()
    for answer in plan_styles(design, net, seed=seed, progress=progress, budgets=budgets):
        if answer.plan is not None:
            rows.append(_row(answer.style, answer.plan, design))
        else:
            rows.append(NotFor(answer.style, answer.findings))
    return design, tuple(rows)


def waste_percent(plan: Plan) -> float:
    """The share of the full length of all balloons that no bubble, knot or stub uses (M4)."""
    full = sum(plan.budgets[balloon.size].full for balloon in plan.balloons)
    used = 0
    for balloon in plan.balloons:
        budget = plan.budgets[balloon.size]
        lengths = plan.net.lengths[list(balloon.bubbles)]
        used += int(lengths.sum()) + len(balloon.bubbles) * budget.twist_takes
        used += budget.knot + budget.stub
    return 100 * (1 - used / full) if full else 0.0


def travel_mm(plan: Plan) -> float:
    """How far the hands travel: straight from joint to joint of the finished piece, in mm."""
    joints = plan.net.joints[[action.joint for action in plan.actions]]
    return float(np.linalg.norm(np.diff(joints, axis=0), axis=1).sum())


def _row(style: str, made: Plan, design: Design) -> Row:
    plan, minutes = with_claims(made)
    counted = must_pass(plan)
    return Row(
        style=style,
        balloons=len(plan.balloons),
        bound=plan.bound.balloons,
        proven=plan.bound.proven,
        waste_percent=waste_percent(plan),
        minutes=(minutes.low, minutes.high),
        peak_loose=counted.peak_loose,
        lines=len(put_in_words(plan, counted, design).steps),
        travel_mm=travel_mm(plan),
    )
