"""The open borders of a woven net, and which way they face."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence

import numpy as np

from airweft.net.facts import chain_tips, corner_rings, groups
from airweft.records.arrays import Points
from airweft.records.net import Net

_FACES = 0.4  # least cosine between the way a border faces and the way to the other part


def border_rings(net: Net) -> tuple[tuple[int, ...], ...]:
    """The joints of each closed border of a woven net, in index order; by their lowest joint.

    Around each corner on a border, a chain of bubbles leads from one border joint to the next.
    """
    _, chains = corner_rings(net)
    links = [tips for chain in chains if (tips := chain_tips(net, chain)) is not None]
    on_border = {joint for link in links for joint in link}
    return tuple(tuple(g) for g in groups(net.joint_count, links) if g[0] in on_border)


def facing(
    net: Net,
    joints: Sequence[int],
    rings: Sequence[tuple[int, ...]],
    towards: Points,
    sewn: Collection[int] = (),
) -> list[list[int]]:
    """The border rings that face `towards` and are not sewn yet, the farthest that way first.

    `joints` are those of the part. A border faces away from the middle of its part, at right
    angles to the plane that it lies in.
    """
    middle = np.asarray(net.joints[list(joints)]).mean(axis=0)
    found: list[tuple[float, list[int]]] = []
    for ring in rings:
        if len(ring) < 3 or any(j in sewn for j in ring):
            continue
        spots = np.asarray(net.joints[list(ring)])
        centre = spots.mean(axis=0)
        _, _, across = np.linalg.svd(spots - centre, full_matrices=False)
        out = across[2]
        if float(out @ (centre - middle)) < 0:
            out = -out
        if float(out @ towards) >= _FACES:
            found.append((round(-float(centre @ towards), 6), list(ring)))
    return [ring for _, ring in sorted(found)]


def by_angle(net: Net, ring: Sequence[int], axis: Points) -> list[int]:
    """The ring in order around the axis through its middle."""
    spots = np.asarray(net.joints[list(ring)])
    off = spots - spots.mean(axis=0)
    east = np.array([1.0, 0.0, 0.0]) if abs(axis[0]) < 0.9 else np.array([0.0, 1.0, 0.0])
    east = east - axis * (east @ axis)
    north = np.cross(axis, east)
    turn = {
        j: math.atan2(float(o @ north), float(o @ east)) for j, o in zip(ring, off, strict=True)
    }
    return sorted(ring, key=lambda j: (turn[j], j))
