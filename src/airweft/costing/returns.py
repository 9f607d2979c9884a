"""The stock after a plan was made: whole balloons taken out, rests long enough put back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from airweft.balloon.stock import (
    MOST_PART_USED,
    Entry,
    PartUsed,
    Stock,
    entry_for,
    rest_of,
    room,
    whole_room,
)
from airweft.costing.supply import Supplied
from airweft.records.design import Colour, colour_of

_MM = 100  # rests are written in whole millimetres, rounded down


def stock_after(stock: Stock, supplied: Supplied, palette: Sequence[Colour]) -> Stock:
    """What is left of `stock` when the plan has been made from it.

    Spares are taken not to have been used. Balloons that the stock had not are taken to have been
    got just as needed; their rests are kept like any others. Rests shorter than `stock.keep_from`
    are scraps. Nothing is put back to balloons that are not to be used.
    """
    plan = supplied.plan
    balloons = {balloon.code: balloon for balloon in plan.balloons}
    entries: list[Entry] = list(stock.entries)
    for supply in supplied.supplies:
        colour = colour_of(supply.mark, palette)
        entry = entry_for(replace(stock, entries=tuple(entries)), colour, supply.size)
        if entry is None:
            entry = Entry(size=supply.size, name=colour.name, hex=colour.hex)
        elif entry.state == "do not use":
            continue
        budget = entry.budget or plan.budgets[supply.size]
        rooms = {code: whole_room(budget) for code in (*supply.whole, *supply.missing)}
        rooms |= {one.code: room(one.rest, budget) for one in supply.part_used}
        rests = list(entry.part_used)
        for one in supply.part_used:
            rests.remove(one.rest)
        for balloon in (balloons[code] for code in rooms):
            length = int(plan.net.lengths[list(balloon.bubbles)].sum())
            left = rest_of(len(balloon.bubbles), length, rooms[balloon.code], budget)
            if left >= stock.keep_from:
                rests.append(PartUsed(left // _MM * _MM))
        count = entry.count - len(supply.whole) if entry.state == "limited" else entry.count
        longest = sorted(rests, key=lambda rest: -room(rest, budget))[:MOST_PART_USED]
        # Those measured flat come after those measured inflated, as they are written.
        rests = sorted(longest, key=lambda rest: (rest.flat, -rest.length))
        after = replace(entry, count=count, part_used=tuple(rests))
        if entry in entries:
            entries[entries.index(entry)] = after
        elif rests:
            entries.append(after)
    return replace(stock, entries=tuple(entries))
