"""What can be measured of a whole plan, from its net and its actions alone."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from airweft.records.arrays import Points
from airweft.records.net import Net
from airweft.records.plan import Plan

TURN_DEGREES = 60.0
"""Work that faces further away than this is turned towards the maker. An assumption."""


def waste_mm(plan: Plan) -> float:
    """The length of balloon that no bubble, knot or stub uses (M4), over all balloons, in mm."""
    left = 0
    for balloon in plan.balloons:
        budget = plan.budgets[balloon.size]
        used = int(plan.net.lengths[list(balloon.bubbles)].sum())
        used += len(balloon.bubbles) * budget.twist_takes + budget.knot + budget.stub
        left += budget.full - used
    return left / 100


def waste_percent(plan: Plan) -> float:
    """The same as a share of the full length of all balloons."""
    full = sum(plan.budgets[balloon.size].full for balloon in plan.balloons)
    return 10_000 * waste_mm(plan) / full if full else 0.0


def travel_mm(plan: Plan) -> float:
    """How far the hands travel: straight from joint to joint of the finished piece, in mm."""
    joints = plan.net.joints[[action.joint for action in plan.actions]]
    return float(np.linalg.norm(np.diff(joints, axis=0), axis=1).sum())


def colour_changes(plan: Plan) -> int:
    """How often a bubble is of another colour than the one made just before it."""
    colours = [plan.net.colours[a.bubble] for a in plan.actions if a.do == "twist"]
    return sum(one != two for one, two in pairwise(colours))


def turns(plan: Plan, *, degrees: float = TURN_DEGREES) -> int:
    """How often the piece is turned while it is made.

    The side that faces the maker stays until the next movement is at a joint that looks further
    away from it than `degrees`; then the piece is turned so that this joint faces them.
    """
    looks = outward(plan.net)
    least = np.cos(np.radians(degrees))
    facing: Points | None = None
    count = 0
    for joint in (action.joint for action in plan.actions if action.do != "finish"):
        look = looks[joint]
        if not look.any():
            continue
        if facing is None:
            facing = look
        elif float(facing @ look) < least:
            facing = look
            count += 1
    return count


def outward(net: Net) -> Points:
    """(n, 3) unit vectors that point out of the piece at each joint; zero where none does.

    On a surface the mean of the cells around the joint, else away from the middle of all joints.
    """
    looks = np.zeros_like(net.joints)
    for cell in net.cells:
        ring = net.joints[list(cell.joints)]
        # Newell's normal of the ring; its length is twice the cell's area, which is a fair weight.
        normal = np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0)
        looks[list(cell.joints)] += normal
    bare = np.ones(net.joint_count, dtype=bool)
    bare[[joint for cell in net.cells for joint in cell.joints]] = False
    if bare.any():
        looks[bare] = (net.joints - net.joints.mean(axis=0))[bare]
    length = np.linalg.norm(looks, axis=1, keepdims=True)
    directions: Points = np.divide(looks, length, out=np.zeros_like(looks), where=length > 1e-9)
    return directions
