"""Small plans made by hand for the costing tests; they need not be makeable, only countable."""

from __future__ import annotations

from collections.abc import Sequence

from airweft.records.arrays import pairs, points
from airweft.records.budget import Budget
from airweft.records.net import Net
from airweft.records.plan import Action, Balloon, Bound, Claims, Plan

BUDGET = Budget(flat=26000, full=152400, knot=1500, stub=3000, twist_takes=2000, twist_pushes=1200)


def counted_plan(
    balloons: Sequence[tuple[str, str, int, int]], *, locks: int, ties: int = 0
) -> Plan:
    """A plan that has the given counts: `balloons` are (colour, size, tail, bubbles)."""
    made: list[Balloon] = []
    actions: list[Action] = []
    bubble = 0
    for n, (colour, size, tail, count) in enumerate(balloons):
        bubbles = tuple(range(bubble, bubble + count))
        bubble += count
        made.append(
            Balloon(
                code=f"{colour}{n + 1}",
                colour=colour,
                size=size,
                tail=tail,
                start=0,
                bubbles=bubbles,
            )
        )
        if n >= 2 * ties:
            actions.append(Action("start", (made[-1].code,), 0, row=1))
        actions.extend(Action("twist", (made[-1].code,), 0, b, row=1) for b in bubbles)
        actions.append(Action("finish", (made[-1].code,), 0, row=1))
    actions.extend(Action("tie", (made[2 * t].code, made[2 * t + 1].code), 0) for t in range(ties))
    actions.extend(Action("lock", (), 0, row=1) for _ in range(locks))
    net = Net(
        joints=points([(0.0, 0.0, 0.0)]),
        ends=pairs([(0, 0)] * bubble),
        lengths=pairs([]).reshape(-1),
        colours=(),
        sizes=(),
        kinds=(),
        joint_names=("j",),
        bubble_names=(),
        bubble_panels=(),
        places=pairs([]),
    )
    return Plan(
        design_name="Counted",
        fingerprint="",
        program="airweft",
        version="0",
        seed=0,
        style="pairs",
        hands=4,
        net=net,
        balloons=tuple(made),
        budgets={b.size: BUDGET for b in made},
        actions=tuple(actions),
        bound=Bound(balloons=1, reason="none", proven=False),
        claims=Claims(
            joints=1,
            bubbles=bubble,
            balloons=len(made),
            peak_loose=0,
            minutes_low=0,
            minutes_high=0,
            size_mm=(0.0, 0.0, 0.0),
        ),
    )
