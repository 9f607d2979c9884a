"""Rows folded: which rows are told as a repeat of earlier ones.

A repeat of rows means their bodies: tying on and tying off are always said where they are done. Two
kinds of fold are known. *Again*: the rows just before, so many times more, where each time the
joint names of some balloons count on by a fixed amount. *Like*: earlier rows once more with other
balloons in the same parts, and joint names moved by a fixed amount. A fold takes whole steps only,
so that what is to be repeated always stands on the page under the numbers named.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

from airweft.words.movements import Movement, Ref, Row, split_row

LONGEST_BLOCK = 24
MOST_SHIFTS = 3
SOURCES_TRIED = 12
_PATIENCE = 2000


@dataclass(frozen=True, slots=True, kw_only=True)
class Fold:
    """Rows `first` to `last` told by rows `source` to `source_last` (0-based, inclusive).

    `times` is how often the source is done again; `swaps` are (new, old) codes; `shifts` are (code,
    amount) in which names count on, each time for *again*, once for *like*.
    """

    first: int
    last: int
    source: int
    source_last: int
    times: int
    again: bool
    swaps: tuple[tuple[str, str], ...] = ()
    shifts: tuple[tuple[str, int], ...] = ()


@dataclass(slots=True)
class _Rows:
    """All rows; `body` is each one's body, with joint names narrowed down as folds decide them."""

    rows: list[Row]
    body: list[list[Movement]] = field(default_factory=list)
    bounds: list[tuple[int, int]] = field(default_factory=list)  # where the body lies in the row
    shape: list[int] = field(default_factory=list)
    bare: list[int] = field(default_factory=list)

    def __post_init__(self) -> None:
        shapes: dict[object, int] = {}
        for row in self.rows:
            lead, body, _ = split_row(row)
            self.body.append(list(body))
            self.bounds.append((len(lead), len(lead) + len(body)))
            self.shape.append(shapes.setdefault(tuple(m.shape() for m in body), len(shapes)))
            bare = ("bare", *(m.bare() for m in body))
            self.bare.append(shapes.setdefault(bare, len(shapes)))

    def opens(self, i: int) -> bool:
        """True if something is tied on at the row's beginning."""
        return self.bounds[i][0] > 0

    def closes(self, i: int) -> bool:
        """True if something is tied off at the row's end."""
        return self.bounds[i][1] < len(self.rows[i])

    def joined(self, first: int, last: int) -> bool:
        """True if only the first row ties on at its beginning and only the last ties off."""
        return not any(self.opens(i) for i in range(first + 1, last + 1)) and not any(
            self.closes(i) for i in range(first, last)
        )

    def full(self, i: int) -> Row:
        """The whole row with the joint names decided so far."""
        first, last = self.bounds[i]
        return (*self.rows[i][:first], *self.body[i], *self.rows[i][last:])

    def settle(self, i: int, k: int, ref: Ref) -> None:
        """Decide the joint's name in movement k of row i's body."""
        move = self.body[i][k]
        self.body[i][k] = Movement(
            do=move.do,
            balloons=move.balloons,
            groups=move.groups,
            at=(ref,),
            locks=move.locks,
            names=move.names,
        )


Told = Fold | int
Writer = Callable[[Row], str]
FoldWriter = Callable[[Fold], str]


def fold_rows(
    rows: list[Row], write: Writer, write_fold: FoldWriter
) -> tuple[list[Told], list[Row]]:
    """The steps (a row's index, or a fold) and the rows with the names that the folds decided.

    `write` and `write_fold` give the text of a row and of a fold, to see which is shorter. Greedy
    from the first row on: the fold that covers most rows, and among equals the nearest.
    """
    table = _Rows(rows)
    steps: list[Told] = []
    starts: list[int] = []  # first row of each step
    by_bare: dict[int, list[int]] = {}
    at = 0
    while at < len(rows):
        fold = _best_fold(table, starts, by_bare, at, write, write_fold)
        starts.append(at)
        by_bare.setdefault(table.bare[at], []).append(at)
        if fold is None:
            steps.append(at)
            at += 1
        else:
            steps.append(fold)
            at = fold.last + 1
    return steps, [table.full(i) for i in range(len(rows))]


