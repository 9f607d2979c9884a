"""Small books made by hand: real nets, plain balloons in index order, steps of a dozen bubbles."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from airweft.booklet.book import Book
from airweft.costing.minutes import estimate
from airweft.costing.shopping import shop
from airweft.net.fabric import weave
from airweft.records.arrays import pairs, points, whole
from airweft.records.budget import Budget
from airweft.records.design import Box, Colour, Design, Form, Pattern, Sheet
from airweft.records.net import Net
from airweft.records.plan import Action, Balloon, Bound, Claims, Plan
from airweft.records.steps import Instructions, Step
from airweft.surface.build import build

BUDGET = Budget(flat=152400, full=137000, knot=3000, stub=5000, twist_takes=600, twist_pushes=900)
RED, WHITE, NAVY = (
    Colour("R", "red", "#c8102e"),
    Colour("W", "white", "#f7f4ec"),
    Colour("N", "navy", "#1d3b6b"),
)


def make_book(
    form: Form | None = None,
    *,
    name: str = "Harbour lantern",
    palette: tuple[Colour, ...] = (RED, WHITE, NAVY),
    each: int = 12,
    proven: bool = True,
    units: str = "cm",
    notes: str = "",
    tails: tuple[int, ...] = (16000,),
) -> Book:
    """A book of `form` (a small box), its colours in columns; the plan is only good to look at."""
    form = Box(across=4, deep=4, high=6) if form is None else form
    net = weave(build(form, bubble=2500), bubble=2500, size="260")
    marks = tuple(
        palette[(x if x >= 0 else 0) // 2 % len(palette)].mark for x, _ in net.places.tolist()
    )
    return book_of(
        replace(net, colours=marks),
        form,
        name=name,
        palette=palette,
        each=each,
        proven=proven,
        units=units,
        notes=notes,
        tails=tails,
    )


def book_of(
    net: Net,
    form: Form,
    *,
    name: str,
    palette: tuple[Colour, ...],
    each: int,
    proven: bool,
    units: str,
    notes: str,
    tails: tuple[int, ...] = (16000,),
) -> Book:
    """A book of a coloured net."""
    design = Design(
        name=name,
        units=units,  # type: ignore[arg-type]
        size="260",
        bubble=2500,
        hands=4,
        most_bubbles=each,
        tail=None,
        tail_step=500,
        budget=BUDGET,
        assumed=("flat", "full", "knot", "stub", "twist_takes", "twist_pushes"),
        form=form,
        palette=palette,
        pattern=Pattern(kind="columns", repeat="".join(c.mark for c in palette)),
        notes=notes,
        fingerprint="0123456789abcdef" * 4,
    )
    balloons: list[Balloon] = []
    actions: list[Action] = []
    steps: list[Step] = []
    waiting: dict[str, list[int]] = {}
    for bubble, mark in enumerate(net.colours):
        waiting.setdefault(mark, []).append(bubble)
    cuts = [
        (mark, bubbles[n : n + each])
        for mark, bubbles in waiting.items()
        for n in range(0, len(bubbles), each)
    ]
    for row, (mark, bubbles) in enumerate(sorted(cuts, key=lambda cut: cut[1][0]), start=1):
        code = f"{mark}{1 + sum(b.colour == mark for b in balloons)}"
        start = int(net.ends[bubbles[0]][0])
        balloons.append(
            Balloon(
                code=code,
                colour=mark,
                size="260",
                tail=tails[(row - 1) % len(tails)],
                start=start,
                bubbles=tuple(bubbles),
            )
        )
        first = len(actions)
        actions.append(Action("start", (code,), start, row=row))
        for bubble in bubbles:
            actions.append(Action("twist", (code,), int(net.ends[bubble][1]), bubble, row))
            actions.append(Action("lock", (code,), int(net.ends[bubble][1]), row=row))
        actions.append(Action("finish", (code,), int(net.ends[bubbles[-1]][1]), row=row))
        made = sum(len(b.bubbles) for b in balloons)
        steps.append(
            Step(
                number=row,
                first_row=row,
                last_row=row,
                title=f"Row {row}",
                text=f"Tie on {code}. {code} {len(bubbles)} bubbles, lock every second.\n"
                f"Tie off {code} at {code}.{len(bubbles)}.",
                check=f"Check: {made} of {net.bubble_count} bubbles; no loose twist.",
                first_action=first,
                last_action=len(actions),
                new_bubbles=tuple(bubbles),
            )
        )
    lengths = net.joints.max(axis=0) - net.joints.min(axis=0)
    plan = Plan(
        design_name=name,
        fingerprint=design.fingerprint,
        program="airweft",
        version="0.1.0",
        seed=0,
        style="rounds",
        hands=4,
        net=net,
        balloons=tuple(balloons),
        budgets={"260": BUDGET},
        actions=tuple(actions),
        bound=Bound(
            balloons=len(balloons) if proven else len(balloons) - 1,
            reason="each balloon can hold twelve bubbles of its colour",
            proven=proven,
        ),
        claims=Claims(
            joints=net.joint_count,
            bubbles=net.bubble_count,
            balloons=len(balloons),
            peak_loose=3,
            minutes_low=20,
            minutes_high=30,
            size_mm=(float(lengths[0]), float(lengths[1]), float(lengths[2])),
        ),
    )
    return Book(
        design=design,
        plan=plan,
        instructions=Instructions(
            steps=tuple(steps),
            how_to_read=(
                "Every balloon has a code, such as R1: its mark and a number.",
                "A joint has a name. Bubbles that end there are locked together by one twist.",
            ),
            glossary=(
                ("bubble", "one segment of balloon between two twists"),
                ("joint", "where bubble ends are held together by a lock twist"),
                ("lock", "the twist that holds several bubble ends in one joint"),
                ("tail", "the flat end left when inflating"),
                ("loose", "a twist that can still unwind"),
            ),
        ),
        shopping=shop(plan, palette),
        minutes=estimate(plan),
    )


def tiny_book(name: str = "Knot", notes: str = "") -> Book:
    """Two bubbles in a line: the least there can be."""
    net = Net(
        joints=points([[0, 0, 0], [25, 0, 0], [50, 0, 0]]),
        ends=pairs([[0, 1], [1, 2]]),
        lengths=whole([2500, 2500]),
        colours=("R", "R"),
        sizes=("260", "260"),
        kinds=("frame", "frame"),
        joint_names=("a", "b", "c"),
        bubble_names=("p", "q"),
        bubble_panels=("", ""),
        places=pairs(np.full((2, 2), -1)),
    )
    return book_of(
        net,
        Sheet(columns=2, rows=1),
        name=name,
        palette=(RED,),
        each=12,
        proven=True,
        units="cm",
        notes=notes,
    )
