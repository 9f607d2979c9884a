"""Small plans made by hand, each checked on paper against the making rules."""

from __future__ import annotations

from collections.abc import Sequence

from airweft.records.arrays import pairs, points, whole
from airweft.records.budget import Budget
from airweft.records.net import BubbleKind, Net
from airweft.records.plan import Action, Balloon, Bound, Claims, Plan

# Round figures that are easy to reckon with: stretch 5, body 5 x (300 mm - tail) - 10 mm.
BUDGET = Budget(flat=30000, full=150000, knot=1000, stub=1000, twist_takes=500, twist_pushes=1500)
TAIL = 10000


def net_of(
    ends: Sequence[tuple[int, int]],
    *,
    kinds: Sequence[BubbleKind] = (),
    colours: str = "",
    length: int = 2500,
    size: str = "260",
) -> Net:
    """A net on the joints that `ends` names; all red if not said otherwise."""
    n = 1 + max((max(pair) for pair in ends), default=-1)
    m = len(ends)
    kind = tuple(kinds) or tuple("loop" if a == b else "fabric" for a, b in ends)
    return Net(
        joints=points([(100.0 * k, 10.0 * k * k, 0.0) for k in range(n)]),
        ends=pairs(list(ends)),
        lengths=whole([length] * m),
        colours=tuple(colours or "R" * m),
        sizes=(size,) * m,
        kinds=kind,  # type: ignore[arg-type]
        joint_names=tuple(f"knot {k}" for k in range(n)),
        bubble_names=tuple(f"bead {k}" for k in range(m)),
        bubble_panels=("",) * m,
        places=pairs([(-1, -1)] * m),
    )


def balloon(code: str, start: int, bubbles: Sequence[int], *, tail: int = TAIL) -> Balloon:
    """A 260 of the colour that its code begins with."""
    return Balloon(
        code=code, colour=code[0], size="260", tail=tail, start=start, bubbles=tuple(bubbles)
    )


def tie(a: str, b: str, joint: int) -> Action:
    return Action("tie", (a, b), joint, row=1)


def start(code: str, joint: int) -> Action:
    return Action("start", (code,), joint, row=1)


def twist(code: str, bubble: int, to: int) -> Action:
    return Action("twist", (code,), to, bubble, row=1)


def lock(joint: int, *codes: str) -> Action:
    return Action("lock", codes, joint, row=1)


def finish(code: str, joint: int) -> Action:
    return Action("finish", (code,), joint, row=1)


def plan_of(
    net: Net, balloons: Sequence[Balloon], actions: Sequence[Action], *, peak: int, hands: int = 4
) -> Plan:
    """A plan with true claims, where `peak` is the largest number of loose twists."""
    return Plan(
        design_name="Bollard",
        fingerprint="",
        program="by hand",
        version="1",
        seed=0,
        style="by hand",
        hands=hands,
        net=net,
        balloons=tuple(balloons),
        budgets={"260": BUDGET},
        actions=tuple(actions),
        bound=Bound(balloons=1, reason="a piece needs a balloon", proven=len(balloons) == 1),
        claims=Claims(
            joints=net.joint_count,
            bubbles=net.bubble_count,
            balloons=len(balloons),
            peak_loose=peak,
            minutes_low=1,
            minutes_high=2,
            size_mm=(100.0, 100.0, 25.0),
        ),
    )


def triangle() -> Plan:
    """Three bubbles of one balloon: a chain of three whose end meets the knot."""
    return plan_of(
        net_of([(0, 1), (1, 2), (2, 0)]),
        [balloon("R1", 0, [0, 1, 2])],
        [
            start("R1", 0),
            twist("R1", 0, 1),
            twist("R1", 1, 2),
            twist("R1", 2, 0),
            lock(0, "R1"),
            finish("R1", 0),
        ],
        peak=3,
    )


def ring_of_four() -> Plan:
    """Four loose twists until the ring closes; the lock at the knot makes all of them fast (M5)."""
    return plan_of(
        net_of([(0, 1), (1, 2), (2, 3), (3, 0)]),
        [balloon("R1", 0, [0, 1, 2, 3])],
        [
            start("R1", 0),
            *(twist("R1", k, (k + 1) % 4) for k in range(4)),
            lock(0, "R1"),
            finish("R1", 0),
        ],
        peak=4,
    )


def tied_pair() -> Plan:
    """A ring of four by two balloons tied nozzle to nozzle, one each way round."""
    return plan_of(
        net_of([(0, 1), (1, 2), (0, 3), (3, 2)], colours="RRWW"),
        [balloon("R1", 0, [0, 1]), balloon("W1", 0, [2, 3])],
        [
            tie("R1", "W1", 0),
            twist("R1", 0, 1),
            twist("R1", 1, 2),
            twist("W1", 2, 3),
            twist("W1", 3, 2),
            lock(2, "R1", "W1"),
            finish("R1", 2),
            finish("W1", 2),
        ],
        peak=4,
    )


