"""Actions gathered into movements, row by row."""

from __future__ import annotations

from dataclasses import dataclass, replace

from airweft.base.errors import BadInput
from airweft.base.findings import Finding
from airweft.records.plan import Action, Plan, Section
from airweft.words.ledger import Ledger, Looseness
from airweft.words.movements import Group, Made, Movement, Ref, Row, Run
from airweft.words.sections import section_at


@dataclass(frozen=True, slots=True)
class GatheredRow:
    """A row's movements, with every name of each joint, and its actions (`last` exclusive)."""

    row: Row
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class _Twist:
    """A twist that no movement has taken yet; `before` are the names its joint had before it."""

    balloon: str
    made: Made
    length: int
    joint: int
    before: tuple[Ref, ...]


def usual_lengths(plan: Plan) -> dict[tuple[str, str, bool], int]:
    """The most common length for each size and colour, of bubbles (False) and loops (True)."""
    counts: dict[tuple[str, str, bool], dict[int, int]] = {}
    ends, lengths = plan.net.ends.tolist(), plan.net.lengths.tolist()
    for balloon in plan.balloons:
        for bubble in balloon.bubbles:
            is_loop = ends[bubble][0] == ends[bubble][1]
            of = counts.setdefault((balloon.size, balloon.colour, is_loop), {})
            of[lengths[bubble]] = of.get(lengths[bubble], 0) + 1
    return {key: min(of, key=lambda length: (-of[length], length)) for key, of in counts.items()}


def gather(plan: Plan) -> list[GatheredRow]:
    """The plan's rows as movements. Raises BadInput where the actions do not hang together."""
    gatherer = _Gatherer(plan)
    rows: list[GatheredRow] = []
    first = 0
    actions = plan.actions
    while first < len(actions):
        last = first
        while last < len(actions) and actions[last].row == actions[first].row:
            last += 1
        rows.append(GatheredRow(gatherer.row(first, last), first, last))
        first = last
    return rows


