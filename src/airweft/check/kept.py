"""Whether a finished plan keeps the maker's fixed choices, read from names and actions alone.

Written from the meaning of each choice (docs/design-file.md), not from how the planner keeps it.
"""

from __future__ import annotations

from collections.abc import Iterator

from airweft.base.findings import Finding
from airweft.records.choices import Choices, Keep, KeepBefore, KeepPanels, KeepToward, KeepTrail
from airweft.records.plan import Balloon, Plan

CODE = "plan-choice-not-kept"


def not_kept(choices: Choices, plan: Plan) -> tuple[Finding, ...]:
    """A finding, severity risky, for every choice of start and [[plan.keep]] not kept by the plan.

    `where` names the choice as `plan, ` and its title. Never raises, whatever names the choices
    hold. Takes time in proportion to the plan's size for each choice.
    """
    found: list[Finding] = []
    if choices.start:
        said = _first_knot(choices.start, plan)
        if said:
            found.append(_finding(f"start {choices.start}", said))
    for keep in choices.keep:
        said = _said(keep, plan)
        if said:
            found.append(_finding(keep.title, said))
    return tuple(found)


def _said(keep: Keep, plan: Plan) -> str:
    """What the plan does instead, or "" where it keeps the choice."""
    match keep:
        case KeepTrail():
            return _trail(keep, plan)
        case KeepPanels():
            return _panels(keep, plan)
        case KeepBefore():
            return _before(keep, plan)
        case KeepToward():
            return _toward(keep, plan)


def _first_knot(name: str, plan: Plan) -> str:
    for action in plan.actions:
        if action.do in ("tie", "start"):
            there = plan.net.joint_names[action.joint]
            return "" if there == name else f"the first knot is at {there}"
    return "the plan ties no knot"


def _trail(keep: KeepTrail, plan: Plan) -> str:
    makers = set()
    for balloon in plan.balloons:
        names = tuple(plan.net.bubble_names[b] for b in balloon.bubbles)
        if keep.bubbles[0] in names:
            at = names.index(keep.bubbles[0])
            if names[at : at + len(keep.bubbles)] == keep.bubbles:
                return ""
        if set(names) & set(keep.bubbles):
            makers.add(balloon.code)
    if not makers:
        return "no balloon makes these bubbles"
    if len(makers) == 1:
        return f"balloon {makers.pop()} makes them, but not in this order"
    return f"balloons {', '.join(sorted(makers))} share them"


def _panels(keep: KeepPanels, plan: Plan) -> str:
    begun: list[str] = []
    for bubble in _made(plan):
        panel = plan.net.bubble_panels[bubble]
        for name in keep.panels:
            if (panel == name or panel.startswith(f"{name} ")) and name not in begun:
                begun.append(name)
    if tuple(begun) == keep.panels:
        return ""
    return f"they are begun in the order {', '.join(begun)}" if begun else "none of them is made"


def _before(keep: KeepBefore, plan: Plan) -> str:
    colours = [plan.net.colours[bubble] for bubble in _made(plan)]
    for first, then in zip(keep.marks, keep.marks[1:], strict=False):
        if first not in colours or then not in colours:
            missing = first if first not in colours else then
            return f"no bubble is {missing}"
        last = max(i for i, colour in enumerate(colours) if colour == first)
        early = colours[:last].count(then)
        if early:
            return f"{early} bubbles of {then} come before the last one of {first}"
    return ""


def _toward(keep: KeepToward, plan: Plan) -> str:
    names = plan.net.joint_names
    starters = [balloon for balloon in plan.balloons if names[balloon.start] == keep.start]
    if keep.start not in names or keep.goal not in names:
        return "there are no such joints"
    if not starters:
        return f"no balloon starts at {keep.start}"
    goal = names.index(keep.goal)
    away = _distances(goal, plan)
    if any(_first_landing(balloon, plan, away) < away[balloon.start] for balloon in starters):
        return ""
    return f"the balloon that starts at {keep.start} goes another way"


def _first_landing(balloon: Balloon, plan: Plan, away: dict[int, int]) -> int:
    """How far from the goal the balloon's first bubble ends."""
    if not balloon.bubbles:
        return away[balloon.start]
    one, two = (int(joint) for joint in plan.net.ends[balloon.bubbles[0]])
    return away.get(two if one == balloon.start else one, len(away))


def _distances(goal: int, plan: Plan) -> dict[int, int]:
    """Bubbles on the shortest way to the goal, by joint; out of reach counts as all joints."""
    ends = [(int(a), int(b)) for a, b in plan.net.ends]
    touching: dict[int, list[int]] = {}
    for a, b in ends:
        touching.setdefault(a, []).append(b)
        touching.setdefault(b, []).append(a)
    away = dict.fromkeys(range(plan.net.joint_count), plan.net.joint_count)
    layer, steps = [goal], 0
    while layer:
        for joint in layer:
            away[joint] = steps
        steps += 1
        layer = sorted(
            {near for joint in layer for near in touching.get(joint, []) if away[near] > steps}
        )
    return away


def _made(plan: Plan) -> Iterator[int]:
    """The bubbles in the order in which the plan makes them."""
    count = plan.net.bubble_count
    return (a.bubble for a in plan.actions if a.do == "twist" and 0 <= a.bubble < count)


def _finding(title: str, said: str) -> Finding:
    return Finding(
        code=CODE,
        severity="risky",
        where=f"plan, {title}",
        message=f"the plan does not keep this choice: {said}",
        remedy="Try another style or seed, or take the choice out of [plan].",
    )
