"""The making: how far each copy of a piece is, how long its steps took, what a new plan means."""

from __future__ import annotations

import math
import statistics
import threading
from collections.abc import Callable
from dataclasses import dataclass

from airweft.base.errors import BadInput
from airweft.base.refusals import refusal
from airweft.records.plan import Plan
from airweft.workshop.store.clock import now
from airweft.workshop.store.database import Database
from airweft.workshop.worked import Worked, worked

_LONGEST_S = 3_600.0  # a step that took longer was a break
_MOST_COPIES = 200
_LONGEST_NAME = 80
FEWEST_TIMES = 8
"""Observed steps without which no factor is proposed."""
_NO_STEP = 20.0  # a step so many times slower or faster than usual was a break, or paged through


@dataclass(frozen=True, slots=True, kw_only=True)
class Copy:
    """One copy of the piece being made. `step` steps of its plan's `steps` are done.

    `fresh` while its plan is the one on the desk; one that is not goes on by its own plan until an
    offer is taken.
    """

    id: int
    name: str
    step: int
    steps: int
    plan: str
    fresh: bool
    changed: str

    @property
    def done(self) -> bool:
        """True when nothing is left to do."""
        return self.step >= self.steps


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """How a copy may go on by another plan.

    Its first `back_to` steps, of `reached`, leave the work just as the first `step` steps of the
    new plan do. `undo` names the bubbles that would have to be undone for that, the last first;
    none where `exact`. `words` say it.
    """

    copy: Copy
    plan: str
    reached: int
    back_to: int
    step: int
    undo: tuple[str, ...]
    words: str

    @property
    def exact(self) -> bool:
        """True where the work can go on as it lies on the table."""
        return self.back_to == self.reached


@dataclass(frozen=True, slots=True, kw_only=True)
class Factor:
    """The maker's pace against practised hands: 1.2 takes a fifth longer.

    `value` is the median over so many `observations`; half of them lie from `low` to `high`.
    `left_out` were breaks, or steps only paged through.
    """

    value: float
    low: float
    high: float
    observations: int
    left_out: int


