"""Rows folded: which rows are told as a repeat of earlier ones.

A repeat of rows means their bodies: tying on and tying off are always said where they are done. A
fold takes whole steps only, and only rows that stand on the page in full, or that repeat such rows
just before them, so that nobody is sent from one repeat to the next and the next. It asks no more
of the maker's head than it saves: for every balloon or joint to put in another's place it must
cover a row, for every balloon to count on by, two; and twice that where both come together.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable

from airweft.words.fold_again import again
from airweft.words.fold_like import like
from airweft.words.fold_table import Fold, Found, Table
from airweft.words.fold_text import burden
from airweft.words.movements import Row

LONGEST_BLOCK = 24
LONGEST_STRETCH = 200
SOURCES_TRIED = 12
# A fold must be so much shorter than its rows written out, and a row alone so long.
SHORTER = 0.75
LONG_ROW = 100

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
    return _Folding(rows, write, write_fold).run()


class _Folding:
    def __init__(self, rows: list[Row], write: Writer, write_fold: FoldWriter) -> None:
        self.table = Table(rows)
        self.write = write
        self.write_fold = write_fold
        self.steps: list[Told] = []
        self.starts: list[int] = []  # first row of each step
        self.by_bare: dict[int, list[int]] = {}  # rows that stand in full and begin a step

    def run(self) -> tuple[list[Told], list[Row]]:
        """All steps and rows."""
        at, count = 0, len(self.table.rows)
        while at < count:
            fold = self._best(at)
            self.starts.append(at)
            if fold is None:
                self.by_bare.setdefault(self.table.bare[at], []).append(at)
                self.steps.append(at)
                at += 1
            else:
                self.steps.append(fold)
                at = fold.last + 1
        return self.steps, [self.table.full(i) for i in range(count)]

    def _best(self, at: int) -> Fold | None:
        """The best fold that begins at row `at`, with its names settled; or None."""
        if not self.table.body[at]:
            return None
        found: list[Found] = []
        for n in range(len(self.starts) - 1, -1, -1):
            start = self.starts[n]
            if at - start > LONGEST_BLOCK:
                break
            if self._ends(start) >= {at - 1}:
                found += _some(again(self.table, start, at))
        tried = self.by_bare.get(self.table.bare[at], [])
        tried = tried[:2] + tried[2:][-SOURCES_TRIED:]
        for start in reversed(tried):
            found += _some(like(self.table, self._ends(start), start, at))
        # max keeps the first of equals: again before like, the nearest before the far.
        for fold, settled in sorted(found, key=lambda f: -f[0].last)[:3]:
            before = [(i, k, self.table.body[i][k]) for i, k, _ in settled]
            self.table.settle(settled)
            if self._is_shorter(fold):
                return fold
            for i, k, move in before:
                self.table.body[i][k] = move
        return None

    def _ends(self, start: int) -> set[int]:
        """The rows at which a stretch from `start` may end: ends of steps, all told within it."""
        ends: set[int] = set()
        n = bisect_left(self.starts, start)
        for step in self.steps[n : n + LONGEST_STRETCH]:
            if isinstance(step, int):
                ends.add(step)
            elif step.again and step.source >= start and self._in_full(step):
                ends.add(step.last)
            else:
                break
        return ends

    def _in_full(self, fold: Fold) -> bool:
        """True if all rows that the fold repeats stand on the page in full."""
        n = bisect_left(self.starts, fold.source)
        m = bisect_left(self.starts, fold.first)
        return all(isinstance(step, int) for step in self.steps[n:m])

    def _is_shorter(self, fold: Fold) -> bool:
        """True if the fold saves enough words, and more than it asks for."""
        table = self.table
        count = fold.last - fold.first + 1
        if burden(fold) > (count if count > 1 else 0):
            return False
        if fold.swaps and fold.names and 2 * burden(fold) > count:
            return False
        plain = sum(len(self.write(table.full(i))) for i in range(fold.first, fold.last + 1))
        lead = table.full(fold.first)[: table.bounds[fold.first][0]]
        close = table.full(fold.last)[table.bounds[fold.last][1] :]
        told = len(self.write_fold(fold)) + len(self.write(lead + close))
        return told < plain * SHORTER and (count > 1 or plain > LONG_ROW)


def _some(found: Found | None) -> list[Found]:
    return [] if found is None else [found]
