"""The slow plain twin of the replay, for tests: the making rules read a second time.

Everything is recomputed from the beginning after each action, and `networkx` answers what hangs
together. It shares no code with `airweft.check` and keeps whole lists of visits where that keeps
counts. It stops at the first action that breaks a rule.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

import networkx as nx

from airweft.records.net import Net
from airweft.records.plan import Action, Plan


@dataclass
class Visit:
    code: str
    joint: int
    held: bool = False  # by a knot, a lock or a free end


@dataclass
class Table:
    """All visits so far, each balloon's in order, and who was joined to whom."""

    visits: list[Visit] = field(default_factory=list)
    joined: list[tuple[int, int]] = field(default_factory=list)

    def at(self, joint: int) -> list[int]:
        return [i for i, visit in enumerate(self.visits) if visit.joint == joint]

    def of(self, code: str) -> list[int]:
        return [i for i, visit in enumerate(self.visits) if visit.code == code]

    def fast(self) -> set[int]:
        """M5: held visits, and those of a balloon with a held one before and one after."""
        fast = {i for i, visit in enumerate(self.visits) if visit.held}
        for code in {visit.code for visit in self.visits}:
            trail = self.of(code)
            held = [k for k, i in enumerate(trail) if self.visits[i].held]
            if held:
                fast.update(trail[min(held) : max(held) + 1])
        return fast

    def loose(self) -> list[int]:
        fast = self.fast()
        return [i for i in range(len(self.visits)) if i not in fast]

    def loose_codes_at(self, joint: int) -> set[str]:
        return {self.visits[i].code for i in self.loose() if self.visits[i].joint == joint}

    def hold_and_join(self, members: Sequence[int]) -> None:
        for i in members:
            self.visits[i].held = True
        self.joined += [(members[0], i) for i in members[1:]]

    def is_one(self, members: Sequence[int]) -> bool:
        """Are all these visits joined to each other?"""
        graph = nx.Graph()
        graph.add_nodes_from(members)
        graph.add_edges_from((a, b) for a, b in self.joined if a in graph and b in graph)
        return len(graph) == 0 or nx.is_connected(graph)


def hanging_joints(net: Net) -> set[int]:
    """M11: joints that one free bubble touches and nothing else."""
    ends = net.ends.tolist()
    touched = Counter(joint for pair in ends for joint in pair)
    return {
        joint
        for pair, kind in zip(ends, net.kinds, strict=True)
        for joint in pair
        if kind == "free" and touched[joint] == 1
    }


def table_after(actions: Sequence[Action], hanging: set[int]) -> Table:
    """The table after these actions, made from nothing."""
    table = Table()
    for action in actions:
        joint = action.joint
        if action.do == "tie":
            table.visits += [Visit(code, joint) for code in action.balloons]
            table.hold_and_join([len(table.visits) - 2, len(table.visits) - 1])
        elif action.do == "start":
            table.visits.append(Visit(action.balloons[0], joint))
            table.hold_and_join(table.at(joint))
        elif action.do == "twist":
            table.visits.append(Visit(action.balloons[0], joint, held=joint in hanging))
        elif action.do == "lock":
            table.hold_and_join(table.at(joint))
    return table


def first_fault(plan: Plan) -> tuple[str, int | None] | None:
    """The first action that breaks a rule, as (rule, index); (rule, None) if it shows at the end.

    None if the plan breaks no rule in its build order. `still_faults` tells the rest.
    """
    net, hanging = plan.net, hanging_joints(plan.net)
    by_code = {balloon.code: balloon for balloon in plan.balloons}
    before = Table()
    for k, action in enumerate(plan.actions):
        rule = _breaks(plan, action, k, before, by_code)
        if rule:
            return rule, k
        before = table_after(plan.actions[: k + 1], hanging)
        if len(before.loose()) > plan.hands:
            return "M8", k
    twisted = Counter(a.bubble for a in plan.actions if a.do == "twist")
    if twisted != Counter(range(net.bubble_count)):
        return "M1", None
    for balloon in plan.balloons:
        made = [a.bubble for a in plan.actions if a.do == "twist" and a.balloons == (balloon.code,)]
        if not made or tuple(made) != balloon.bubbles:
            return "M2", None
        if not any(a.do == "finish" and a.balloons == (balloon.code,) for a in plan.actions):
            return "M9", None
    if before.loose():
        return "M9", None
    if not all(before.is_one(before.at(joint)) for joint in range(net.joint_count)):
        return "M10", None
    return None


