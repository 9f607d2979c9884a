"""Broken plans: each making rule broken in several ways, with where it must be told.

Each entry is (rule, name, plan, action or None, code). `action` is the 0-based action that breaks
the rule; None where it shows only at the end.

Longer than 500 lines because it is one catalogue of some sixty short cases that do not depend on
each other, looked up rule by rule.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from airweft.records.plan import Action, Plan
from tests.check import hand_plans as hand
from tests.check.hand_plans import balloon, finish, lock, net_of, plan_of, start, tie, twist

Broken = tuple[str, str, Callable[[], Plan], int | None, str]
BROKEN: list[Broken] = []


def broken(rule: str, action: int | None, code: str) -> Callable[[Callable[[], Plan]], None]:
    """Enter a broken plan in the list under its function's name."""

    def enter(make: Callable[[], Plan]) -> None:
        BROKEN.append((rule, make.__name__.strip("_"), make, action, code))

    return enter


def edited(plan: Plan, at: int, *actions: Action, drop: int = 1) -> Plan:
    """The plan with `drop` actions at `at` replaced by others."""
    return replace(plan, actions=(*plan.actions[:at], *actions, *plan.actions[at + drop :]))


def with_balloon(plan: Plan, number: int, **changes: Any) -> Plan:
    balloons = list(plan.balloons)
    balloons[number] = replace(balloons[number], **changes)
    return replace(plan, balloons=tuple(balloons))


def with_net(plan: Plan, **changes: Any) -> Plan:
    return replace(plan, net=replace(plan.net, **changes))


def star(ends: Sequence[tuple[int, int]]) -> Plan:
    """Bubbles of one balloon each, the first across, the others back or round to joint 0."""
    codes = [f"R{k + 1}" for k in range(len(ends))]
    actions: list[Action] = []
    for k, (a, b) in enumerate(ends):
        actions += [start(codes[k], a), twist(codes[k], k, b)]
        if b == 0:
            actions.append(lock(0, codes[k]))
    actions += [finish(code, b) for code, (_, b) in zip(codes, ends, strict=True)]
    balloons = [balloon(codes[k], a, [k]) for k, (a, _) in enumerate(ends)]
    return plan_of(net_of(ends), balloons, actions, peak=2)


# M1: every bubble exactly once, and only bubbles of the net.


@broken("M1", None, "m1-never-made")
def one_bubble_of_the_net_is_left_out() -> Plan:
    plan = hand.triangle()
    more = net_of([(0, 1), (1, 2), (2, 0), (0, 2)])
    return replace(plan, net=more)


@broken("M1", 7, "m1-made-again")
def two_balloons_make_the_same_bubble() -> Plan:
    more = (start("R2", 0), twist("R2", 2, 2), lock(2, "R2"), finish("R2", 2))
    plan = edited(hand.triangle(), 6, *more, drop=0)
    return replace(plan, balloons=(*plan.balloons, balloon("R2", 0, [2])))


@broken("M1", 2, "m1-no-such-bubble")
def a_bubble_that_is_not_in_the_net() -> Plan:
    return edited(hand.triangle(), 2, twist("R1", 3, 2))


@broken("M1", 5, "m1-made-again")
def a_balloon_goes_back_over_its_own_bubble() -> Plan:
    plan = with_balloon(hand.triangle(), 0, bubbles=(0, 1, 2, 2))
    return edited(plan, 5, twist("R1", 2, 2), lock(2, "R1"), finish("R1", 2))


@broken("M1", 2, "m1-no-such-bubble")
def a_bubble_with_a_number_below_nought() -> Plan:
    return edited(hand.triangle(), 2, twist("R1", -2, 2))


# M2: a walk, in the order of the list, from the start.


@broken("M2", 1, "m2-not-a-walk")
def the_first_bubble_does_not_leave_the_start() -> Plan:
    plan = with_balloon(hand.triangle(), 0, bubbles=(1, 0, 2))
    return edited(plan, 1, twist("R1", 1, 2), twist("R1", 0, 1), drop=2)


@broken("M2", 1, "m2-not-a-walk")
def a_bubble_lands_at_the_wrong_joint() -> Plan:
    return edited(hand.triangle(), 1, twist("R1", 0, 2))


@broken("M2", 1, "m2-out-of-order")
def twists_in_another_order_than_the_list() -> Plan:
    return with_balloon(hand.ring_of_four(), 0, bubbles=(1, 0, 2, 3))


@broken("M2", None, "m2-trail-not-made")
def the_list_is_longer_than_the_twists() -> Plan:
    return with_balloon(hand.triangle(), 0, bubbles=(0, 1, 2, 0))


@broken("M2", 0, "m2-not-started")
def twisted_before_it_is_tied_on() -> Plan:
    return edited(hand.triangle(), 0)


