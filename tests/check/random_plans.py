"""Random plans for tests: legal ones, played move by move, and small random changes to a plan."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from random import Random

from airweft.records.net import BubbleKind
from airweft.records.plan import Action, Balloon, Plan
from tests.check.hand_plans import balloon, finish, lock, net_of, plan_of, start, tie, twist
from tests.check.twin import table_after

_MOST_BUBBLES = 12  # of one balloon; the budget of the hand plans allows a few more


class _Player:
    """Plays legal moves at random; the net comes about as it is played."""

    def __init__(self, random: Random) -> None:
        self.random = random
        self.actions: list[Action] = []
        self.ends: list[tuple[int, int]] = []
        self.kinds: list[BubbleKind] = []
        self.starts: dict[str, int] = {}
        self.trails: dict[str, list[int]] = {}
        self.at: dict[str, int] = {}
        self.hanging: set[int] = set()
        self.joints = 1
        self.colours: list[str] = []

    def fresh(self, joint: int) -> str:
        code = f"{self.random.choice('RW')}{len(self.starts) + 1}"
        self.starts[code] = self.at[code] = joint
        self.trails[code] = []
        return code

    def room(self, joint: int, ends: int = 1) -> bool:
        """Is there room at a joint (M12)? Joint 0 is kept nearly free for the closing moves."""
        degree = Counter(j for pair in self.ends for j in pair)[joint]
        return joint not in self.hanging and degree + ends <= (3 if joint == 0 else 6)

    def bubble(self, code: str, to: int, kind: BubbleKind = "frame") -> None:
        self.ends.append((self.at[code], to))
        self.kinds.append("loop" if self.at[code] == to else kind)
        self.colours.append(code[0])
        self.trails[code].append(len(self.ends) - 1)
        if kind == "free":
            self.hanging.add(to)
        self.actions.append(twist(code, len(self.ends) - 1, to))
        self.at[code] = to

    def lock(self, joint: int) -> None:
        table = table_after(self.actions, self.hanging)
        here, loose = table.at(joint), table.loose_codes_at(joint)
        if len(here) >= 2 and (loose or not table.is_one(here)):
            self.actions.append(lock(joint, *sorted(loose)))

    def move(self) -> None:
        random = self.random
        joint = random.randrange(self.joints)
        working = [c for c in self.at if len(self.trails[c]) < _MOST_BUBBLES - 2]
        roll = random.random()
        if roll < 0.12 and len(self.starts) < 5 and self.room(joint):
            self.actions.append(start(self.fresh(joint), joint))
        elif roll < 0.18 and len(self.starts) < 4 and self.room(joint, 2):
            self.actions.append(tie(self.fresh(joint), self.fresh(joint), joint))
        elif roll < 0.75 and working:
            code = random.choice(working)
            if self.at[code] in self.hanging or not self.room(self.at[code]):
                return
            new = random.random() < 0.5 or not self.room(joint, 2)
            if new:
                joint, self.joints = self.joints, self.joints + 1
            self.bubble(code, joint, "free" if new and random.random() < 0.05 else "frame")
        else:
            self.lock(joint)

    def close(self) -> None:
        """Bring every end back to a joint with room, lock everything, finish everything."""
        for code, end in list(self.at.items()):
            used = {j for pair in self.ends for j in pair if j != 0 and self.room(j)}
            if end in self.hanging:
                continue
            if end == 0 and not used:
                self.joints += 1
                self.bubble(code, self.joints - 1, "free")
            else:
                self.bubble(code, 0 if end else min(used))
        for joint in range(self.joints):
            self.lock(joint)
        self.actions += [finish(code, joint) for code, joint in self.at.items()]


@cache
def legal_plan(seed: int) -> Plan:
    """A random plan that keeps every rule, as far as the twin of the replay knows."""
    player = _Player(random := Random(seed))
    player.actions.append(start(player.fresh(0), 0))
    for _ in range(random.randrange(4, 45)):
        player.move()
    player.close()
    if max(Counter(j for pair in player.ends for j in pair).values()) > 8:
        return legal_plan(seed + 1_000_003)  # the closing moves crowded a joint (M12)
    loose = [
        len(table_after(player.actions[:k], player.hanging).loose())
        for k in range(len(player.actions) + 1)
    ]
    return plan_of(
        net_of(player.ends, kinds=player.kinds, colours="".join(player.colours)),
        [balloon(code, joint, player.trails[code]) for code, joint in player.starts.items()],
        player.actions,
        peak=max(loose),
        hands=max(max(loose), 1),
    )


def mutated(plan: Plan, random: Random) -> Plan:
    """The plan with one random change; some of the changes do no harm."""
    return random.choice(_MUTATIONS)(plan, random)


def _actions(plan: Plan, actions: list[Action]) -> Plan:
    return replace(plan, actions=tuple(actions))


def _drop(plan: Plan, random: Random) -> Plan:
    actions = list(plan.actions)
    del actions[random.randrange(len(actions))]
    return _actions(plan, actions)


def _repeat(plan: Plan, random: Random) -> Plan:
    actions = list(plan.actions)
    actions.insert(random.randrange(len(actions) + 1), random.choice(actions))
    return _actions(plan, actions)


def _swap(plan: Plan, random: Random) -> Plan:
    actions = list(plan.actions)
    k = random.randrange(len(actions) - 1)
    actions[k], actions[k + 1] = actions[k + 1], actions[k]
    return _actions(plan, actions)


def _move(plan: Plan, random: Random) -> Plan:
    actions = list(plan.actions)
    action = actions.pop(random.randrange(len(actions)))
    actions.insert(random.randrange(len(actions) + 1), action)
    return _actions(plan, actions)


def _lock_more(plan: Plan, random: Random) -> Plan:
    """One more lock, naming the right balloons, so that it is legal wherever there is work."""
    actions = list(plan.actions)
    k = random.randrange(len(actions) + 1)
    joint = random.randrange(plan.net.joint_count)
    table = table_after(_knotted(actions[:k]), set())
    return _actions(
        plan, [*actions[:k], lock(joint, *sorted(table.loose_codes_at(joint))), *actions[k:]]
    )


def _knotted(actions: list[Action]) -> list[Action]:
    """Without locks at bare joints, which the twin's table has no answer to."""
    return [
        action
        for k, action in enumerate(actions)
        if action.do != "lock" or any(a.joint == action.joint for a in actions[:k])
    ]


