"""What shows only when all is done: parts of M1, M2, M8, M9 and M10."""

from __future__ import annotations

from airweft.check.bench import FINISHED, FRESH, Bench
from airweft.check.faults import Faults, some


def check_hands(bench: Bench, loose: list[int]) -> None:
    """M8, one finding for each stretch of actions with too many loose twists."""
    hands, first = bench.plan.hands, -1
    for number, count in enumerate([*loose, 0]):
        if count > hands and first < 0:
            first = number
        elif count <= hands and first >= 0:
            most, last = max(loose[first:number]), number - 1
            if last > first:
                message = f"up to {most} twists are loose at once from here to actions[{last}]"
            else:
                message = f"{most} twists are loose at once"
            bench.faults.add(
                "m8-too-many-loose",
                f"{message}; hands hold {hands}",
                "Lock sooner, start another balloon in the ring, or allow more hands.",
                action=first,
            )
            first = -1


def check_ending(bench: Bench) -> None:
    """Bubbles not made, balloons not done, twists left loose, ends that nothing joins."""
    faults = bench.faults
    for bubble, times in enumerate(bench.made):
        if not times:
            faults.add(
                "m1-never-made",
                f"{faults.bubble(bubble)} is never made",
                "Give it to a balloon.",
                where=f"net.bubbles[{bubble}]",
                bubbles=(bubble,),
            )
    loose_at: list[list[int]] = [[] for _ in bench.state]
    for joint, visits in enumerate(bench.pending):
        for b, number in visits:
            if number > bench.held[b]:
                loose_at[b].append(joint)
    for b, joints in enumerate(loose_at):
        _check_balloon(bench, faults, b, joints)
    for joint, groups in enumerate(bench.groups):
        if groups > 1:
            faults.add(
                "m10-not-joined",
                f"at {faults.joint(joint)} lie {groups} groups of ends that nothing joins",
                "Lock them together.",
                where=f"net.joints[{joint}]",
                joints=(joint,),
            )


def _check_balloon(bench: Bench, faults: Faults, b: int, loose_at: list[int]) -> None:
    balloon = bench.plan.balloons[b]
    code, length = balloon.code, len(balloon.bubbles)
    where = f"balloons[{b}] ({code})"
    if not length:
        faults.add(
            "m2-no-bubbles",
            f"{code} makes no bubble, so it has no walk",
            "Leave the balloon out.",
            where=where,
            balloons=(code,),
        )
    elif bench.done[b] < length:
        faults.add(
            "m2-trail-not-made",
            f"{code} stops after {bench.done[b]} of the {length} bubbles of its list",
            "Twist all of them in their order.",
            where=where,
            balloons=(code,),
        )
    if bench.state[b] != FINISHED:
        so = "never started" if bench.state[b] == FRESH else "never finished"
        faults.add(
            "m9-not-finished",
            f"{code} is {so}",
            "Cut and tie off every balloon at its end.",
            where=where,
            balloons=(code,),
        )
    if loose_at:
        count = len(loose_at)
        are = "1 twist" if count == 1 else f"{count} twists"
        faults.add(
            "m9-left-loose",
            f"{are} of {code} still loose at the end, at {some(loose_at, 'joint')}",
            "Lock every twist.",
            where=where,
            balloons=(code,),
            joints=loose_at,
        )
