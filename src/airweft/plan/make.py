"""From a painted net to a whole plan: every style, the best of them, and all side by side."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import airweft
from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.base.progress import Progress, Stopped
from airweft.plan.bound import PartBound, bound_parts, reason, search_parts, total_bound
from airweft.plan.capacity import capacities
from airweft.plan.crew import parts
from airweft.plan.exact import QUICK, ExactLimit, exact_method
from airweft.plan.grow import EASY
from airweft.plan.kinds import Work, prepare
from airweft.plan.order import Trail
from airweft.plan.pairs import pairs
from airweft.plan.pinning import resolve
from airweft.plan.pins import Pins
from airweft.plan.rounds import rounds
from airweft.plan.script import Script, actions, codes
from airweft.records.budget import Budget
from airweft.records.design import Design
from airweft.records.net import Net
from airweft.records.plan import Action, Balloon, Bound, Claims, Plan

Style = Literal["pairs", "rounds", "painted", "parts", "fewest"]
_FOR_EASE = 0.1  # of the effort, where no plan needs fewer balloons and one is known

ShareOut = tuple[Trail, ...]  # one for each balloon


@dataclass(frozen=True, slots=True)
class Compared:
    """One style's answer: a plan, or the findings that say why the style does not apply."""

    style: str
    plan: Plan | None
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Job:
    """What every style is given; `shared` are share-outs for painted to begin from.

    `reason` is the argument for the bound `least`; `proved` a plan of the exact method, if it found
    one with fewer balloons than all that are shared, and `stopped` says that it was told to end.
    """

    design: Design
    budgets: dict[str, Budget]
    work: Work
    bounds: list[PartBound]
    least: int
    reason: str
    pins: Pins
    seed: int
    progress: Progress
    effort: float
    shared: tuple[ShareOut, ...]
    proved: Script | None = None
    stopped: bool = False


def _pairs(job: _Job) -> Script:
    return pairs(job.work, bound=job.least, seed=job.seed, progress=job.progress)


def _rounds(job: _Job) -> Script:
    return rounds(
        job.work, bound=job.least, seed=job.seed, progress=job.progress, effort=job.effort
    )


def _painted(job: _Job) -> Script:
    proved = job.proved
    if proved is not None and (job.stopped or _ease(proved) <= (job.least, EASY, proved.row)):
        return proved
    from airweft.plan.painted.search import eased, painted  # here, since it loads a compiler

    hints, effort = job.shared, job.effort
    if proved is not None:
        hints = (*hints, tuple(Trail(s.start, tuple(s.bubbles)) for s in proved.strands))
        if len(proved.strands) == job.least:  # there is but ease to gain
            effort *= _FOR_EASE
    for wishes in _fewer_and_fewer(job.pins):
        try:
            script = painted(
                job.work,
                bound=job.least,
                seed=job.seed,
                progress=job.progress,
                hints=hints,
                pins=wishes,
                effort=effort,
            )
            break
        except Stopped:
            if proved is None:
                raise
            return proved
        except CannotMake:
            if wishes.is_empty:
                raise
    if not wishes.is_empty:
        return script
    script = script if proved is None else min(script, proved, key=_ease)
    return eased(job.work, script, seed=job.seed, progress=job.progress, effort=job.effort)


def _fewer_and_fewer(pins: Pins) -> Iterator[Pins]:
    """The maker's wishes, then ever fewer of them: a plan that keeps some is better than none."""
    no_start = replace(pins, start=None)
    free = replace(no_start, toward=())
    seen: list[Pins] = []
    for wishes in (
        pins,
        no_start,
        replace(pins, toward=()),
        free,
        replace(free, trails=(), joints=()),
        replace(free, stages=(), ranks=()),
        Pins(),
    ):
        if wishes not in seen:
            seen.append(wishes)
            yield wishes


def _ease(script: Script) -> tuple[int, int, int]:
    """Smaller is better: balloons, hands, rows."""
    return len(script.strands), max(EASY, script.peak), script.row


def _parts(job: _Job) -> Script:
    return parts(
        job.work,
        bound=job.least,
        seed=job.seed,
        progress=job.progress,
        crew=job.design.choices.crew,
    )


FAILED = "plan-style-failed"
"""The code of the finding that a style came upon a fault of its own."""
WORKS_BY_CHOICES = ("painted",)
"""The styles that work by a maker's fixed choices; others keep one by chance only."""

STYLES: dict[str, Callable[[_Job], Script]] = {
    "pairs": _pairs,
    "rounds": _rounds,
    "painted": _painted,
    "parts": _parts,
}


def styles_for(design: Design) -> list[str]:
    """The styles that are tried for a design: parts only where it names a crew."""
    return [style for style in STYLES if style != "parts" or design.choices.crew > 1]


