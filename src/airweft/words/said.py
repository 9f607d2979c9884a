"""What a sentence can say: a movement, or rows told by earlier ones."""

from __future__ import annotations

from dataclasses import dataclass

from airweft.base.errors import BadInput
from airweft.base.findings import Finding
from airweft.words.movements import Movement, Ref


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldCall:
    """A sentence that tells rows by earlier ones; rows are counted from 1."""

    source: int
    source_last: int
    times: int
    again: bool
    swaps: tuple[tuple[str, str], ...]
    names: tuple[tuple[Ref, tuple[Ref, ...]], ...]
    shifts: tuple[tuple[str, int], ...]


Said = Movement | FoldCall


def trouble(step: int, word: str, what: str) -> BadInput:
    """The error for a word of a step that cannot be followed."""
    return BadInput(
        Finding(
            code="words-unreadable",
            severity="cannot",
            where=f"step {step}, at “{word}”",
            message=f"In step {step}, at “{word}”: {what}.",
            remedy="Take the text as it was printed, with nothing left out.",
        )
    )
