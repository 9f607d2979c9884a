"""The maker's fixed choices, found again in a net by their stable names.

`resolve` turns names into indices and says by name which choices this net cannot keep, and why.
What it returns can be kept as far as can be seen without planning.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping, Sequence

from airweft.base.findings import Finding
from airweft.base.nearest import nearest, said_list
from airweft.plan.capacity import Capacity
from airweft.plan.orders import BadOrder, merged
from airweft.plan.pins import Pins, Turn, comes_out
from airweft.records.choices import Choices, Keep, KeepBefore, KeepPanels, KeepToward, KeepTrail
from airweft.records.net import Net

CODE = "plan-choice-cannot-be-kept"
_MOST_NEAR = 12


def resolve(
    choices: Choices, net: Net, *, capacities: Mapping[str, Capacity]
) -> tuple[Pins, tuple[Finding, ...]]:
    """The choices that `net` can keep, and a finding for each one that it cannot.

    `net` is painted; `capacities` gives for each balloon size what one balloon can make. Never
    raises: a choice that does not fit is left out of the pins and told as
    `plan-choice-cannot-be-kept`, severity risky, by its name.
    """
    finder = _Finder(net, capacities)
    start = None
    if choices.start:
        start = finder.joint(choices.start, f"start {choices.start}")
    # Colours come first, so that panels are held against them and not the other way round.
    for keep in sorted(choices.keep, key=lambda keep: not isinstance(keep, KeepBefore)):
        finder.add(keep)
    if start is not None and not finder.may_begin(start):
        finder.cannot(
            f"start {choices.start}",
            "by the order of colours or panels no bubble at this joint can be made first",
            "Start where the first colour and the first panel are, or take one of the choices out.",
            joints=(start,),
        )
        start = None
    return finder.pins(start), tuple(finder.findings)


class _Finder:
    """Collects pins and findings, choice by choice."""

    def __init__(self, net: Net, capacities: Mapping[str, Capacity]) -> None:
        self.net = net
        self.capacities = capacities
        self.findings: list[Finding] = []
        self._joints = {name: j for j, name in reversed(list(enumerate(net.joint_names)))}
        self._bubbles = {name: b for b, name in reversed(list(enumerate(net.bubble_names)))}
        self._ends = [(a, b) for a, b in net.ends.tolist()]
        self._trails: list[tuple[tuple[int, ...], tuple[int, ...], KeepTrail]] = []
        self._taken: dict[int, KeepTrail] = {}
        self._panels: list[tuple[str, ...]] = []
        self._before: list[tuple[str, ...]] = []
        self._toward: list[tuple[int, tuple[int, ...]]] = []

    def add(self, keep: Keep) -> None:
        """Take the choice in, or say why it cannot be kept."""
        match keep:
            case KeepTrail():
                self._trail(keep)
            case KeepBefore():
                self._colours(keep)
            case KeepPanels():
                self._begun(keep)
            case KeepToward():
                self._direction(keep)

    def pins(self, start: int | None) -> Pins:
        """All that was taken in."""
        stages = self._numbers(self.net.colours, merged(self._before))
        return Pins(
            start=start,
            trails=tuple(bubbles for bubbles, _, _ in self._trails),
            joints=tuple(joints for _, joints, _ in self._trails),
            stages=stages,
            ranks=self._panel_ranks(self._panels, stages),
            toward=tuple(dict.fromkeys(self._toward)),
        )

    def may_begin(self, joint: int) -> bool:
        """True if the stages and ranks let a bubble at this joint be the first of all."""
        turn = Turn(self.pins(None))
        return any(turn.allows(b) for b, ends in enumerate(self._ends) if joint in ends)

    def joint(self, name: str, title: str) -> int | None:
        """The joint of this name."""
        if name in self._joints:
            return self._joints[name]
        self.cannot(title, *self._unknown("joint", name, self.net.joint_names))
        return None

    def _trail(self, keep: KeepTrail) -> None:
        unknown = [name for name in keep.bubbles if name not in self._bubbles]
        if unknown:
            more = f", and {len(unknown) - 1} more are missing" if unknown[1:] else ""
            said, remedy = self._unknown("bubble", unknown[0], self.net.bubble_names)
            self.cannot(keep.title, said + more, remedy)
            return
        bubbles = tuple(self._bubbles[name] for name in keep.bubbles)
        shared = next((b for b in bubbles if b in self._taken), None)
        if shared is not None:
            self.cannot(
                keep.title,
                f"bubble {self.net.bubble_names[shared]} is also in the "
                f"{self._taken[shared].title}, and a bubble is made by one balloon only",
                "Write the two trails as one, or take the bubble out of one of them.",
                (shared,),
            )
            return
        problem = self._of_one_balloon(bubbles) or self._hangs_together(bubbles)
        if problem is not None:
            self.cannot(keep.title, *problem)
            return
        joints = walk(self._ends, bubbles)
        assert joints is not None, "a trail that hangs together has joints"
        self._trails.append((bubbles, joints, keep))
        self._taken.update(dict.fromkeys(bubbles, keep))

    def _of_one_balloon(self, bubbles: tuple[int, ...]) -> tuple[str, str, tuple[int, ...]] | None:
        """Why no single balloon can make these bubbles, if so."""
        net, first = self.net, bubbles[0]
        for what, of in (("colour", net.colours), ("balloon size", net.sizes)):
            other = next((b for b in bubbles if of[b] != of[first]), None)
            if other is not None:
                return (
                    f"{net.bubble_names[first]} is {of[first]} and {net.bubble_names[other]} is "
                    f"{of[other]}, and a balloon has one {what}",
                    "Keep only bubbles of one kind in a trail.",
                    (first, other),
                )
        capacity = self.capacities.get(net.sizes[first])
        length = sum(int(net.lengths[b]) for b in bubbles)
        if capacity is not None and not capacity.fits(len(bubbles), length):
            most = 0
            total = 0
            for count, b in enumerate(bubbles, start=1):
                total += int(net.lengths[b])
                if capacity.fits(count, total):
                    most = count
            return (
                f"{len(bubbles)} bubbles are more than one balloon can make; it ends after the "
                f"first {most}",
                "Cut the trail into two, or take longer balloons or shorter bubbles.",
                bubbles,
            )
        return None

    def _hangs_together(self, bubbles: tuple[int, ...]) -> tuple[str, str, tuple[int, ...]] | None:
        """Why the bubbles, in this order, are no walk, if so."""
        for count in range(2, len(bubbles) + 1):
            if walk(self._ends, bubbles[:count]) is not None:
                continue
            one, two = bubbles[count - 2], bubbles[count - 1]
            names = self.net.bubble_names
            if set(self._ends[one]) & set(self._ends[two]):
                said = (
                    f"a balloon that comes through {names[one]} is at its other end, and "
                    f"{names[two]} does not go on from there"
                )
            else:
                said = f"{names[one]} and {names[two]} do not touch"
            return (
                said,
                f"After {names[one]} go on with a bubble that begins where it ends.",
                (one, two),
            )
        return None

    def _colours(self, keep: KeepBefore) -> None:
        there = set(self.net.colours)
        missing = [mark for mark in keep.marks if mark not in there]
        if missing:
            self.cannot(
                keep.title,
                f"no bubble of this piece is {said_list(missing, last='or')}",
                f"Its marks are {said_list(sorted(there))}.",
            )
            return
        try:
            merged([*self._before, keep.marks])
        except BadOrder as bad:
            self.cannot(
                keep.title,
                f"other choices want {bad.later} before {bad.first}",
                "Take one of these choices out.",
            )
            return
        apart = self._apart(keep.marks)
        if apart is not None:
            mark, later, parts = apart
            self.cannot(
                keep.title,
                f"{mark} lies in {parts} parts that do not touch before {later} is made, and a "
                "piece is built in one go",
                "Join the parts by bubbles of another colour, or let the colours come as the work "
                "needs them.",
            )
            return
        self._before.append(keep.marks)

    def _apart(self, marks: Sequence[str]) -> tuple[str, str, int] | None:
        """A mark whose bubbles, with all that the order allows so far, are in several parts.

        With the next mark, and how many parts; None where there is no such mark.
        """
        colours = self.net.colours
        for place in range(1, len(marks)):
            group = list(range(self.net.joint_count))

            for (one, two), mark in zip(self._ends, colours, strict=True):
                if mark not in marks[place:]:
                    group[_root(group, one)] = _root(group, two)
            parts = {
                _root(group, ends[0])
                for ends, mark in zip(self._ends, colours, strict=True)
                if mark in marks[:place]
            }
            if len(parts) > 1:
                return marks[place - 1], marks[place], len(parts)
        return None

    def _begun(self, keep: KeepPanels) -> None:
        groups = [self._panel(name) for name in keep.panels]
        for name, group in zip(keep.panels, groups, strict=True):
            if not group:
                panels = [p for p in self.net.panels if p]
                said, remedy = self._unknown("panel", name, panels)
                self.cannot(keep.title, said, remedy)
                return
        seen = {
            b: other
            for order in self._panels
            for other in order
            if other not in keep.panels
            for b in self._panel(other)
        }
        for name, group in zip(keep.panels, groups, strict=True):
            clash = next((seen[b] for b in group if b in seen), None)
            if clash is not None:
                self.cannot(
                    keep.title,
                    f"{name} and {clash} are the same part of the piece, or one is in the other",
                    "Name each panel once.",
                )
                return
            seen.update(dict.fromkeys(group, name))
        wanted = [*self._panels, keep.panels]
        try:
            merged(wanted)
        except BadOrder as bad:
            self.cannot(
                keep.title,
                f"other choices want {bad.later} begun before {bad.first}",
                "Take one of these choices out.",
            )
            return
        stages = self._numbers(self.net.colours, merged(self._before))
        if not comes_out(Pins(stages=stages, ranks=self._panel_ranks(wanted, stages))):
            self.cannot(
                keep.title,
                "by the order of colours, bubbles of a later panel are to be made before any of an "
                "earlier one",
                "Take one of these choices out.",
            )
            return
        self._panels.append(keep.panels)

    def _direction(self, keep: KeepToward) -> None:
        joint = self.joint(keep.start, keep.title)
        goal = self.joint(keep.goal, keep.title)
        if joint is None or goal is None:
            return
        if joint == goal:
            self.cannot(keep.title, "both are the same joint", "Name another joint to go toward.")
            return
        away = _steps_from(goal, self._ends, self.net.joint_count)
        nearer = tuple(
            b
            for b, (one, two) in enumerate(self._ends)
            if joint in (one, two)
            and away[two if one == joint else one] >= 0
            and away[two if one == joint else one] < away[joint]
        )
        if not nearer:
            self.cannot(
                keep.title,
                "no bubbles lead from one to the other",
                "Name joints of one connected part.",
                joints=(joint, goal),
            )
            return
        self._toward.append((joint, nearer))

    def _panel(self, name: str) -> list[int]:
        """The bubbles of a panel, or of all panels whose name begins so."""
        return [b for b, p in enumerate(self.net.bubble_panels) if f"{p} ".startswith(f"{name} ")]

    def _panel_ranks(
        self, orders: Sequence[Sequence[str]], stages: Sequence[int]
    ) -> tuple[int, ...]:
        """The rank of each bubble's panel; where orders leave it open, early colours first."""
        bubbles = {name: self._panel(name) for order in orders for name in order}
        soonest = {
            name: min((stages[b] for b in own), default=0) if stages else 0
            for name, own in bubbles.items()
        }
        order = merged(orders, one_by_one=lambda name: soonest[name])
        ranks = [-1] * self.net.bubble_count if order else []
        for name, rank in order.items():
            for b in bubbles[name]:
                ranks[b] = rank
        return tuple(ranks)

    @staticmethod
    def _numbers(of: Sequence[str], order: Mapping[str, int]) -> tuple[int, ...]:
        return tuple(order.get(word, -1) for word in of) if order else ()

    def _unknown(self, what: str, name: str, known: Iterable[str]) -> tuple[str, str]:
        """Message and remedy for a name that the net does not have.

        Near names are looked for in the first dozen of findings only, since that takes a while.
        """
        names = [n for n in dict.fromkeys(known) if n]
        first = name.strip().lower().partition(" ")[0]
        alike = [n for n in names if n.lower().startswith(first)] or names
        near = nearest(name, alike[:5000]) if len(self.findings) < _MOST_NEAR else None
        listed = said_list(names) if len(names) <= 8 else f"{names[0]}, {names[1]} ... {names[-1]}"
        remedy = f"Is {near!r} meant?" if near else f"Names here: {listed}."
        return f"there is no {what} {name!r} in this piece", remedy

    def cannot(
        self,
        title: str,
        said: str,
        remedy: str,
        bubbles: tuple[int, ...] = (),
        joints: tuple[int, ...] = (),
    ) -> None:
        """Say that the choice of this title cannot be kept, and why."""
        self.findings.append(
            Finding(
                code=CODE,
                severity="risky",
                where=f"plan, {title}",
                message=f"this choice cannot be kept: {said}. The plan is made without it.",
                remedy=remedy,
                bubbles=bubbles,
                joints=joints,
            )
        )