def make_plan(
    design: Design,
    net: Net,
    *,
    style: Style = "fewest",
    seed: int = 0,
    progress: Progress | None = None,
    budgets: dict[str, Budget] | None = None,
    effort: float = 1.0,
    after: Plan | None = None,
    exact: ExactLimit | None = None,
) -> Plan:
    """A plan for the painted `net` in the wanted style.

    `fewest` is the plan with the fewest balloons that the styles find; among equals the one with
    fewer loose twists, then the more regular one. `budgets` gives the length budget of every
    balloon size in the net (the design's own size is known). `effort` makes every search longer or
    shorter, and `after` is a plan for the same net to go on from; `exact` lets the exact method
    go farther than it does in every painted plan. Minutes and predicted size are left for later
    stages.

    Raises CannotMake with every reason when no plan can be made, and Stopped when `progress` asked
    to stop before there was one; otherwise it then returns the best plan so far.
    """
    if style != "fewest":
        job = _job(design, net, seed, progress, budgets, effort, after)
        if style == "painted":
            job = _proved(job, exact or QUICK)
        answer = _answer(style, job)
        if answer.plan is None:
            raise CannotMake(answer.findings)
        if exact is None or style == "painted":
            return answer.plan
        return _bounded(answer.plan, _proved(_sharing(job, [answer.plan]), exact))
    answers = compare(
        design,
        net,
        seed=seed,
        progress=progress,
        budgets=budgets,
        effort=effort,
        after=after,
        exact=exact,
    )
    plans = [a.plan for a in answers if a.plan is not None]
    if not plans:
        raise CannotMake([f for a in answers for f in a.findings])
    return min(plans, key=fewest_first)


def compare(
    design: Design,
    net: Net,
    *,
    seed: int = 0,
    progress: Progress | None = None,
    budgets: dict[str, Budget] | None = None,
    effort: float = 1.0,
    after: Plan | None = None,
    every: bool = False,
    exact: ExactLimit | None = None,
) -> list[Compared]:
    """The styles' answers, in the order of STYLES; parts only where the design names a crew.

    The long search of painted is spared where a plan meets the bound with easy hands already,
    unless `every` style is wanted or the maker has fixed choices, which only painted works by. A
    style that fails by a fault of its own says so in place of its plan. Otherwise like `make_plan`.
    """
    styles = styles_for(design)
    try:
        job = _job(design, net, seed, progress, budgets, effort, after)
    except CannotMake as refusal:
        return [Compared(style, None, refusal.findings) for style in styles]
    found: list[Compared] = []
    for style in styles:
        plans = [answer.plan for answer in found if answer.plan is not None]
        try:
            if style == "painted":
                easy = not every and job.pins.is_empty
                if easy and any(_cannot_be_better(plan) for plan in plans):
                    continue
                job = _proved(_sharing(job, plans), exact or QUICK)
                if job.stopped and plans and job.proved is None:
                    break
            found.append(_answer(style, job))
        except Stopped:
            if not plans:
                raise
            break
        except Exception as fault:  # of airweft's own: the other styles are not touched by it
            found.append(Compared(style, None, (_failed(style, fault),)))
    if after is not None:  # what there was already is never lost
        found.append(Compared(after.style, after))
    return [
        answer if answer.plan is None else replace(answer, plan=_bounded(answer.plan, job))
        for answer in found
    ]


def _sharing(job: _Job, plans: Sequence[Plan]) -> _Job:
    return replace(job, shared=(*job.shared, *map(_share_out, plans)))


def _proved(job: _Job, limit: ExactLimit) -> _Job:
    """The job with what the exact method proves, and its plan if that has fewer balloons.

    It does not know a maker's fixed choices: with any, its proof alone is of use.
    """
    work = job.work
    known = min(job.shared, key=len, default=None)
    if known is None:  # a balloon for every bubble can always be made
        known = tuple(Trail(a, (bubble,)) for bubble, (a, _) in enumerate(work.ends))
    result = exact_method(
        work,
        job.bounds,
        known,
        limit=limit,
        seed=job.seed,
        progress=job.progress,
    )
    return replace(
        job,
        bounds=result.bounds,
        least=result.least,
        reason=result.reason(work),
        proved=result.script if job.pins.is_empty else None,
        stopped=result.stopped,
    )


def _bounded(plan: Plan, job: _Job) -> Plan:
    """The plan with the job's bound, which may have been raised since it was made."""
    if plan.bound.balloons == job.least:
        return plan
    return replace(plan, bound=_bound(job, len(plan.balloons)))


def _bound(job: _Job, balloons: int) -> Bound:
    return Bound(balloons=job.least, reason=job.reason, proven=balloons == job.least)


def fewest_first(plan: Plan) -> tuple[int, int, int, int]:
    """Smaller is better: balloons, hands, then regular work before irregular."""
    return (
        len(plan.balloons),
        max(EASY, plan.claims.peak_loose),
        0 if plan.style == "pairs" else 1,
        len(plan.actions),
    )


def _cannot_be_better(plan: Plan) -> bool:
    """True if no plan needs fewer balloons, and this one is easy on the hands."""
    return plan.bound.proven and plan.claims.peak_loose <= EASY


def _share_out(plan: Plan) -> ShareOut:
    return tuple(Trail(balloon.start, balloon.bubbles) for balloon in plan.balloons)


