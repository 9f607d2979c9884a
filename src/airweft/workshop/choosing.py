"""Choosing among plans by what counts for the maker, and holding plans to the maker's choices."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.base.nearest import said_list
from airweft.base.progress import Progress
from airweft.check.kept import not_kept
from airweft.check.replay import Replay
from airweft.costing.minutes import Minutes
from airweft.plan import make
from airweft.plan.capacity import capacities
from airweft.plan.comfort import Measures, measure, score, weights_of
from airweft.plan.exact import ExactLimit
from airweft.plan.pinning import resolve
from airweft.records.budget import Budget
from airweft.records.design import Design
from airweft.records.net import Net
from airweft.records.plan import Plan
from airweft.words.instruct import instruct
from airweft.workshop.claims import left_out, must_pass, with_claims
from airweft.workshop.inside import inside_findings
from airweft.workshop.options import Style


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """How plans are sought, beside style and seed.

    `exact` is how far the exact method goes, None as far as it always does; `effort` a multiple of
    the usual search; `after` a plan for the same net to search on from.
    """

    exact: ExactLimit | None = None
    effort: float = 1.0
    after: Plan | None = None


AS_USUAL = Search()


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A checked plan, measured. `score` is the weighted sum; less is better.

    `unkept` are the maker's choices that it does not keep.
    """

    plan: Plan
    counted: Replay
    minutes: Minutes
    measures: Measures
    score: float
    unkept: tuple[Finding, ...]

    @property
    def rank(self) -> tuple[int, float]:
        """Smaller is better: choices not kept, then the score."""
        return len(self.unkept), self.score


@dataclass(frozen=True, slots=True)
class Chosen:
    """A plan, and a note for each style that was left out by a fault of airweft."""

    plan: Plan
    left_out: tuple[Finding, ...] = ()


def wanted(design: Design, style: Style | None, seed: int | None) -> tuple[Style, int]:
    """Style and seed: as asked for now, else as the design says, else `best` and 0.

    A crew without a style makes the piece in parts.
    """
    choices = design.choices
    chosen: Style = choices.style or ("parts" if choices.crew > 1 else "best")
    return style or chosen, (choices.seed or 0) if seed is None else seed


def with_crew(design: Design, crew: int | None) -> Design:
    """The design for so many people; None leaves it as it is, 1 makes it a piece for one."""
    if crew is None:
        return design
    choices = design.choices
    style = "" if crew < 2 and choices.style == "parts" else choices.style
    return replace(design, choices=replace(choices, crew=crew, style=style))


def candidate(plan: Plan, design: Design) -> Candidate:
    """The plan with its claims, checked and measured. Raises CannotMake if the checker refuses."""
    plan, minutes = with_claims(plan)
    counted = must_pass(plan)
    lines = len(instruct(plan, design.palette, unit=design.units, counts=counted).steps)
    found = measure(plan, minutes=(minutes.low + minutes.high) / 2, lines=lines)
    return Candidate(
        plan=plan,
        counted=counted,
        minutes=minutes,
        measures=found,
        score=score(found, weights_of(design.choices.weights)),
        unkept=not_kept(design.choices, plan),
    )


def answers(
    design: Design,
    net: Net,
    *,
    seeds: range,
    progress: Progress,
    budgets: dict[str, Budget],
    search: Search = AS_USUAL,
    every: bool = False,
) -> Iterator[make.Compared]:
    """Every style's answer for every seed; what one seed repeats of another comes once.

    A style that does not apply says why for the first seed only.
    """
    seen: set[tuple[object, ...]] = set()
    for seed in seeds:
        for answer in make.compare(
            design,
            net,
            seed=seed,
            progress=progress,
            budgets=budgets,
            exact=search.exact,
            effort=search.effort,
            after=search.after,
            every=every,
        ):
            if answer.plan is None:
                if seed == seeds[0]:
                    yield answer
                continue
            same = (answer.style, answer.plan.balloons, answer.plan.actions)
            if same not in seen:
                seen.add(same)
                yield answer


def choose_plan(
    design: Design,
    net: Net,
    *,
    style: Style,
    seed: int,
    progress: Progress,
    budgets: dict[str, Budget],
    search: Search = AS_USUAL,
) -> Chosen:
    """The plan in a style, the one with the fewest balloons, or the best one by the weights.

    Of styles to choose from, one whose plan the checker refuses or that fails by itself is left
    out. Raises CannotMake with every reason when there is no plan.
    """
    if style != "best" and style != "fewest":
        if style not in make.STYLES:
            raise CannotMake(_no_such_style(style))
        made = make.make_plan(
            design,
            net,
            style=style,
            seed=seed,
            progress=progress,
            budgets=budgets,
            exact=search.exact,
            effort=search.effort,
            after=search.after,
        )
        before = search.after
        if before is None or before.style != style or before.fingerprint != design.fingerprint:
            return Chosen(made)
        # What there was already is never lost by searching on.
        return Chosen(min(made, before, key=lambda plan: _settled_first(plan, design)))
    found = list(
        answers(
            design,
            net,
            seeds=range(seed, seed + 1),
            progress=progress,
            budgets=budgets,
            search=search,
        )
    )
    plans = [answer.plan for answer in found if answer.plan is not None]
    refused: dict[str, tuple[Finding, ...]] = {}
    plan = _first(plans, refused) if style == "fewest" else _best(plans, design, refused)
    if plan is None:
        reasons = [finding for answer in found for finding in answer.findings]
        raise CannotMake([*reasons, *(f for why in refused.values() for f in why)])
    for answer in found:
        if any(finding.code == make.FAILED for finding in answer.findings):
            refused[answer.style] = answer.findings
    return Chosen(plan, tuple(left_out(one, why) for one, why in refused.items()))


def _settled_first(plan: Plan, design: Design) -> tuple[int, tuple[int, int, int, int]]:
    """Smaller is better: choices not kept, then as for the fewest balloons."""
    return len(not_kept(design.choices, plan)), make.fewest_first(plan)


def _first(plans: Sequence[Plan], refused: dict[str, tuple[Finding, ...]]) -> Plan | None:
    """The one with the fewest balloons of those that the checker lets pass."""
    for plan in sorted(plans, key=make.fewest_first):
        try:
            must_pass(plan)
            return plan
        except CannotMake as refusal:
            refused[plan.style] = refusal.findings
    return None


def _best(
    plans: Sequence[Plan], design: Design, refused: dict[str, tuple[Finding, ...]]
) -> Plan | None:
    """The best by the weights of those that the checker lets pass."""
    passed: list[Candidate] = []
    for plan in plans:
        try:
            passed.append(candidate(plan, design))
        except CannotMake as refusal:
            refused[plan.style] = refusal.findings
    best = min(passed, key=lambda one: one.rank, default=None)
    return None if best is None else best.plan


def choice_findings(design: Design, plan: Plan) -> tuple[Finding, ...]:
    """The maker's choices that the piece cannot keep, each with the reason; then those that the
    plan does not keep though it could; then what goes inside but cannot be announced."""
    able = capacities(design, plan.budgets)
    _, cannot = resolve(design.choices, plan.net, capacities=able)
    told = {finding.where for finding in cannot}
    unkept = (f for f in not_kept(design.choices, plan) if f.where not in told)
    return (*cannot, *unkept, *inside_findings(plan, design))


def _no_such_style(style: str) -> Finding:
    return Finding(
        code="plan-style-not-yet",
        severity="cannot",
        where="plan, style",
        message=f"the style {style} is not in this version of airweft yet",
        remedy=f"Take {said_list([*make.STYLES, 'fewest', 'best'], last='or')}.",
    )
