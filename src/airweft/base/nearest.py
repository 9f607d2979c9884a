"""The nearest known word, for messages about words that are not known."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from itertools import islice


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like `word`, or None if none is near. Ties go to the earlier one.

    >>> nearest("bubbel", ["size", "bubble", "hands"])
    'bubble'
    """
    by_lower: dict[str, str] = {}
    for name in known:
        by_lower.setdefault(name.lower(), name)
    asked = word.lower().strip()[:60]
    if asked in by_lower:
        return by_lower[asked]
    close = difflib.get_close_matches(asked, list(by_lower), n=1, cutoff=0.6)
    return by_lower[close[0]] if close else None


def misspelt(word: str, given: Iterable[str], known: Iterable[str]) -> bool:
    """True if one of the `given` words, not known itself, is meant to be `word`.

    Only the first hundred are looked at; a section has few keys.
    """
    names = list(known)
    strange = (name for name in islice(given, 100) if name not in names)
    return any(nearest(name, names) == word for name in strange)


def said_list(words: Iterable[str], *, last: str = "and") -> str:
    """Words as a person lists them: "a", "a and b", "a, b and c"."""
    items = list(words)
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"
