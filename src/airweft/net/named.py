"""Parts that are locked onto joints that the maker names."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.net.place import WAYS, Placed, find_joint, named_joint
from airweft.net.seam import Seam, ends_of
from airweft.net.seams import MOST_ENDS
from airweft.records.arrays import Points
from airweft.records.design import Part
from airweft.records.net import Net

_REACH = 1.5  # named joints may lie this many bubbles apart; the fabric gives that much


def placed_by_name(part: Part, own: Net, placed: Sequence[Placed], net: Net) -> Points:
    """The joints of the part moved so that the named ones lie on each other in the mean."""
    moves = []
    for mine, other in part.sew:
        joint = _own_joint(part, own, mine)
        _, place = find_joint(net, placed, part.name, other)
        if place is not None:
            moves.append(net.joints[place] - own.joints[joint])
    move = np.mean(moves, axis=0) if moves else np.zeros(3)
    return np.asarray(own.joints + move + np.array(part.shift) / 100)


def named_seam(part: Part, own: Net, placed: Sequence[Placed], net: Net) -> Seam:
    """The seam at the joints that are named. Raises CannotMake with every reason against it."""
    ends, own_ends = ends_of(net), ends_of(own)
    bubble = float(np.median(own.lengths)) / 100
    pairs: list[tuple[int, int]] = []
    owners: dict[str, None] = {}
    findings: list[Finding] = []
    for mine, other in part.sew:
        joint = _own_joint(part, own, mine)
        there, place = find_joint(net, placed, part.name, other)
        owners[there.name] = None
        taken = {p for _, p in pairs}
        if place is None:
            free = [
                j
                for j in there.joints()
                if j not in taken and ends[j] + own_ends[joint] <= MOST_ENDS
            ] or list(there.joints())
            apart = np.linalg.norm(net.joints[free] - own.joints[joint], axis=1)
            place = free[int(np.argmin(np.round(apart, 6)))]
        apart_mm = float(np.linalg.norm(net.joints[place] - own.joints[joint]))
        name = net.joint_names[place]
        if joint in {j for j, _ in pairs} or place in taken:
            findings.append(
                _finding(
                    part,
                    "joint-twice",
                    f'"{mine}" = "{other}" locks joint {name} a second time.',
                    "Pair every joint once.",
                    place,
                )
            )
        elif ends[place] + own_ends[joint] > MOST_ENDS:
            findings.append(
                _finding(
                    part,
                    "crowded-joint",
                    f"{ends[place] + own_ends[joint]} bubble ends would meet at joint {name}, and "
                    f"{MOST_ENDS} is the most.",
                    "Sew it to another joint.",
                    place,
                    rule="M12",
                )
            )
        elif apart_mm > _REACH * bubble:
            findings.append(
                _finding(
                    part,
                    "parts-do-not-meet",
                    f'"{mine}" lies {apart_mm / 10:.1f} cm from joint {name}, and bubbles are '
                    f"{bubble / 10:.1f} cm long.",
                    'Turn or shift the part so that the joints named in "sew" lie near each other, '
                    "or name joints that do.",
                    place,
                )
            )
        pairs.append((joint, place))
    if findings:
        raise CannotMake(findings)
    return Seam((" and the ".join(owners), part.name), tuple(sorted(pairs)))


def _own_joint(part: Part, own: Net, mine: str) -> int:
    """The part's joint of this name, or for "top", "left" ... the one farthest that way."""
    way = next((way for side, way in WAYS.items() if side == mine), None)
    if way is None or f"{part.name} {mine}" in own.joint_names:
        return named_joint(own, range(own.joint_count), part.name, mine, part=part.name)
    return int(np.argmax(np.round(own.joints @ np.array(way, dtype=np.float64), 6)))


def _finding(
    part: Part, code: str, message: str, remedy: str, joint: int, *, rule: str = ""
) -> Finding:
    return Finding(
        code=code,
        severity="cannot",
        where=f"part {part.name}",
        message=message,
        remedy=remedy,
        rule=rule,
        joints=(joint,),
    )