def _job(
    design: Design,
    net: Net,
    seed: int,
    progress: Progress | None,
    budgets: dict[str, Budget] | None,
    effort: float,
    after: Plan | None,
) -> _Job:
    known = _budgets(design, net, budgets)
    able = capacities(design, known)
    work = prepare(net, able, design.hands)
    _check_lengths(work)
    bounds = search_parts(work, bound_parts(work))
    pins, _ = resolve(design.choices, net, capacities=able)
    return _Job(
        design=design,
        budgets=known,
        work=work,
        bounds=bounds,
        least=total_bound(work, bounds),
        reason=reason(work, bounds),
        pins=pins,
        seed=seed,
        progress=progress or Progress(),
        effort=effort,
        shared=() if after is None else (_share_out(after),),
    )


def _answer(style: str, job: _Job) -> Compared:
    try:
        script = STYLES[style](job)
    except CannotMake as refusal:
        return Compared(style, None, refusal.findings)
    findings = _hands(script, job.work, style)
    if findings:
        return Compared(style, None, findings)
    return Compared(style, _plan(job, script, style))


def _failed(style: str, fault: Exception) -> Finding:
    return Finding(
        code=FAILED,
        severity="cannot",
        where=f"style {style}",
        message=f"airweft came upon a fault of its own in this style: {type(fault).__name__}: "
        f"{fault}",
        remedy="Take another style, and report this with the design file.",
    )


def _budgets(design: Design, net: Net, budgets: dict[str, Budget] | None) -> dict[str, Budget]:
    """The budgets of the sizes that the net uses, in order of first use."""
    given = {design.size: design.budget, **(budgets or {})}
    used = list(dict.fromkeys(net.sizes))
    missing = [size for size in used if size not in given]
    if missing:
        raise CannotMake(
            [
                Finding(
                    code="plan-size-unknown",
                    severity="cannot",
                    where=f"balloon size {size}",
                    message=f"there is no length budget for balloons of size {size}",
                    remedy=f"Use size {design.size} for every bubble, or a size that is shipped.",
                    bubbles=tuple(b for b, s in enumerate(net.sizes) if s == size),
                )
                for size in missing
            ]
        )
    return {size: given[size] for size in used}


def _check_lengths(work: Work) -> None:
    """Refuse bubbles that are longer than a whole balloon of their size can make."""
    findings = []
    for number, kind in enumerate(work.kinds):
        table = kind.capacity.most_length
        most = table[1] if len(table) > 1 else 0
        long = [b for b, k in enumerate(work.kind_of) if k == number and work.lengths[b] > most]
        if long:
            worst = max(work.lengths[b] for b in long)
            names = work.net.bubble_names
            findings.append(
                Finding(
                    code="plan-bubble-too-long",
                    severity="cannot",
                    where=f"bubble {names[long[0]]}" + (" and others" if len(long) > 1 else ""),
                    message=f"a bubble of {worst / 100:g} mm is longer than one balloon of size "
                    f"{kind.size} can make ({most / 100:g} mm at most with this tail)",
                    remedy="Make the bubbles shorter, leave a shorter tail, or take a longer "
                    "balloon size.",
                    bubbles=tuple(long),
                )
            )
    if findings:
        raise CannotMake(findings)


def _hands(script: Script, work: Work, style: str) -> tuple[Finding, ...]:
    """The refusal of a plan that needs more loose twists than the hands can hold."""
    if script.peak <= work.hands:
        return ()
    return (
        Finding(
            code="plan-needs-more-hands",
            severity="cannot",
            where=f"style {style}",
            message=f"the best order found needs {script.peak} loose twists at once, and the "
            f"design allows {work.hands} (hands = {work.hands})",
            remedy=f"Set hands = {script.peak} in [balloon], or take another style.",
            rule="M8",
        ),
    )


def _plan(job: _Job, script: Script, style: str) -> Plan:
    work, design = job.work, job.design
    code = codes(script)
    balloons = tuple(
        Balloon(
            code=code[s.number],
            colour=work.kinds[s.kind].colour,
            size=work.kinds[s.kind].size,
            tail=work.kinds[s.kind].capacity.tail(len(s.bubbles), s.length),
            start=s.start,
            bubbles=tuple(s.bubbles),
        )
        for s in script.strands
    )
    return Plan(
        design_name=design.name,
        fingerprint=design.fingerprint,
        program="airweft",
        version=airweft.__version__,
        seed=job.seed,
        style=style,
        hands=design.hands,
        net=work.net,
        balloons=balloons,
        budgets=job.budgets,
        actions=_in_rows(actions(script)),
        bound=_bound(job, len(balloons)),
        claims=Claims(
            joints=work.net.joint_count,
            bubbles=work.net.bubble_count,
            balloons=len(balloons),
            peak_loose=script.peak,
            minutes_low=0,
            minutes_high=0,
            size_mm=(0.0, 0.0, 0.0),
        ),
        sections=tuple(script.sections),
    )


def _in_rows(done: tuple[Action, ...]) -> tuple[Action, ...]:
    """Rows numbered 1, 2, 3 … without gaps."""
    number: dict[int, int] = {}
    return tuple(
        replace(action, row=number.setdefault(action.row, len(number) + 1)) for action in done
    )
