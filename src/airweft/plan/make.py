"""From a painted net to a whole plan: every style, the best of them, and all side by side."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

import airweft
from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.base.progress import Progress
from airweft.plan.bound import PartBound, bound_parts, reason, total_bound
from airweft.plan.capacity import Capacity
from airweft.plan.crew import parts
from airweft.plan.kinds import Work, prepare
from airweft.plan.pairs import pairs
from airweft.plan.rounds import rounds
from airweft.plan.script import Script, actions, codes
from airweft.records.budget import Budget
from airweft.records.design import Design
from airweft.records.net import Net
from airweft.records.plan import Action, Balloon, Bound, Claims, Plan

Style = Literal["pairs", "rounds", "parts", "fewest"]
Planner = Callable[..., Script]

STYLES: dict[str, Planner] = {"pairs": pairs, "rounds": rounds, "parts": parts}


@dataclass(frozen=True, slots=True)
class Compared:
    """One style's answer: a plan, or the findings that say why the style does not apply."""

    style: str
    plan: Plan | None
    findings: tuple[Finding, ...] = ()


def make_plan(
    design: Design,
    net: Net,
    *,
    style: Style = "fewest",
    seed: int = 0,
    progress: Progress | None = None,
    budgets: dict[str, Budget] | None = None,
) -> Plan:
    """A plan for the painted `net` in the wanted style.

    `fewest` is the plan with the fewest balloons that the styles find; among equals the one with
    fewer loose twists, then the more regular one. `budgets` gives the length budget of every
    balloon size in the net (the design's own size is known). Minutes and predicted size are left
    for later stages. Raises CannotMake with every reason when no plan can be made.
    """
    if style != "fewest":
        answer = _answer(style, design, net, seed, progress or Progress(), budgets)
        if answer.plan is None:
            raise CannotMake(answer.findings)
        return answer.plan
    answers = compare(design, net, seed=seed, progress=progress, budgets=budgets)
    plans = [a.plan for a in answers if a.plan is not None]
    if not plans:
        raise CannotMake([f for a in answers for f in a.findings])
    return min(plans, key=_comfort)


def compare(
    design: Design,
    net: Net,
    *,
    seed: int = 0,
    progress: Progress | None = None,
    budgets: dict[str, Budget] | None = None,
) -> list[Compared]:
    """Every style's answer, in the order of STYLES; parts only where the design names a crew."""
    progress = progress or Progress()
    styles = [style for style in STYLES if style != "parts" or design.choices.crew > 1]
    return [_answer(style, design, net, seed, progress, budgets) for style in styles]


def _comfort(plan: Plan) -> tuple[int, int, int, int]:
    """Smaller is better: balloons, hands, then regular work before irregular."""
    return (
        len(plan.balloons),
        max(3, plan.claims.peak_loose),
        0 if plan.style == "pairs" else 1,
        len(plan.actions),
    )


def _answer(
    style: str,
    design: Design,
    net: Net,
    seed: int,
    progress: Progress,
    budgets: dict[str, Budget] | None,
) -> Compared:
    try:
        known = _budgets(design, net, budgets)
        work = prepare(net, _capacities(design, known), design.hands)
        _check_lengths(work)
        bounds = bound_parts(work)
        least = total_bound(work, bounds)
        crew = {"crew": design.choices.crew} if style == "parts" else {}
        script = STYLES[style](work, bound=least, seed=seed, progress=progress, **crew)
    except CannotMake as refusal:
        return Compared(style, None, refusal.findings)
    findings = _hands(script, work, style)
    if findings:
        return Compared(style, None, findings)
    return Compared(style, _plan(design, known, work, script, bounds, style, seed))


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


def _capacities(design: Design, budgets: dict[str, Budget]) -> dict[str, Capacity]:
    return {
        size: Capacity(
            budget,
            most_bubbles=design.most_bubbles,
            fixed_tail=design.tail if size == design.size else None,
            step=design.tail_step,
        )
        for size, budget in budgets.items()
    }


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


def _plan(
    design: Design,
    budgets: dict[str, Budget],
    work: Work,
    script: Script,
    bounds: list[PartBound],
    style: str,
    seed: int,
) -> Plan:
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
    least = total_bound(work, bounds)
    return Plan(
        design_name=design.name,
        fingerprint=design.fingerprint,
        program="airweft",
        version=airweft.__version__,
        seed=seed,
        style=style,
        hands=design.hands,
        net=work.net,
        balloons=balloons,
        budgets=budgets,
        actions=_in_rows(actions(script)),
        bound=Bound(balloons=least, reason=reason(work, bounds), proven=len(balloons) == least),
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
