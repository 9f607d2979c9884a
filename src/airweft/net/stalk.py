"""Stalks: chains of bubbles from a joint, hanging free or joined again."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.net.place import Placed, find_joint
from airweft.net.seams import MOST_ENDS
from airweft.records.arrays import Points, pairs, points, whole
from airweft.records.design import Part, Stalk
from airweft.records.net import BubbleKind, Net

_STRETCHES = 1.1  # ends may lie so much farther apart than the bubbles reach; the fabric gives


def with_stalk(
    net: Net, placed: Sequence[Placed], part: Part, stalk: Stalk, *, length: int, hands: int
) -> tuple[Net, tuple[int, ...], Finding]:
    """The net with the stalk, the stalk's joints from its begin, and a note on both ends.

    The twists of a single strand are loose until its end is held or a further balloon is knotted
    on, which the note tells; two strands are locked to each other at every joint. Raises CannotMake
    for a joint that is not there, for a crowded one, and for ends too far from each other.
    """
    towards = np.array(stalk.towards, dtype=np.float64)
    towards = towards / max(float(np.linalg.norm(towards)), 1e-9)
    begin = _joint(net, placed, part, stalk.begin, towards, ())
    end = _joint(net, placed, part, stalk.end, towards, (begin,)) if stalk.end else None
    _check(net, part, stalk, begin, end, length)
    count, strands = stalk.bubbles, stalk.strands
    first = net.joint_count
    new = count if end is None else count - 1
    chain = (begin, *range(first, first + new), *([end] if end is not None else []))
    spots = _line(net, begin, end, towards, count, length / 100)[1 : 1 + new]
    repeat = part.pattern.repeat if part.pattern is not None else ""
    kinds: list[BubbleKind] = ["frame"] * count
    if end is None and strands == 1:
        kinds[-1] = "free"
    marks = tuple(repeat[k % len(repeat)] if repeat else "" for k in range(count))
    labels = [part.name, f"{part.name} second"][:strands]
    assert net.counted is not None
    grown = replace(
        net,
        joints=points([*net.joints.tolist(), *spots.tolist()]),
        ends=pairs([*net.ends.tolist(), *(list(pairwise(chain)) * strands)]),
        lengths=whole([*net.lengths.tolist(), *[length] * (count * strands)]),
        colours=net.colours + marks * strands,
        sizes=net.sizes + (part.size,) * (count * strands),
        kinds=(*net.kinds, *(kinds * strands)),
        joint_names=net.joint_names + tuple(f"{part.name} joint {k + 1}" for k in range(new)),
        bubble_names=net.bubble_names
        + tuple(f"{label} {k + 1}" for label in labels for k in range(count)),
        bubble_panels=net.bubble_panels + (part.name,) * (count * strands),
        places=pairs([*net.places.tolist(), *([-1, -1],) * (count * strands)]),
        panels=(*net.panels, part.name),
        origins=(*net.origins, (0, 0)),
        counted=pairs([*net.counted.tolist(), *([[0, k] for k in range(count)] * strands)]),
    )
    return grown, chain, _told(net, part, stalk, begin, end, hands)


def _told(net: Net, part: Part, stalk: Stalk, begin: int, end: int | None, hands: int) -> Finding:
    held = f"to joint {net.joint_names[end]}" if end is not None else "and hangs free"
    message = f"The {part.name} goes from joint {net.joint_names[begin]} {held}."
    remedy = "Its first end is locked with the others at that joint."
    loose = stalk.bubbles - (end is None)
    if stalk.strands == 1 and loose > hands:
        # A knot holds all twists before it, so that the next `hands` may be loose (M5, M7).
        message += (
            f" {loose} twists would be loose at once, and hands = {hands}: a fresh balloon is "
            f"knotted on after every {hands} bubbles or sooner, and the one before ends there."
        )
        remedy = (
            "Write strands = 2 for two balloons side by side, locked to each other at every joint: "
            "stiffer, and never more than two twists loose. Or make its bubbles longer and fewer."
        )
    return Finding(
        code="seam",
        severity="note",
        where=f"part {part.name}",
        message=message,
        remedy=remedy,
        joints=(begin,) if end is None else (begin, end),
    )


def _joint(
    net: Net,
    placed: Sequence[Placed],
    part: Part,
    where: str,
    towards: Points,
    taken: tuple[int, ...],
) -> int:
    """The joint named "head: front (3, 2)", or that of the part "head" farthest `towards`."""
    own, joint = find_joint(net, placed, part.name, where, but=taken)
    if joint is not None:
        return joint
    joints = [j for j in own.joints() if j not in taken]
    along = net.joints[joints] @ towards
    return joints[int(np.argmax(np.round(along, 6)))]


def _check(net: Net, part: Part, stalk: Stalk, begin: int, end: int | None, length: int) -> None:
    """Raise CannotMake for a stalk at a joint that is full, or too short for its two ends."""
    findings = []
    for joint in (begin,) if end is None else (begin, end):
        ends = int((net.ends == joint).sum())
        if ends + stalk.strands > MOST_ENDS:
            findings.append(
                Finding(
                    code="crowded-joint",
                    severity="cannot",
                    where=f"part {part.name}",
                    message=f"Joint {net.joint_names[joint]} holds {ends} bubble ends already, and "
                    f"{MOST_ENDS} is the most.",
                    remedy="Let it begin or end at another joint.",
                    rule="M12",
                    joints=(joint,),
                )
            )
    if end is not None:
        apart = float(np.linalg.norm(net.joints[end] - net.joints[begin]))
        reach = stalk.bubbles * length / 100
        if apart > reach * _STRETCHES:
            need = math.ceil(apart / (length / 100))
            findings.append(
                Finding(
                    code="stalk-too-short",
                    severity="cannot",
                    where=f"part {part.name}",
                    message=f"Its ends lie {apart / 10:.1f} cm apart, and {stalk.bubbles} bubbles "
                    f"of {length / 1000:g} cm reach {reach / 10:.1f} cm.",
                    remedy=f"Write bubbles = {need} or more, or make them longer.",
                    joints=(begin, end),
                )
            )
    if findings:
        raise CannotMake(findings)


def _line(
    net: Net, begin: int, end: int | None, towards: Points, count: int, step: float
) -> Points:
    """(count + 1, 3) places along the stalk: straight, or a bow to its other end."""
    start = np.asarray(net.joints[begin])
    share = np.linspace(0.0, 1.0, count + 1)[:, None]
    if end is None:
        return np.asarray(start + share * count * step * towards)
    way = np.asarray(net.joints[end]) - start
    apart = float(np.linalg.norm(way))
    # A bow as high as makes its length about that of the bubbles (a flat parabola, 8 h^2 / 3 d).
    spare = max(count * step - apart, 0.0)
    high = math.sqrt(3 * max(apart, 1e-9) * spare / 8)
    return np.asarray(start + share * way + 4 * share * (1 - share) * high * towards)