class _Gatherer:
    """Goes through the actions once, keeping the ledger."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.ledger = Ledger()
        self.loose = Looseness()
        self.usual = usual_lengths(plan)
        self.kinds = {b.code: (b.size, b.colour) for b in plan.balloons}
        self.ends: list[tuple[int, int]] = [(a, b) for a, b in plan.net.ends.tolist()]
        self.lengths: list[int] = plan.net.lengths.tolist()
        self.pending: list[_Twist] = []
        self.out: list[Movement] = []
        self.part_of: dict[str, str] = {}  # of a balloon the section that took it up
        self.section: Section | None = None

    def row(self, first: int, last: int) -> Row:
        """The movements of the actions from `first` to `last` (exclusive)."""
        self.out = []
        actions = self.plan.actions
        self.section = section_at(self.plan, first)
        index = first
        while index < last:
            action = actions[index]
            follows = actions[index + 1] if index + 1 < last else None
            if action.do == "twist":
                self._twist(action, index)
            elif action.do == "lock":
                self._lock(action)
            elif action.do == "tie":
                index += self._tie(action, follows)
            elif action.do == "start":
                self._flush(self.pending)
                at = self._names(action.joint)
                self.out.append(Movement(do="start", balloons=action.balloons, at=at))
                self.loose.knot(action.joint)
                self._begin(action.balloons[0], action.joint)
            else:
                self._flush(self.pending)
                self._where(action, index)
                self.out.append(Movement(do="finish", balloons=action.balloons))
            index += 1
        self._flush(self.pending)
        return tuple(self.out)

    def _names(self, joint: int) -> tuple[Ref, ...]:
        """The joint's names; of a part made apart only those that its own maker knows."""
        names = self.ledger.names(joint)
        if self.section is None or self.section.person == 0:
            return names
        return tuple(n for n in names if self.part_of.get(n.balloon) == self.section.name)

    def _begin(self, balloon: str, joint: int) -> None:
        if self.section is not None:
            self.part_of[balloon] = self.section.name
        self.ledger.begin(balloon, joint)
        self.loose.begin(balloon, joint)

    def _tie(self, action: Action, follows: Action | None) -> int:
        """A pair; a lock of the knot right after it belongs to the same clause."""
        self._flush(self.pending)
        joint = action.joint
        at = self._names(joint)
        self.out.append(Movement(do="tie", balloons=action.balloons, at=at))
        for balloon in action.balloons:
            self._begin(balloon, joint)
        if follows is None or follows.do != "lock" or follows.joint != joint:
            return 0
        if not self.out[-1].at:
            return 0
        self.out[-1] = replace(self.out[-1], locks=True, names=self._take_in(follows))
        return 1

    def _twist(self, action: Action, index: int) -> None:
        balloon, bubble, joint = action.balloons[0], action.bubble, action.joint
        if balloon not in self.ledger.trails:
            raise _astray(index, f"{balloon} makes a bubble before it is tied on.")
        a, b = self.ends[bubble]
        if {a, b} != {self.ledger.here(balloon), joint}:
            raise _astray(index, f"{balloon} does not lie where its next bubble begins.")
        made: Made = "loop" if a == b else "bubble"
        free = self.plan.net.kinds[bubble] == "free"
        if free:
            made = "free"
        length = self.lengths[bubble]
        if length == self.usual.get((*self.kinds[balloon], a == b)):
            length = 0
        before = self._names(joint)
        self.pending.append(_Twist(balloon, made, length, joint, before))
        self.ledger.lay(balloon, joint)
        self.loose.lay(balloon, joint, hangs=free and joint == b)

    def _lock(self, action: Action) -> None:
        """One movement of all the twists just made that end together in this lock."""
        joint = action.joint
        cut = len(self.pending)
        while cut > 0:
            start = self._group_start(cut, joint)
            if start == cut:
                break
            cut = start
            if start and self.pending[start - 1].balloon == self.pending[start].balloon:
                break
        taken = self.pending[cut:]
        self._flush(self.pending[:cut])
        names = self._take_in(action)
        if not taken:
            at = self._names(joint)
            sides = {self.part_of.get(name.balloon, ""): name for name in reversed(at)}
            if self.section is not None and self.section.person == 0 and len(sides) > 1:
                met = tuple(sides[part] for part in sorted(sides))
                self.out.append(Movement(do="join", at=met, locks=True))
                return
            self.out.append(Movement(do="lock", at=at, locks=True, names=names))
            return
        groups = _groups(taken)
        at = _landing(taken, groups)
        self.out.append(Movement(do="make", groups=groups, at=at, locks=True, names=names))

    def _group_start(self, cut: int, joint: int) -> int:
        """Where the group begins that ends before `cut` in a lock at `joint`; `cut` for none."""
        balloon = self.pending[cut - 1].balloon
        start, landed = cut, False
        while start > 0:
            twist = self.pending[start - 1]
            if twist.balloon != balloon:
                break
            if twist.made == "loop":
                if not landed and twist.joint != joint:
                    break
            elif not landed:
                if twist.joint != joint:
                    break
                landed = True
            elif twist.before:
                break
            start -= 1
        return start

    def _flush(self, twists: list[_Twist]) -> None:
        """Movements without a lock for these twists."""
        begin = 0
        for i, twist in enumerate(twists):
            follows = twists[i + 1] if i + 1 < len(twists) else None
            lands = any(t.before and t.made != "loop" for t in twists[begin : i + 1])
            if (
                follows is None
                or follows.balloon != twist.balloon
                or (lands and follows.made != "loop")
            ):
                part = twists[begin : i + 1]
                groups = _groups(part)
                self.out.append(Movement(do="make", groups=groups, at=_landing(part, groups)))
                begin = i + 1
        self.pending = []

    def _take_in(self, action: Action) -> tuple[str, ...] | None:
        """Lock in the looseness; the names to say if they are not just the loose ones there."""
        there = self.loose.at(action.joint)
        self.loose.knot(action.joint)
        return None if set(there) == set(action.balloons) else action.balloons

    def _where(self, action: Action, index: int) -> None:
        balloon = action.balloons[0]
        if balloon not in self.ledger.trails or self.ledger.here(balloon) != action.joint:
            raise _astray(index, f"{balloon} is tied off where it does not lie.")


def _groups(twists: list[_Twist]) -> tuple[Group, ...]:
    """Consecutive twists of one balloon as groups of runs."""
    groups: list[tuple[str, list[Run]]] = []
    for twist in twists:
        if not groups or groups[-1][0] != twist.balloon:
            groups.append((twist.balloon, []))
        runs = groups[-1][1]
        if runs and (runs[-1].made, runs[-1].length) == (twist.made, twist.length):
            runs[-1] = Run(runs[-1].count + 1, twist.made, twist.length)
        else:
            runs.append(Run(1, twist.made, twist.length))
    return tuple(Group(balloon, tuple(runs)) for balloon, runs in groups)


def _landing(twists: list[_Twist], groups: tuple[Group, ...]) -> tuple[Ref, ...]:
    """The names, before the first group came there, of the joint where the groups end."""
    first = twists[: sum(run.count for run in groups[0].runs)]
    for twist in reversed(first):
        if twist.made != "loop":
            return twist.before
    return first[-1].before if len(groups) > 1 else ()


def _astray(index: int, message: str) -> BadInput:
    return BadInput(
        Finding(
            code="words-actions",
            severity="cannot",
            where=f"action {index}",
            message=message,
            remedy="Check the plan file: airweft check names the rule that is broken.",
        )
    )