def _other(plan: Plan, random: Random) -> Plan:
    """One action with another joint, balloon, bubble or set of balloons."""
    actions = list(plan.actions)
    k = random.randrange(len(actions))
    action = actions[k]
    codes = [b.code for b in plan.balloons]
    roll = random.randrange(3)
    if roll == 0:
        action = replace(action, joint=random.randrange(plan.net.joint_count))
    elif action.do == "lock":
        flipped = set(action.balloons) ^ {random.choice(codes)}
        action = replace(action, balloons=tuple(sorted(flipped)))
    elif action.do == "twist" and roll == 1:
        action = replace(action, bubble=random.randrange(plan.net.bubble_count))
    else:
        named = tuple(random.choice(codes) for _ in action.balloons)
        action = replace(action, balloons=named)
    actions[k] = action
    return _actions(plan, actions)


def _balloon(plan: Plan, random: Random) -> Plan:
    balloons = list(plan.balloons)
    k = random.randrange(len(balloons))
    b = balloons[k]
    trail = list(b.bubbles)
    changes: list[Balloon] = [
        replace(b, colour=random.choice("RWG")),
        replace(b, start=random.randrange(plan.net.joint_count)),
        replace(b, tail=b.tail + random.choice((-8000, -5000, 500, 4000, 15000, 19000))),
        replace(b, bubbles=tuple(random.sample(trail, len(trail)))),
        replace(b, bubbles=tuple(trail[:-1])),
        replace(b, bubbles=(*trail, random.randrange(plan.net.bubble_count))),
        replace(b, size=random.choice(("260", "160"))),
    ]
    balloons[k] = random.choice(changes)
    return replace(plan, balloons=tuple(balloons))


def _net(plan: Plan, random: Random) -> Plan:
    net = plan.net
    k = random.randrange(net.bubble_count)
    roll = random.randrange(4)
    if roll == 0:
        ends = net.ends.copy()
        ends[k, random.randrange(2)] = random.randrange(net.joint_count)
        return replace(plan, net=replace(net, ends=ends))
    if roll == 1:
        ends = net.ends.copy()
        ends[k] = ends[k, ::-1].copy()  # does no harm
        return replace(plan, net=replace(net, ends=ends))
    if roll == 2:
        kinds = list(net.kinds)
        kinds[k] = random.choice(("free", "frame", "fabric"))
        return replace(plan, net=replace(net, kinds=tuple(kinds)))
    colours = list(net.colours)
    colours[k] = random.choice("RWG")
    return replace(plan, net=replace(net, colours=tuple(colours)))


def _hands(plan: Plan, random: Random) -> Plan:
    return replace(plan, hands=max(1, plan.hands + random.choice((-2, -1, 1))))


def _lengths(plan: Plan, random: Random) -> Plan:
    lengths = plan.net.lengths.copy()
    lengths[random.randrange(len(lengths))] = random.choice((100, 5000, 30000, 99000))
    return replace(plan, net=replace(plan.net, lengths=lengths))


_MUTATIONS: tuple[Callable[[Plan, Random], Plan], ...] = (
    _drop, _repeat, _swap, _swap, _swap, _move, _move, _lock_more, _lock_more,
    _other, _other, _balloon, _net, _hands, _lengths,
)  # fmt: skip
