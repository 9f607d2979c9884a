"""Patterns: which colour each bubble of a net gets."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.base.nearest import nearest, said_list
from airweft.colour.legible import palette_notes
from airweft.colour.rules import RULES, period
from airweft.records.design import Colour, Pattern
from airweft.records.net import Net

_MOST_TOLD = 12


def paint(net: Net, pattern: Pattern, palette: Sequence[Colour]) -> Net:
    """The net with a palette mark on every bubble.

    The pattern is laid down first, then the marks set by hand, then each extra bubble on a seam
    takes the mark of its panel's first bubble at that joint unless it was set by hand itself.
    Raises CannotMake with every finding: marks that are not in the palette, panels or bubbles that
    the net does not have or that get no colour, patterns that need a chart the net does not have.
    """
    findings = [*_unknown_marks(pattern, palette), *_unknown_names(net, pattern)]
    marks, problems = RULES[pattern.kind](net, pattern)
    findings += problems
    if net.counted is not None:  # parts that were painted on their own keep their colours
        marks = [own or laid for own, laid in zip(net.colours, marks, strict=True)]
    for name, bubble in _numbers(net, pattern.bubbles).items():
        marks[bubble] = pattern.bubbles[name]
    _colour_loops(net, pattern, marks)
    if not problems:
        findings += _unpainted(net, marks)
    if pattern.kind == "given":
        findings += _foreign(net, marks, palette, by_hand=set(pattern.bubbles))
    if findings:
        raise CannotMake(findings)
    return replace(net, colours=tuple(marks))


def paint_notes(net: Net, pattern: Pattern, palette: Sequence[Colour] = ()) -> tuple[Finding, ...]:
    """Notes on a painted net: where stripes do not meet, colours unused or hard to tell apart."""
    notes: list[Finding] = []
    length = period(pattern.repeat)
    if net.around and pattern.kind in ("columns", "checks") and net.around % length:
        tube = "tube" in net.panels or net.counted is not None
        edge = (
            f"between column {net.around} and column 1, at the front"
            if tube
            else "at the front left corner, where left and front meet"
        )
        nearest_counts = said_list(_closing(net.around, length, step=2 if tube else 4), last="or")
        notes.append(
            Finding(
                code="pattern-does-not-close",
                severity="note",
                where=f"pattern, repeat {pattern.repeat}",
                message=f"{net.around} columns go all the way round, and the pattern repeats after "
                f"{length}: it does not come out even. The break falls {edge}.",
                remedy=f"Leave it, or make the columns all round {nearest_counts}.",
            )
        )
    used = set(net.colours)
    notes += [
        Finding(
            code="unused-colour",
            severity="note",
            where=f"colours, {colour.mark}",
            message=f"No bubble is {colour.name} ({colour.mark}).",
            remedy="Leave it out of the colours, or use its mark in the pattern.",
        )
        for colour in palette
        if used != {""} and colour.mark not in used
    ]
    return (*notes, *palette_notes(palette))


def _closing(around: int, length: int, *, step: int) -> list[str]:
    """The nearest counts below and above that the fabric and the pattern both close on."""
    whole = math.lcm(length, step)
    below = around // whole * whole
    return [str(count) for count in (below, below + whole) if count]


def _numbers(net: Net, names: Iterable[str]) -> dict[str, int]:
    """The bubble of each of these names that the net has."""
    wanted = dict.fromkeys(names)
    if not wanted:
        return {}
    number = {name: bubble for bubble, name in enumerate(net.bubble_names)}
    return {name: number[name] for name in wanted if name in number}


def _unknown_marks(pattern: Pattern, palette: Sequence[Colour]) -> list[Finding]:
    """Marks of the pattern that are not in the palette, each told once."""
    known = {colour.mark for colour in palette}
    asked: dict[str, str] = {}
    for mark in pattern.repeat:
        asked.setdefault(mark, f'in "{pattern.repeat}"')
    for panel, mark in pattern.panels.items():
        asked.setdefault(mark, f"for panel {panel}")
    for name, mark in pattern.bubbles.items():
        asked.setdefault(mark, f"for bubble {name}")
    there = said_list(sorted(known)) or "none"
    return [
        Finding(
            code="unknown-colour",
            severity="cannot",
            where=f"pattern, {place}",
            message=f"The mark {mark!r} {place} is not among the colours; they are {there}.",
            remedy=f"Add {mark!r} to the colours, or use one of their marks.",
        )
        for mark, place in asked.items()
        if mark not in known
    ]


def _unknown_names(net: Net, pattern: Pattern) -> list[Finding]:
    """By-hand marks for bubbles that the net does not have, with the nearest name it has."""
    known = _numbers(net, pattern.bubbles)
    missing = [name for name in pattern.bubbles if name not in known]
    findings = []
    for name in missing[:_MOST_TOLD]:
        first_word = name.strip().lower().partition(" ")[0]
        alike = [n for n in net.bubble_names if n.lower().startswith(first_word)]
        near = nearest(name, alike or net.bubble_names[:2000])
        findings.append(
            Finding(
                code="unknown-bubble",
                severity="cannot",
                where=f"pattern, bubble {name}",
                message=f"There is no bubble {name!r} in this piece.",
                remedy=f"Is {near!r} meant?" if near else _example(net),
            )
        )
    rest = len(missing) - _MOST_TOLD
    if rest > 0:
        findings.append(
            Finding(
                code="unknown-bubble",
                severity="cannot",
                where="pattern, bubbles",
                message=f"And {rest} more bubbles that are not in this piece.",
                remedy=_example(net),
            )
        )
    return findings


def _example(net: Net) -> str:
    """How bubbles are called in this net."""
    if not net.bubble_count:
        return "This piece has no bubbles."
    return f"Bubbles here are called {net.bubble_names[0]!r} to {net.bubble_names[-1]!r}."


def _colour_loops(net: Net, pattern: Pattern, marks: list[str]) -> None:
    """Give each extra bubble the mark of its panel's first bubble at that joint."""
    loops = [b for b, kind in enumerate(net.kinds) if kind == "loop" and net.bubble_panels[b]]
    if not loops:
        return
    at = net.ends_at()
    for loop in loops:
        own = net.colours[loop] and (pattern.kind == "given" or net.counted is not None)
        if net.bubble_names[loop] in pattern.bubbles or own:
            continue
        joint = int(net.ends[loop, 0])
        for bubble in at[joint]:
            if net.kinds[bubble] != "loop" and net.bubble_panels[bubble] == net.bubble_panels[loop]:
                marks[loop] = marks[bubble]
                break


