"""Trails of a part along Euler's way, cut where a balloon is full.

A connected part with o odd joints falls into max(1, o / 2) trails if no balloon is ever full
(Euler 1736; Hierholzer 1873 for the construction): its odd joints are joined to a joint of its own,
and the circuit of that is cut there.
"""

from __future__ import annotations

from collections.abc import Sequence

from airweft.plan.kinds import Work
from airweft.plan.order import Trail


def euler_trails(work: Work, part: Sequence[int]) -> list[Trail]:
    """Trails that cover the part, each short enough for a balloon."""
    at: dict[int, list[tuple[int, int]]] = {}
    for bubble in part:
        a, b = work.ends[bubble]
        at.setdefault(a, []).append((bubble, b))
        at.setdefault(b, []).append((bubble, a))
    odd = sorted(joint for joint, here in at.items() if len(here) & 1)
    hub = -1
    for number, joint in enumerate(odd):
        at.setdefault(hub, []).append((-number - 1, joint))
        at[joint].append((-number - 1, hub))
    used: set[int] = set()
    stack: list[tuple[int, int]] = [(hub if odd else work.ends[part[0]][0], 0)]
    circuit: list[tuple[int, int]] = []  # (joint, bubble by which it was reached)
    while stack:
        here, came = stack[-1]
        ways = at[here]
        while ways and ways[-1][0] in used:
            ways.pop()
        if ways:
            bubble, to = ways.pop()
            used.add(bubble)
            stack.append((to, bubble))
        else:
            stack.pop()
            circuit.append((here, came))
    circuit.reverse()
    trails: list[Trail] = []
    capacity = work.kinds[work.kind_of[part[0]]].capacity
    start, length = circuit[0][0], 0
    bubbles: list[int] = []
    for joint, bubble in circuit[1:]:
        if bubble < 0 or not capacity.fits(len(bubbles) + 1, length + work.lengths[bubble]):
            if bubbles:
                trails.append(Trail(start, tuple(bubbles)))
            bubbles, length = [], 0
            start = joint if bubble < 0 else _other(work, bubble, joint)
        if bubble >= 0:
            bubbles.append(bubble)
            length += work.lengths[bubble]
    if bubbles:
        trails.append(Trail(start, tuple(bubbles)))
    return trails


def _other(work: Work, bubble: int, joint: int) -> int:
    a, b = work.ends[bubble]
    return b if a == joint else a
