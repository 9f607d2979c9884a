"""Who makes what: the page for a crew, and the net in the colours of its parts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import radians
from typing import Any

from airweft.base.units import show_length
from airweft.booklet.book import Book
from airweft.booklet.facts import codes_text, count, groups, minutes_text
from airweft.booklet.pictures import Figure
from airweft.draw.body import Bodies
from airweft.draw.camera import Camera
from airweft.draw.picture import piece
from airweft.draw.view import FRONT, said
from airweft.records.design import Colour
from airweft.records.net import Net
from airweft.records.steps import Chapter

Data = dict[str, Any]

# Light enough for ink on them; the letters tell the parts apart where colours do not.
_TINTS = (
    "#8fbfe0",
    "#f2c75c",
    "#93cf9a",
    "#ec9a92",
    "#bda6dc",
    "#f3ad72",
    "#8fd3d1",
    "#d3bd94",
)
_JOINING = ("+", "#c3c8cc")
_BEHIND = Camera(turn=FRONT.turn + radians(180), tilt=-FRONT.tilt)


def part_colours(book: Book) -> tuple[Colour, ...]:
    """A colour for each part, with the part's letter as its mark; last what is made in joining."""
    names = [chapter.name.split()[-1] for chapter in book.instructions.chapters if chapter.person]
    tints = [Colour(name, f"part {name}", _TINTS[i % len(_TINTS)]) for i, name in enumerate(names)]
    return (*tints, Colour(_JOINING[0], "made when joining", _JOINING[1]))


def net_by_parts(book: Book) -> Net:
    """The net with each bubble marked by the part that it belongs to."""
    marks = [_JOINING[0]] * book.net.bubble_count
    for chapter in book.instructions.chapters:
        if chapter.person:
            for bubble in chapter.bubbles:
                marks[bubble] = chapter.name.split()[-1]
    return replace(book.net, colours=tuple(marks))


def crew_figures(book: Book, bodies: Bodies) -> tuple[Figure, ...]:
    """The piece in the colours of its parts, from in front above and from behind below."""
    if not book.instructions.chapters:
        return ()
    net, palette = net_by_parts(book), part_colours(book)
    names = ", ".join(c.name for c in palette if c.mark in net.colours)
    return tuple(
        Figure(
            svg=piece(net, palette, camera, width=400, bodies=bodies),
            alt=f"The piece, every bubble marked by who makes it: {names}; seen {said(camera)}.",
            text=f"Seen {said(camera)}.",
        )
        for camera in (FRONT, _BEHIND)
    )


def crew(book: Book, figures: Sequence[Figure]) -> Data | None:
    """The page's words: each part with its person, minutes and balloons, then the joining."""
    chapters = book.instructions.chapters
    if not chapters:
        return None
    people = max(chapter.person for chapter in chapters)
    claims = book.plan.claims
    hexes = {colour.mark: colour.hex for colour in part_colours(book)}
    return {
        "title": "Who makes what",
        "lead": f"This plan is for {people} people at once: each makes a part on a table of their "
        f"own, and at the end the parts are joined. Plan "
        f"{minutes_text(claims.minutes_low, claims.minutes_high)} from the first balloon to the "
        "last lock, if all begin together and all hands know lock twists. Give each person the "
        "steps of their part, and lay their balloons ready in a heap of their own.",
        "figures": [
            {"svg": figure.svg, "alt": figure.alt, "text": figure.text} for figure in figures
        ],
        "heads": ["", "What", "Steps", "Bubbles", "Minutes, about", "Balloons"],
        "parts": [_part(book, n, chapter, hexes) for n, chapter in enumerate(chapters)],
        "stock_title": "Balloons of each part",
        "stock_heads": ["Part", "Mark", "Size", "Balloons", "Bubbles each", "Flat tail"],
        "stock": [line for chapter in chapters for line in _stock(book, chapter, hexes)],
    }


def _part(book: Book, number: int, chapter: Chapter, hexes: dict[str, str]) -> Data:
    mark = _mark(chapter)
    minutes = book.minutes.sections[number] if book.minutes and book.minutes.sections else None
    first, last = chapter.first_step, chapter.last_step
    codes = _codes(book, chapter)
    joints = _joints(book, chapter)
    return {
        "mark": mark,
        "hex": hexes[mark],
        "title": chapter.title,
        "steps": f"{first}" if first == last else f"{first} to {last}",
        "bubbles": f"{len(chapter.bubbles):,}",
        "minutes": "" if minutes is None else minutes_text(minutes.low, minutes.high),
        "balloons": f"{codes_text(codes)} ({len(codes)})"
        if codes
        else count(joints, "joint") + " to lock",
    }


def _stock(book: Book, chapter: Chapter, hexes: dict[str, str]) -> list[Data]:
    """What to inflate for a part: its balloons that are inflated alike."""
    own = set(_codes(book, chapter))
    mark = _mark(chapter)
    lines: list[Data] = []
    for group in groups(book):
        codes = tuple(code for code in group.codes if code in own)
        if codes:
            lines.append(
                {
                    "part": mark,
                    "part_hex": hexes[mark],
                    "mark": group.mark,
                    "hex": book.colour(group.mark).hex,
                    "size": group.size,
                    "codes": f"{codes_text(codes)} ({len(codes)})",
                    "bubbles": f"{group.bubbles:,}",
                    "tail": show_length(group.tail, book.design.units),
                }
            )
    return lines


def _mark(chapter: Chapter) -> str:
    return chapter.name.split()[-1] if chapter.person else _JOINING[0]


def _actions(book: Book, chapter: Chapter) -> tuple[int, int]:
    steps = [
        step
        for step in book.instructions.steps
        if chapter.first_step <= step.number <= chapter.last_step
    ]
    return steps[0].first_action, steps[-1].last_action


def _codes(book: Book, chapter: Chapter) -> tuple[str, ...]:
    """The balloons taken up in a chapter, in order."""
    first, last = _actions(book, chapter)
    return tuple(
        code
        for action in book.plan.actions[first:last]
        if action.do in ("tie", "start")
        for code in action.balloons
    )


def _joints(book: Book, chapter: Chapter) -> int:
    first, last = _actions(book, chapter)
    return sum(action.do == "lock" for action in book.plan.actions[first:last])
