"""The build script in the making: balloons, where their tips are, and the actions so far.

Every way of planning writes its plan through this one object. Between two moves of a planner every
twist is fast; inside a move the script counts the loose ones, so that `peak` is known at the end.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from airweft.plan.kinds import Work
from airweft.records.plan import Action, Do, Section

_ROW = 12  # bubbles in a row, at most, before the next one is begun
_SHORT_ROW = 6  # bubbles after which a row may end where another balloon is taken up


@dataclass(slots=True)
class Strand:
    """A balloon while it is being planned. `tip` is the joint where it lies now."""

    number: int
    kind: int
    start: int
    tip: int
    length: int = 0
    bubbles: list[int] = field(default_factory=list)
    finished: bool = False


class Script:
    """Actions with balloon numbers, and the state of the piece they leave.

    `sections` says who does which of them, where several people work at once.
    """

    __slots__ = (
        "actions",
        "in_row",
        "loose_at",
        "made",
        "peak",
        "row",
        "sections",
        "strands",
        "touched",
        "work",
    )

    def __init__(self, work: Work) -> None:
        self.work = work
        self.strands: list[Strand] = []
        self.actions: list[tuple[Do, tuple[int, ...], int, int, int]] = []
        self.made = bytearray(len(work.ends))
        self.touched = bytearray(work.joint_count)
        self.loose_at: list[tuple[int, int]] = []
        self.peak = 0
        self.row = 1
        self.in_row = 0
        self.sections: list[Section] = []

    def make_room(self, bubbles: int, *, taken_up: bool) -> None:
        """Begin another row where so many bubbles more would make this one too long to follow.

        A row of some length also ends where another balloon is `taken_up`.
        """
        if self.in_row + bubbles > _ROW or (self.in_row >= _SHORT_ROW and taken_up):
            self.row += 1
            self.in_row = 0
        self.in_row += bubbles

    def fits(self, strand: Strand, more: int, longer: int) -> bool:
        """True if the strand's balloon can make so many bubbles more, `longer` in all."""
        capacity = self.work.kinds[strand.kind].capacity
        return capacity.fits(len(strand.bubbles) + more, strand.length + longer)

    def start(self, kind: int, joint: int) -> Strand:
        """Tie a fresh balloon on; what lies loose at the joint becomes fast, and all before it."""
        strand = self._fresh(kind, joint)
        self._write("start", (strand.number,), joint)
        self._hold(joint)
        self.touched[joint] = 1
        return strand

    def tie(self, kinds: tuple[int, int], joint: int) -> tuple[Strand, Strand]:
        """A fresh pair, nozzle to nozzle; locked on where something lies already."""
        first, second = self._fresh(kinds[0], joint), self._fresh(kinds[1], joint)
        self._write("tie", (first.number, second.number), joint)
        if self.touched[joint]:
            self._write("lock", (), joint)
        self.touched[joint] = 1
        return first, second

    def twist(self, strand: Strand, bubble: int) -> None:
        """The strand's next bubble; its end is loose until a lock or a knot holds it."""
        a, b = self.work.ends[bubble]
        to = b if a == strand.tip else a
        strand.bubbles.append(bubble)
        strand.length += self.work.lengths[bubble]
        strand.tip = to
        self.made[bubble] = 1
        self._write("twist", (strand.number,), to, bubble)
        if self.work.is_free[bubble] and to == b:  # a hanging end needs no lock (M11)
            self.loose_at = [(s, j) for s, j in self.loose_at if s != strand.number]
        else:
            self.loose_at.append((strand.number, to))
            self.peak = max(self.peak, len(self.loose_at))
        if not self.touched[to]:
            self.touched[to] = 1

    def lock(self, joint: int) -> None:
        """One lock twist over all that lies at the joint; the strands in it become fast."""
        self._write("lock", tuple(sorted({s for s, j in self.loose_at if j == joint})), joint)
        self._hold(joint)

    def _hold(self, joint: int) -> None:
        """Make fast what lies loose at a joint, and each strand's twists before it."""
        last = {s: i for i, (s, j) in enumerate(self.loose_at) if j == joint}
        self.loose_at = [(s, j) for i, (s, j) in enumerate(self.loose_at) if i > last.get(s, -1)]

    def finish(self, strand: Strand) -> None:
        """Cut, tie off and hide the strand's end where it lies."""
        strand.finished = True
        self._write("finish", (strand.number,), strand.tip)

    def finish_all(self) -> None:
        """Finish every strand that is still open, in the order in which they were started."""
        for strand in self.strands:
            if not strand.finished:
                self.finish(strand)

    def _fresh(self, kind: int, joint: int) -> Strand:
        strand = Strand(len(self.strands), kind, joint, joint)
        self.strands.append(strand)
        return strand

    def _write(self, do: Do, strands: tuple[int, ...], joint: int, bubble: int = -1) -> None:
        self.actions.append((do, strands, joint, bubble, self.row))


def codes(script: Script) -> list[str]:
    """The printed code of each strand: the colour's mark and a number in order of starting."""
    counts: dict[str, int] = {}
    result = []
    for strand in script.strands:
        mark = script.work.kinds[strand.kind].colour
        counts[mark] = counts.get(mark, 0) + 1
        gap = "-" if mark[-1:].isdigit() else ""
        result.append(f"{mark}{gap}{counts[mark]}")
    return result


def actions(script: Script) -> tuple[Action, ...]:
    """The script's actions with printed codes."""
    code = codes(script)
    return tuple(
        Action(do, tuple(code[s] for s in strands), joint, bubble, row)
        for do, strands, joint, bubble, row in script.actions
    )
