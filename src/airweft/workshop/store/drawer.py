"""The line of one piece in the database, and changes that no other program has come before."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from airweft.base.errors import BadInput
from airweft.base.refusals import refusal
from airweft.workshop.store.clock import now, rest
from airweft.workshop.store.database import Database
from airweft.workshop.store.history import History, State, Step

_MOST_TRIES = 9
_SHORTEST_REST = 0.004  # seconds; the last one is a second at most


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A card on the shelf. `changed` is in universal time; `picture` is SVG, "" until drawn.

    `stale` where the plan was made for another state of the design than today's.
    """

    key: str
    name: str
    changed: str
    picture: str
    bubbles: int
    balloons: int
    stale: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """What the database says of a piece."""

    key: str
    file: str
    name: str
    version: int
    here: int
    tip: int
    binned: bool
    wrote: str
    writing: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What the shelf shows of a piece without opening it."""

    name: str
    bubbles: int
    balloons: int
    stale: bool


class Overtaken(Exception):
    """Another program has changed the piece since it was last read."""


def tries() -> Iterator[None]:
    """How often a change is tried that others overtake, with a longer rest before each time.

    Without a rest, two programs at full speed could overtake one of them for ever.
    """
    for number in range(_MOST_TRIES):
        if number:
            rest(_SHORTEST_REST * 2**number)
        yield


class Drawer:
    """One piece's line and history. Every change names the version that it was made from."""

    def __init__(self, base: Database, key: str) -> None:
        self.base = base
        self.key = key
        self.history = History(base, key)

    def line(self) -> Line:
        """The line as it is now. Raises BadInput for a piece that is not there any more."""
        row = self.base.row(
            "SELECT key, file, name, version, here, tip, binned IS NOT NULL, wrote, writing"
            " FROM piece WHERE key = ?",
            self.key,
        )
        if row is None:
            raise no_such_piece(self.key)
        key, file, name, version, here, tip, binned, wrote, writing = row
        return Line(
            key=key,
            file=file,
            name=name,
            version=version,
            here=here,
            tip=tip,
            binned=bool(binned),
            wrote=wrote,
            writing=writing,
        )

    def moved(self, version: int) -> bool:
        """True if the piece has another version, or is gone."""
        row = self.base.row("SELECT version FROM piece WHERE key = ?", self.key)
        return row is None or row[0] != version

    def put(
        self, line: Line, gesture: str, state: State, facts: Facts, *, into: Step | None = None
    ) -> tuple[Line, Step]:
        """A new step after `line.here`, or another outcome `into` that step. Raises Overtaken."""
        with self.base.change():
            if into is None:
                step = self.history.add(self.history.step(line.here), gesture, state)
            else:
                step = self.history.alter(into, gesture, state)
            moved = self._move(line, step.id, step.id, facts)
            self.history.thin(step)
            return moved, self.history.step(step.id)

    def go(self, line: Line, here: Step, facts: Facts) -> Line:
        """Another step of the history shown; redo still leads where it led. Raises Overtaken."""
        with self.base.change():
            return self._move(line, here.id, line.tip, facts)

    def take_back(self, line: Line, step: Step, facts: Facts) -> Line:
        """The last step forgotten, since it came to nothing. Raises Overtaken."""
        assert step.before is not None
        with self.base.change():
            moved = self._move(line, step.before, step.before, facts)
            self.history.drop(step)
            return moved

    def _move(self, line: Line, here: int, tip: int, facts: Facts) -> Line:
        changed = self.base.do(
            "UPDATE piece SET version = version + 1, here = ?, tip = ?, changed = ?, name = ?,"
            " bubbles = ?, balloons = ?, stale = ?"
            " WHERE key = ? AND version = ? AND binned IS NULL",
            here,
            tip,
            now(),
            facts.name,
            facts.bubbles,
            facts.balloons,
            int(facts.stale),
            self.key,
            line.version,
        )
        if not changed:
            if self.line().binned:
                raise in_the_bin(line.name)
            raise Overtaken
        return self.line()


def no_such_piece(key: str) -> BadInput:
    """Said where a piece is asked for that there is not."""
    shown = "".join(c if c.isprintable() else "?" for c in str(key)[:60])
    return refusal(
        code="no-such-piece",
        where=shown,
        message=f"there is no piece {shown} in this workshop",
        remedy="Go back to the shelf; it may be in the bin or have been removed.",
    )


def in_the_bin(name: str) -> BadInput:
    """Said where a piece in the bin is to be changed."""
    return refusal(
        code="piece-in-bin",
        where=name,
        message=f"“{name}” is in the bin and cannot be changed there",
        remedy="Take it out of the bin first; nothing of it is lost.",
    )
