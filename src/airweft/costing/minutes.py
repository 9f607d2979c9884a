"""How long a plan takes to make, as a range.

A first model: every movement of the hands is counted from the plan's actions and given a low and a
high time. All times stand in one record, `Pace`; a maker's own times replace it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields

from airweft.records.plan import Action, Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """Seconds each movement takes practised hands, (low, high).

    inflate   inflate one balloon to its tail and knot it: common practice, no source
    lock      one simple lock twist: common practice, no source
    twist     measure and pinch one bubble before it is locked: assumption, from memory
    attach    find the place of a fresh balloon's knot and tie it on: assumption, from memory
    finish    let the rest down, cut it, tie it off and hide it: assumption, from memory
    """

    inflate: tuple[float, float] = (10.0, 20.0)
    lock: tuple[float, float] = (4.0, 10.0)
    twist: tuple[float, float] = (1.0, 2.0)
    attach: tuple[float, float] = (3.0, 6.0)
    finish: tuple[float, float] = (4.0, 8.0)

    def __post_init__(self) -> None:
        for field in fields(self):
            low, high = getattr(self, field.name)
            if not 0 <= low <= high < math.inf:
                raise ValueError(
                    f"{field.name}: {low} to {high} s is no range; give the lower time first, "
                    "neither below 0"
                )


PRACTISED = Pace()


@dataclass(frozen=True, slots=True)
class Part:
    """One kind of movement: how often the plan has it, and the seconds it takes in all."""

    name: str
    count: int
    low_s: float
    high_s: float


@dataclass(frozen=True, slots=True)
class Minutes:
    """Whole minutes from `low` to `high`, and what they are made of.

    Where several people work at once, `parts` is all their work together, `sections` are the
    minutes of each one's and of the joining, and the whole takes the longest one and the joining.
    """

    low: int
    high: int
    parts: tuple[Part, ...]
    sections: tuple[Minutes, ...] = ()


def estimate(plan: Plan, pace: Pace = PRACTISED) -> Minutes:
    """The minutes that `plan` takes at `pace`: `low` rounded down, `high` rounded up, at least 1.

    Common practice, no source: a closed box of 6 by 6 by 6 bubbles takes practised hands about
    20 to 30 minutes.
    """
    whole = parts_of(plan.actions, pace)
    if not plan.sections:
        return _rounded(whole)
    own = [parts_of(plan.actions[s.first_action : s.last_action], pace) for s in plan.sections]
    apart = [parts for parts, s in zip(own, plan.sections, strict=True) if s.person > 0]
    last = [p for parts, s in zip(own, plan.sections, strict=True) if s.person == 0 for p in parts]
    low = max(sum(p.low_s for p in parts) for parts in apart) if apart else 0
    high = max(sum(p.high_s for p in parts) for parts in apart) if apart else 0
    return Minutes(
        low=max(1, math.floor((low + sum(p.low_s for p in last)) / 60)),
        high=max(1, math.ceil((high + sum(p.high_s for p in last)) / 60)),
        parts=whole,
        sections=tuple(_rounded(parts) for parts in own),
    )


def parts_of(actions: Sequence[Action], pace: Pace = PRACTISED) -> tuple[Part, ...]:
    """How often each kind of movement comes among the actions, and the seconds it takes."""
    does = [action.do for action in actions]
    begun = sum(len(action.balloons) for action in actions if action.do in ("tie", "start"))
    counted = (
        ("inflate and knot", begun, pace.inflate),
        ("tie on", does.count("tie") + does.count("start"), pace.attach),
        ("twist", does.count("twist"), pace.twist),
        ("lock", does.count("lock"), pace.lock),
        ("finish", does.count("finish"), pace.finish),
    )
    return tuple(
        Part(name, count, count * low, count * high) for name, count, (low, high) in counted
    )


def _rounded(parts: tuple[Part, ...]) -> Minutes:
    return Minutes(
        low=max(1, math.floor(sum(part.low_s for part in parts) / 60)),
        high=max(1, math.ceil(sum(part.high_s for part in parts) / 60)),
        parts=parts,
    )
