"""Joined forms: nets set beside each other and sewn into one.

Where a border ring of one part meets a border ring of another, joints are locked together one to
one, or joined by a row of stitches where the rings are too far apart to touch. Where it meets the
side of another part, each of its joints is locked onto the nearest joint there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.net.place import WAYS, Placed, set_beside, turned
from airweft.net.seam import Seam, border_rings, find_seam
from airweft.net.stalk import with_stalk
from airweft.records.arrays import Points, pairs, points, whole
from airweft.records.design import Part, Stalk
from airweft.records.net import BubbleKind, Net


@dataclass(frozen=True, slots=True)
class Joining:
    """What comes of joining: the net, and what there is to say about its seams."""

    net: Net
    findings: tuple[Finding, ...]


def join(parts: Sequence[Part], nets: Sequence[Net], *, hands: int) -> Joining:
    """One net of all parts, in their order; names begin with the part's name.

    `nets` are the parts' own nets, standing where their forms stand (for a stalk, any net: it is
    made here). Raises CannotMake, with the part, where one meets no other or a joint is not there.
    """
    first, *others = zip(parts, nets, strict=True)
    whole_net = _named(first[0].name, _moved(first[1], _first_place(first[0], first[1])))
    placed = [_placed(first[0].name, whole_net, range(whole_net.joint_count))]
    findings: list[Finding] = []
    for part, net in others:
        if isinstance(part.form, Stalk):
            whole_net, note = with_stalk(
                whole_net, placed, part, part.form, length=part.bubble, hands=hands
            )
            findings.append(note)
            continue
        own = _named(part.name, net)
        target, way = _target(part, placed, whole_net)
        spots = _set(part, own, target, whole_net)
        seam = find_seam(
            whole_net,
            target.joints(),
            replace(own, joints=points(spots)),
            rings=target.rings,
            way=way,
            names=(target.name, part.name),
        )
        if way is not None:
            spots = spots - way * seam.gap
        own = replace(own, joints=points(spots))
        before = whole_net.joint_count
        whole_net, lands = _sewn(whole_net, own, seam)
        placed.append(_placed(part.name, own, lands))
        findings.append(_told(whole_net, seam, lands, before))
    return Joining(whole_net, tuple(findings))


def _placed(name: str, own: Net, lands: Sequence[int]) -> Placed:
    rings = tuple(tuple(sorted(lands[j] for j in ring)) for ring in border_rings(own))
    return Placed(name, tuple(lands), rings)


def _first_place(part: Part, net: Net) -> Points:
    spots = turned(net.joints, part.turn)
    foot = np.array([0.0, 0.0, float(spots[:, 2].min())])
    at = np.array(part.at or (0, 0, 0)) / 100
    return np.asarray(spots - foot + at + np.array(part.shift) / 100)


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


def _target(part: Part, placed: Sequence[Placed], net: Net) -> tuple[Placed, Points | None]:
    """The part that this one is set on, and the direction from that to this."""
    if not part.beside:
        return placed[-1], None
    for other in placed:
        if other.name == part.beside:
            return other, np.array(WAYS[part.side or "top"], dtype=np.float64)
    raise CannotMake(
        Finding(
            code="no-such-part",
            severity="cannot",
            where=f"part {part.name}",
            message=f'There is no part "{part.beside}" before the part "{part.name}".',
            remedy="Name a part that stands further up in the file, and is no stalk.",
        )
    )


def _set(part: Part, own: Net, target: Placed, net: Net) -> Points:
    spots = turned(own.joints, part.turn)
    if part.beside:
        way = np.array(WAYS[part.side or "top"], dtype=np.float64)
        spots = set_beside(spots, np.asarray(net.joints[list(target.joints())]), way)
        return np.asarray(spots + np.array(part.shift) / 100)
    foot = np.array([0.0, 0.0, float(spots[:, 2].min())])
    return np.asarray(spots - foot + (np.array(part.at or (0, 0, 0)) + part.shift) / 100)


def _sewn(one: Net, other: Net, seam: Seam) -> tuple[Net, tuple[int, ...]]:
    """Both nets as one, and where the joints of the second are in it."""
    onto = dict(seam.locked)
    lands: list[int] = []
    spots = [*one.joints.tolist()]
    names = list(one.joint_names)
    for joint in range(other.joint_count):
        place = onto.get(joint)
        if place is None:
            lands.append(len(spots))
            spots.append(other.joints[joint].tolist())
            names.append(other.joint_names[joint])
        else:
            lands.append(place)
            middle = (one.joints[place] + other.joints[joint]) / 2
            spots[place] = middle.tolist()
    ends = [(lands[a], lands[b]) for a, b in other.ends.tolist()]
    stitches = [(place, lands[joint]) for joint, place in seam.stitches]
    shift = one.bubble_count
    cells = tuple(
        replace(
            cell,
            joints=tuple(lands[j] for j in cell.joints),
            bubbles=tuple(b + shift for b in cell.bubbles),
        )
        for cell in other.cells
    )
    count = len(stitches)
    frame: BubbleKind = "frame"
    where = np.array(spots)
    lengths = [round(float(np.linalg.norm(where[a] - where[b]))) * 100 or 100 for a, b in stitches]
    label = f"{seam.names[0]} {seam.names[1]} stitch"
    assert one.counted is not None and other.counted is not None
    net = replace(
        one,
        joints=points(spots),
        ends=pairs([*one.ends.tolist(), *ends, *stitches]),
        lengths=whole([*one.lengths.tolist(), *other.lengths.tolist(), *lengths]),
        colours=one.colours
        + other.colours
        + tuple(other.colours[_bubble_at(other, j)] for j, _ in seam.stitches),
        sizes=one.sizes + other.sizes + tuple(_size_at(other, j) for j, _ in seam.stitches),
        kinds=one.kinds + other.kinds + (frame,) * count,
        joint_names=tuple(names),
        bubble_names=one.bubble_names
        + other.bubble_names
        + tuple(f"{label} {k + 1}" for k in range(count)),
        bubble_panels=one.bubble_panels
        + other.bubble_panels
        + tuple(_panel_at(other, j) for j, _ in seam.stitches),
        places=pairs([*one.places.tolist(), *other.places.tolist(), *([-1, -1],) * count]),
        cells=one.cells + cells,
        seams=tuple(sorted({*one.seams, *(lands[j] for j in other.seams), *onto.values()})),
        panels=one.panels + other.panels,
        origins=one.origins + other.origins,
        counted=pairs(
            [
                *one.counted.tolist(),
                *other.counted.tolist(),
                *(_count_at(other, j) for j, _ in seam.stitches),
            ]
        ),
    )
    return net, tuple(lands)


def _bubble_at(net: Net, joint: int) -> int:
    return int(np.flatnonzero((net.ends == joint).any(axis=1))[0])


def _size_at(net: Net, joint: int) -> str:
    return net.sizes[_bubble_at(net, joint)]


def _panel_at(net: Net, joint: int) -> str:
    return net.bubble_panels[_bubble_at(net, joint)]


def _count_at(net: Net, joint: int) -> list[int]:
    assert net.counted is not None
    return [int(n) for n in net.counted[_bubble_at(net, joint)]]


def _told(net: Net, seam: Seam, lands: Sequence[int], before: int) -> Finding:
    """What the maker should know of a seam."""
    below, above = seam.names
    places = [place for _, place in seam.locked] or [place for _, place in seam.stitches]
    shown = ", ".join(net.joint_names[place] for place in places[:4])
    shown += " and so on" if len(places) > 4 else ""
    if seam.stitches:
        joined = len({joint for joint, _ in seam.stitches})
        message = (
            f"{joined} joints of the {above} are sewn to {len(set(places))} of the {below} by "
            f"{len(seam.stitches)} stitches, bubbles of their own: {shown}."
        )
    else:
        message = (
            f"{len(places)} joints of the {above} are locked onto {len(places)} of the {below}: "
            f"{shown}."
        )
    if seam.left[0] or seam.left[1]:
        parts = [
            f"{count} of the {name}'s"
            for count, name in zip(seam.left, seam.names, strict=True)
            if count
        ]
        message += f" {' and '.join(parts)} joints along the seam stay free."
    return Finding(
        code="seam",
        severity="note",
        where=f"part {above}",
        message=message,
        remedy="Lock them as the steps say; nothing else holds the parts together.",
        joints=tuple(dict.fromkeys(places)),
    )
