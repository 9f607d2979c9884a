"""The [balloon] section: size, bubble, hands, tail, and the six figures of the length budget."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from airweft.balloon.sizes import (
    FIGURES,
    SIZES,
    SizeCode,
    bubbles_per_balloon,
    read_size_code,
    smallest_comfortable,
)
from airweft.base.nearest import misspelt, said_list
from airweft.base.units import Unit, show_length
from airweft.design.explain import validate
from airweft.design.lines import Path
from airweft.design.report import Report, said, where
from airweft.design.schema import BalloonPart, BudgetPart
from airweft.records.budget import Budget

_HERE: Path = ("balloon",)
_BUDGET: Path = ("balloon", "budget")
_STEP: dict[Unit, int] = {"mm": 500, "cm": 500, "in": 635}  # 5 mm, and 1/4 in
_SHORTEST_BUBBLE = 500  # 5 mm; nothing shorter can be held between two fingers
_LONGEST_FLAT = 200_000  # 2 m

LENGTH_CODES = (
    "out-of-range",
    "bad-budget",
    "tail-too-long",
    "tail-leaves-no-bubble",
    "tail-off-step",
    "bubble-too-long",
    "bubble-too-short",
    "cap-not-reached",
)
"""Findings that depend on how long things are."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Balloons:
    """What the section holds, with what it leaves open filled in. Hundredths of a mm."""

    size: SizeCode
    bubble: int | None
    hands: int
    most_bubbles: int | None
    tail: int | None
    tail_step: int
    budget: Budget
    assumed: tuple[str, ...]


def read_balloons(data: Any, report: Report, *, unit: Unit, needs_bubble: bool) -> Balloons | None:
    """The section as a record, or None after its problems were reported."""
    part = validate(BalloonPart, data, _HERE, report, unit=unit)
    own: BudgetPart | None = BudgetPart()
    if isinstance(data, dict) and data.get("budget") is not None:
        own = validate(BudgetPart, data["budget"], _BUDGET, report, unit=unit)
    if (
        needs_bubble
        and isinstance(data, dict)
        and "bubble" not in data
        and not misspelt("bubble", data, BalloonPart.model_fields)
    ):
        report.bad(
            "missing-key",
            _HERE,
            "bubble is missing from [balloon]: the length of a bubble.",
            "Add a line such as: bubble = 2.5",
        )
    if part is None or own is None:
        return None
    if not needs_bubble and part.bubble is not None:
        report.note(
            "bubble-has-no-use",
            (*_HERE, "bubble"),
            "bubble changes nothing here: the net's file gives the length of every bubble.",
            "Take the line out.",
        )
        part = part.model_copy(update={"bubble": None})
    if part.bubble is not None and part.bubble < _SHORTEST_BUBBLE:
        report.bad(
            "out-of-range",
            (*_HERE, "bubble"),
            f"A bubble of {show_length(part.bubble, 'mm')} is shorter than a finger is thick.",
            "Check the number and its unit; an inch (2.5 cm) is usual for a 260.",
        )
        return None
    size = read_size_code(part.size)
    budget = own_budget(size, own, report, _HERE)
    if budget is None:
        return None
    assumed = tuple(f for f in FIGURES if getattr(own, f) is None)
    step = part.tail_step or _default_step(part.tail, unit)
    balloons = Balloons(
        size=size,
        bubble=part.bubble,
        hands=part.hands,
        most_bubbles=part.most_bubbles,
        tail=part.tail,
        tail_step=step,
        budget=budget,
        assumed=assumed,
    )
    if _check_tail(balloons, report, unit) and needs_bubble:
        check_bubbles(balloons, (balloons.bubble or 0,), report, unit, path=(*_HERE, "bubble"))
    return balloons


def own_budget(size: SizeCode, own: BudgetPart, report: Report, here: Path) -> Budget | None:
    """The maker's own figures over the shipped ones, if together they make sense.

    `here` is the section that holds the size, and the figures under `budget`.
    """
    place = (*here, "budget")
    shipped = SIZES.get(size.code)
    given: dict[str, int | None] = {f: getattr(own, f) for f in FIGURES}
    if shipped is not None:
        figures = {f: getattr(shipped.budget, f) if v is None else v for f, v in given.items()}
    else:
        missing = [f for f, v in given.items() if v is None]
        if missing:
            report.bad(
                "no-budget",
                (*here, "size"),
                f"There are no shipped figures for size {size.code}; "
                f"{where(place)} lacks {said_list(missing)}.",
                f"Measure one balloon and give all six figures under {where(place)}, "
                f"or use one of {said_list(SIZES, last='or')}.",
            )
            return None
        figures = {f: v for f, v in given.items() if v is not None}
    budget = Budget(**figures)
    good = True
    if budget.flat > _LONGEST_FLAT:
        good = False
        report.bad(
            "bad-budget",
            (*place, "flat"),
            f"A flat balloon of {show_length(budget.flat, 'cm')} is longer than any is made.",
            "Check the number and its unit.",
        )
    if budget.full <= budget.flat:
        good = False
        report.bad(
            "bad-budget",
            (*place, "full" if own.full is not None else "flat"),
            f"Inflated to the tip the balloon is {show_length(budget.full, 'mm')} long, which is "
            f"no more than flat ({show_length(budget.flat, 'mm')}).",
            "Give the inflated length as full and the empty one as flat.",
        )
    for figure in ("knot", "stub", "twist_takes", "twist_pushes"):
        if getattr(budget, figure) >= budget.full:
            good = False
            report.bad(
                "bad-budget",
                (*place, figure),
                f"{figure} = {show_length(getattr(budget, figure), 'mm')} "
                f"is as much as the whole balloon ({show_length(budget.full, 'mm')}).",
                "Check the number and its unit.",
            )
    return budget if good else None