@broken("M2", 0, "m2-wrong-start")
def tied_on_elsewhere_than_its_bubbles_leave() -> Plan:
    return edited(hand.triangle(), 0, start("R1", 1))


@broken("M2", None, "m2-no-bubbles")
def a_balloon_without_bubbles() -> Plan:
    plan = edited(hand.triangle(), 6, start("R2", 0), finish("R2", 0), drop=0)
    return replace(plan, balloons=(*plan.balloons, balloon("R2", 0, [])))


@broken("M2", 4, "m2-no-such-balloon")
def a_twist_of_a_balloon_that_is_not_there() -> Plan:
    return edited(hand.ring_of_four(), 4, twist("R9", 3, 0))


# M3: one colour and one size.


@broken("M3", 3, "m3-wrong-colour")
def one_bubble_wants_another_colour() -> Plan:
    return with_net(hand.triangle(), colours=("R", "R", "W"))


@broken("M3", 3, "m3-wrong-colour")
def a_balloon_of_the_wrong_colour() -> Plan:
    return with_balloon(hand.tied_pair(), 1, colour="R")


@broken("M3", 2, "m3-wrong-size")
def one_bubble_wants_another_size() -> Plan:
    return with_net(hand.triangle(), sizes=("260", "160", "260"))


@broken("M3", 1, "m3-wrong-size")
def a_balloon_of_the_wrong_size() -> Plan:
    plan = with_balloon(hand.triangle(), 0, size="160")
    return replace(plan, budgets={**plan.budgets, "160": hand.BUDGET})


# M4: enough body, enough tail, for the printed tail.


@broken("M4", None, "m4-not-enough-body")
def bubbles_too_long_for_the_balloon() -> Plan:
    # body (300 - 100) x 5 - 10 = 990 mm; used 3 x (l + 5 - 15) + 10, so l = 336.67 is the most.
    return with_net(hand.triangle(), lengths=np.array([33667, 33667, 33667]))


@broken("M4", None, "m4-not-enough-tail")
def a_tail_too_short_for_the_pinches() -> Plan:
    # 4 pinches push 4 x 15 mm on, which is 12 mm of flat tail at a stretch of 5.
    return with_balloon(hand.ring_of_four(), 0, tail=1199)


@broken("M4", None, "m4-not-enough-body")
def a_tail_so_long_that_nothing_is_inflated() -> Plan:
    return with_balloon(hand.triangle(), 0, tail=30000)


@broken("M4", None, "m4-not-enough-tail")
def a_tail_below_nought() -> Plan:
    return with_balloon(hand.triangle(), 0, tail=-500)


@broken("M4", None, "m4-no-budget")
def a_size_without_a_budget() -> Plan:
    return replace(hand.triangle(), budgets={})


# M5: what is fast already is not loose.


@broken("M5", 6, "m5-fast-already")
def a_lock_names_a_twist_between_two_fast_visits() -> Plan:
    return plan_of(
        net_of([(0, 1), (1, 0), (0, 1)]),
        [balloon("R1", 0, [0, 1]), balloon("R2", 0, [2])],
        [
            start("R1", 0),
            twist("R1", 0, 1),
            twist("R1", 1, 0),
            lock(0, "R1"),  # and with it the twist at joint 1 is fast
            start("R2", 0),
            twist("R2", 2, 1),
            lock(1, "R2", "R1"),
            finish("R1", 0),
            finish("R2", 1),
        ],
        peak=2,
    )


@broken("M5", 7, "m5-fast-already")
def a_lock_names_a_balloon_locked_there_before() -> Plan:
    return plan_of(
        net_of([(0, 1), (0, 1), (0, 1)]),
        [balloon(f"R{k + 1}", 0, [k]) for k in range(3)],
        [
            start("R1", 0),
            twist("R1", 0, 1),
            start("R2", 0),
            twist("R2", 1, 1),
            lock(1, "R1", "R2"),
            start("R3", 0),
            twist("R3", 2, 1),
            lock(1, "R1", "R2", "R3"),
            *(finish(f"R{k}", 1) for k in (1, 2, 3)),
        ],
        peak=2,
    )


@broken("M5", 3, "m5-fast-already")
def a_lock_names_a_balloon_only_knotted_there() -> Plan:
    return plan_of(
        net_of([(0, 1), (1, 0), (0, 1)]),
        [balloon("R1", 0, [0, 1]), balloon("R2", 0, [2])],
        [
            tie("R1", "R2", 0),
            twist("R1", 0, 1),
            twist("R1", 1, 0),
            lock(0, "R1", "R2"),
            twist("R2", 2, 1),
            lock(1, "R2"),
            finish("R1", 0),
            finish("R2", 1),
        ],
        peak=2,
    )


