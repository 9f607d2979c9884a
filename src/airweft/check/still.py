"""Checks that need no replay: the net (M10, M11, M12), the length budget (M4), the claims."""

from __future__ import annotations

import numpy as np

from airweft.check.faults import Faults, some
from airweft.records.budget import Budget
from airweft.records.net import Net
from airweft.records.plan import Balloon, Plan

# What tails are printed in (M4): 5 mm and 1/4 in, in hundredths of a millimetre.
_TAIL_STEPS = (500, 635)


def free_ends(net: Net) -> list[bool]:
    """For each joint whether it is the hanging end of a free bubble (M11)."""
    free = [False] * net.joint_count
    ends = _ends_at(net)
    for bubble, kind in enumerate(net.kinds):
        if kind == "free":
            for joint in net.ends[bubble].tolist():
                free[joint] = ends[joint] == 1
    return free


def check_net(plan: Plan, faults: Faults, *, most_ends: int) -> None:
    """M10 (one connected piece), M11 (free bubbles hang free), M12 (ends at a joint)."""
    net = plan.net
    ends = _ends_at(net)
    for bubble, kind in enumerate(net.kinds):
        if kind != "free":
            continue
        a, b = net.ends[bubble].tolist()
        if ends[a] != 1 and ends[b] != 1:
            faults.add(
                "m11-not-free",
                f"free {faults.bubble(bubble)} has no end at a joint that nothing else touches",
                "Let one end lie at a joint of its own, or make it no free bubble.",
                where=f"net.bubbles[{bubble}]",
                joints=(a, b),
                bubbles=(bubble,),
            )
    for joint, count in enumerate(ends):
        if count > most_ends:
            faults.add(
                "m12-crowded",
                f"{faults.joint(joint)} holds {count} bubble ends; {most_ends} are possible",
                "Spread them over more joints.",
                where=f"net.joints[{joint}]",
                joints=(joint,),
            )
    _check_connected(net, faults, ends)


def _check_connected(net: Net, faults: Faults, ends: list[int]) -> None:
    if not net.bubble_count:
        faults.add(
            "m10-no-piece",
            "the net has no bubble",
            "Give at least one bubble.",
            where="net.bubbles",
        )
    for joint, count in enumerate(ends):
        if not count:
            faults.add(
                "m10-bare-joint",
                f"no bubble ends at {faults.joint(joint)}",
                "Leave the joint out of the net.",
                where=f"net.joints[{joint}]",
                joints=(joint,),
            )
    members: dict[int, list[int]] = {}
    for joint, root in enumerate(_roots(net)):
        if ends[joint]:
            members.setdefault(root, []).append(joint)
    by_size = sorted(members.values(), key=lambda joints: (-len(joints), joints[0]))
    for joints in by_size[1:]:
        faults.add(
            "m10-not-connected",
            f"no bubble joins {some(joints, 'joint')} to the rest",
            "Join the parts, or make them as pieces of their own.",
            where=f"net.joints[{joints[0]}]",
            joints=joints,
        )


def _roots(net: Net) -> list[int]:
    """For each joint one joint of its connected part, the same for the whole part."""
    parent = list(range(net.joint_count))
    for a, b in zip(net.ends[:, 0].tolist(), net.ends[:, 1].tolist(), strict=True):
        while parent[a] != a:
            parent[a] = a = parent[parent[a]]
        while parent[b] != b:
            parent[b] = b = parent[parent[b]]
        parent[a] = b
    for joint in range(len(parent)):
        root = joint
        while parent[root] != root:
            parent[root] = root = parent[parent[root]]
        parent[joint] = root
    return parent


def _ends_at(net: Net) -> list[int]:
    """How many bubble ends each joint holds; a loop counts twice."""
    ends: list[int] = np.bincount(net.ends.ravel(), minlength=net.joint_count).tolist()
    return ends


