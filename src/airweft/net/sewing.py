"""Two nets made one at a seam, and what the maker should know of it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from airweft.base.findings import Finding
from airweft.net.seam import Seam
from airweft.records.arrays import pairs, points, whole
from airweft.records.net import BubbleKind, Net

_SHOWN = 4
_LOCK = "Lock them as the steps say; nothing else holds the parts together."
_BROAD = (
    "Two closed sides lie on each other. Leave one of them open, and its border is sewn instead: "
    "fewer bubbles, and it lies better."
)


def sewn(one: Net, other: Net, seam: Seam) -> tuple[Net, tuple[int, ...]]:
    """Both nets as one, and where the joints of the second are in it.

    Joints that are locked onto each other become one, half-way between them; each stitch becomes a
    bubble with the size and the colour of the second net's bubble beside it.
    """
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
            spots[place] = ((one.joints[place] + other.joints[joint]) / 2).tolist()
    ends = [(lands[a], lands[b]) for a, b in other.ends.tolist()]
    stitches = [(place, lands[joint]) for joint, place in seam.stitches]
    shift, count = one.bubble_count, len(stitches)
    cells = tuple(
        replace(
            cell,
            joints=tuple(lands[j] for j in cell.joints),
            bubbles=tuple(b + shift for b in cell.bubbles),
        )
        for cell in other.cells
    )
    frame: BubbleKind = "frame"
    beside = [_bubble_at(other, joint) for joint, _ in seam.stitches]
    label = f"{seam.names[0]} {seam.names[1]} stitch"
    assert one.counted is not None and other.counted is not None
    net = replace(
        one,
        joints=points(spots),
        ends=pairs([*one.ends.tolist(), *ends, *stitches]),
        lengths=whole([*one.lengths.tolist(), *other.lengths.tolist(), *[seam.stitch] * count]),
        colours=(*one.colours, *other.colours, *(other.colours[b] for b in beside)),
        sizes=(*one.sizes, *other.sizes, *(other.sizes[b] for b in beside)),
        kinds=one.kinds + other.kinds + (frame,) * count,
        joint_names=tuple(names),
        bubble_names=one.bubble_names
        + other.bubble_names
        + tuple(f"{label} {k + 1}" for k in range(count)),
        bubble_panels=(
            *one.bubble_panels,
            *other.bubble_panels,
            *(other.bubble_panels[b] for b in beside),
        ),
        places=pairs([*one.places.tolist(), *other.places.tolist(), *([-1, -1],) * count]),
        cells=one.cells + cells,
        seams=tuple(sorted({*one.seams, *(lands[j] for j in other.seams), *onto.values()})),
        panels=one.panels + other.panels,
        origins=one.origins + other.origins,
        counted=pairs(
            [
                *one.counted.tolist(),
                *other.counted.tolist(),
                *(other.counted[b].tolist() for b in beside),
            ]
        ),
    )
    return net, tuple(lands)


def _bubble_at(net: Net, joint: int) -> int:
    return int(np.flatnonzero((net.ends == joint).any(axis=1))[0])


def _joints(count: int) -> str:
    return "1 joint" if count == 1 else f"{count} joints"


def told(net: Net, seam: Seam) -> Finding:
    """What the maker should know of a seam in the net that it made."""
    below, above = seam.names
    places = list(dict.fromkeys(place for _, place in seam.locked or seam.stitches))
    shown = ", ".join(net.joint_names[place] for place in places[:_SHOWN])
    shown += " and so on" if len(places) > _SHOWN else ""
    if seam.stitches:
        joined = len({joint for joint, _ in seam.stitches})
        many = len(places)
        message = (
            f"{_joints(joined)} of the {above} are sewn to {many} of the {below} by "
            f"{len(seam.stitches)} stitches, bubbles of {seam.stitch / 1000:g} cm: {shown}."
        )
        more, less = (above, below) if joined > many else (below, above)
        if joined != many:
            message += (
                f" Two stitches go to each joint of the {more}; some of the {less}, evenly "
                "spread, take twice as many."
            )
    else:
        message = (
            f"{_joints(len(places))} of the {above} {'is' if len(places) == 1 else 'are'} locked "
            f"onto {len(places)} of the {below}: {shown}."
        )
    if any(seam.left):
        parts = [
            f"{count} of the {name}'s"
            for count, name in zip(seam.left, seam.names, strict=True)
            if count
        ]
        one = sum(seam.left) == 1
        message += f" {' and '.join(parts)} joints along the seam "
        message += "stays free" if one else "stay free"
        message += ", evenly spread." if seam.even else "."
    return Finding(
        code="seam",
        severity="note",
        where=f"part {above}",
        message=message,
        remedy=_BROAD if seam.broad else _LOCK,
        joints=tuple(places),
    )
