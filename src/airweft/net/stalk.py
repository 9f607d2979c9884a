"""Stalks: chains of bubbles from a joint, hanging free or joined again."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.base.nearest import nearest
from airweft.net.place import Placed
from airweft.net.seams import MOST_ENDS
from airweft.records.arrays import Points, pairs, points, whole
from airweft.records.design import Part, Stalk
from airweft.records.net import BubbleKind, Net


def with_stalk(
    net: Net, placed: Sequence[Placed], part: Part, stalk: Stalk, *, length: int, hands: int
) -> tuple[Net, Finding]:
    """The net with the stalk, and a note where it begins and ends.

    Its twists are loose until its end is held, so that it has at most `hands` + 1 bubbles.
    Raises CannotMake for a joint that is not there, a crowded one, or a longer stalk.
    """
    towards = np.array(stalk.towards, dtype=np.float64)
    towards = towards / max(float(np.linalg.norm(towards)), 1e-9)
    begin = _joint(net, placed, part, stalk.begin, towards, ())
    end = _joint(net, placed, part, stalk.end, towards, (begin,)) if stalk.end else None
    _check(net, part, stalk, begin, end, hands)
    count, step = stalk.bubbles, length / 100
    first = net.joint_count
    new = count if end is None else count - 1
    chain = [begin, *range(first, first + new), *([end] if end is not None else [])]
    spots = _line(net, begin, end, towards, count, step)[1 : 1 + new]
    repeat = part.pattern.repeat if part.pattern is not None else ""
    kinds: list[BubbleKind] = ["frame"] * count
    if end is None:
        kinds[-1] = "free"
    assert net.counted is not None
    grown = replace(
        net,
        joints=points([*net.joints.tolist(), *spots.tolist()]),
        ends=pairs([*net.ends.tolist(), *pairwise(chain)]),
        lengths=whole([*net.lengths.tolist(), *[length] * count]),
        colours=net.colours
        + tuple(repeat[k % len(repeat)] if repeat else "" for k in range(count)),
        sizes=net.sizes + (part.size,) * count,
        kinds=(*net.kinds, *kinds),
        joint_names=net.joint_names + tuple(f"{part.name} joint {k + 1}" for k in range(new)),
        bubble_names=net.bubble_names + tuple(f"{part.name} {k + 1}" for k in range(count)),
        bubble_panels=net.bubble_panels + (part.name,) * count,
        places=pairs([*net.places.tolist(), *([-1, -1],) * count]),
        panels=(*net.panels, part.name),
        origins=(*net.origins, (0, 0)),
        counted=pairs([*net.counted.tolist(), *([0, k] for k in range(count))]),
    )
    held = f"to joint {net.joint_names[end]}" if end is not None else "and hangs free"
    return grown, Finding(
        code="seam",
        severity="note",
        where=f"part {part.name}",
        message=f"The {part.name} goes from joint {net.joint_names[begin]} {held}.",
        remedy="Its first end is locked with the others at that joint.",
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
    name, _, joint = where.partition(":")
    own = next((p for p in placed if p.name == name.strip()), None)
    if own is None:
        raise CannotMake(
            Finding(
                code="no-such-part",
                severity="cannot",
                where=f"part {part.name}",
                message=f'There is no part "{name.strip()[:40]}" before the part "{part.name}".',
                remedy="Name a part that stands further up in the file, and is no stalk.",
            )
        )
    joints = [j for j in own.joints() if j not in taken]
    if not joint:
        along = net.joints[joints] @ towards
        return joints[int(np.argmax(np.round(along, 6)))]
    full = f"{own.name} {joint.strip()}"
    found = [j for j in joints if net.joint_names[j] == full]
    if found:
        return found[0]
    names = [net.joint_names[j] for j in joints]
    close = nearest(full, names) or names[0]
    raise CannotMake(
        Finding(
            code="no-such-joint",
            severity="cannot",
            where=f"part {part.name}",
            message=f'The part "{own.name}" has no joint "{joint.strip()[:40]}".',
            remedy=f'Is "{own.name}: {close.removeprefix(own.name).strip()}" meant?',
        )
    )


def _check(net: Net, part: Part, stalk: Stalk, begin: int, end: int | None, hands: int) -> None:
    """Raise CannotMake for a stalk too long to hold, or one at a joint that is full."""
    findings = []
    if not 1 <= stalk.bubbles <= hands + 1:
        findings.append(
            Finding(
                code="stalk-too-long",
                severity="cannot",
                where=f"part {part.name}",
                message=f"{stalk.bubbles} bubbles in a row would need {stalk.bubbles - 1} loose "
                f"twists at once, and hands = {hands}.",
                remedy=f"Write bubbles = {hands + 1} or fewer and make them longer, or weave a "
                "tube or a strip instead.",
                rule="M8",
            )
        )
    for joint in (begin,) if end is None else (begin, end):
        if int((net.ends == joint).sum()) >= MOST_ENDS:
            findings.append(
                Finding(
                    code="crowded-joint",
                    severity="cannot",
                    where=f"part {part.name}",
                    message=f"Joint {net.joint_names[joint]} holds {MOST_ENDS} bubble ends "
                    "already.",
                    remedy="Let it begin at another joint.",
                    rule="M12",
                    joints=(joint,),
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
