"""Whether a net that somebody gave can be made: connected, every end held, no joint crowded."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from airweft.base.findings import Finding
from airweft.net.facts import parts
from airweft.records.arrays import pairs
from airweft.records.net import Net

_MOST_TOLD = 12
_MUCH = 1.5


def make_sound(net: Net, *, most_ends: int = 8) -> tuple[Net, tuple[Finding, ...]]:
    """The net with the second end of every free bubble hanging, and what stands in its way."""
    at = net.ends_at()
    net, findings = _turn_free(net, at)
    hanging = {int(net.ends[b, 1]) for b, kind in enumerate(net.kinds) if kind == "free"}
    bare = [j for j, around in enumerate(at) if not around]
    single = [
        j
        for j, around in enumerate(at)
        if len(around) == 1 and j not in hanging and net.kinds[around[0]] != "free"
    ]
    crowded = [j for j, around in enumerate(at) if len(around) > most_ends]
    findings += _told(
        net,
        bare,
        code="bare-joint",
        rule="M10",
        message="No bubble ends at joint {}.",
        remedy="Take the joint out, or give it bubbles.",
    )
    findings += _told(
        net,
        single,
        code="single-end",
        rule="M9",
        message="Only one bubble end is at joint {}, so there is nothing to lock it to.",
        remedy='Write "kind": "free" for that bubble if its end may hang, or add a bubble there.',
    )
    findings += _told(
        net,
        crowded,
        code="crowded-joint",
        rule="M12",
        message=f"More than {most_ends} bubble ends meet at joint {{}}.",
        remedy="Spread them over two joints.",
    )
    if not bare:
        findings += _separate(net)
    return net, tuple(findings)


def held_ends(net: Net) -> Net:
    """The net with each free bubble whose two ends were both sewn on made one of a frame."""
    ends = np.bincount(net.ends.ravel(), minlength=net.joint_count)
    kinds = tuple(
        "frame" if kind == "free" and ends[a] > 1 and ends[b] > 1 else kind
        for kind, (a, b) in zip(net.kinds, net.ends.tolist(), strict=True)
    )
    return replace(net, kinds=kinds)


def net_notes(net: Net) -> tuple[Finding, ...]:
    """A note if joints lie much nearer or farther apart than the bubbles between them are long."""
    links = np.flatnonzero(net.ends[:, 0] != net.ends[:, 1])
    if not len(links):
        return ()
    ends = net.ends[links]
    apart = np.linalg.norm(net.joints[ends[:, 0]] - net.joints[ends[:, 1]], axis=1)
    ratio = apart / (net.lengths[links] / 100)
    far = np.flatnonzero((ratio > _MUCH) | (ratio < 1 / _MUCH))
    if not len(far):
        return ()
    bubble = int(links[far[0]])
    return (
        Finding(
            code="odd-positions",
            severity="note",
            where=f"bubble {net.bubble_names[bubble]}",
            message=f"Bubble {net.bubble_names[bubble]} is {net.lengths[bubble] / 100:g} mm long, "
            f"but its joints lie {apart[far[0]]:.1f} mm apart"
            + (f"; {len(far)} bubbles are like this." if far[1:].size else "."),
            remedy="Pictures and size go by the positions: give both in millimetres.",
            bubbles=tuple(int(links[k]) for k in far),
        ),
    )


def _turn_free(net: Net, at: list[list[int]]) -> tuple[Net, list[Finding]]:
    """Free bubbles turned so that their second end hangs; findings where neither end can."""
    findings: list[Finding] = []
    ends = np.array(net.ends)
    for bubble, kind in enumerate(net.kinds):
        if kind != "free":
            continue
        a, b = ends[bubble].tolist()
        if len(at[b]) == 1:
            continue
        if len(at[a]) == 1:
            ends[bubble] = (b, a)
            continue
        findings.append(
            Finding(
                code="free-end-held",
                severity="cannot",
                where=f"bubble {net.bubble_names[bubble]}",
                message=f"Bubble {net.bubble_names[bubble]} is free, but other bubbles end at both "
                f"of its joints, {net.joint_names[a]} and {net.joint_names[b]}.",
                remedy='Give it a joint of its own to hang at, or write "kind": "frame".',
                rule="M11",
                joints=(a, b),
                bubbles=(bubble,),
            )
        )
    return replace(net, ends=pairs(ends)), findings


def _separate(net: Net) -> list[Finding]:
    """A finding if the net has more than one connected part."""
    groups = parts(net)
    if len(groups) < 2:
        return []
    one, other = net.joint_names[groups[0][0]], net.joint_names[groups[1][0]]
    return [
        Finding(
            code="separate-parts",
            severity="cannot",
            where=f"joint {other}",
            message=f"No bubbles lead from joint {one} to joint {other}: "
            f"the net has {len(groups)} separate parts.",
            remedy="Join them with bubbles, or write one design for each.",
            rule="M10",
            joints=(groups[0][0], groups[1][0]),
        )
    ]


def _told(
    net: Net, joints: list[int], *, code: str, rule: str, message: str, remedy: str
) -> list[Finding]:
    """One finding for each of these joints; beyond a dozen the last one stands for the rest."""
    findings = []
    for place, joint in enumerate(joints[:_MOST_TOLD]):
        rest = joints[_MOST_TOLD:] if place == _MOST_TOLD - 1 else []
        more = f" The same holds at {len(rest)} further joints." if rest else ""
        findings.append(
            Finding(
                code=code,
                severity="cannot",
                where=f"joint {net.joint_names[joint]}",
                message=message.format(net.joint_names[joint]) + more,
                remedy=remedy,
                rule=rule,
                joints=(joint, *rest),
            )
        )
    return findings
