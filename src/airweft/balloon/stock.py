"""The balloons that a maker has: whole ones and part-used ones, by colour and size.

The lengths of part-used balloons follow making rule M4. What is left of a balloon is a balloon of
the same stretch, only shorter: its cut end is knotted, and the same figures hold for it. To stay
exact, its *room* is its inflatable length times the whole balloon's flat length.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from airweft.records.budget import Budget
from airweft.records.design import Colour

State = Literal["limited", "unlimited", "do not use"]

KEEP_FROM = 30_000
"""A rest is kept from this inflatable length on, 30 cm, unless the maker says otherwise.

Assumption, from memory: enough for a knot, an end to tie off and a few bubbles.
"""

MOST_PART_USED = 500
"""Part-used balloons of one colour and size; nobody measures more."""


@dataclass(frozen=True, slots=True)
class PartUsed:
    """A part-used balloon by what is left of it, in hundredths of a millimetre.

    `length` is that of the rest inflated to its tip, or as it lies empty where `flat`.
    """

    length: int
    flat: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What there is of one colour and size.

    limited      `count` whole balloons and the part-used ones
    unlimited    as many whole balloons as anybody needs
    do not use   set aside: as good as not there
    `pack` is how many are sold together (None: not known). `own` names the figures of `budget` that
    the maker measured; without any, `budget` is None.
    """

    size: str
    name: str
    hex: str
    state: State = "limited"
    count: int = 0
    part_used: tuple[PartUsed, ...] = ()
    pack: int | None = None
    budget: Budget | None = None
    own: tuple[str, ...] = ()

    @property
    def usable(self) -> bool:
        """Whether any of it may be used."""
        return self.state == "unlimited" or (
            self.state == "limited" and (self.count > 0 or bool(self.part_used))
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """All entries in the maker's order; `keep_from` is the shortest rest kept, inflated."""

    units: Literal["mm", "cm", "in"] = "cm"
    keep_from: int = KEEP_FROM
    entries: tuple[Entry, ...] = ()


def entry_for(stock: Stock, colour: Colour, size: str) -> Entry | None:
    """The entry that holds balloons of `colour` and `size`: by name first, then by colour code."""
    name = colour.name.strip().casefold()
    of_size = [entry for entry in stock.entries if entry.size == size]
    named = (entry for entry in of_size if entry.name.strip().casefold() == name)
    return next(named, None) or next((e for e in of_size if e.hex == colour.hex), None)


def room(rest: PartUsed, budget: Budget) -> int:
    """The rest's inflatable length times the whole balloon's flat length (exact)."""
    return rest.length * (budget.full if rest.flat else budget.flat)


def whole_room(budget: Budget) -> int:
    """The room of a whole balloon."""
    return budget.full * budget.flat


def room_needed(count: int, length: int, budget: Budget, step: int) -> int:
    """The least room in which M4 lets `count` bubbles of `length` in all be made.

    A tail has to be left for the pinches, a multiple of `step`; it is never longer than the rest.
    """
    tail = budget.least_tail(count, step)
    return max(0, _body(count, length, budget)) * budget.flat + tail * budget.full


def tail_within(count: int, length: int, within: int, budget: Budget, step: int) -> int:
    """The flat tail to leave where the room is `within`, chosen as for a whole balloon.

    Three quarters of the way from the least tail to the longest. The room must suffice.
    """
    least = budget.least_tail(count, step)
    body = max(0, _body(count, length, budget))
    most = (within - body * budget.flat) // budget.full // step * step
    return least + (most - least) * 3 // 4 // step * step


def rest_of(count: int, length: int, within: int, budget: Budget) -> int:
    """The inflatable length left of a balloon of room `within` after these bubbles, rounded down.

    Bubbles, knot and end are used up; tail and air pushed into it are not (both conditions of M4
    together).
    """
    used = length + count * budget.twist_takes + budget.knot + budget.stub
    return max(0, within - used * budget.flat) // budget.flat


def shared_budget(budgets: Iterable[Budget]) -> Budget:
    """A budget so careful that what it allows, every one of `budgets` allows with the same tail.

    Needed where balloons of one size but different colours were measured differently, since a plan
    has one budget for each size. Equal budgets give the same again.
    """
    given: Sequence[Budget] = list(dict.fromkeys(budgets))
    if len(given) == 1:
        return given[0]
    flat = min(b.flat for b in given)
    pushes = max(b.twist_pushes for b in given)
    return Budget(
        flat=flat,
        full=min(flat * b.full // b.flat for b in given),  # the least stretch
        knot=max(b.knot for b in given),
        stub=max(b.stub for b in given),
        twist_takes=pushes + max(b.twist_takes - b.twist_pushes for b in given),
        twist_pushes=pushes,
    )


def _body(count: int, length: int, budget: Budget) -> int:
    """The body that M4a asks for before the first twist, knot and end included."""
    each = budget.twist_takes - budget.twist_pushes
    return length + count * each + budget.stub + budget.knot