def _default_step(tail: int | None, unit: Unit) -> int:
    """What tails are rounded to: 5 mm or 1/4 in, or less if a fixed tail needs less."""
    steps = (_STEP[unit], *_STEP.values(), 100)
    return next((s for s in steps if not (tail or 0) % s), 1)


def _check_tail(balloons: Balloons, report: Report, unit: Unit) -> bool:
    """Report a tail that leaves no balloon; False if it does not."""
    tail, flat, step = balloons.tail, balloons.budget.flat, balloons.tail_step
    if step > flat // 4:
        report.bad(
            "out-of-range",
            (*_HERE, "tail_step"),
            f"Tails rounded to {show_length(step, unit)} are too coarse for a balloon that is "
            f"{show_length(flat, unit)} long when flat.",
            f"Write {show_length(_STEP[unit], unit)}, in quotes, or leave it out.",
        )
        return False
    if tail is None:
        return True
    if tail >= flat:
        report.cannot(
            "tail-too-long",
            (*_HERE, "tail"),
            f"A tail of {show_length(tail, unit)} leaves nothing to inflate: the flat balloon is "
            f"{show_length(flat, unit)} long.",
            "Write a shorter tail, or leave the line out and each balloon gets the tail it needs.",
        )
        return False
    # A step such as 1/8 in is itself rounded to a hundredth of a mm, up to half of one each time.
    if abs(tail - round(tail / step) * step) > round(tail / step) / 2:
        report.note(
            "tail-off-step",
            (*_HERE, "tail"),
            f"The tail of {show_length(tail, unit)} is no multiple of tail_step "
            f"({show_length(step, unit)}).",
            "It is used as you wrote it.",
        )
    return True


def check_bubbles(
    balloons: Balloons, lengths: Iterable[int], report: Report, unit: Unit, *, path: Path
) -> None:
    """Report bubbles too long or too short for the balloon, and a cap that changes nothing.

    `lengths` are those of all bubbles of the piece, and `path` is where they are given.
    """
    given = [length for length in lengths if length > 0]
    if not given:
        return
    if _check_longest(balloons, max(given), report, unit, path):
        _check_shortest(balloons, min(given), report, unit, path)


def _most(balloons: Balloons, bubble: int, tail: int | None) -> int:
    return bubbles_per_balloon(balloons.budget, bubble, step=balloons.tail_step, tail=tail)


def _check_longest(balloons: Balloons, bubble: int, report: Report, unit: Unit, path: Path) -> bool:
    """Report a bubble that no balloon can make; False if there is one."""
    budget, code = balloons.budget, balloons.size.code
    if _most(balloons, bubble, balloons.tail):
        return True
    shown = show_length(bubble, unit)
    free = _most(balloons, bubble, None)
    if balloons.tail is not None and free:
        report.cannot(
            "tail-leaves-no-bubble",
            (*_HERE, "tail"),
            f"With a tail of {show_length(balloons.tail, unit)} a {code} cannot make even one "
            f"bubble of {shown}.",
            f"Write another tail, or leave the line out: then one makes up to {free}.",
        )
        return False
    room = budget.full - budget.knot - budget.stub - budget.twist_takes
    report.cannot(
        "bubble-too-long",
        path,
        f"A bubble of {shown} does not fit into one {code}, which is "
        f"{show_length(budget.full, unit)} long in all.",
        f"Make it shorter; the longest is about {show_length(max(room, 0), unit)}.",
    )
    return False


def _check_shortest(
    balloons: Balloons, bubble: int, report: Report, unit: Unit, path: Path
) -> None:
    """Advice on a bubble that is too short to twist well, and on a cap that changes nothing."""
    size, shown = balloons.size, show_length(bubble, unit)
    if bubble < smallest_comfortable(size):
        report.risky(
            "bubble-too-short",
            path,
            f"A bubble of {shown} is short for a {size.code}, which is about "
            f"{show_length(size.diameter, unit)} thick: it comes out hard and may burst.",
            f"Make it {show_length(size.diameter // 2, unit)} (half the thickness) or longer, "
            "or use thinner balloons.",
        )
    cap, most = balloons.most_bubbles, _most(balloons, bubble, balloons.tail)
    if cap is not None and cap > most:
        report.note(
            "cap-not-reached",
            (*_HERE, "most_bubbles"),
            f"most_bubbles = {said(cap)} changes nothing: one {size.code} makes at most {most} "
            f"bubbles of {shown}.",
            "Leave the line out, or write a smaller number.",
        )
