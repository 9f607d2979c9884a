"""The plan: balloons, their trails, and the build order (plan-format, version 1)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from airweft.records.budget import Budget
from airweft.records.net import Net

Do = Literal["tie", "start", "twist", "lock", "finish"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Balloon:
    """One balloon of one colour and size, and the trail of bubbles it makes.

    `tail` is the flat length to leave, in hundredths of a millimetre; `start` the joint of its
    knot; `bubbles` the bubbles it makes, in order.
    """

    code: str
    colour: str
    size: str
    tail: int
    start: int
    bubbles: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Action:
    """One movement of the hands.

    tie     two fresh `balloons` knotted nozzle to nozzle; the knot is `joint`
    start   a fresh balloon's nozzle tied on at `joint`
    twist   the balloon's next `bubble`; its far end lies at `joint`
    lock    one twist that fastens all that lies at `joint`; `balloons` have loose twists there
    finish  the balloon is cut, tied off and hidden at `joint`

    `row` is the row the action belongs to, counted from 1.
    """

    do: Do
    balloons: tuple[str, ...]
    joint: int
    bubble: int = -1
    row: int = 0


@dataclass(frozen=True, slots=True)
class Section:
    """Actions `first_action` to `last_action` (exclusive) that one person does apart from others.

    `person` is counted from 1; 0 is for the joining at the end, which comes when all parts are
    there. `name` is the letter of the part, or "joining".
    """

    name: str
    first_action: int
    last_action: int
    person: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """A lower bound on the number of balloons, and the argument that gives it.

    `proven` is True only when the plan meets it, so that "fewest" may be said.
    """

    balloons: int
    reason: str
    proven: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Claims:
    """What the booklet prints; a checker recomputes the first four."""

    joints: int
    bubbles: int
    balloons: int
    peak_loose: int
    minutes_low: int
    minutes_high: int
    size_mm: tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A whole plan. Same design, seed and version give the same plan.

    `sections` share the actions out among several people; none where one makes it all.
    `ended_early` says that its search was told to end with the best so far: the same design, seed
    and version need not give it again.
    """

    design_name: str
    fingerprint: str
    program: str
    version: str
    seed: int
    style: str
    hands: int
    net: Net
    balloons: tuple[Balloon, ...]
    budgets: dict[str, Budget]
    actions: tuple[Action, ...]
    bound: Bound
    claims: Claims
    sections: tuple[Section, ...] = ()
    ended_early: bool = False