def walk(ends: Sequence[tuple[int, int]], bubbles: Sequence[int]) -> tuple[int, ...] | None:
    """The joints that a balloon passes which makes these bubbles in this order; None if it cannot.

    Where it could go either way, it leaves the first bubble's first end.
    """
    for begin in dict.fromkeys(ends[bubbles[0]]):
        at, passed = begin, [begin]
        for b in bubbles:
            one, two = ends[b]
            if at not in (one, two):
                break
            at = two if at == one else one
            passed.append(at)
        else:
            return tuple(passed)
    return None


def _root(group: list[int], joint: int) -> int:
    """What stands for all joints that were put together with this one."""
    while group[joint] != joint:
        group[joint] = group[group[joint]]
        joint = group[joint]
    return joint


def _steps_from(goal: int, ends: Sequence[tuple[int, int]], joints: int) -> list[int]:
    """How many bubbles lie between each joint and the goal; -1 where no bubbles lead there."""
    at: list[list[int]] = [[] for _ in range(joints)]
    for one, two in ends:
        at[one].append(two)
        at[two].append(one)
    away = [-1] * joints
    away[goal] = 0
    queue = deque([goal])
    while queue:
        joint = queue.popleft()
        for near in at[joint]:
            if away[near] < 0:
                away[near] = away[joint] + 1
                queue.append(near)
    return away
