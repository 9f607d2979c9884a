"""A plan's needs against the maker's stock: what comes from it, what is missing, what is left.

Part-used balloons come first: as many balloons of the plan as can be are made from them, and among
all ways of doing so one that leaves the least of them over. Both are exact, since a part-used
balloon does for a trail of bubbles if and only if its room is at least what the trail needs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from airweft.balloon.stock import (
    Entry,
    PartUsed,
    State,
    Stock,
    entry_for,
    rest_of,
    room,
    room_needed,
    tail_within,
    whole_room,
)
from airweft.records.budget import Budget
from airweft.records.design import Colour, colour_of
from airweft.records.plan import Balloon, Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeFrom:
    """A balloon of the plan, `code`, that is made from a part-used one.

    `length` is what that one inflates to and `flat` how long it lies empty (the one that was not
    measured is in whole millimetres, rounded down), `left` the inflatable length that is left of it
    afterwards; hundredths of a millimetre.
    """

    code: str
    rest: PartUsed
    length: int
    flat: int
    left: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """Where the balloons of one colour and size come from.

    state      of the stock's entry; "not listed" where it has none
    had        whole balloons there were for this line
    whole      codes of the balloons made from whole ones of the stock, in the plan's order
    part_used  the balloons made from part-used ones
    missing    codes of the balloons that nothing in the stock is left for
    pack       how many are sold together, where the stock says so
    """

    mark: str
    size: str
    state: State | Literal["not listed"]
    had: int
    whole: tuple[str, ...]
    part_used: tuple[MadeFrom, ...]
    missing: tuple[str, ...]
    pack: int | None = None

    @property
    def flats(self) -> dict[str, int]:
        """The empty length of each part-used balloon, by the code of what is made from it."""
        return {made.code: made.flat for made in self.part_used}


@dataclass(frozen=True, slots=True)
class Supplied:
    """A plan with the tails of its part-used balloons, and a supply for each colour and size."""

    plan: Plan
    supplies: tuple[Supply, ...]

    @property
    def missing(self) -> int:
        """Balloons that the stock has not."""
        return sum(len(supply.missing) for supply in self.supplies)


def supply_plan(plan: Plan, palette: Sequence[Colour], stock: Stock, *, step: int) -> Supplied:
    """The plan made from `stock`.

    A part-used balloon gets a tail of its own, a multiple of `step`, even where the design fixes
    one for whole balloons: it is shorter, and so is what it has to leave. Several marks may draw on
    one entry; the earlier in the palette is served first.
    """
    place = {colour.mark: n for n, colour in enumerate(palette)}
    groups: dict[tuple[str, str], list[Balloon]] = {}
    for balloon in plan.balloons:
        groups.setdefault((balloon.colour, balloon.size), []).append(balloon)
    order = sorted(groups, key=lambda key: (place.get(key[0], len(place)), key))
    drawn: dict[Entry, list[tuple[str, str]]] = {}
    for mark, size in order:
        entry = entry_for(stock, colour_of(mark, palette), size)
        if entry is not None:
            drawn.setdefault(entry, []).append((mark, size))
    made: dict[str, MadeFrom] = {}
    tails: dict[str, int] = {}
    for entry, keys in drawn.items():
        if entry.state == "do not use" or not entry.part_used:
            continue
        balloons = [balloon for key in keys for balloon in groups[key]]
        budget = entry.budget or plan.budgets[entry.size]
        found = _from_part_used(balloons, plan, entry, budget, step)
        made |= {one.code: one for one, _ in found}
        tails |= {one.code: tail for one, tail in found}
    left = {entry: _usable(entry) for entry in drawn}
    supplies = []
    for key in order:
        mine = next((entry for entry, keys in drawn.items() if key in keys), None)
        codes = [balloon.code for balloon in groups[key]]
        fresh = [code for code in codes if code not in made]
        had = left.get(mine, 0) if mine is not None else 0
        unlimited = mine is not None and mine.state == "unlimited"
        whole = fresh if unlimited else fresh[:had]
        if mine is not None:
            left[mine] = had - len(whole)
        supplies.append(
            Supply(
                mark=key[0],
                size=key[1],
                state="not listed" if mine is None else mine.state,
                had=had,
                whole=tuple(whole),
                part_used=tuple(made[code] for code in codes if code in made),
                missing=tuple(fresh[len(whole) :]),
                pack=None if mine is None else mine.pack,
            )
        )
    return Supplied(_with_tails(plan, tails), tuple(supplies))


def least_missing(
    plan: Plan, palette: Sequence[Colour], stock: Stock, *, most_bubbles: int | None
) -> int:
    """So many whole balloons any plan for this coloured net lacks, whatever its trails.

    By length (M4, both conditions together) and by count, for each entry of the stock; exact.
    """
    lengths = plan.net.lengths.tolist()
    wanted: dict[tuple[str, str], list[int]] = {}
    for bubble, key in enumerate(zip(plan.net.colours, plan.net.sizes, strict=True)):
        wanted.setdefault(key, []).append(lengths[bubble])
    of_entry: dict[Entry | tuple[str, str], list[int]] = {}
    for (mark, size), bubbles in wanted.items():
        entry = entry_for(stock, colour_of(mark, palette), size)
        of_entry.setdefault(entry or (mark, size), []).extend(bubbles)
    missing = 0
    for at, bubbles in of_entry.items():
        if isinstance(at, Entry) and at.state == "unlimited":
            continue
        size = at.size if isinstance(at, Entry) else at[1]
        budget = (at.budget if isinstance(at, Entry) else None) or plan.budgets[size]
        ends = (budget.knot + budget.stub) * budget.flat
        use = (sum(bubbles) + len(bubbles) * budget.twist_takes) * budget.flat
        there = at.part_used if isinstance(at, Entry) and at.state == "limited" else ()
        use -= sum(max(0, room(rest, budget) - ends) for rest in there)
        by_length = -(-use // max(1, whole_room(budget) - ends))
        by_count = 0
        if most_bubbles is not None:
            by_count = -(-(len(bubbles) - len(there) * most_bubbles) // most_bubbles)
        had = _usable(at) if isinstance(at, Entry) else 0
        missing += max(0, by_length - had, by_count - had)
    return missing


def best_fit(needs: Sequence[int], rooms: Sequence[int]) -> list[tuple[int, int]]:
    """Pairs (need, room), by index, such that each room suffices for its need.

    As many as there can be; among those the least room left over in all. Two pairs that cross can
    be uncrossed at no cost, so that it is enough to look at both lists in order of size. Time and
    memory grow with the product of the two lengths.
    """
    asked = sorted(range(len(needs)), key=lambda n: (needs[n], n))
    there = sorted(range(len(rooms)), key=lambda n: (rooms[n], n))
    pair = sum(rooms) + 1  # one pair more outweighs any room left over
    # best[i][j]: room left over less `pair` for each pair, of the first i rooms and j needs.
    best = [[0] * (len(asked) + 1) for _ in range(len(there) + 1)]
    for i, at in enumerate(there, start=1):
        for j, need in enumerate(asked, start=1):
            best[i][j] = min(best[i - 1][j], best[i][j - 1])
            if rooms[at] >= needs[need]:
                over = rooms[at] - needs[need]
                best[i][j] = min(best[i][j], best[i - 1][j - 1] + over - pair)
    pairs = []
    i, j = len(there), len(asked)
    while i and j:
        if best[i][j] == best[i - 1][j]:
            i -= 1
        elif best[i][j] == best[i][j - 1]:
            j -= 1
        else:
            i, j = i - 1, j - 1
            pairs.append((asked[j], there[i]))
    return pairs[::-1]


def _from_part_used(
    balloons: Sequence[Balloon],
    plan: Plan,
    entry: Entry,
    budget: Budget,
    step: int,
) -> list[tuple[MadeFrom, int]]:
    """The balloons that part-used ones are enough for, each with its tail."""
    lengths = [int(plan.net.lengths[list(balloon.bubbles)].sum()) for balloon in balloons]
    rooms = [room(rest, budget) for rest in entry.part_used]
    longest = max(rooms)
    asked = []
    for n, balloon in enumerate(balloons):
        need = room_needed(len(balloon.bubbles), lengths[n], budget, step)
        if need <= longest:
            asked.append((need, n))
    found = []
    for k, at in best_fit([need for need, _ in asked], rooms):
        n = asked[k][1]
        count = len(balloons[n].bubbles)
        tail = tail_within(count, lengths[n], rooms[at], budget, step)
        rest = entry.part_used[at]
        made = MadeFrom(
            code=balloons[n].code,
            rest=rest,
            length=_whole_mm(rooms[at] // budget.flat) if rest.flat else rest.length,
            flat=rest.length if rest.flat else _whole_mm(rooms[at] // budget.full),
            left=rest_of(count, lengths[n], rooms[at], budget),
        )
        found.append((made, tail))
    return found


def _whole_mm(length: int) -> int:
    return length // 100 * 100


def _usable(entry: Entry) -> int:
    """Whole balloons of an entry that may be used, as far as they are counted."""
    return entry.count if entry.state == "limited" else 0


def _with_tails(plan: Plan, tails: dict[str, int]) -> Plan:
    """The plan with these tails; each suits a whole balloon as well, so that M4 stays kept."""
    if not tails:
        return plan
    return replace(
        plan,
        balloons=tuple(
            replace(balloon, tail=tails.get(balloon.code, balloon.tail))
            for balloon in plan.balloons
        ),
    )