def _unpainted(net: Net, marks: list[str]) -> list[Finding]:
    """One finding for all bubbles that have no mark yet."""
    bare = tuple(bubble for bubble, mark in enumerate(marks) if not mark)
    if not bare:
        return []
    first = net.bubble_names[bare[0]]
    more = f" and {len(bare) - 1} more have" if bare[1:] else " has"
    return [
        Finding(
            code="no-colour",
            severity="cannot",
            where=f"bubble {first}",
            message=f"Bubble {first}{more} no colour.",
            remedy="Give a colour in the net file, or by hand in the pattern.",
            bubbles=bare,
        )
    ]


def _foreign(
    net: Net, marks: list[str], palette: Sequence[Colour], *, by_hand: set[str]
) -> list[Finding]:
    """Marks of a net file that the palette lacks, each with its bubbles."""
    known = {colour.mark for colour in palette}
    where: dict[str, list[int]] = {}
    for bubble, mark in enumerate(marks):
        if mark and mark not in known and net.bubble_names[bubble] not in by_hand:
            where.setdefault(mark, []).append(bubble)
    return [
        Finding(
            code="unknown-colour",
            severity="cannot",
            where=f"bubble {net.bubble_names[bubbles[0]]}",
            message=f"The net file gives the mark {mark!r} to {len(bubbles)} of its bubbles, first "
            f"to {net.bubble_names[bubbles[0]]}, but it is not among the colours.",
            remedy=f"Add {mark!r} to the colours; they are {said_list(sorted(known)) or 'none'}.",
            bubbles=tuple(bubbles),
        )
        for mark, bubbles in where.items()
    ]