class Making:
    """The copies of one piece. Every step is in the database before `go` returns."""

    def __init__(
        self,
        base: Database,
        piece: str,
        plan: Callable[[str], Plan],
        current: Callable[[], str | None],
        tell: Callable[[str], None],
    ) -> None:
        self._base = base
        self._piece = piece
        self._plan = plan
        self._current = current
        self._tell = tell
        self._lock = threading.RLock()
        self._since: dict[int, tuple[str, int, float]] = {}
        self._worked: dict[str, Worked] = {}

    @property
    def copies(self) -> tuple[Copy, ...]:
        """All copies, in the order in which they were begun."""
        rows = self._base.rows(
            "SELECT id, name, step, plan, changed FROM copy WHERE piece = ? ORDER BY id",
            self._piece,
        )
        current = self._current()
        return tuple(
            Copy(
                id=id,
                name=name,
                step=step,
                steps=self.worked(plan).steps,
                plan=plan,
                fresh=plan == current,
                changed=changed,
            )
            for id, name, step, plan, changed in rows
        )

    def copy(self, copy: int | Copy) -> Copy:
        """One copy as it is now. Raises BadInput where it is gone."""
        wanted = copy.id if isinstance(copy, Copy) else copy
        for one in self.copies:
            if one.id == wanted:
                return one
        raise _no_copy()

    def add_copy(self, name: str = "") -> Copy:
        """Begin another copy by the plan on the desk. Raises BadInput where there is none."""
        plan = self._current()
        if plan is None:
            raise _no_plan()
        count = len(self.copies)
        if count >= _MOST_COPIES:
            raise _too_many()
        with self._base.change():
            added = self._base.add(
                "INSERT INTO copy (piece, name, plan, step, begun, changed)"
                " VALUES (?, ?, ?, 0, ?, ?)",
                self._piece,
                _clean(name) or f"Copy {count + 1}",
                plan,
                now(),
                now(),
            )
        self._tell("progress")
        return self.copy(added)

    def rename_copy(self, copy: int | Copy, name: str) -> None:
        """Another name for a copy; an empty one changes nothing."""
        one = self.copy(copy)
        if _clean(name):
            self._base.do("UPDATE copy SET name = ? WHERE id = ?", _clean(name), one.id)
            self._tell("progress")

    def remove_copy(self, copy: int | Copy) -> None:
        """Forget a copy; the times of its steps are kept."""
        one = self.copy(copy)
        self._base.do("DELETE FROM copy WHERE id = ?", one.id)
        self._since.pop(one.id, None)
        self._tell("progress")

    def plan(self, copy: int | Copy) -> Plan:
        """The plan that a copy is made by."""
        return self._plan(self.copy(copy).plan)

    def go(self, copy: int | Copy, step: int, at: float) -> Copy:
        """So many steps of the copy are done now. Saved before this returns.

        `at` is in seconds of any clock that goes on evenly. The time of a step is kept where the
        step before it was reached since the last `start`. Raises BadInput for a step that its plan
        does not have, and for a copy that meanwhile goes by another plan than the one given.
        """
        with self._lock:
            one = self.copy(copy)
            if isinstance(copy, Copy) and copy.plan != one.plan:
                raise _other_plan(one.name)
            if isinstance(step, bool) or not 0 <= step <= one.steps:
                raise _no_step(one, step)
            with self._base.change():
                changed = self._base.do(
                    "UPDATE copy SET step = ?, changed = ? WHERE id = ? AND plan = ?",
                    step,
                    now(),
                    one.id,
                    one.plan,
                )
                if not changed:
                    raise _other_plan(one.name)
                self._note(one, step, at)
            self._since[one.id] = (one.plan, step, at)
        self._tell("progress")
        return self.copy(one.id)

    def start(self, copy: int | Copy, at: float) -> None:
        """Work on the copy begins, or goes on after a break, at this time."""
        one = self.copy(copy)
        with self._lock:
            self._since[one.id] = (one.plan, one.step, at)

    def pause(self, copy: int | Copy) -> None:
        """Work on the copy rests: the step at hand is not timed."""
        with self._lock:
            self._since.pop(copy.id if isinstance(copy, Copy) else copy, None)

    def _note(self, copy: Copy, step: int, at: float) -> None:
        plan, before, since = self._since.get(copy.id, ("", 0, 0.0))
        took = at - since
        if plan != copy.plan or step != before + 1 or not 0 < took <= _LONGEST_S:
            return
        self._base.do(
            "INSERT INTO took (piece, plan, step, seconds, usual, at) VALUES (?, ?, ?, ?, ?, ?)",
            self._piece,
            copy.plan,
            step,
            took,
            self.worked(copy.plan).usual[step],
            now(),
        )

    # After a change of the plan

    def offers(self) -> tuple[Offer, ...]:
        """For each copy that goes by another plan than the one on the desk, how it may go on."""
        current = self._current()
        if current is None:
            return ()
        return tuple(self._offer(copy, current) for copy in self.copies if not copy.fresh)

    def offer(self, copy: int | Copy) -> Offer:
        """How one copy may go on by the plan on the desk. Raises BadInput where there is none."""
        current = self._current()
        if current is None:
            raise _no_plan()
        return self._offer(self.copy(copy), current)

    def take(self, offer: Offer) -> Copy:
        """Let the copy go on by the new plan, from the step offered. Raises BadInput if it moved on
        since."""
        with self._lock, self._base.change():
            changed = self._base.do(
                "UPDATE copy SET plan = ?, step = ?, changed = ?"
                " WHERE id = ? AND plan = ? AND step = ?",
                offer.plan,
                offer.step,
                now(),
                offer.copy.id,
                offer.copy.plan,
                offer.reached,
            )
            if not changed:
                raise _other_plan(offer.copy.name)
            self._since.pop(offer.copy.id, None)
        self._tell("progress")
        return self.copy(offer.copy.id)

    def _offer(self, copy: Copy, plan: str) -> Offer:
        old, new = self.worked(copy.plan), self.worked(plan)
        last = {point: step for step, point in enumerate(new.points)}
        back = next(n for n in range(copy.step, -1, -1) if old.points[n] in last)
        undo = [b for n in range(copy.step, back, -1) for b in reversed(old.bubbles[n])]
        step = last[old.points[back]]
        return Offer(
            copy=copy,
            plan=plan,
            reached=copy.step,
            back_to=back,
            step=step,
            undo=tuple(undo),
            words=_offered(copy, back, step, new, len(undo)),
        )

    def worked(self, plan: str) -> Worked:
        """The steps of a plan by its hash."""
        with self._lock:
            if plan not in self._worked:
                self._worked = dict(list(self._worked.items())[-7:])
                self._worked[plan] = worked(self._plan(plan))
            return self._worked[plan]

    # Times

    def times(self) -> dict[int, tuple[float, ...]]:
        """For each step of the plan on the desk, the seconds it took, in the order observed."""
        rows = self._base.rows(
            "SELECT step, seconds FROM took WHERE plan = ? ORDER BY id", self._current() or ""
        )
        out: dict[int, tuple[float, ...]] = {}
        for step, seconds in rows:
            out[step] = (*out.get(step, ()), seconds)
        return out

    def factor(self) -> Factor | None:
        """The maker's pace, over all pieces; None until there are enough observations."""
        return factor(self._base)


