"""What a piece was after each gesture: a tree of steps, along one line of which undo walks.

Steps that were undone and then left for another edit stay in the tree as generations; nothing that
a piece ever was is thrown away before two hundred later gestures, and then not all of it.
"""

from __future__ import annotations

from dataclasses import dataclass

from airweft.workshop.store.clock import now
from airweft.workshop.store.database import Database

KEPT = 200
"""So many generations are kept one by one; of older ones every tenth, then every hundredth."""
_TENTHS = 2_000
_SLACK = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """What is kept of a piece: its text, and the plan with the text that it was made from."""

    text: str
    print: str = ""
    plan: str | None = None
    planned: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A step of a piece's history. Texts and plans are hashes of what the database keeps."""

    id: int
    before: int | None
    number: int
    gesture: str
    gestures: int
    at: str
    state: State

    @property
    def said(self) -> str:
        """The gesture, and how many came before it where the history was thinned."""
        return self.gesture if self.gestures == 1 else f"{self.gestures} gestures, {self.gesture}"


_COLUMNS = "id, before, number, gesture, gestures, at, text, print, plan, planned"
# The steps from one, its id given, back to the beginning.
_WAY = (
    "WITH RECURSIVE way (id, before) AS ("
    " SELECT id, before FROM step WHERE id = ?"
    " UNION ALL SELECT s.id, s.before FROM step s JOIN way ON s.id = way.before)"
)


class History:
    """The steps of one piece."""

    def __init__(self, base: Database, piece: str) -> None:
        self._base = base
        self.piece = piece

    def begin(self, state: State) -> int:
        """The first step of a new piece; nothing can be undone before it."""
        return self._add(None, 0, "", state)

    def add(self, before: Step, gesture: str, state: State) -> Step:
        """A step after `before`; what followed that until now stays as a generation."""
        last = self._base.row("SELECT max(number) FROM step WHERE piece = ?", self.piece)
        number = (last[0] if last and last[0] is not None else 0) + 1
        return self.step(self._add(before.id, number, gesture, state))

    def _add(self, before: int | None, number: int, gesture: str, state: State) -> int:
        return self._base.add(
            "INSERT INTO step (piece, before, number, gesture, gestures, text, print, plan,"
            " planned, at) VALUES (?, ?, ?, ?, 1, ?, ?, ?, ?, ?)",
            self.piece,
            before,
            number,
            gesture,
            state.text,
            state.print,
            state.plan,
            state.planned,
            now(),
        )

    def alter(self, step: Step, gesture: str, state: State) -> Step:
        """The same step with another outcome, where gestures run into one."""
        self._base.do(
            "UPDATE step SET gesture = ?, text = ?, print = ?, plan = ?, planned = ?, at = ?"
            " WHERE id = ?",
            gesture,
            state.text,
            state.print,
            state.plan,
            state.planned,
            now(),
            step.id,
        )
        return self.step(step.id)

    def step(self, id: int) -> Step:
        """One step."""
        row = self._base.row(
            f"SELECT {_COLUMNS} FROM step WHERE id = ? AND piece = ?", id, self.piece
        )
        if row is None:
            raise KeyError(id)
        return _step(row)

    def after(self, here: Step, tip: int) -> Step | None:
        """The step that redo leads to from `here`, on the way to the step `tip`."""
        row = self._base.row(
            f"{_WAY} SELECT id FROM way WHERE before = ?",
            tip,
            here.id,
        )
        return None if row is None else self.step(row[0])

    def drop(self, step: Step) -> None:
        """Forget a step that nothing follows."""
        self._base.do("DELETE FROM step WHERE id = ?", step.id)

    def all(self) -> list[Step]:
        """Every generation there is, the latest first."""
        rows = self._base.rows(
            f"SELECT {_COLUMNS} FROM step WHERE piece = ? ORDER BY number DESC", self.piece
        )
        return [_step(row) for row in rows]

    def with_print(self, print: str) -> Step | None:
        """The latest step whose design has the fingerprint, or None."""
        row = self._base.row(
            f"SELECT {_COLUMNS} FROM step WHERE piece = ? AND print = ? ORDER BY number DESC"
            " LIMIT 1",
            self.piece,
            print,
        )
        return None if row is None else _step(row)

    def thin(self, here: Step) -> None:
        """Make old generations fewer; the last ones that undo leads to, and the first, are kept."""
        rows = self._base.rows(
            "SELECT id, before, number, gestures FROM step WHERE piece = ? ORDER BY number DESC",
            self.piece,
        )
        if len(rows) <= KEPT + _SLACK:
            return
        way = self._base.rows(
            f"{_WAY} SELECT id FROM way LIMIT ?",
            here.id,
            KEPT,
        )
        always = {id for (id,) in way}
        gone = [
            (id, before, gestures)
            for place, (id, before, number, gestures) in enumerate(rows)
            if place >= KEPT
            and id not in always
            and number
            and number % (10 if place < _TENTHS else 100)
        ]
        if len(gone) < _SLACK:
            return
        for id, before, gestures in gone:
            self._base.do(
                "UPDATE step SET before = ?, gestures = gestures + ? WHERE before = ?",
                before,
                gestures,
                id,
            )
            self._base.do("DELETE FROM step WHERE id = ?", id)
        sweep(self._base)


def sweep(base: Database) -> None:
    """Forget texts and plans that no step has any more."""
    base.do(
        "DELETE FROM content WHERE hash NOT IN (SELECT text FROM step UNION"
        " SELECT plan FROM step WHERE plan IS NOT NULL UNION"
        " SELECT planned FROM step WHERE planned IS NOT NULL UNION SELECT plan FROM copy)"
    )


def _step(row: tuple[object, ...]) -> Step:
    id, before, number, gesture, gestures, at, text, print, plan, planned = row
    assert isinstance(id, int) and isinstance(number, int) and isinstance(gestures, int)
    assert before is None or isinstance(before, int)
    return Step(
        id=id,
        before=before,
        number=number,
        gesture=str(gesture),
        gestures=gestures,
        at=str(at),
        state=State(
            text=str(text),
            print=str(print),
            plan=None if plan is None else str(plan),
            planned=None if planned is None else str(planned),
        ),
    )
