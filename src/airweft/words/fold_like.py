"""*Like*: earlier rows once more, with other balloons in their parts.

Joint names follow the balloons; those that do not are given one by one while they are few, or all
names of a balloon count on by a fixed amount.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field

from airweft.words.fold_again import MOST_NAMES, MOST_SHIFTS
from airweft.words.fold_table import Fold, Found, Settled, Table
from airweft.words.movements import Ref


@dataclass(slots=True)
class _Parts:
    """Which balloon plays which part, which names are given, and how far others count on."""

    new: dict[str, str] = field(default_factory=dict)  # old code -> new code
    old: dict[str, str] = field(default_factory=dict)
    names: dict[Ref, Ref] = field(default_factory=dict)  # name in the source -> name now
    amount: dict[str, int] = field(default_factory=dict)  # by new code

    def cast(self, old: str, new: str) -> bool:
        """Give the part; False if it is given otherwise."""
        if self.new.get(old, new) != new or self.old.get(new, old) != old:
            return False
        self.new[old], self.old[new] = new, old
        return True

    def follows(self, ref: Ref) -> Ref:
        """The name with the balloon's new part."""
        return Ref(self.new.get(ref.balloon, ref.balloon), ref.count)

    def copy(self) -> _Parts:
        """A copy to try things on."""
        return _Parts(dict(self.new), dict(self.old), dict(self.names), dict(self.amount))

    def given(self) -> tuple[tuple[Ref, tuple[Ref, ...]], ...]:
        """The names that do not simply follow the balloons."""
        return tuple((a, (b,)) for a, b in self.names.items() if b != self.follows(a))

    def counting(self) -> tuple[tuple[str, int], ...]:
        """The balloons whose names count on."""
        return tuple((code, amount) for code, amount in self.amount.items() if amount)


def like(table: Table, ends: Collection[int], source: int, at: int) -> Found | None:
    """The longest stretch from row `at` that is like the rows from `source` on.

    `ends` are the rows at which a stretch of the source may end.
    """
    alone = at + 1 == len(table.rows) or table.bare[source + 1] != table.bare[at + 1]
    if alone and table.shape[source] != table.shape[at]:
        return None  # a single row with other balloons is better written out
    named = _stretch(table, ends, source, at, by_names=True)
    counted = _stretch(table, ends, source, at, by_names=False)
    if named is None or (counted is not None and counted[0].last > named[0].last):
        return counted
    return named


def _stretch(
    table: Table, ends: Collection[int], source: int, at: int, *, by_names: bool
) -> Found | None:
    parts = _Parts()
    settled: Settled = []
    best: Found | None = None
    size = 0
    while at + size < len(table.rows) and source + size < at:
        i, j = source + size, at + size
        if table.bare[i] != table.bare[j] or not table.body[j]:
            break
        if size and not table.joined(j - 1, j):
            break
        cast = _cast_row(table, i, j, parts)
        matched = None
        if cast is not None:
            matched = (_name_row if by_names else _count_row)(table, i, j, cast)
        if matched is None:
            break
        parts, more = matched
        settled += more
        size += 1
        if len(parts.given() if by_names else parts.counting()) > (
            MOST_NAMES if by_names else MOST_SHIFTS
        ):
            break
        if i in ends:
            fold = Fold(
                first=at,
                last=j,
                source=source,
                source_last=i,
                times=1,
                again=False,
                swaps=tuple((new, old) for old, new in parts.new.items() if old != new),
                names=parts.given() if by_names else (),
                shifts=() if by_names else parts.counting(),
            )
            best = fold, list(settled)
    return best


def _cast_row(table: Table, i: int, j: int, parts: _Parts) -> _Parts | None:
    """The parts so far and those of row j told by row i, or None."""
    parts = parts.copy()
    for old, new in zip(table.body[i], table.body[j], strict=True):
        olds, news = old.codes(), new.codes()
        if len(olds) != len(news) or (old.names is None) != (new.names is None):
            return None
        if not all(parts.cast(a, b) for a, b in zip(olds, news, strict=True)):
            return None
    return parts


def _name_row(table: Table, i: int, j: int, parts: _Parts) -> tuple[_Parts, Settled] | None:
    """The names of row j: following the balloons where they can, else given."""
    settled: Settled = []
    strange = 0
    for k, (old, new) in enumerate(zip(table.body[i], table.body[j], strict=True)):
        if not old.at:
            continue
        pairs = [(a, b) for a in old.at for b in new.at]
        free = [(a, b) for a, b in pairs if parts.names.get(a, b) == b]
        if not free:
            return None
        a, b = min(free, key=lambda pair: (pair[0] not in parts.names, _strays(parts, *pair)))
        is_new = a not in parts.names
        parts.names[a] = b
        if is_new and b != parts.follows(a):
            strange += 1
            if strange > MOST_NAMES:
                return None
        settled += [(i, k, a), (j, k, b)]
    return parts, settled


def _strays(parts: _Parts, a: Ref, b: Ref) -> tuple[bool, bool]:
    return b != parts.follows(a), b.balloon != a.balloon


def _count_row(table: Table, i: int, j: int, parts: _Parts) -> tuple[_Parts, Settled] | None:
    """The names of row j: each balloon's counted on by one amount."""
    settled: Settled = []
    for k, (old, new) in enumerate(zip(table.body[i], table.body[j], strict=True)):
        if not old.at:
            continue
        for a, b in _casts(old.at, new.at, parts):
            trial = parts.copy()
            amount = b.count - a.count
            if trial.cast(a.balloon, b.balloon) and trial.amount.get(b.balloon, amount) == amount:
                trial.amount[b.balloon] = amount
                parts = trial
                settled += [(i, k, a), (j, k, b)]
                break
        else:
            return None
    return parts, settled


def _casts(old: Sequence[Ref], new: Sequence[Ref], parts: _Parts) -> Iterator[tuple[Ref, Ref]]:
    """Pairs of names to try, those that need no new part and no counting first."""

    def strange(pair: tuple[Ref, Ref]) -> tuple[bool, bool, int]:
        a, b = pair
        known = parts.new.get(a.balloon) == b.balloon
        return not known, a.balloon != b.balloon, abs(a.count - b.count)

    yield from sorted(((a, b) for a in old for b in new), key=strange)
