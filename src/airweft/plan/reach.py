"""Whether a hand, or something small, still gets into a form while it closes.

A surface that closes has an inside. What is not made yet, and what stays open for good, are the
openings that lead there. Fabric gives, so what counts is how far it is around an opening: a hand
gets through a slit as well as through a hole. Once no opening lets a hand in, locks can only be
made from outside, with nothing held against them.

All figures are estimates: a joint on the rim stands for as much rim as lies between two joints of a
straight border, and a bubble not yet made for half the square of its length.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import pi, sqrt

from airweft.records.net import Net
from airweft.records.plan import Plan

HAND_AROUND_MM = 250.0
"""Around a flat hand with the thumb laid in, in mm; from memory, for a large hand."""


def awkward(plan: Plan, *, around_mm: float = HAND_AROUND_MM) -> int:
    """How many locks and knots are made where no opening lets a hand inside any more.

    Every closed form has some: its last joints are closed from outside. Nets without a surface
    (frames, most nets from files) have an inside that is open everywhere: none.
    """
    openings = Openings(plan.net)
    if not openings.surfaces:
        return 0
    still_open = openings.replay(plan, around_mm)
    return sum(
        not still_open[i][openings.surface_of[action.joint]]
        for i, action in enumerate(plan.actions)
        if action.do in ("lock", "start", "tie") and openings.surface_of[action.joint] >= 0
    )


def last_row_open(plan: Plan, *, around_mm: float) -> int | None:
    """The last row after which something so far around still goes into the piece.

    None where that never ends (the piece stays open), or where there is no inside. 0 where it is
    never large enough. Of several closed parts the largest counts.
    """
    openings = Openings(plan.net)
    if not openings.surfaces or not plan.actions:
        return None
    largest = max(range(openings.surfaces), key=lambda s: (openings.surface_of.count(s), -s))
    still = [state[largest] for state in openings.replay(plan, around_mm)]
    rows = [action.row for action in plan.actions]
    after = {row: still[i + 1] for i, row in enumerate(rows)}
    if after[rows[-1]]:
        return None
    return max((row for row, is_open in after.items() if is_open), default=0)


class Openings:
    """The openings of a net's surfaces while bubbles are made.

    surfaces    how many connected surfaces the net has
    surface_of  the surface of each joint, -1 for joints on none
    border_joints  joints on borders that stay open
    """

    def __init__(self, net: Net) -> None:
        self._ends = [(a, b) for a, b in net.ends.tolist()]
        on_cells = {bubble for cell in net.cells for bubble in cell.bubbles}
        self._counts = [b in on_cells for b in range(net.bubble_count)]
        total = sum(int(net.lengths[b]) for b in on_cells)
        self._length = total / len(on_cells) / 100 if on_cells else 0.0
        self._borders = _borders(net)
        self.border_joints = frozenset(joint for ring in self._borders for joint in ring)
        groups = _Groups(net.joint_count)
        for bubble in sorted(on_cells):
            groups.join(*self._ends[bubble])
        roots: dict[int, int] = {}
        self.surface_of = [-1] * net.joint_count
        for joint in sorted({joint for cell in net.cells for joint in cell.joints}):
            self.surface_of[joint] = roots.setdefault(groups.find(joint), len(roots))
        self.surfaces = len(roots)

    def replay(self, plan: Plan, around_mm: float) -> list[tuple[bool, ...]]:
        """For each surface, whether an opening is at least so far around.

        One entry for the empty table and one after each action. Worked out backwards, from the
        finished piece, so that openings only ever grow together; takes time nearly in proportion
        to the plan's size.
        """
        backwards = _Unmaking(self, around_mm)
        states = [backwards.state()]
        for action in reversed(plan.actions):
            if action.do == "twist" and 0 <= action.bubble < len(self._ends):
                backwards.unmake(action.bubble)
            states.append(backwards.state())
        return states[::-1]

    def around(self, *, rim: int, bubbles: int, border: int) -> float:
        """How far it is around an opening, in mm.

        `rim` joints lie on it that hold something, `bubbles` are missing in it, and `border` joints
        of it stay open for good. A small beginning has a short rim and all the rest to go, so the
        area that is missing counts as well.
        """
        spacing = sqrt(2) * self._length
        area = bubbles * self._length**2 / 2
        return max(rim * spacing, border * spacing, 2 * sqrt(pi * area))


class _Unmaking:
    """Openings while bubbles are taken away again, the last one first."""

    def __init__(self, openings: Openings, around_mm: float) -> None:
        self._o = openings
        self._least = around_mm
        joints = len(openings.surface_of)
        self._groups = _Groups(joints)
        self._missing = [0] * joints  # by the root of each opening
        self._border = [0] * joints
        self._rim = [0] * joints
        self._lost = [0] * joints  # bubbles missing at each joint
        self._held = [0] * joints  # bubbles made at each joint
        self._wide = [0] * openings.surfaces
        self._state: tuple[bool, ...] | None = None
        for bubble, counts in enumerate(openings._counts):
            if counts:
                for joint in openings._ends[bubble]:
                    self._held[joint] += 1
        for ring in openings._borders:
            for joint in ring:
                self._border[joint] = 1
                self._rim[joint] = 1
            for joint in ring[1:]:
                self._merge(ring[0], joint)
            self._wide[openings.surface_of[ring[0]]] += self._is_wide(ring[0])

    def state(self) -> tuple[bool, ...]:
        """Whether each surface has an opening that is wide enough."""
        if self._state is None:
            self._state = tuple(count > 0 for count in self._wide)
        return self._state

    def unmake(self, bubble: int) -> None:
        """Take a bubble away."""
        o = self._o
        if not o._counts[bubble]:
            return
        one, two = o._ends[bubble]
        surface = o.surface_of[one]
        roots = {self._groups.find(one), self._groups.find(two)}
        self._wide[surface] -= sum(self._is_wide(root) for root in roots)
        for joint in (one, two):
            before = self._on_rim(joint)
            self._lost[joint] += 1
            self._held[joint] -= 1
            self._rim[self._groups.find(joint)] += self._on_rim(joint) - before
        self._missing[self._groups.find(one)] += 1
        self._merge(one, two)
        self._wide[surface] += self._is_wide(one)
        self._state = None

    def _on_rim(self, joint: int) -> bool:
        return self._held[joint] > 0 and (self._lost[joint] > 0 or joint in self._o.border_joints)

    def _is_wide(self, joint: int) -> bool:
        root = self._groups.find(joint)
        if not (self._missing[root] or self._border[root]):
            return False
        around = self._o.around(
            rim=self._rim[root], bubbles=self._missing[root], border=self._border[root]
        )
        return around >= self._least

    def _merge(self, one: int, two: int) -> None:
        one, two = self._groups.find(one), self._groups.find(two)
        if one == two:
            return
        root = self._groups.join(one, two)
        other = two if root == one else one
        for sums in (self._missing, self._border, self._rim):
            sums[root] += sums[other]


class _Groups:
    """Union-find over joints."""

    def __init__(self, count: int) -> None:
        self._parent = list(range(count))

    def find(self, joint: int) -> int:
        parent = self._parent
        while parent[joint] != joint:
            parent[joint] = parent[parent[joint]]
            joint = parent[joint]
        return joint

    def join(self, one: int, two: int) -> int:
        """Put two together; the root of both."""
        one, two = self.find(one), self.find(two)
        root = min(one, two)
        self._parent[max(one, two)] = root
        return root


def _borders(net: Net) -> list[list[int]]:
    """The joints of each open border: those on the edge of one cell only, linked along the edge."""
    at: dict[int, list[tuple[int, int]]] = {}
    for number, cell in enumerate(net.cells):
        for place, joint in enumerate(cell.joints):
            at.setdefault(joint, []).append((number, place))
    open_joints = {joint for joint, sides in at.items() if len(sides) == 1}
    groups = _Groups(net.joint_count)
    for joint in sorted(open_joints):
        groups.join(joint, _along(net, at, joint, open_joints))
    rings: dict[int, list[int]] = {}
    for joint in sorted(open_joints):
        rings.setdefault(groups.find(joint), []).append(joint)
    return list(rings.values())


def _along(
    net: Net, at: dict[int, list[tuple[int, int]]], joint: int, open_joints: set[int]
) -> int:
    """The next joint of the border, found by going round the corner cell by cell."""
    number, place = at[joint][0]
    for _ in range(len(net.cells) + 1):
        ring: Sequence[int] = net.cells[number].joints
        place = (place + 1) % len(ring)
        there = ring[place]
        if there in open_joints:
            return there
        others = [side for side in at[there] if side[0] != number]
        if len(others) != 1:
            return joint  # several sheets meet here; the border ends
        number, place = others[0]
    return joint