def factor(base: Database) -> Factor | None:
    """The pace of all steps observed in a workshop; None with fewer than `FEWEST_TIMES`."""
    rows = base.rows("SELECT seconds / usual FROM took WHERE usual > 0")
    ratios = [ratio for (ratio,) in rows if math.isfinite(ratio)]
    kept = [ratio for ratio in ratios if 1 / _NO_STEP <= ratio <= _NO_STEP]
    if len(kept) < FEWEST_TIMES:
        return None
    low, value, high = statistics.quantiles(kept, n=4, method="inclusive")
    return Factor(
        value=value,
        low=low,
        high=high,
        observations=len(kept),
        left_out=len(rows) - len(kept),
    )


def _offered(copy: Copy, back: int, step: int, new: Worked, undo: int) -> str:
    if not copy.step:
        return f"{copy.name} is not begun yet: take the new plan as it is."
    if back == copy.step:
        return (
            f"{copy.name} can go on as it is: what is made so far is what the first {step} of "
            f"the new plan's {new.steps} steps make."
        )
    if not back:
        return (
            f"Nothing of {copy.name} fits the new plan from its beginning: go on by the plan that "
            "it was begun with, or start it anew."
        )
    bubbles = "1 bubble" if undo == 1 else f"{undo:,} bubbles"
    return (
        f"The first {back} of the {copy.step} steps done on {copy.name} are as in the new plan: "
        f"undo {bubbles} and go on at step {step + 1}, or go on by the plan that it was begun with."
    )


def _clean(name: str) -> str:
    words = "".join(c if c.isprintable() else " " for c in name).split()
    return " ".join(words)[:_LONGEST_NAME].strip()


def _no_copy() -> BadInput:
    return refusal(
        code="no-such-copy",
        where="making",
        message="this copy is not there any more",
        remedy="It was removed in another window; choose another one or begin a new one.",
    )


def _no_plan() -> BadInput:
    return refusal(
        code="making-without-plan",
        where="making",
        message="there is no plan to make the piece by",
        remedy="Choose a plan first.",
    )


def _too_many() -> BadInput:
    return refusal(
        code="too-many-copies",
        where="making",
        message=f"there are {_MOST_COPIES} copies of this piece already",
        remedy="Remove those that are finished.",
    )


def _other_plan(name: str) -> BadInput:
    return refusal(
        code="copy-by-another-plan",
        where=name,
        message="another window moved this copy on, or lets it go on by another plan",
        remedy="It is shown as it is now; go on from there.",
    )


def _no_step(copy: Copy, step: object) -> BadInput:
    return refusal(
        code="no-such-step",
        where=copy.name,
        message=f"its plan has {copy.steps} steps, and {str(step)[:20]} is none of them",
        remedy=f"Take a number from 0, nothing done, to {copy.steps}, all done.",
    )