@broken("M5", 8, "m5-fast-already")
def a_sideways_lock_names_the_finished_column() -> Plan:
    plan = hand.sheet_of_cells()
    assert plan.actions[8] == lock(3, "R3")
    return edited(plan, 8, lock(3, "R2", "R3"))


# M6: a lock takes in two visits or more, has something to do, and names what is loose.


@broken("M6", 2, "m6-too-few")
def a_lock_of_one_end_alone() -> Plan:
    return edited(hand.triangle(), 2, lock(1, "R1"), drop=0)


@broken("M6", 1, "m6-too-few")
def a_lock_where_nothing_lies() -> Plan:
    return edited(hand.triangle(), 1, lock(2), drop=0)


@broken("M6", 5, "m6-nothing-to-lock")
def a_lock_of_what_is_joined_already() -> Plan:
    return edited(hand.triangle(), 5, lock(0), drop=0)


@broken("M6", 5, "m6-not-named")
def a_lock_that_forgets_a_balloon() -> Plan:
    return edited(hand.tied_pair(), 5, lock(2, "R1"))


@broken("M6", 4, "m6-not-named")
def a_lock_that_names_nobody() -> Plan:
    return edited(hand.triangle(), 4, lock(0))


@broken("M6", 11, "m6-not-there")
def a_lock_that_names_a_balloon_from_elsewhere() -> Plan:
    return edited(hand.two_parts(), 11, lock(3, "W1", "G1", "R1"))


@broken("M6", 4, "m6-no-such-balloon")
def a_lock_that_names_a_balloon_that_is_not_there() -> Plan:
    return edited(hand.triangle(), 4, lock(0, "R1", "R7"))


@broken("M6", 4, "m6-no-such-joint")
def a_lock_at_a_joint_that_is_not_there() -> Plan:
    return edited(hand.triangle(), 4, lock(7, "R1"), drop=0)


# M7: knots are made with fresh balloons.


@broken("M7", 2, "m7-not-fresh")
def a_balloon_is_started_twice() -> Plan:
    return edited(hand.triangle(), 2, start("R1", 1), drop=0)


@broken("M7", 4, "m7-not-fresh")
def an_own_loose_end_is_no_hold_for_a_start() -> Plan:
    return edited(hand.triangle(), 4, start("R1", 0))


@broken("M7", 6, "m7-not-fresh")
def a_finished_balloon_is_started_again() -> Plan:
    return edited(hand.triangle(), 6, start("R1", 0), drop=0)


@broken("M7", 1, "m7-not-fresh")
def a_tied_balloon_is_started_again() -> Plan:
    return edited(hand.tied_pair(), 1, start("W1", 0), drop=0)


@broken("M7", 1, "m7-not-fresh")
def a_balloon_is_tied_that_was_started() -> Plan:
    return edited(hand.tied_pair(), 0, start("R1", 0), tie("R1", "W1", 0))


@broken("M7", 0, "m7-tie-two")
def a_balloon_is_tied_to_itself() -> Plan:
    return edited(hand.triangle(), 0, tie("R1", "R1", 0))


@broken("M7", 0, "m7-no-such-balloon")
def a_start_of_a_balloon_that_is_not_there() -> Plan:
    return edited(hand.triangle(), 0, start("R2", 0), drop=0)


# M8: hands.


@broken("M8", 4, "m8-too-many-loose")
def a_ring_of_four_with_three_hands() -> Plan:
    return replace(hand.ring_of_four(), hands=3)


@broken("M8", 5, "m8-too-many-loose")
def a_ring_of_seven_by_one_balloon() -> Plan:
    net = net_of([(k, (k + 1) % 7) for k in range(7)])
    actions = [start("R1", 0), *(twist("R1", k, (k + 1) % 7) for k in range(7))]
    actions += [lock(0, "R1"), finish("R1", 0)]
    return plan_of(net, [balloon("R1", 0, range(7))], actions, peak=7)


@broken("M8", 6, "m8-too-many-loose")
def a_lock_put_off_too_long() -> Plan:
    plan = hand.sheet_of_cells()
    put_off = plan.actions[6]
    assert put_off.do == "lock"
    return edited(edited(plan, 6), 9, put_off, drop=0)


@broken("M8", 2, "m8-too-many-loose")
def one_hand_cannot_hold_two() -> Plan:
    return replace(hand.triangle(), hands=1)


# M9: finishing.


@broken("M9", 4, "m9-end-is-loose")
def finished_at_a_loose_end() -> Plan:
    plan = hand.triangle()
    return edited(plan, 4, plan.actions[5], plan.actions[4], drop=2)


@broken("M9", 6, "m9-finish-out-of-turn")
def finished_twice() -> Plan:
    return edited(hand.triangle(), 6, finish("R1", 0), drop=0)


