"""Movements: what a pair of hands does at a time, between the plan's actions and its sentences.

A movement is one clause of the text. Rows are tuples of movements; folding, writing and reading
back all work on them, so that what is folded is exactly what is said.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Made = Literal["bubble", "loop", "free"]


@dataclass(frozen=True, slots=True)
class Ref:
    """A joint, named by a balloon that passed it: where it lies after its `count`-th bubble."""

    balloon: str
    count: int

    def __str__(self) -> str:
        return f"{self.balloon}.{self.count}"


@dataclass(frozen=True, slots=True)
class Run:
    """Equal bubbles one after another. `length` is in 1/100 mm, 0 for the usual length."""

    count: int
    made: Made
    length: int


@dataclass(frozen=True, slots=True)
class Group:
    """Bubbles that one balloon makes in one go."""

    balloon: str
    runs: tuple[Run, ...]

    @property
    def stays(self) -> bool:
        """True if the balloon makes nothing but loops, so that it ends where it began."""
        return all(run.made == "loop" for run in self.runs)


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """One clause.

    tie     `balloons` are two fresh ones, knotted nozzle to nozzle
    start   `balloons` is one fresh one, tied on
    make    `groups` make bubbles; every bubble but the last of each group ends at a fresh joint,
            the last ones end together
    lock    what lies somewhere is locked without a new bubble
    join    a lock of what different people made: `at` is a name of the joint from each of them
    finish  `balloons` is one that is cut and tied off

    `at` are the names of the joint concerned, best first; none of them for a joint that nothing
    has touched yet (or, after nothing but loops, for the joint where the balloon lies). `locks`:
    the movement ends with a lock. `names` are the balloons the lock names, where they are not just
    those with a loose twist there.
    """

    do: Literal["tie", "start", "make", "lock", "join", "finish"]
    balloons: tuple[str, ...] = ()
    groups: tuple[Group, ...] = ()
    at: tuple[Ref, ...] = ()
    locks: bool = False
    names: tuple[str, ...] | None = None

    def shape(self) -> tuple[object, ...]:
        """What must be equal for two movements to be told as one repeated."""
        return (self.do, self.balloons, self.groups, bool(self.at), self.locks, self.names)

    def bare(self) -> tuple[object, ...]:
        """The shape without the balloons' codes."""
        runs = tuple(group.runs for group in self.groups)
        return (self.do, len(self.balloons), runs, bool(self.at), self.locks)

    def codes(self) -> tuple[str, ...]:
        """The balloons that work in it, in order."""
        return (*self.balloons, *(group.balloon for group in self.groups), *(self.names or ()))


Row = tuple[Movement, ...]


def split_row(row: Row) -> tuple[Row, Row, Row]:
    """The row's tying on at its beginning, its body, and its tying off at the end.

    A repeat of a row means its body only.
    """
    first = 0
    while first < len(row) and row[first].do in ("tie", "start"):
        first += 1
    last = len(row)
    while last > first and row[last - 1].do == "finish":
        last -= 1
    return row[:first], row[first:last], row[last:]
