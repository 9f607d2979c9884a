"""The keys of the [plan] section and its tables, in the manner of `schema`."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field

from airweft.design.schema import Length, Part, Title, key

_Weight = Annotated[float, Field(ge=0, le=1_000_000, allow_inf_nan=False)]


class PlanPart(Part):
    """What you settle about the plan; all of it may be left out."""

    style: Literal["pairs", "rounds", "painted", "parts", "fewest", "best"] | None = key(
        "the style to build in", 'style = "rounds"', default=None
    )
    crew: int | None = key("how many people build at once", "crew = 2", default=None, ge=1, le=100)
    seed: int | None = key("the seed of the search", "seed = 3", default=None, ge=0, le=10**18)
    start: Title | None = key("the joint of the first knot", 'start = "front (3, 2)"', default=None)
    weights: Any = key("what counts when plans are compared", "[plan.weights]", default=None)
    keep: Any = key("fixed choices", "[[plan.keep]]", default=None)
    inside: Any = key("something small put inside", "[plan.inside]", default=None)


class WeightsPart(Part):
    """What one more of each counts; what is left out keeps its usual weight."""

    balloons: _Weight | None = key("the weight of a balloon", "balloons = 5", default=None)
    waste: _Weight | None = key(
        "the weight of a metre of balloon that is cut off", "waste = 1", default=None
    )
    minutes: _Weight | None = key("the weight of a minute", "minutes = 1", default=None)
    loose: _Weight | None = key(
        "the weight of each loose twist held at once", "loose = 3", default=None
    )
    lines: _Weight | None = key("the weight of a line of instruction", "lines = 0.5", default=None)
    colour_changes: _Weight | None = key(
        "the weight of a change of colour in hand", "colour_changes = 0.1", default=None
    )
    travel: _Weight | None = key(
        "the weight of a metre that the hands travel", "travel = 0.5", default=None
    )
    turning: _Weight | None = key(
        "the weight of a turn of the piece", "turning = 0.2", default=None
    )
    awkward: _Weight | None = key(
        "the weight of a joint that is locked with no hand inside", "awkward = 0.5", default=None
    )


class KeepPart(Part):
    """One fixed choice: exactly one of these."""

    trail: list[Title] | None = key(
        "the bubbles that one balloon makes, in order",
        'trail = ["front 1.1", "front 2.1"]',
        default=None,
    )
    panels: list[Title] | None = key(
        "the panels in the order in which they are begun",
        'panels = ["bottom", "front"]',
        default=None,
    )
    before: list[Title] | None = key(
        "the marks in the order in which their bubbles are made",
        'before = ["B", "R"]',
        default=None,
    )
    toward: list[Title] | None = key(
        "the joint where a balloon starts, and the joint that it goes toward",
        'toward = ["front (3, 2)", "front (3, 6)"]',
        default=None,
    )


class InsidePart(Part):
    """Something small, light and blunt that is put into a closed piece."""

    what: Title = key("what is put inside", 'what = "a small bell"')
    across: Length = key("how far across it is, a length", "across = 3")
