"""Joined forms: nets set beside each other and sewn into one.

Where a border ring of one part meets a border ring of another, joints are locked together one to
one, or joined by a row of stitches where the rings are too far apart to touch or differ much in
number. Where it meets the side of another part, each of its joints is locked onto the nearest joint
there. A part whose joints are named is locked there and nowhere else.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.net.named import named_seam, placed_by_name
from airweft.net.place import WAYS, Placed, find_part, set_beside, turned
from airweft.net.rings import border_rings
from airweft.net.seam import Seam, find_seam
from airweft.net.sewing import sewn, told
from airweft.net.stalk import with_stalk
from airweft.net.whole import held_ends, make_sound
from airweft.records.arrays import Points, pairs, points
from airweft.records.design import Part, Stalk
from airweft.records.net import Net


@dataclass(frozen=True, slots=True)
class Joining:
    """What comes of joining: the net, and what there is to say about its seams."""

    net: Net
    findings: tuple[Finding, ...]


def join(parts: Sequence[Part], nets: Sequence[Net], *, hands: int) -> Joining:
    """One net of all parts, in their order; names begin with the part's name.

    `nets` are the parts' own nets, standing where their forms stand (for a stalk, any net: it is
    made here). Raises CannotMake, with the part, where one meets no other or a joint is not there,
    and where the whole cannot be made (M9 to M12).
    """
    first, *others = zip(parts, nets, strict=True)
    whole_net = _named(first[0].name, _moved(first[1], _standing(first[0], first[1])))
    placed = [_placed(first[0].name, whole_net, range(whole_net.joint_count))]
    findings: list[Finding] = []
    used: set[int] = set()
    for part, net in others:
        if isinstance(part.form, Stalk):
            whole_net, chain, note = with_stalk(
                whole_net, placed, part, part.form, length=part.bubble, hands=hands
            )
            placed.append(Placed(part.name, chain, is_stalk=True))
            findings.append(note)
            continue
        own, seam = _set(part, _named(part.name, net), placed, whole_net, used)
        whole_net, lands = sewn(whole_net, own, seam)
        placed.append(_placed(part.name, own, lands))
        used |= {place for _, place in seam.locked}
        used |= {j for joint, place in seam.stitches for j in (lands[joint], place)}
        findings.append(told(whole_net, seam))
    whole_net, problems = make_sound(held_ends(whole_net))
    if problems:
        raise CannotMake(problems)
    return Joining(whole_net, tuple(findings))


def _placed(name: str, own: Net, lands: Sequence[int]) -> Placed:
    rings = tuple(tuple(sorted(lands[j] for j in ring)) for ring in border_rings(own))
    return Placed(name, tuple(lands), rings)


def _standing(part: Part, net: Net) -> Points:
    """The part on its foot where it is wanted, or in the middle."""
    spots = turned(net.joints, part.turn)
    foot = np.array([0.0, 0.0, float(spots[:, 2].min())])
    return np.asarray(spots - foot + (np.array(part.at or (0, 0, 0)) + part.shift) / 100)


def _moved(net: Net, spots: Points) -> Net:
    return replace(net, joints=points(spots))


def _named(name: str, net: Net) -> Net:
    """The net with the part's name before every name."""
    panels = tuple(f"{name} {panel}".rstrip() for panel in net.panels)
    return replace(
        net,
        joint_names=tuple(f"{name} {joint}" for joint in net.joint_names),
        bubble_names=tuple(f"{name} {bubble}" for bubble in net.bubble_names),
        bubble_panels=tuple(f"{name} {panel}".rstrip() for panel in net.bubble_panels),
        cells=tuple(replace(c, panel=f"{name} {c.panel}".rstrip()) for c in net.cells),
        panels=panels or (name,),
        counted=_counted(net),
    )


def _counted(net: Net) -> np.ndarray:
    """(m, 2) column and row of each bubble for stripes, whichever way the net tells them."""
    if net.counted is not None:
        return net.counted
    origins = dict(zip(net.panels, net.origins, strict=False))
    return pairs(
        [
            (-1, -1) if column < 0 else (column + right, row + up)
            for (column, row), panel in zip(net.places.tolist(), net.bubble_panels, strict=True)
            for right, up in [origins.get(panel, (0, 0))]
        ]
    )


def _set(
    part: Part, own: Net, placed: Sequence[Placed], net: Net, used: set[int]
) -> tuple[Net, Seam]:
    """The part where it comes to stand, and its seam with the net."""
    target, way = _target(part, placed)
    spots = _standing(part, own)
    if way is not None:
        there = np.asarray(net.joints[list(target.joints())])
        spots = set_beside(turned(own.joints, part.turn), there, way)
        spots = np.asarray(spots + np.array(part.shift) / 100)
    if part.sew:
        if not part.beside and part.at is None:
            spots = placed_by_name(part, _moved(own, spots), placed, net)
        own = _moved(own, spots)
        return own, named_seam(part, own, placed, net)
    seam = find_seam(
        net,
        target.joints(),
        _moved(own, spots),
        rings=target.rings,
        way=way,
        names=(target.name, part.name),
        sewn=used,
        least=1 if target.is_stalk else 2,
    )
    if way is not None:
        spots = spots - way * seam.gap
    return _moved(own, spots), seam


def _target(part: Part, placed: Sequence[Placed]) -> tuple[Placed, Points | None]:
    """The part that this one is set on, and the direction from that to this."""
    if not part.beside:
        return next(p for p in reversed(placed) if not p.is_stalk), None
    way = np.array(WAYS[part.side or "top"], dtype=np.float64)
    return find_part(placed, part.name, part.beside), way
