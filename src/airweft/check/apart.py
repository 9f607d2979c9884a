"""Whether what several people make at once can really be made apart (the plan's `sections`).

Each person's section is taken out of the plan and replayed alone, on a net of nothing but its own
bubbles: what another person makes is not there. Only two things are left to the joining: balloons
that go on there, and ends that are not joined to each other yet at a joint that other parts share.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from airweft.base.findings import Finding
from airweft.check.faults import Faults
from airweft.records.net import Net
from airweft.records.plan import Action, Bound, Plan, Section

_NOT_ASKED = ("m9-not-finished", "m10-not-joined", "m4-", "m12-", "claim-", "bound-")

Replays = Callable[[Plan], tuple[Finding, ...]]


def section_alone(plan: Plan, section: Section) -> Plan:
    """The plan of one section: its actions, and of the net and the balloons only what they make."""
    actions = plan.actions[section.first_action : section.last_action]
    bubbles = sorted({a.bubble for a in actions if 0 <= a.bubble < plan.net.bubble_count})
    joints = sorted({j for b in bubbles for j in plan.net.ends[b].tolist()})
    new_bubble = {bubble: i for i, bubble in enumerate(bubbles)}
    new_joint = {joint: i for i, joint in enumerate(joints)}
    begun = {code for a in actions if a.do in ("tie", "start") for code in a.balloons}
    return replace(
        plan,
        net=_net(plan.net, joints, bubbles, new_joint),
        balloons=tuple(
            replace(
                balloon,
                start=new_joint.get(balloon.start, -1),
                bubbles=tuple(new_bubble[b] for b in balloon.bubbles if b in new_bubble),
            )
            for balloon in plan.balloons
            if balloon.code in begun
        ),
        actions=tuple(
            Action(
                action.do,
                action.balloons,
                new_joint.get(action.joint, -1),
                new_bubble.get(action.bubble, -1),
                action.row,
            )
            for action in actions
        ),
        bound=Bound(balloons=0, reason="", proven=False),
        sections=(),
    )


def check_apart(plan: Plan, faults: Faults, replays: Replays) -> None:
    """Every section that depends on another one; `replays` gives what is wrong with a plan."""
    for number, section in enumerate(plan.sections):
        if section.person == 0:
            continue
        alone = section_alone(plan, section)
        shared = _shared(plan, section, alone)
        for finding in replays(alone):
            unjoined = finding.code == "m10-not-joined" and not shared.issuperset(finding.joints)
            if finding.code.startswith(_NOT_ASKED) and not unjoined:
                continue
            at = None if finding.action is None else finding.action + section.first_action
            faults.add(
                "not-apart",
                f"part {section.name} cannot be made apart from the others: {finding.message}",
                "Make the plan again, or let one person make the whole piece.",
                rule=finding.rule,
                where=f"sections[{number}]" if at is None else "",
                action=at,
                balloons=finding.balloons,
            )


def _shared(plan: Plan, section: Section, alone: Plan) -> set[int]:
    """The joints of the section's own net at which others make something as well."""
    actions = plan.actions[section.first_action : section.last_action]
    mine = {action.bubble for action in actions if action.do == "twist"}
    at = plan.net.ends_at()
    joints = sorted({j for b in mine if b >= 0 for j in plan.net.ends[b].tolist()})
    return {i for i, joint in enumerate(joints) if not mine.issuperset(at[joint])}


def _net(net: Net, joints: list[int], bubbles: list[int], new_joint: dict[int, int]) -> Net:
    ends = [[new_joint[j] for j in net.ends[b].tolist()] for b in bubbles]
    return replace(
        net,
        joints=net.joints[joints],
        ends=np.array(ends, dtype=net.ends.dtype).reshape(-1, 2),
        lengths=net.lengths[bubbles],
        colours=tuple(net.colours[b] for b in bubbles),
        sizes=tuple(net.sizes[b] for b in bubbles),
        kinds=tuple(net.kinds[b] for b in bubbles),
        joint_names=tuple(net.joint_names[j] for j in joints),
        bubble_names=tuple(net.bubble_names[b] for b in bubbles),
        bubble_panels=tuple(net.bubble_panels[b] for b in bubbles),
        places=net.places[bubbles],
        cells=(),
        seams=(),
        counted=None if net.counted is None else net.counted[bubbles],
    )