@broken("M9", 0, "m9-finish-out-of-turn")
def finished_before_it_is_started() -> Plan:
    return edited(hand.triangle(), 0, finish("R1", 0), drop=0)


@broken("M9", 5, "m9-not-its-end")
def finished_elsewhere_than_its_end() -> Plan:
    return edited(hand.triangle(), 5, finish("R1", 1))


@broken("M9", None, "m9-not-finished")
def never_finished() -> Plan:
    return edited(hand.triangle(), 5)


@broken("M9", None, "m9-left-loose")
def a_twist_left_loose() -> Plan:
    return edited(hand.triangle(), 4)


@broken("M9", 4, "m9-after-finish")
def twisted_on_after_finishing() -> Plan:
    plan = hand.loops()
    return edited(edited(plan, 9), 3, finish("R1", 0), drop=0)


@broken("M9", None, "m9-not-finished")
def a_balloon_is_never_used() -> Plan:
    plan = hand.triangle()
    return replace(plan, balloons=(*plan.balloons, balloon("R2", 0, [0])))


# M10: one piece, everything joined.


@broken("M10", None, "m10-not-joined")
def two_balloons_merely_pass_the_same_spot() -> Plan:
    # The sideways lock between the two columns is left out: both pass joint 3 and stay apart.
    plan = hand.sheet_of_cells()
    assert plan.actions[8] == lock(3, "R3")
    return edited(plan, 8)


@broken("M10", None, "m10-not-joined")
def a_tied_pair_lies_beside_a_joint_and_is_not_locked_to_it() -> Plan:
    plan = plan_of(
        net_of([(0, 1), (1, 2), (2, 0), (0, 3), (0, 3)], colours="RRRWW"),
        [balloon("R1", 0, [0, 1, 2]), balloon("W1", 0, [3]), balloon("W2", 0, [4])],
        [
            *hand.triangle().actions,
            tie("W1", "W2", 0),
            twist("W1", 3, 3),
            twist("W2", 4, 3),
            lock(3, "W1", "W2"),
            finish("W1", 3),
            finish("W2", 3),
        ],
        peak=3,
    )
    return plan


@broken("M10", None, "m10-not-connected")
def two_triangles_side_by_side() -> Plan:
    return plan_of(
        net_of([(0, 1), (1, 2), (2, 0), (3, 4), (4, 5), (5, 3)]),
        [balloon("R1", 0, [0, 1, 2]), balloon("R2", 3, [3, 4, 5])],
        [
            *hand.triangle().actions,
            start("R2", 3),
            *(twist("R2", 3 + k, 3 + (k + 1) % 3) for k in range(3)),
            lock(3, "R2"),
            finish("R2", 3),
        ],
        peak=3,
    )


@broken("M10", None, "m10-bare-joint")
def a_joint_that_no_bubble_touches() -> Plan:
    plan = hand.triangle()
    joints = np.vstack([plan.net.joints, [[9.0, 9.0, 9.0]]])
    return with_net(plan, joints=joints, joint_names=(*plan.net.joint_names, "alone"))


@broken("M10", None, "m10-not-joined")
def a_balloon_passes_its_own_joint_without_a_lock() -> Plan:
    plan = hand.late_lock()
    assert plan.actions[7] == lock(2)
    return edited(plan, 7)


# M11: free bubbles.


@broken("M11", None, "m11-not-free")
def a_free_bubble_with_both_ends_in_the_piece() -> Plan:
    return with_net(hand.triangle(), kinds=("fabric", "free", "fabric"))


@broken("M11", None, "m11-not-free")
def a_free_bubble_that_is_a_loop() -> Plan:
    return with_net(hand.loops(), kinds=("free", "frame", "loop", "frame", "frame"))


@broken("M11", None, "m11-not-free")
def two_free_bubbles_that_meet() -> Plan:
    return with_net(hand.tied_pair(), kinds=("fabric", "free", "fabric", "free"))


@broken("M9", 7, "m9-end-is-loose")
def a_hanging_end_that_is_no_free_bubble() -> Plan:
    return with_net(hand.free_bubbles(), kinds=("frame",) * 5)


# M12: at most eight bubble ends at a joint.


@broken("M12", None, "m12-crowded")
def nine_bubbles_meet() -> Plan:
    return star([(0, 1), *((1, 0) for _ in range(8))])


@broken("M12", None, "m12-crowded")
def five_loops_in_one_joint() -> Plan:
    return star([(0, 0)] * 5)


@broken("M12", None, "m12-crowded")
def a_loop_too_many_beside_seven_bubbles() -> Plan:
    return star([(0, 1), *((1, 0) for _ in range(6)), (0, 0)])


ALLOWED = (star([(0, 1), *((1, 0) for _ in range(7))]), star([(0, 0)] * 4))
"""The fullest that M12 lets a joint be: eight ends, or four loops."""
