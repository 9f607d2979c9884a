"""The instructions: rows put into words, with repeats folded."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line of instruction: a row, or a fold of several.

    `first_row` to `last_row` are the rows it covers, `first_action` to `last_action` (exclusive)
    their actions, `new_bubbles` what is made in it. `text` alone, with the steps before it, is
    enough to know every movement; `check` states numbers that a maker can count on the piece.
    `row_texts` tells each of its rows in full and `row_checks` what to count after each, for a page
    that shows one row at a time; `named` are the joints that these texts name, as ("R1.5", joint
    index), for labels in a picture. `note` is something to be done besides, right after the row
    `note_row`.
    """

    number: int
    first_row: int
    last_row: int
    title: str
    text: str
    check: str
    first_action: int
    last_action: int
    new_bubbles: tuple[int, ...]
    row_texts: tuple[str, ...] = ()
    row_checks: tuple[str, ...] = ()
    named: tuple[tuple[str, int], ...] = ()
    note: str = ""
    note_row: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class BalloonLine:
    """A line of the balloon list that goes with the text.

    Lengths in 1/100 mm: the flat `tail` to leave, and how long a `bubble` and a `loop` of this
    balloon are where the text names no other length (0 where there is none).
    """

    code: str
    colour: str
    size: str
    tail: int
    bubble: int
    loop: int = 0


class Counts(Protocol):
    """What a replay of the plan counts: one entry for each action, as things stand after it.

    `made` bubbles so far, `loose` twists now.
    """

    @property
    def made(self) -> Sequence[int]: ...

    @property
    def loose(self) -> Sequence[int]: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """Steps `first_step` to `last_step` (numbers, inclusive) that one person does apart.

    `person` is counted from 1, 0 for the joining at the end. `name` is what titles of its steps
    begin with ("Part A"), `title` its heading, `lead` what to know first, `bubbles` what is made in
    it, in order.
    """

    name: str
    title: str
    lead: str
    person: int
    first_step: int
    last_step: int
    bubbles: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Instructions:
    """All steps of a plan, and the words they use.

    `how_to_read` explains the notation in a few sentences, `glossary` each term once. `balloons` is
    the list that goes with the text: steps and list together are enough to rebuild the plan.
    `chapters` share the steps out among a crew; none where one person makes it all.
    """

    steps: tuple[Step, ...]
    how_to_read: tuple[str, ...]
    glossary: tuple[tuple[str, str], ...]
    balloons: tuple[BalloonLine, ...] = ()
    chapters: tuple[Chapter, ...] = ()
