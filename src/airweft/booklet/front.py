"""Cover, cautions and what you need, as data for the pages."""

from __future__ import annotations

from typing import Any

from airweft.base.findings import Finding, in_order
from airweft.base.units import show_length
from airweft.booklet.book import Book
from airweft.booklet.facts import (
    Group,
    codes_text,
    count,
    cover_facts,
    form_text,
    groups,
    level,
    minutes_text,
)
from airweft.booklet.letters import shortened
from airweft.booklet.walk import halves, safe_hex
from airweft.costing.air import litres, strokes
from airweft.costing.shopping import Line, left_text, packs_text, stock_text
from airweft.words.cautions import CHOKING

Data = dict[str, Any]

_NOTE_LINE, _NOTE_LINES = 128, 9  # letters in a line of the notes; lines below the cautions
_MOST_LAID = 24  # so many balloons are named in their order


def cover(book: Book) -> Data:
    """The first page: title, facts, level, the warning in short."""
    title = shortened(book.design.name, 160) or "A piece without a name"
    grade = level(book)
    head, _, rest = CHOKING.partition(" — ")
    return {
        "title": title,
        "title_size": 40 if len(title) <= 22 else 32 if len(title) <= 44 else 22,
        "subtitle": form_text(book) + ".",
        "facts": [{"figure": f.figure, "meaning": f.meaning} for f in cover_facts(book)],
        "level": f"Level {grade.number} of 4: {grade.name}",
        "techniques": "You will use " + _series(grade.techniques) + ".",
        "warning_head": head + ".",
        "warning": f"{rest} All cautions are on the next page: read them before you start.",
    }


def cautions(book: Book) -> Data:
    """All cautions, the choking statement apart."""
    others = [c for c in book.cautions if c.text != CHOKING]
    return {
        "title": "Before you start",
        "choking": CHOKING,
        "columns": [
            [{"title": title, "text": text} for title, text in part]
            for part in halves([(c.title, c.text) for c in others])
        ],
    }


def findings(book: Book) -> list[Data]:
    """What the checks had to say about this piece, worst first."""
    return [finding(f) for f in in_order(book.findings)]


