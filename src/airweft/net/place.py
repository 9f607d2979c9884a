"""Where the parts of a joined form stand: turned, and set on a side of another part."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.base.nearest import nearest
from airweft.records.arrays import Points
from airweft.records.design import Side
from airweft.records.net import Net

WAYS: dict[Side, tuple[int, int, int]] = {
    "top": (0, 0, 1),
    "bottom": (0, 0, -1),
    "front": (0, -1, 0),
    "back": (0, 1, 0),
    "left": (-1, 0, 0),
    "right": (1, 0, 0),
}
"""Outward from each side; the front faces the viewer."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A part that is in the net already: its own joints and closed borders, by joint of the net."""

    name: str
    lands: tuple[int, ...]
    rings: tuple[tuple[int, ...], ...] = ()
    is_stalk: bool = False

    def joints(self) -> tuple[int, ...]:
        """Its joints in the net, each once, in index order."""
        return tuple(sorted(set(self.lands)))


def turned(spots: Points, turn: tuple[int, int, int]) -> Points:
    """(n, 3) spots turned about x, then y, then z, by hundredths of a degree, about the origin."""
    for axis, hundredths in enumerate(turn):
        if not hundredths:
            continue
        angle = math.radians(hundredths / 100)
        c, s = math.cos(angle), math.sin(angle)
        one, two = ((1, 2), (2, 0), (0, 1))[axis]
        spots = np.array(spots)
        first, second = spots[:, one].copy(), spots[:, two].copy()
        spots[:, one], spots[:, two] = c * first - s * second, s * first + c * second
    return spots


def set_beside(spots: Points, other: Points, way: Points) -> Points:
    """`spots` moved so that they touch `other` on the side that looks `way`, middle on middle."""
    low, high = spots.min(axis=0), spots.max(axis=0)
    o_low, o_high = other.min(axis=0), other.max(axis=0)
    move = (o_low + o_high) / 2 - (low + high) / 2
    axis = int(np.argmax(np.abs(way)))
    if way[axis] > 0:
        move[axis] = o_high[axis] - low[axis]
    else:
        move[axis] = o_low[axis] - high[axis]
    return np.asarray(spots + move)


def find_part(placed: Sequence[Placed], part: str, name: str) -> Placed:
    """The placed part of this name. Raises CannotMake, naming the `part` that asks for it."""
    for own in placed:
        if own.name == name:
            return own
    raise CannotMake(
        Finding(
            code="no-such-part",
            severity="cannot",
            where=f"part {part}",
            message=f'There is no part "{name[:40]}" before the part "{part}".',
            remedy="Name a part that stands further up in the file.",
        )
    )


def find_joint(
    net: Net, placed: Sequence[Placed], part: str, where: str, *, but: Collection[int] = ()
) -> tuple[Placed, int | None]:
    """The placed part and its joint for "head: front (3, 2)"; no joint for "head" alone.

    Raises CannotMake, naming the `part` that asks, where there is no such part or joint.
    """
    name, _, joint = where.partition(":")
    own = find_part(placed, part, name.strip())
    if not joint.strip():
        return own, None
    joints = [j for j in own.joints() if j not in but]
    return own, named_joint(net, joints, own.name, joint.strip(), part=part)


def named_joint(net: Net, joints: Sequence[int], owner: str, joint: str, *, part: str) -> int:
    """The joint of these that is called `joint` within the part `owner`. Raises CannotMake."""
    full = f"{owner} {joint}"
    found = [j for j in joints if net.joint_names[j] == full]
    if found:
        return found[0]
    names = [net.joint_names[j] for j in joints if net.joint_names[j].startswith(f"{owner} ")]
    close = nearest(full, names) or next(iter(names), full)
    raise CannotMake(
        Finding(
            code="no-such-joint",
            severity="cannot",
            where=f"part {part}",
            message=f'The part "{owner}" has no joint "{joint[:40]}" of its own.',
            remedy=f'Is "{close.removeprefix(owner).strip()}" of "{owner}" meant? A joint that was '
            "sewn has the name that the earlier part gave it.",
        )
    )
