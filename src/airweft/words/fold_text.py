"""A fold written as a sentence."""

from __future__ import annotations

from collections.abc import Sequence

from airweft.words import phrases
from airweft.words.fold_table import Fold
from airweft.words.movements import Ref
from airweft.words.refs import refs_text


def fold_text(fold: Fold) -> str:
    """The sentence of a fold, without what is tied on before it and tied off after it."""
    shifts = _shifts(fold.shifts)
    first, last = fold.source + 1, fold.source_last + 1
    if fold.again:
        return phrases.repeat_rows(first, last, fold.times, _names(fold.names), shifts)
    return phrases.as_rows(first, last, _swaps(fold.swaps) + _names(fold.names), shifts)


def burden(fold: Fold) -> int:
    """How much a maker has to bear in mind: places taken by others, and twice for counting on."""
    return len(_swaps(fold.swaps)) + len(fold.names) + 2 * len(fold.shifts)


def _names(names: Sequence[tuple[Ref, tuple[Ref, ...]]]) -> list[str]:
    """The joints to take each time for a joint of the source."""
    return [
        phrases.instead(refs_text(refs), str(old), several=len(set(refs)) > 1)
        for old, refs in names
    ]


def _shifts(shifts: Sequence[tuple[str, int]]) -> list[str]:
    """Balloons that count on by the same amount drawn together."""
    by_amount: dict[int, list[str]] = {}
    for code, amount in shifts:
        by_amount.setdefault(amount, []).append(code)
    return [phrases.shift(amount, codes) for amount, codes in by_amount.items()]


def _swaps(swaps: Sequence[tuple[str, str]]) -> list[str]:
    """New for old, with ranges drawn together where both sides count up alike."""
    ordered = sorted(swaps, key=lambda swap: phrases.code_key(swap[1]))
    items: list[str] = []
    i = 0
    while i < len(ordered):
        j = i
        while j + 1 < len(ordered) and all(
            phrases.code_range(ordered[j][side], ordered[j + 1][side])
            == [ordered[j][side], ordered[j + 1][side]]
            for side in (0, 1)
        ):
            j += 1
        if j - i >= 1:
            new = f"{ordered[i][0]} to {ordered[j][0]}"
            items.append(phrases.swap(new, f"{ordered[i][1]} to {ordered[j][1]}"))
        else:
            items.append(phrases.swap(*ordered[i]))
        i = j + 1
    return items