def run_on(book: Book) -> bool:
    """Whether the notes are so long that they run on to the page after the cautions.

    Reckoned from their letters: asking where they end while setting would never come to rest.
    """
    texts = [" ".join(f.values()) for f in findings(book)]
    return sum(-(-len(text) // _NOTE_LINE) for text in texts) > _NOTE_LINES


def finding(found: Finding) -> Data:
    """One finding in words."""
    kind = {"cannot": "Cannot be made", "risky": "Risky", "note": "Note"}[found.severity]
    return {
        "where": f"{kind}, {found.where}:" if found.where else f"{kind}:",
        "message": _sentence(found.message),
        "remedy": _sentence(found.remedy),
    }


def need(book: Book) -> Data:
    """What to buy and lay ready."""
    units = book.design.units
    used = {line.mark for line in book.shopping}
    stocked = any(line.supply is not None for line in book.shopping)
    lines = [
        {
            "mark": line.mark,
            "hex": safe_hex(line.hex),
            "name": line.name,
            "size": line.size,
            "cells": _cells(line, stocked=stocked),
            "words": f"{count(line.need, 'balloon')} and {line.spare} spare for "
            f"{count(line.bubbles, 'bubble')}: "
            + (f"from stock {stock_text(line.supply)}, to buy " if line.supply else "")
            + f"{packs_text(line.packs)}.",
        }
        for line in book.shopping
    ]
    rows = []
    for group in groups(book):
        colour = book.colour(group.mark)
        pumped = _strokes(book, group)
        rows.append(
            {
                "mark": group.mark,
                "hex": safe_hex(colour.hex),
                "codes": codes_text(group.codes)
                + (f" ({len(group.codes)})" if len(group.codes) > 1 else "")
                + (", part-used" if group.flat else ""),
                "bubbles": f"{group.bubbles:,}",
                "tail": show_length(group.tail, units),
                "strokes": "" if pumped is None else f"{pumped}",
            }
        )
    low, high = book.plan.claims.minutes_low, book.plan.claims.minutes_high
    return {
        "title": "What you need",
        "lead": f"Bubbles are {_bubble_lengths(book)} long. Plan {minutes_text(low, high)} for "
        "the making if your hands know lock twists; a first piece takes longer.",
        "heads": [
            "Mark",
            "Colour",
            "Size",
            *(["Balloons", "Spare", "From stock"] if stocked else ["Bubbles", "Balloons", "Spare"]),
            "To buy",
            "Left over",
        ],
        "strong": 0 if stocked else 1,
        "lines": lines,
        **_part_used(book),
        "footnote": ""
        if used
        else "The shopping list was not made: count the balloons in the list at the end.",
        "groups_title": "Inflating",
        "groups_lead": "Inflate each balloon until only its flat tail is left, and knot it. "
        "Measure the tail with the tail gauge (see “Gauges at true size”), and write the code on "
        f"it. {_order(book)} The groups:",
        "group_heads": [
            "Mark",
            "Balloons",
            "Bubbles each",
            "Flat tail",
            "Strokes, about",
            "Yours",
        ],
        "groups": rows,
        "groups_note": "Strokes are for a full stroke of a usual hand pump, a rough figure. Count "
        "the strokes of your own pump at the first balloon, write them down, and the others "
        "follow.",
        "tools_title": "Lay ready",
        "tools": [
            "A hand pump (never the mouth)",
            "Eye protection",
            "The bubble gauge and the tail gauge, printed at 100 %",
            "Blunt-tipped scissors",
            "A pen, to write the codes on the balloons' tails",
            "A bag for every scrap of balloon",
        ],
    }


def _cells(line: Line, *, stocked: bool) -> list[str]:
    """The figures of a line; with a stock its share in place of the number of bubbles."""
    need, spare = f"{line.need:,}", f"{line.spare:,}"
    first = (
        [need, spare, stock_text(line.supply)] if stocked else [f"{line.bubbles:,}", need, spare]
    )
    return [*first, packs_text(line.packs), left_text(line)]


def _part_used(book: Book) -> Data:
    """Which balloon is made from which part-used one."""
    units = book.design.units
    tails = {balloon.code: balloon.tail for balloon in book.plan.balloons}
    return {
        "part_used_title": "From part-used balloons",
        "part_used_lead": "Find these first and write the code on each. Latex that was stretched "
        "before is softer: where in doubt, take a whole one and the same tail.",
        "part_used_heads": ["Mark", "Balloon", "Empty", "Inflated to the tip", "Flat tail"],
        "part_used": [
            {
                "mark": line.mark,
                "hex": safe_hex(line.hex),
                "cells": [
                    f"{made.code}, {line.name} {line.size}",
                    show_length(made.flat, units),
                    show_length(made.length, units),
                    show_length(tails[made.code], units),
                ],
            }
            for line in book.shopping
            for made in (line.supply.part_used if line.supply is not None else ())
        ],
    }


def _bubble_lengths(book: Book) -> str:
    """The bubble lengths of the net, the shortest and the longest where they differ."""
    lengths = book.net.lengths.tolist() or [book.design.bubble]
    low, high = min(lengths), max(lengths)
    if low == high:
        return show_length(low, book.design.units)
    units = book.design.units
    return f"{show_length(low, units)} to {show_length(high, units)}"


def _strokes(book: Book, group: Group) -> int | None:
    """Pump strokes for one balloon of a group; None where the size does not tell its width."""
    budget = book.plan.budgets.get(group.size)
    air = litres(group.size, budget, group.tail, group.flat or None) if budget else None
    return None if air is None else strokes(air)


def _order(book: Book) -> str:
    """In which order to lay the balloons out: the one in which the steps take them up."""
    if len(book.plan.balloons) < 2:
        return ""
    codes = [balloon.code for balloon in book.plan.balloons]
    if len(codes) > _MOST_LAID:
        return "Lay them out in the order of “All balloons” at the end: the steps take them so."
    return f"Lay them out in the order of the steps: {', '.join(codes)}."


def _series(words: tuple[str, ...]) -> str:
    return ", ".join(words[:-1]) + " and " + words[-1] if len(words) > 1 else "".join(words)


def _sentence(text: str) -> str:
    """A text with a capital letter in front and a full stop at its end."""
    text = text.strip()
    ended = text if not text or text[-1] in ".!?" else text + "."
    return ended[:1].upper() + ended[1:]
