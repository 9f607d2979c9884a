"""What a maker can count on a piece, and how large it comes out."""

from __future__ import annotations

from collections import Counter

import numpy as np

from airweft.records.net import Net, NetFacts


def net_facts(net: Net) -> NetFacts:
    """The numbers to check a piece by. O(bubbles)."""
    ends = Counter(len(around) for around in net.ends_at())
    rings = Counter(len(cell.bubbles) for cell in net.cells)
    closed, chains = corner_rings(net)
    rings.update(map(len, closed))
    panels = Counter(net.bubble_panels)
    return NetFacts(
        joints=net.joint_count,
        bubbles=net.bubble_count,
        ends=dict(sorted(ends.items())),
        odd_joints=sum(count for number, count in ends.items() if number % 2),
        cells=dict(sorted(rings.items())),
        borders=_borders(net, chains),
        parts=len(parts(net)),
        kinds=dict(sorted(Counter(map(str, net.kinds)).items())),
        panels={panel: panels[panel] for panel in net.panels},
    )


def parts(net: Net) -> list[list[int]]:
    """The joints of each connected part, in index order; parts by their lowest joint."""
    return groups(net.joint_count, net.ends.tolist())


def corner_rings(net: Net) -> tuple[list[list[int]], list[list[int]]]:
    """Bubbles around each corner of the surface: the closed rings, and the chains at open borders.

    Around a corner the bubbles of neighbouring cells follow each other at the joints of the edges
    between them. A ring closes where every one of those edges has a cell on both sides. Rings are
    sorted by their lowest bubble, which comes first; a chain runs from border to border.
    """
    follow: dict[int, int] = {}
    for (one, k), (two, m) in net.beside():
        mine, other = net.cells[one].bubbles, net.cells[two].bubbles
        # Two cells run along one edge in opposite ways: the start of one is the end of the other.
        # Around a corner, turn clockwise from edge start to edge end.
        follow[mine[k]] = other[(m + 1) % len(other)]
        follow[other[m]] = mine[(k + 1) % len(mine)]
    begins = [b for cell in net.cells for b in cell.bubbles]
    held = set(follow.values())
    closed: list[list[int]] = []
    chains: list[list[int]] = []
    done: set[int] = set()
    for first in [b for b in begins if b not in held] + begins:
        if first in done:
            continue
        ring = [first]
        done.add(first)
        while (after := follow.get(ring[-1])) is not None and after not in done:
            ring.append(after)
            done.add(after)
        (chains if first not in held else closed).append(ring)
    return closed, chains


def size_mm(net: Net, *, diameter_mm: float) -> tuple[float, float, float]:
    """Width, depth and height of the outside, in mm, for bubbles of this diameter.

    Each bubble counts as an ellipsoid of that diameter between its two joints, a loop as a ball
    around its joint that reaches half the loop's length. Joints stand where the net has them; how
    the piece settles is not yet reckoned with.
    """
    if not net.bubble_count:
        return 0.0, 0.0, 0.0
    start, end = net.joints[net.ends[:, 0]], net.joints[net.ends[:, 1]]
    middle, half = (start + end) / 2, (end - start) / 2
    long = np.linalg.norm(half, axis=1, keepdims=True)
    along = np.divide(half, long, out=np.zeros_like(half), where=long > 0)
    radius = diameter_mm / 2
    reach = np.sqrt(half**2 + radius**2 * np.clip(1 - along**2, 0, None))
    loops = net.ends[:, 0] == net.ends[:, 1]
    reach[loops] = np.maximum(radius, net.lengths[loops, None] / 200)
    width, depth, height = (middle + reach).max(axis=0) - (middle - reach).min(axis=0)
    return float(width), float(depth), float(height)


def _borders(net: Net, chains: list[list[int]]) -> tuple[int, ...]:
    """Bubbles along each open border: chains that share a border joint belong together."""
    if not chains:
        return ()
    tips: list[tuple[int, int]] = []
    for chain in chains:
        a, b = chain_tips(net, chain) or net.ends[chain[0]].tolist()
        tips.append((a, b))
    group_of = {
        joint: number
        for number, group in enumerate(groups(net.joint_count, tips))
        for joint in group
    }
    along = Counter[int]()
    for chain, (a, _) in zip(chains, tips, strict=True):
        along[group_of[a]] += len(chain)
    return tuple(along[group] for group in sorted(along))


def chain_tips(net: Net, chain: list[int]) -> tuple[int, int] | None:
    """The two joints at which a chain of bubbles ends; None where it comes back to itself."""
    count = Counter(joint for bubble in chain for joint in net.ends[bubble].tolist())
    ends = [joint for joint, times in count.items() if times == 1]
    return (ends[0], ends[1]) if len(ends) == 2 else None


def groups(count: int, links: list[tuple[int, int]]) -> list[list[int]]:
    """The numbers 0 to count - 1 in groups that hang together by links.

    Each in order, groups by their lowest number.
    """
    leader = list(range(count))
    for a, b in links:
        while leader[a] != a:
            leader[a] = leader[leader[a]]
            a = leader[a]
        while leader[b] != b:
            leader[b] = leader[leader[b]]
            b = leader[b]
        if a != b:
            leader[max(a, b)] = min(a, b)
    found: dict[int, list[int]] = {}
    for number in range(count):
        root = number
        while leader[root] != root:
            root = leader[root]
        found.setdefault(root, []).append(number)
    return list(found.values())
