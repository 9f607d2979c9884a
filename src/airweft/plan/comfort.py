"""Plans compared: what each costs and asks of the hands, one score, and what none other beats."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from airweft.plan.measure import colour_changes, travel_mm, turns, waste_mm
from airweft.plan.reach import awkward
from airweft.records.plan import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """A whole plan in figures. Less is better in every one.

    balloons        how many
    waste           metres of balloon that no bubble, knot or stub uses (M4)
    minutes         the middle of the estimate
    loose           the most loose twists at once
    lines           lines of instruction, repeats folded
    colour_changes  how often another colour is taken in hand
    travel          metres from one place of work to the next, over the finished piece
    turning         turns of the piece, to see what is worked on
    awkward         locks and knots made when no hand gets inside any more
    """

    balloons: int
    waste: float
    minutes: float
    loose: int
    lines: int
    colour_changes: int
    travel: float
    turning: int
    awkward: int


WEIGHTS: dict[str, float] = {
    "balloons": 1.0,
    "waste": 0.1,
    "minutes": 1.0,
    "loose": 1.0,
    "lines": 1.0,
    "colour_changes": 0.05,
    "travel": 0.2,
    "turning": 0.1,
    "awkward": 0.2,
}
"""What one more of each weighs where the maker does not say, in minutes gladly given to be spared
it. Assumptions: easy to make goes before least material, so that a balloon more is well spent where
it saves a few lines of instruction."""

TRADED = ("balloons", "minutes", "waste", "loose", "lines", "travel", "turning")
"""The measures among which a plan must be beaten to count as beaten."""


def measure(plan: Plan, *, minutes: float, lines: int) -> Measures:
    """All measures of a plan; `minutes` and `lines` are counted by other stages."""
    return Measures(
        balloons=len(plan.balloons),
        waste=waste_mm(plan) / 1000,
        minutes=minutes,
        loose=plan.claims.peak_loose,
        lines=lines,
        colour_changes=colour_changes(plan),
        travel=travel_mm(plan) / 1000,
        turning=turns(plan),
        awkward=awkward(plan),
    )


def weights_of(own: Iterable[tuple[str, float]]) -> dict[str, float]:
    """The maker's own weights over the usual ones, in the order of WEIGHTS."""
    return {**WEIGHTS, **dict(own)}


def score(measures: Measures, weights: Mapping[str, float] = WEIGHTS) -> float:
    """The weighted sum of all measures; less is better.

    >>> few = dict(waste=0, minutes=20, loose=3, lines=9, colour_changes=0, travel=5, turning=3)
    >>> score(Measures(balloons=18, awkward=0, **few), {"balloons": 2, "minutes": 1})
    56.0
    """
    return float(sum(weights[name] * getattr(measures, name) for name in weights))


def best(candidates: Sequence[Measures], weights: Mapping[str, float] = WEIGHTS) -> int:
    """The index of the candidate with the least score; the first one among equals.

    Raises ValueError where there is none.
    """
    return min(range(len(candidates)), key=lambda i: score(candidates[i], weights))


def beats(one: Measures, other: Measures, among: Sequence[str] = TRADED) -> bool:
    """True if `one` is no worse in any of these measures, and better in at least one."""
    mine = [getattr(one, name) for name in among]
    theirs = [getattr(other, name) for name in among]
    return mine != theirs and all(a <= b for a, b in zip(mine, theirs, strict=True))


def unbeaten(candidates: Sequence[Measures], among: Sequence[str] = TRADED) -> list[int]:
    """The indices of the candidates that no other one beats, in order; of equals all."""
    return [
        i
        for i, own in enumerate(candidates)
        if not any(beats(other, own, among) for other in candidates)
    ]
