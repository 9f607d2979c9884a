"""Which joints of two parts come together where the parts meet."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.net.facts import corner_rings
from airweft.net.seams import MOST_ENDS
from airweft.records.arrays import Points
from airweft.records.net import Net

_TOUCH = 0.75  # joints nearer than this many bubbles are locked together
_REACH = 2.5  # rings farther apart than this many bubbles are not sewn


@dataclass(frozen=True, slots=True)
class Seam:
    """A seam between a part in the net and a new one.

    `locked` pairs a joint of the new part with the joint of the net that it becomes; `stitches`
    pairs them where a bubble goes from one to the other. `left` counts the joints of either border
    that nothing is sewn to, `gap` is how far the new part has to come nearer, in mm.
    """

    names: tuple[str, str]
    locked: tuple[tuple[int, int], ...]
    stitches: tuple[tuple[int, int], ...] = ()
    left: tuple[int, int] = (0, 0)
    gap: float = 0.0


def find_seam(
    net: Net,
    target: Sequence[int],
    other: Net,
    *,
    rings: Sequence[tuple[int, ...]],
    way: Points | None,
    names: tuple[str, str],
) -> Seam:
    """The seam of `other`, standing where it is set, with the joints `target` of the net.

    `rings` are the borders of the target. `way` is the direction from the target to the new part;
    without it, that between their middles is taken.
    Raises CannotMake where they do not meet.
    """
    there = np.asarray(net.joints[list(target)])
    own = np.asarray(other.joints)
    bubble = float(np.median(other.lengths)) / 100
    towards = own.mean(axis=0) - there.mean(axis=0) if way is None else way
    towards = towards / max(float(np.linalg.norm(towards)), 1e-9)
    mine = _facing(other, range(other.joint_count), border_rings(other), -towards)
    theirs = _facing(net, target, rings, towards)
    if mine and theirs:
        return _ring_to_ring(net, theirs, other, mine, towards, bubble, names, way is not None)
    return _onto_side(net, list(target), other, mine, towards, bubble, names, way is not None)


def border_rings(net: Net) -> tuple[tuple[int, ...], ...]:
    """The joints of each closed border of a woven net, in index order; by their lowest joint.

    Around each corner on a border, a chain of bubbles leads from one border joint to the next.
    """
    _, chains = corner_rings(net)
    graph: dict[int, list[int]] = {}
    for chain in chains:
        count = Counter(joint for bubble in chain for joint in net.ends[bubble].tolist())
        tips = [joint for joint, times in count.items() if times == 1]
        if len(tips) == 2:
            graph.setdefault(tips[0], []).append(tips[1])
            graph.setdefault(tips[1], []).append(tips[0])
    rings: list[tuple[int, ...]] = []
    seen: set[int] = set()
    for first in sorted(graph):
        if first in seen:
            continue
        ring, todo = [], [first]
        seen.add(first)
        while todo:
            joint = todo.pop()
            ring.append(joint)
            for other in graph[joint]:
                if other not in seen:
                    seen.add(other)
                    todo.append(other)
        rings.append(tuple(sorted(ring)))
    return tuple(rings)


def _facing(
    net: Net, joints: Sequence[int], rings: Sequence[tuple[int, ...]], towards: Points
) -> list[int]:
    """The border ring that faces `towards` and is not sewn yet, or nothing if none does."""
    ends = _ends(net)
    free = [ring for ring in rings if len(ring) >= 3 and all(ends[j] == 2 for j in ring)]
    if not free:
        return []
    along = net.joints[list(joints)] @ towards
    least = float(along.min()) + 0.67 * float(np.ptp(along))
    best = max(free, key=lambda ring: round(float((net.joints[list(ring)] @ towards).mean()), 6))
    flat = float(np.ptp(net.joints[list(best)] @ towards))
    if float((net.joints[list(best)] @ towards).mean()) < least or flat > 0.5 * float(
        np.ptp(along)
    ):
        return []
    return list(best)


def _by_angle(net: Net, ring: list[int], axis: Points) -> list[int]:
    """The ring in order around the axis through its middle."""
    spots = np.asarray(net.joints[ring])
    off = spots - spots.mean(axis=0)
    east = np.array([1.0, 0.0, 0.0]) if abs(axis[0]) < 0.9 else np.array([0.0, 1.0, 0.0])
    east = east - axis * (east @ axis)
    north = np.cross(axis, east)
    turn = {
        j: math.atan2(float(o @ north), float(o @ east)) for j, o in zip(ring, off, strict=True)
    }
    return sorted(ring, key=lambda j: (turn[j], j))


def _ring_to_ring(
    net: Net,
    theirs: list[int],
    other: Net,
    mine: list[int],
    axis: Points,
    bubble: float,
    names: tuple[str, str],
    may_move: bool,
) -> Seam:
    """Two border rings: the joints of the smaller one spread evenly over those of the larger."""
    one, two = _by_angle(net, theirs, axis), _by_angle(other, mine, axis)
    gap = 0.0
    if may_move:
        gap = float((other.joints[two] @ axis).mean() - (net.joints[one] @ axis).mean())
    here = np.asarray(other.joints[two]) - gap * axis
    small, large = sorted((len(one), len(two)))

    def partners(offset: int) -> list[tuple[int, int]]:
        pairs = [(k, (k * large // small + offset) % large) for k in range(small)]
        return pairs if len(two) == small else [(b, a) for a, b in pairs]

    def apart(offset: int) -> float:
        return sum(float(np.linalg.norm(here[k] - net.joints[one[t]])) for k, t in partners(offset))

    best = min(range(large), key=lambda offset: (round(apart(offset), 6), offset))
    pairs = partners(best)
    mean = apart(best) / small
    if mean > _REACH * bubble:
        raise CannotMake(_far(names, mean, bubble))
    left = (len(one) - small, len(two) - small)
    if mean <= _TOUCH * bubble or left != (0, 0):
        locked = tuple(sorted((two[k], one[t]) for k, t in pairs))
        return Seam(names, locked, left=left, gap=gap)
    # As in any row of the fabric: from each joint to the two nearest of the other ring.
    stitches = []
    for k, t in pairs:
        before, after = one[t - 1], one[(t + 1) % large]
        spot = here[k]
        second = min(
            (after, before),
            key=lambda j: round(float(np.linalg.norm(net.joints[j] - spot)), 6),
        )
        stitches.append((k, t, second == after))
    forward = sum(is_after for _, _, is_after in stitches) * 2 >= len(stitches)
    step = 1 if forward else -1
    links = [(two[k], one[(t + d) % large]) for k, t, _ in stitches for d in (0, step)]
    # Let the part stand off so far that the stitches are about as long as its bubbles.
    flat = np.mean(
        [
            float(np.linalg.norm(np.cross(here[k] - net.joints[one[(t + d) % large]], axis)))
            for k, t, _ in stitches
            for d in (0, step)
        ]
    )
    rise = math.sqrt(max(bubble**2 - float(flat) ** 2, 0.0)) if may_move else 0.0
    return Seam(names, (), tuple(links), left, gap - rise)


def _onto_side(
    net: Net,
    target: list[int],
    other: Net,
    mine: list[int],
    axis: Points,
    bubble: float,
    names: tuple[str, str],
    may_move: bool,
) -> Seam:
    """A border, or the nearest joints of a closed part, onto the nearest joints of a side."""
    along = np.asarray(other.joints @ axis)
    if not mine:
        low = float(along.min())
        mine = np.flatnonzero(along < low + 0.45 * bubble).tolist()
    there = np.asarray(net.joints[target])
    spots = np.asarray(other.joints[mine])
    across = spots - np.outer(spots @ axis, axis)
    flat = there - np.outer(there @ axis, axis)
    sideways = np.linalg.norm(across[:, None] - flat[None], axis=2)
    height = (there @ axis)[None] - np.zeros((len(mine), 1))
    top = np.where(sideways < 0.8 * bubble, height, -np.inf).max(axis=1)
    if not np.isfinite(top).any():
        raise CannotMake(_far(names, float(sideways.min()), bubble))
    gap = 0.0
    if may_move:
        good = np.isfinite(top)
        gap = float((spots[good] @ axis - top[good]).mean())
    apart = np.linalg.norm((spots - gap * axis)[:, None] - there[None], axis=2)
    ends, own_ends = _ends(net), _ends(other)
    locked: list[tuple[int, int]] = []
    taken: set[int] = set()
    done: set[int] = set()
    for flat_place in np.argsort(apart, axis=None, kind="stable").tolist():
        k, t = divmod(flat_place, len(target))
        if apart[k, t] > 1.1 * bubble:
            break
        joint, place = mine[k], target[t]
        if joint in done or place in taken or ends[place] + own_ends[joint] > MOST_ENDS:
            continue
        done.add(joint)
        taken.add(place)
        locked.append((joint, place))
    if len(locked) < 2:
        raise CannotMake(_far(names, float(apart.min()), bubble))
    return Seam(names, tuple(sorted(locked)), left=(0, len(mine) - len(locked)), gap=gap)


def _ends(net: Net) -> list[int]:
    return [int(n) for n in np.bincount(net.ends.ravel(), minlength=net.joint_count)]


def _far(names: tuple[str, str], apart: float, bubble: float) -> Finding:
    return Finding(
        code="parts-do-not-meet",
        severity="cannot",
        where=f"part {names[1]}",
        message=f"The {names[1]} does not meet the {names[0]}: their joints are "
        f"{apart / 10:.1f} cm apart, and bubbles are {bubble / 10:.1f} cm long.",
        remedy='Make borders that meet nearly equally wide, or set the part nearer with "on" and '
        '"shift".',
    )