def _best_fold(
    table: _Rows,
    starts: list[int],
    by_bare: dict[int, list[int]],
    at: int,
    write: Writer,
    write_fold: FoldWriter,
) -> Fold | None:
    """The best fold that begins at row `at`, with its names settled; or None."""
    if not table.body[at]:
        return None
    best: tuple[Fold, list[tuple[int, int, Ref]]] | None = None
    for start in reversed(starts):
        if at - start > LONGEST_BLOCK:
            break
        found = _again(table, start, at)
        if found and (best is None or found[0].last > best[0].last):
            best = found
    tried = by_bare.get(table.bare[at], [])
    for start in reversed(tried[:2] + tried[2:][-SOURCES_TRIED:]):
        found = _like(table, starts, start, at)
        if found and (best is None or found[0].last > best[0].last):
            best = found
    if best is None:
        return None
    fold, names = best
    before = [(i, k, table.body[i][k]) for i, k, _ in names]
    for i, k, ref in names:
        table.settle(i, k, ref)
    plain = sum(len(write(table.full(i))) for i in range(fold.first, fold.last + 1))
    own = table.full(fold.first)[: table.bounds[fold.first][0]]
    own += table.full(fold.last)[table.bounds[fold.last][1] :]
    told = len(write_fold(fold)) + len(write(own))
    if told < plain * (0.9 if fold.last > fold.first else 0.6):
        return fold
    for i, k, move in before:
        table.body[i][k] = move
    return None


def _slots(table: _Rows, first: int, last: int) -> list[tuple[int, int]]:
    """Row and movement of every joint name in the bodies of these rows."""
    return [
        (i, k) for i in range(first, last + 1) for k, move in enumerate(table.body[i]) if move.at
    ]


Names = list[tuple[int, int, Ref]]


def _again(table: _Rows, source: int, at: int) -> tuple[Fold, Names] | None:
    """The rows from `source` up to `at` done again, as often as they fit."""
    size = at - source
    most = 0
    while (
        at + (most + 1) * size <= len(table.rows)
        and table.shape[at + most * size : at + (most + 1) * size] == table.shape[source:at]
        and table.joined(max(at, at + most * size - 1), at + (most + 1) * size - 1)
    ):
        most += 1
    if most == 0:
        return None
    slots = _slots(table, source, at - 1)
    options: list[list[tuple[Ref, int, int]]] = []  # name in the source, amount, how often it fits
    for i, k in slots:
        here = []
        for ref in table.body[i][k].at:
            for following in table.body[i + size][k].at:
                if following.balloon != ref.balloon:
                    continue
                amount = following.count - ref.count
                reach = 1
                while (
                    reach < most
                    and Ref(ref.balloon, ref.count + amount * (reach + 1))
                    in table.body[i + size * (reach + 1)][k].at
                ):
                    reach += 1
                here.append((ref, amount, reach))
        if not here:
            return None
        options.append(here)
    reaches = {reach for here in options for _, _, reach in here} | ({most} if not slots else set())
    for times in sorted(reaches, reverse=True):
        fitting = [[o for o in here if o[2] >= times] for here in options]
        amounts = _agree(fitting) if all(fitting) else None
        if amounts is None:
            continue
        chosen, shifts = amounts
        if len(shifts) > MOST_SHIFTS:
            continue
        names = [
            (i + size * n, k, Ref(ref.balloon, ref.count + amount * n))
            for (i, k), (ref, amount) in zip(slots, chosen, strict=True)
            for n in range(times + 1)
        ]
        fold = Fold(
            first=at,
            last=at + times * size - 1,
            source=source,
            source_last=at - 1,
            times=times,
            again=True,
            shifts=shifts,
        )
        return fold, names
    return None


