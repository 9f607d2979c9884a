"""How far a piece is after each step of a plan, told in names that outlive the plan.

A step is one row of the plan, counted from 1; step 0 is before the first. Two plans are at the same
point where the same bubbles were made of the same balloons and the same joints are locked: then the
hands can go on by either.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from airweft.costing.minutes import parts_of
from airweft.records.plan import Plan

_WHOLE = 1 << 128


@dataclass(frozen=True, slots=True)
class Worked:
    """A plan's steps. One entry for each step, and one more at the front for none done.

    points    what the work looks like after it, as a number that only the same work has
    made      how many bubbles are made by then
    usual     seconds that practised hands take for it
    bubbles   names of the bubbles made in it
    """

    points: tuple[int, ...]
    made: tuple[int, ...]
    usual: tuple[float, ...]
    bubbles: tuple[tuple[str, ...], ...]

    @property
    def steps(self) -> int:
        """How many steps the plan has."""
        return len(self.points) - 1


def worked(plan: Plan) -> Worked:
    """The plan's steps and what each leaves on the table. O(actions)."""
    net = plan.net
    balloons = {b.code: (b.size, b.colour, b.tail, net.joint_names[b.start]) for b in plan.balloons}
    now: dict[str, int] = {}
    point, made = 0, 0
    points, counts, usual = [0], [0], [0.0]
    bubbles: list[tuple[str, ...]] = [()]
    first = 0
    actions = plan.actions
    while first < len(actions):
        last = first
        new: list[str] = []
        while last < len(actions) and actions[last].row == actions[first].row:
            action = actions[last]
            if action.do == "lock":
                point = (point + _number("lock", net.joint_names[action.joint])) % _WHOLE
            else:
                what = "finish" if action.do == "finish" else ""
                if action.do == "twist":
                    what = net.bubble_names[action.bubble]
                    new.append(what)
                for code in action.balloons:
                    before = now.get(code)
                    now[code] = _number(before or balloons[code], action.do, what)
                    point = (point - (before or 0) + now[code]) % _WHOLE
            last += 1
        made += len(new)
        points.append(point)
        counts.append(made)
        bubbles.append(tuple(new))
        parts = parts_of(actions[first:last])
        usual.append(sum(part.low_s + part.high_s for part in parts) / 2)
        first = last
    return Worked(tuple(points), tuple(counts), tuple(usual), tuple(bubbles))


def _number(*what: object) -> int:
    return int.from_bytes(hashlib.blake2b(repr(what).encode(), digest_size=16).digest())
