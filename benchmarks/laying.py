"""Trails laid one after the other in the order they come: the plain way to make a plan of them.

Each balloon is tied on where it starts and twisted to its end; wherever its twist meets what lies
there already, it is locked. Ends are cut when all is made. Nothing is done to keep twists fast.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from airweft.base.findings import blocks
from airweft.check.replay import replay
from airweft.records.plan import Action, Balloon, Bound, Claims, Plan
from benchmarks.nets.case import Case

Trail = tuple[int, list[int]]
"""The joint where a balloon starts, and its bubbles in order."""


@dataclass(frozen=True, slots=True)
class Laid:
    """What the checker says of trails laid in order: rules broken, and the loose twists needed."""

    balloons: int
    broken: tuple[str, ...]
    loose: int


def lay(case: Case, trails: Sequence[Trail], *, bound: int) -> Laid:
    """Make a plan of the trails as they come, and ask the checker."""
    net, design = case.net, case.design
    balloons: list[Balloon] = []
    actions: list[Action] = []
    lying: dict[int, int] = {}  # visits at each joint
    fast: dict[str, int] = {}  # the last visit of each balloon that is fast
    loose: dict[int, list[tuple[str, int]]] = {}  # what was twisted at a joint and not locked
    ends: list[Action] = []

    def lock(joint: int) -> None:
        codes = sorted({code for code, visit in loose.get(joint, []) if visit > fast[code]})
        actions.append(Action("lock", tuple(codes), joint))
        for code, visit in loose.pop(joint, []):
            fast[code] = max(fast[code], visit)

    for number, (start, bubbles) in enumerate(trails):
        code, size = f"t{number + 1}", net.sizes[bubbles[0]]
        length = int(net.lengths[bubbles].sum())
        tail = case.budgets[size].tail_for(
            len(bubbles), length, step=design.tail_step, fixed=design.tail
        )
        balloons.append(
            Balloon(code=code, colour=net.colours[bubbles[0]], size=size, tail=tail or 0,
                    start=start, bubbles=tuple(bubbles))
        )  # fmt: skip
        actions.append(Action("start", (code,), start))
        for other, visit in loose.pop(start, []):  # the knot holds what lies there
            fast[other] = max(fast[other], visit)
        fast[code], here = 0, start
        lying[start] = lying.get(start, 0) + 1
        for k, bubble in enumerate(bubbles):
            a, b = net.ends[bubble].tolist()
            here = b if here == a else a
            actions.append(Action("twist", (code,), here, bubble))
            lying[here] = lying.get(here, 0) + 1
            if net.kinds[bubble] == "free" and here == b:
                fast[code] = k + 1
                continue
            loose.setdefault(here, []).append((code, k + 1))
            if lying[here] > 1:
                lock(here)
        ends.append(Action("finish", (code,), here))
    claims = Claims(joints=net.joint_count, bubbles=net.bubble_count, balloons=len(balloons),
                    peak_loose=0, minutes_low=0, minutes_high=0, size_mm=(0, 0, 0))  # fmt: skip
    plan = Plan(
        design_name=case.name, fingerprint="", program="benchmarks", version="0", seed=0,
        style="laid", hands=design.hands, net=net, balloons=tuple(balloons),
        budgets=case.budgets, actions=(*actions, *ends), claims=claims,
        bound=Bound(balloons=bound, reason="", proven=False),
    )  # fmt: skip
    counted = replay(plan)
    rules = {f.rule for f in counted.findings if f.rule and blocks([f])}
    return Laid(len(balloons), tuple(sorted(rules, key=lambda r: int(r[1:]))), counted.peak_loose)
