"""What a maker settled about the plan: the [plan] table of a design, by stable names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

ChosenStyle = Literal["pairs", "rounds", "painted", "parts", "fewest", "best"]

CHOSEN_STYLES: tuple[ChosenStyle, ...] = get_args(ChosenStyle)
"""`fewest` and `best` leave the style open: fewest balloons, or best by the weights."""

WEIGHT_NAMES = (
    "balloons",
    "waste",
    "minutes",
    "loose",
    "lines",
    "colour_changes",
    "travel",
    "turning",
    "awkward",
)
"""What can be counted when plans are compared; docs/comfort.md has the unit of each."""


@dataclass(frozen=True, slots=True)
class KeepTrail:
    """One balloon makes these bubbles, one straight after the other."""

    bubbles: tuple[str, ...]

    @property
    def title(self) -> str:
        """What the choice is called in findings."""
        return f"trail {_listed(self.bubbles)}"


@dataclass(frozen=True, slots=True)
class KeepPanels:
    """The panels are begun in this order."""

    panels: tuple[str, ...]

    @property
    def title(self) -> str:
        """What the choice is called in findings."""
        return f"panels {_listed(self.panels)}"


@dataclass(frozen=True, slots=True)
class KeepBefore:
    """Every bubble of a mark comes before the first one of the next mark."""

    marks: tuple[str, ...]

    @property
    def title(self) -> str:
        """What the choice is called in findings."""
        return f"{self.marks[0]} before {' before '.join(self.marks[1:])}"


@dataclass(frozen=True, slots=True)
class KeepToward:
    """A balloon starts at the joint `start`, and its first bubble brings it nearer to `goal`."""

    start: str
    goal: str

    @property
    def title(self) -> str:
        """What the choice is called in findings."""
        return f"from {self.start} toward {self.goal}"


Keep = KeepTrail | KeepPanels | KeepBefore | KeepToward


@dataclass(frozen=True, slots=True)
class Inside:
    """Something light and blunt put into the piece; `across` in hundredths of a millimetre."""

    what: str
    across: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """The maker's choices; what is left out is left to the planner.

    style    the style to build in, "" where it is left open
    crew     how many people build at once, 0 where that is left open
    seed     of the search, None where it is left open
    start    the joint of the first knot, "" where it is left open
    weights  (name, weight) by name, those that the maker gave
    keep     fixed choices, in a stable order that does not depend on the order in the file
    """

    style: ChosenStyle | Literal[""] = ""
    crew: int = 0
    seed: int | None = None
    start: str = ""
    weights: tuple[tuple[str, float], ...] = ()
    keep: tuple[Keep, ...] = ()
    inside: Inside | None = None


def table_of(choice: Keep) -> dict[str, list[str]]:
    """The choice as a [[plan.keep]] table.

    >>> table_of(KeepToward("a", "b"))
    {'toward': ['a', 'b']}
    """
    match choice:
        case KeepTrail(names):
            return {"trail": list(names)}
        case KeepPanels(names):
            return {"panels": list(names)}
        case KeepBefore(names):
            return {"before": list(names)}
        case KeepToward(start, goal):
            return {"toward": [start, goal]}


def keep_of(table: Mapping[str, Sequence[str]]) -> Keep:
    """The choice in a [[plan.keep]] table of a design that can be read.

    >>> keep_of({"before": ["R", "W"]}).title
    'R before W'
    """
    ((kind, names),) = table.items()
    match kind:
        case "trail":
            return KeepTrail(tuple(names))
        case "panels":
            return KeepPanels(tuple(names))
        case "before":
            return KeepBefore(tuple(names))
        case _:
            return KeepToward(*names)


def in_stable_order(keep: tuple[Keep, ...]) -> tuple[Keep, ...]:
    """Fixed choices sorted by kind and contents, each once."""
    kinds = (KeepTrail, KeepPanels, KeepBefore, KeepToward)

    def order(choice: Keep) -> tuple[int, tuple[str, ...]]:
        match choice:
            case KeepTrail(names) | KeepPanels(names) | KeepBefore(names):
                return kinds.index(type(choice)), names
            case KeepToward(start, goal):
                return kinds.index(KeepToward), (start, goal)

    return tuple(sorted(dict.fromkeys(keep), key=order))


def _listed(names: tuple[str, ...]) -> str:
    """All names of a short list; of a long one the first two and the last."""
    if len(names) <= 4:
        return ", ".join(names)
    return f"{names[0]}, {names[1]} ... {names[-1]} ({len(names)} of them)"