def sheet_of_cells() -> Plan:
    """Two by two cells of fabric, 16 bubbles, in pairs: one pair up each column of cells.

    Joints are the middles of the mesh's edges: 0, 1 below; 2, 3, 4 beside the lower cells; 5, 6
    between lower and upper; 7, 8, 9 beside the upper cells; 10, 11 on top. Of each pair the
    odd balloon goes up the left side of its column and the even one up the right side, and they
    meet at every cross edge; at joint 3 and joint 8 the columns are locked sideways.
    """
    ends = [
        (0, 2), (2, 5), (5, 7), (7, 10),  # R1
        (0, 3), (3, 5), (5, 8), (8, 10),  # R2
        (1, 3), (3, 6), (6, 8), (8, 11),  # R3
        (1, 4), (4, 6), (6, 9), (9, 11),  # R4
    ]  # fmt: skip
    codes = ("R1", "R2", "R3", "R4")
    actions = [tie("R1", "R2", 0), tie("R3", "R4", 1)]
    for lower in (0, 2):
        for k, code in enumerate(codes[:2]):
            actions += [twist(code, b := 4 * k + lower, ends[b][1])]
            actions += [twist(code, b + 1, ends[b + 1][1])]
        actions.append(lock(ends[lower + 1][1], "R1", "R2"))
        # The left column is fast as far as here, so the right one can be locked to its side.
        side = ends[4 + lower][1]
        actions += [twist("R3", 8 + lower, side), lock(side, "R3")]
        actions += [twist("R3", 9 + lower, ends[9 + lower][1])]
        actions += [twist("R4", b := 12 + lower, ends[b][1]), twist("R4", b + 1, ends[b + 1][1])]
        actions.append(lock(ends[9 + lower][1], "R3", "R4"))
    actions += [finish("R1", 10), finish("R2", 10), finish("R3", 11), finish("R4", 11)]
    return plan_of(
        net_of(ends),
        [balloon(code, k // 2, range(4 * k, 4 * k + 4)) for k, code in enumerate(codes)],
        actions,
        peak=4,
    )


def loops() -> Plan:
    """A triangle with an extra bubble at two of its joints, both locked where they stand."""
    return plan_of(
        net_of([(0, 0), (0, 1), (1, 1), (1, 2), (2, 0)]),
        [balloon("R1", 0, [0, 1, 2, 3, 4])],
        [
            start("R1", 0),
            twist("R1", 0, 0),
            lock(0, "R1"),
            twist("R1", 1, 1),
            twist("R1", 2, 1),
            lock(1, "R1"),
            twist("R1", 3, 2),
            twist("R1", 4, 0),
            lock(0, "R1"),
            finish("R1", 0),
        ],
        peak=2,
    )


def free_bubbles() -> Plan:
    """A triangle with a feeler of two bubbles; its end makes the twist before it fast (M11)."""
    return plan_of(
        net_of(
            [(0, 1), (1, 2), (2, 0), (0, 3), (3, 4)],
            kinds=["frame", "frame", "frame", "frame", "free"],
        ),
        [balloon("R1", 0, [0, 1, 2, 3, 4])],
        [
            start("R1", 0),
            twist("R1", 0, 1),
            twist("R1", 1, 2),
            twist("R1", 2, 0),
            lock(0, "R1"),
            twist("R1", 3, 3),
            twist("R1", 4, 4),
            finish("R1", 4),
        ],
        peak=3,
    )


def two_parts() -> Plan:
    """Two triangles made apart, then joined by a balloon knotted to one and locked to the other."""
    return plan_of(
        net_of(
            [(0, 1), (1, 2), (2, 0), (3, 4), (4, 5), (5, 3), (0, 3), (1, 4)], colours="RRRWWWGG"
        ),
        [
            balloon("R1", 0, [0, 1, 2]),
            balloon("W1", 3, [3, 4, 5]),
            balloon("G1", 0, [6]),
            balloon("G2", 1, [7]),
        ],
        [
            start("R1", 0),
            twist("R1", 0, 1),
            twist("R1", 1, 2),
            twist("R1", 2, 0),
            start("W1", 3),
            start("G1", 0),  # the knot makes the loose end of R1 fast and joins it (M7)
            finish("R1", 0),
            twist("W1", 3, 4),
            twist("W1", 4, 5),
            twist("W1", 5, 3),
            twist("G1", 6, 3),
            lock(3, "W1", "G1"),
            start("G2", 1),
            twist("G2", 7, 4),
            lock(4, "G2"),
            finish("W1", 3),
            finish("G1", 3),
            finish("G2", 4),
        ],
        peak=4,
    )


def late_lock() -> Plan:
    """A figure of eight whose crossing is fast before it is locked: the lock names nobody (M6)."""
    return plan_of(
        net_of([(0, 1), (1, 2), (2, 3), (3, 2), (2, 0)]),
        [balloon("R1", 0, range(5))],
        [
            start("R1", 0),
            *(twist("R1", k, to) for k, to in enumerate((1, 2, 3, 2, 0))),
            lock(0, "R1"),
            lock(2),
            finish("R1", 0),
        ],
        peak=5,
        hands=5,
    )


HAND_PLANS = {
    "triangle": triangle,
    "ring of four": ring_of_four,
    "tied pair": tied_pair,
    "sheet of cells": sheet_of_cells,
    "loops": loops,
    "free bubbles": free_bubbles,
    "two parts": two_parts,
    "late lock": late_lock,
}
