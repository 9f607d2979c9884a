"""What the bubbles at a joint want: neighbours their corner, opposite ones to lie straight.

In fabric the corners come from the cells and from the openings around the surface's corners, each
taken as a regular polygon: 60 degrees in a ring of three, 90 in a ring of four. Where a net has no
cells (frames, hanging bubbles) every pair wants the angle that it is drawn with.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from airweft.records.net import Net
from airweft.shape.sparse import Floats, Whole

_STRAIGHT = math.cos(math.radians(150))  # pairs drawn wider than this want to lie straight
_LOOP_LEAN = -0.2  # cosine of the angle between a loop and the bubbles at its joint
_LOOP_APART = 0.3  # and between two loops at one joint
_MOST_ENDS = 24  # more ends than this at one joint: only neighbours in the list get springs


@dataclass(frozen=True, slots=True, kw_only=True)
class Wants:
    """Pairs of bubble ends at joints. `corners` and `straights` are (k, 3): joint, far, far.

    `cosines` (corners,) of the wanted angles; `arms` (k, 2) are the bubbles of each pair.
    """

    corners: Whole
    cosines: Floats
    corner_arms: Whole
    straights: Whole
    straight_arms: Whole


def wants_of(net: Net, spots: Floats, links: Whole) -> Wants:
    """What the ends at every joint want.

    `spots` (n, 3) are the starting positions; `links` (m, 2) joints of each bubble, a loop's second
    end being its own far tip. O(bubbles).
    """
    ends: list[list[tuple[int, int]]] = [[] for _ in range(len(spots))]
    for bubble, (a, b) in enumerate(links.tolist()):
        ends[a].append((bubble, b))
        ends[b].append((bubble, a))
    corner_of, straight = _woven(net)
    woven = {bubble for cell in net.cells for bubble in cell.bubbles}
    corners: list[tuple[int, int, int, int, int, float]] = []
    straights: list[tuple[int, int, int, int, int]] = []
    for joint, around in enumerate(ends):
        pairs = [(i, k) for i in range(len(around)) for k in range(i + 1, len(around))]
        if len(around) > _MOST_ENDS:
            pairs = [(i, i + 1) for i in range(len(around) - 1)]
        for i, k in pairs:
            (p, far_p), (q, far_q) = around[i], around[k]
            if p == q or len({joint, far_p, far_q}) < 3:
                continue
            key = (joint, min(p, q), max(p, q))
            if key in straight:
                straights.append((joint, far_p, far_q, p, q))
            elif key in corner_of:
                corners.append((joint, far_p, far_q, p, q, corner_of[key]))
            elif net.kinds[p] == "loop" or net.kinds[q] == "loop":
                both = net.kinds[p] == net.kinds[q]
                lean = _LOOP_APART if both else _LOOP_LEAN
                corners.append((joint, far_p, far_q, p, q, lean))
            elif p not in woven or q not in woven:
                drawn = _cosine(spots, joint, far_p, far_q)
                if drawn is None:
                    continue
                if drawn < _STRAIGHT:
                    straights.append((joint, far_p, far_q, p, q))
                else:
                    corners.append((joint, far_p, far_q, p, q, drawn))
    table = np.array([c[:5] for c in corners], dtype=np.int64).reshape(-1, 5)
    lines = np.array(straights, dtype=np.int64).reshape(-1, 5)
    return Wants(
        corners=table[:, :3],
        cosines=np.array([c[5] for c in corners], dtype=np.float64),
        corner_arms=table[:, 3:],
        straights=lines[:, :3],
        straight_arms=lines[:, 3:],
    )


def _cosine(spots: Floats, joint: int, p: int, q: int) -> float | None:
    """Cosine of the drawn angle at a joint; None where a bubble has no direction."""
    u, v = spots[p] - spots[joint], spots[q] - spots[joint]
    size = math.sqrt(float((u * u).sum()) * float((v * v).sum()))
    return max(-1.0, min(1.0, float((u * v).sum()) / size)) if size > 1e-12 else None


Key = tuple[int, int, int]


def _woven(net: Net) -> tuple[dict[Key, float], set[Key]]:
    """Corners of cells and openings with their cosines, and straight pairs: (joint, p, q)."""
    corner_of: dict[Key, float] = {}
    straight: set[Key] = set()
    follow: dict[int, tuple[int, int]] = {}
    for cell in net.cells:
        count = len(cell.joints)
        regular = -math.cos(2 * math.pi / count)
        for k, joint in enumerate(cell.joints):
            p, q = cell.bubbles[k], cell.bubbles[(k + 1) % count]
            if p != q:
                corner_of.setdefault((joint, min(p, q), max(p, q)), regular)
    for (mine, k), (other, m) in net.beside():
        # Two cells run along their common edge in opposite ways.
        one, two = net.cells[mine].bubbles, net.cells[other].bubbles
        joint = net.cells[mine].joints[k]
        p, q, r, s = one[k], one[(k + 1) % len(one)], two[m], two[(m + 1) % len(two)]
        follow[p] = (s, joint)
        follow[r] = (q, joint)
        for a, b in ((p, r), (q, s)):
            straight.add((joint, min(a, b), max(a, b)))
    for ring in _openings(follow):
        regular = -math.cos(2 * math.pi / len(ring))
        for p in ring:
            q, joint = follow[p]
            corner_of.setdefault((joint, min(p, q), max(p, q)), regular)
    return corner_of, straight - set(corner_of)


def _openings(follow: dict[int, tuple[int, int]]) -> list[list[int]]:
    """The closed rings of bubbles around corners of the surface, of three or more."""
    rings: list[list[int]] = []
    done: set[int] = set()
    for first in follow:
        if first in done:
            continue
        ring = [first]
        done.add(first)
        after = follow.get(first)
        while after is not None and after[0] not in done:
            ring.append(after[0])
            done.add(after[0])
            after = follow.get(after[0])
        if after is not None and after[0] == first and len(ring) > 2:
            rings.append(ring)
    return rings
