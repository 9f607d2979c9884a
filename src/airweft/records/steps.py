"""The instructions: rows put into words, with repeats folded."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line of instruction: a row, or a fold of several.

    `first_row` to `last_row` are the rows it covers, `first_action` to `last_action` (exclusive)
    their actions, `new_bubbles` what is made in it. `text` alone, with the steps before it, is
    enough to know every movement; `check` states numbers that a maker can count on the piece.
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Instructions:
    """All steps of a plan, and the words they use.

    `how_to_read` explains the notation in a few sentences, `glossary` each term once.
    """

    steps: tuple[Step, ...]
    how_to_read: tuple[str, ...]
    glossary: tuple[tuple[str, str], ...]
