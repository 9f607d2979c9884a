"""Something small that goes into a piece before it closes: the note at its row."""

from __future__ import annotations

from dataclasses import replace

from airweft.records.steps import Instructions


def inside_note(what: str, row: int) -> str:
    """What is said after the last row that leaves room; the caution is part of it."""
    return (
        f"After row {row}: put {what} inside now, later rows leave no room. Only something light "
        "and blunt; nothing sharp, hot or heavy inside."
    )


def put_inside(instructions: Instructions, *, what: str, row: int) -> Instructions:
    """The instructions with the note in the step that holds the row; none where no step does."""
    return replace(
        instructions,
        steps=tuple(
            replace(step, note=inside_note(what, row), note_row=row)
            if step.first_row <= row <= step.last_row
            else step
            for step in instructions.steps
        ),
    )