def _breaks(
    plan: Plan, action: Action, k: int, table: Table, by_code: dict[str, object]
) -> str | None:
    """The rule that this action breaks, given the table before it."""
    earlier = plan.actions[:k]
    rule_of = {"tie": "M7", "start": "M7", "twist": "M2", "lock": "M6", "finish": "M9"}
    if any(code not in by_code for code in action.balloons):
        return rule_of[action.do]
    if action.do in ("tie", "start"):
        if len(set(action.balloons)) != (2 if action.do == "tie" else 1):
            return "M7"
        if any(table.of(code) for code in action.balloons):
            return "M7"
        if any(b.start != action.joint for b in plan.balloons if b.code in action.balloons):
            return "M2"
    elif action.do == "twist":
        return _twist_breaks(plan, action, earlier, table)
    elif action.do == "lock":
        here = table.at(action.joint)
        loose = table.loose_codes_at(action.joint)
        if len(here) < 2 or (not loose and table.is_one(here)):
            return "M6"
        if set(action.balloons) - loose:
            present = {table.visits[i].code for i in here}
            return "M5" if set(action.balloons) - loose <= present else "M6"
        if set(action.balloons) != loose:
            return "M6"
    elif action.do == "finish":
        trail = table.of(action.balloons[0])
        if not trail or any(a.do == "finish" and a.balloons == action.balloons for a in earlier):
            return "M9"
        if table.visits[trail[-1]].joint != action.joint or trail[-1] in table.loose():
            return "M9"
    return None


def _twist_breaks(
    plan: Plan, action: Action, earlier: Sequence[Action], table: Table
) -> str | None:
    net, code = plan.net, action.balloons[0]
    balloon = next(b for b in plan.balloons if b.code == code)
    if any(a.do == "finish" and a.balloons == (code,) for a in earlier):
        return "M9"
    trail = table.of(code)
    if not trail:
        return "M2"
    if any(a.do == "twist" and a.bubble == action.bubble for a in earlier):
        return "M1"
    made = [a.bubble for a in earlier if a.do == "twist" and a.balloons == (code,)]
    if balloon.bubbles[: len(made) + 1] != (*made, action.bubble):
        return "M2"
    here = table.visits[trail[-1]].joint
    if sorted((here, action.joint)) != sorted(net.ends[action.bubble].tolist()):
        return "M2"
    if net.colours[action.bubble] != balloon.colour:
        return "M3"
    if net.sizes[action.bubble] and net.sizes[action.bubble] != balloon.size:
        return "M3"
    return None


def still_faults(plan: Plan) -> set[str]:
    """The rules among M4, M10 (one piece), M11 and M12 that the plan breaks, whatever its order."""
    net, ends = plan.net, plan.net.ends.tolist()
    broken: set[str] = set()
    for balloon in plan.balloons:
        figures = plan.budgets.get(balloon.size)
        if figures is None:
            broken.add("M4")
            continue
        stretch = Fraction(figures.full, figures.flat)
        n = len(balloon.bubbles)
        used = sum(
            int(net.lengths[bubble]) + figures.twist_takes - figures.twist_pushes
            for bubble in balloon.bubbles
        )
        body = (figures.flat - balloon.tail) * stretch - figures.knot
        if used + figures.stub > body or n * figures.twist_pushes / stretch > balloon.tail:
            broken.add("M4")
    graph = nx.MultiGraph()
    graph.add_nodes_from(range(net.joint_count))
    graph.add_edges_from(ends)
    if not ends or not nx.is_connected(graph):
        broken.add("M10")
    hanging = hanging_joints(net)
    for pair, kind in zip(ends, net.kinds, strict=True):
        if kind == "free" and not hanging & set(pair):
            broken.add("M11")
    if any(degree > 8 for _, degree in graph.degree):
        broken.add("M12")
    return broken
