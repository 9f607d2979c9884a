"""Extra bubbles: loops at the joints along the seams."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.records.arrays import pairs, whole
from airweft.records.net import BubbleKind, Net

MOST_ENDS = 8
"""Most bubble ends at one joint (making rule M12); a loop has two."""


def add_loops(net: Net, *, length: int | None = None, most_ends: int = MOST_ENDS) -> Net:
    """The net with one extra bubble, a loop, at every joint where two panels meet.

    A loop sharpens the edge and gives later panels a hold. It is called "loop" and the joint's
    name, belongs to that of the meeting panels that is built first, and has `length` (hundredths of
    a millimetre; that of the panel's bubbles there unless given) and the size of the bubble beside
    it. Joints that hold a loop already are passed over; a net without seams comes back as it is.
    Raises CannotMake (M12) naming the joints that would hold too many ends.
    """
    at = net.ends_at()
    order = {panel: number for number, panel in enumerate(net.panels)}
    spots: list[int] = []
    beside: list[int] = []
    crowded: list[int] = []
    for joint in net.seams:
        around = at[joint]
        if not around or any(net.kinds[b] == "loop" for b in around):
            continue
        if len(around) + 2 > most_ends:
            crowded.append(joint)
        spots.append(joint)
        last = len(order)
        beside.append(min(around, key=lambda b: (order.get(net.bubble_panels[b], last), b)))
    if crowded:
        first = crowded[0]
        raise CannotMake(
            Finding(
                code="crowded-joint",
                severity="cannot",
                where=f"joint {net.joint_names[first]}",
                message=f"With an extra bubble {len(at[first]) + 2} bubble ends would meet at "
                f"joint {net.joint_names[first]}, and {most_ends} is the most"
                + (f"; so at {len(crowded) - 1} more joints." if crowded[1:] else "."),
                remedy='Write seams = "plain".',
                rule="M12",
                joints=tuple(crowded),
            )
        )
    if not spots:
        return net
    loop: BubbleKind = "loop"
    lengths = [int(net.lengths[b]) if length is None else length for b in beside]
    return replace(
        net,
        ends=pairs(np.concatenate([net.ends, np.repeat(spots, 2).reshape(-1, 2)])),
        lengths=whole([*net.lengths.tolist(), *lengths]),
        colours=net.colours + ("",) * len(spots),
        sizes=net.sizes + tuple(net.sizes[b] for b in beside),
        kinds=net.kinds + (loop,) * len(spots),
        bubble_names=net.bubble_names + tuple(f"loop {net.joint_names[j]}" for j in spots),
        bubble_panels=net.bubble_panels + tuple(net.bubble_panels[b] for b in beside),
        places=pairs([*net.places.tolist(), *([-1, -1] for _ in spots)]),
        counted=None
        if net.counted is None
        else pairs([*net.counted.tolist(), *([-1, -1] for _ in spots)]),
    )
