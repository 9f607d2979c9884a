"""People at tables of their own: a crew's plan made the way a crew makes it.

Every section of one person is done on its own table, where nothing of the others lies; then all is
laid on one table and the joining is done. Written from the making rules anew: it shares no code
with the planner nor with the checker.
"""

from __future__ import annotations

import networkx as nx

from airweft.records.plan import Action, Plan, Section


class Table:
    """What lies on one table: each balloon's visits in order, and which are joined."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.visits: dict[str, list[int]] = {}
        self.held: set[tuple[str, int]] = set()
        self.joined = nx.Graph()
        self.made: list[int] = []
        self.done: set[str] = set()
        self.peak = 0

    def at(self, joint: int) -> list[tuple[str, int]]:
        return [
            (code, i)
            for code, joints in self.visits.items()
            for i, there in enumerate(joints)
            if there == joint
        ]

    def loose(self) -> set[tuple[str, int]]:
        """M5: neither held nor between two held visits of the same balloon."""
        found = set()
        for code, joints in self.visits.items():
            held = [i for i in range(len(joints)) if (code, i) in self.held]
            between = range(min(held), max(held) + 1) if held else range(0)
            found |= {(code, i) for i in range(len(joints)) if i not in between}
        return found

    def hold(self, joint: int) -> None:
        there = self.at(joint)
        self.held |= set(there)
        nx.add_path(self.joined, there)

    def groups(self, joint: int) -> int:
        there = self.at(joint)
        return len({frozenset(nx.node_connected_component(self.joined, v)) for v in there})

    def lay(self, code: str, joint: int, *, held: bool) -> None:
        self.visits.setdefault(code, []).append(joint)
        visit = (code, len(self.visits[code]) - 1)
        self.joined.add_node(visit)
        if held:
            self.held.add(visit)

    def do(self, action: Action) -> None:
        joint = action.joint
        there = self.at(joint)
        if action.do == "start":
            self.lay(action.balloons[0], joint, held=True)
            self.hold(joint)
        elif action.do == "tie":
            before = {code: len(self.visits.get(code, ())) for code in action.balloons}
            assert not any(before.values())
            for code in action.balloons:
                self.lay(code, joint, held=True)
            nx.add_path(self.joined, [(code, 0) for code in action.balloons])
        elif action.do == "twist":
            code = action.balloons[0]
            ends = self.plan.net.ends[action.bubble].tolist()
            assert sorted([self.visits[code][-1], joint]) == sorted(ends)
            free = self.plan.net.kinds[action.bubble] == "free" and joint == ends[1]
            self.lay(code, joint, held=free)
            self.made.append(action.bubble)
        elif action.do == "lock":
            loose = {code for code, i in self.loose() if self.visits[code][i] == joint}
            assert len(there) >= 2, f"one visit alone cannot be locked at {joint}"
            assert loose or self.groups(joint) > 1, f"nothing to lock at {joint}"
            assert loose == set(action.balloons)
            self.hold(joint)
        else:
            code = action.balloons[0]
            last = (code, len(self.visits[code]) - 1)
            assert last not in self.loose()
            self.done.add(code)
        self.peak = max(self.peak, len(self.loose()))

    def lie_together(self) -> bool:
        """Does all that lies here hang together, by bubbles, knots and locks?"""
        graph = self.joined.copy()
        for code, joints in self.visits.items():
            nx.add_path(graph, [(code, i) for i in range(len(joints))])
        return bool(nx.is_connected(graph))


def make_apart(plan: Plan) -> list[Table]:
    """The tables of the people, and last the one where all was joined. Fails where it cannot be."""
    tables = []
    for section in plan.sections:
        if section.person:
            table = Table(plan)
            for action in _actions(plan, section):
                table.do(action)
            assert not table.loose(), f"part {section.name} is left loose"
            assert table.lie_together(), f"part {section.name} falls apart"
            tables.append(table)
    whole = Table(plan)
    for table in tables:
        whole.visits |= table.visits
        whole.held |= table.held
        whole.joined = nx.compose(whole.joined, table.joined)
        whole.made += table.made
        whole.done |= table.done
    for section in plan.sections:
        if not section.person:
            for action in _actions(plan, section):
                whole.do(action)
    assert sorted(whole.made) == list(range(plan.net.bubble_count))
    assert whole.done == {balloon.code for balloon in plan.balloons}
    assert not whole.loose()
    assert all(whole.groups(joint) == 1 for joint in range(plan.net.joint_count))
    return [*tables, whole]


def _actions(plan: Plan, section: Section) -> tuple[Action, ...]:
    return plan.actions[section.first_action : section.last_action]