def _agree(
    options: list[list[tuple[Ref, int, int]]],
) -> tuple[list[tuple[Ref, int]], tuple[tuple[str, int], ...]] | None:
    """One option for each slot so that each balloon counts on by one amount; or None."""
    amounts: dict[str, int] = {}
    chosen: list[tuple[Ref, int]] = []
    tries = 0

    def search(slot: int) -> bool:
        nonlocal tries
        tries += 1
        if slot == len(options):
            return True
        if tries > _PATIENCE:
            return False
        for ref, amount, _ in sorted(options[slot], key=lambda o: (o[1] != 0, abs(o[1]))):
            known = amounts.get(ref.balloon)
            if known is not None and known != amount:
                continue
            amounts[ref.balloon] = amount
            chosen.append((ref, amount))
            if search(slot + 1):
                return True
            chosen.pop()
            if known is None:
                del amounts[ref.balloon]
        return False

    # Recursion is as deep as there are slots in a block: at most a few hundred.
    if len(options) > 400 or not search(0):
        return None
    return chosen, tuple((code, amount) for code, amount in amounts.items() if amount)


@dataclass(slots=True)
class _Parts:
    """Which balloon plays which part, and how far names count on."""

    new: dict[str, str] = field(default_factory=dict)  # old code -> new code
    old: dict[str, str] = field(default_factory=dict)
    amount: dict[str, int] = field(default_factory=dict)  # by new code

    def cast(self, old: str, new: str) -> bool:
        """Give the part; False if it is given otherwise."""
        if self.new.get(old, new) != new or self.old.get(new, old) != old:
            return False
        self.new[old], self.old[new] = new, old
        return True

    def copy(self) -> _Parts:
        """A copy to try things on."""
        return _Parts(dict(self.new), dict(self.old), dict(self.amount))


def _like(table: _Rows, starts: Sequence[int], source: int, at: int) -> tuple[Fold, Names] | None:
    """The longest stretch from `at` that is like the steps from `source` on."""
    parts = _Parts()
    names: Names = []
    best: tuple[Fold, Names] | None = None
    ends = {start - 1 for start in starts} | {at - 1}
    size = 0
    while at + size < len(table.rows) and source + size < at:
        i, j = source + size, at + size
        if table.bare[i] != table.bare[j] or not table.body[j]:
            break
        if size and not table.joined(j - 1, j):
            break
        matched = _match_row(table, i, j, parts)
        if matched is None:
            break
        parts, more = matched
        names += more
        size += 1
        shifts = tuple((code, amount) for code, amount in parts.amount.items() if amount)
        if len(shifts) > MOST_SHIFTS:
            break
        if i in ends:
            swaps = tuple((new, old) for old, new in parts.new.items() if old != new)
            fold = Fold(
                first=at,
                last=j,
                source=source,
                source_last=i,
                times=1,
                again=False,
                swaps=swaps,
                shifts=shifts,
            )
            best = fold, list(names)
    return best


def _match_row(table: _Rows, i: int, j: int, parts: _Parts) -> tuple[_Parts, Names] | None:
    """Row j told by row i: the parts so far and more, and the names decided; or None."""
    parts = parts.copy()
    for old, new in zip(table.body[i], table.body[j], strict=True):
        olds, news = old.codes(), new.codes()
        if len(olds) != len(news) or (old.names is None) != (new.names is None):
            return None
        if not all(parts.cast(a, b) for a, b in zip(olds, news, strict=True)):
            return None
    names: Names = []
    for k, (old, new) in enumerate(zip(table.body[i], table.body[j], strict=True)):
        if not old.at:
            continue
        for a, b in _casts(old.at, new.at, parts):
            trial = parts.copy()
            amount = b.count - a.count
            if trial.cast(a.balloon, b.balloon) and trial.amount.get(b.balloon, amount) == amount:
                trial.amount[b.balloon] = amount
                parts = trial
                names += [(i, k, a), (j, k, b)]
                break
        else:
            return None
    return parts, names


def _casts(old: Sequence[Ref], new: Sequence[Ref], parts: _Parts) -> Iterator[tuple[Ref, Ref]]:
    """Pairs of names to try, those that need no new part and no counting first."""
    pairs = [(a, b) for a in old for b in new]

    def strange(pair: tuple[Ref, Ref]) -> tuple[bool, bool, int]:
        a, b = pair
        known = parts.new.get(a.balloon) == b.balloon
        return not known, a.balloon != b.balloon, abs(a.count - b.count)

    yield from sorted(pairs, key=strange)