def check_lengths(plan: Plan, faults: Faults) -> None:
    """M4 for each balloon, with the tail that is printed."""
    lengths: list[int] = plan.net.lengths.tolist()
    for b, balloon in enumerate(plan.balloons):
        where = f"balloons[{b}] ({balloon.code})"
        budget = plan.budgets.get(balloon.size)
        if budget is None or budget.flat <= 0 or budget.full <= 0:
            faults.add(
                "m4-no-budget",
                f"no length budget is given for size {balloon.size}",
                "Give the six lengths of this size.",
                where=where,
                balloons=(balloon.code,),
            )
            continue
        within = [bubble for bubble in balloon.bubbles if 0 <= bubble < len(lengths)]
        total = sum(lengths[bubble] for bubble in within)
        _check_budget(budget, faults, balloon, where, len(balloon.bubbles), total)
        if all(balloon.tail % step for step in _TAIL_STEPS):
            faults.add(
                "m4-odd-tail",
                f"the tail of {balloon.code}, {balloon.tail / 100:g} mm, is a multiple neither of "
                "5 mm nor of 1/4 in",
                "Round it to what can be measured, unless it is the maker's own.",
                where=where,
                balloons=(balloon.code,),
                severity="note",
            )


def _check_budget(
    budget: Budget, faults: Faults, balloon: Balloon, where: str, count: int, total: int
) -> None:
    tail = balloon.tail
    enough_body = budget.enough_body(count, total, tail)
    enough_tail = budget.enough_tail(count, tail)
    if enough_body and enough_tail:
        return
    least, most = budget.least_tail(count, 1) / 100, budget.most_tail(count, total, 1) / 100
    if least <= most:
        remedy = f"Leave a tail of {least:g} to {most:g} mm."
    else:
        remedy = "Give this balloon fewer or shorter bubbles."
    stretch = budget.full / budget.flat
    if not enough_body:
        spent = total + count * (budget.twist_takes - budget.twist_pushes)
        needed = (spent + budget.stub + budget.knot) / 100
        given = (budget.flat - tail) * stretch / 100
        faults.add(
            "m4-not-enough-body",
            f"{balloon.code} needs {needed:.2f} mm of inflated body for its {count} bubbles; with "
            f"a tail of {tail / 100:g} mm it has {given:.2f} mm",
            remedy,
            where=where,
            balloons=(balloon.code,),
        )
    if not enough_tail:
        pushed = count * budget.twist_pushes / stretch / 100
        faults.add(
            "m4-not-enough-tail",
            f"{balloon.code} needs {pushed:.2f} mm of tail for the air that {count} pinches push "
            f"on; {tail / 100:g} mm are left",
            remedy,
            where=where,
            balloons=(balloon.code,),
        )


def check_claims(plan: Plan, faults: Faults, *, peak_loose: int) -> None:
    """Where the plan's printed numbers and its bound are not so."""
    claims, bound, balloons = plan.claims, plan.bound, len(plan.balloons)
    counted = (
        ("joints", claims.joints, plan.net.joint_count),
        ("bubbles", claims.bubbles, plan.net.bubble_count),
        ("balloons", claims.balloons, balloons),
        ("peak_loose", claims.peak_loose, peak_loose),
    )
    for key, said, found in counted:
        if said != found:
            _claim(faults, "claim-differs", f"claims.{key}", f"the plan says {said}; it is {found}")
    if bound.balloons > balloons:
        message = f"the plan makes do with {balloons} balloons, fewer than its bound of "
        _claim(faults, "bound-not-so", "bound.balloons", f"{message}{bound.balloons}")
    if bound.proven and bound.balloons < balloons:
        message = f"the plan takes {balloons} balloons and its bound is {bound.balloons}"
        _claim(faults, "bound-not-met", "bound.proven", f"{message}: fewest is not proven")


def _claim(faults: Faults, code: str, where: str, message: str) -> None:
    faults.add(
        code,
        message,
        "Do not trust this number; make the plan again.",
        where=where,
        severity="risky",
    )
