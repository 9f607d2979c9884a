"""The work table: how balloons, bubbles and joints stand after each movement of the hands.

Written from the making rules alone: nothing here is shared with the planner but the records. It
keeps counts and not sets, so that a replay takes time in proportion to the plan:

- A balloon's knot is fast, and whatever lies between two fast visits is fast (M5). So its loose
  visits are always its last ones, those after its latest fast visit, and one number tells them.
- At a joint every lock, and every start, joins all that lies there (M6, M7). So one number, how
  many groups lie there not joined to each other, tells whether the joint holds together (M10).
"""

from __future__ import annotations

from airweft.check.faults import Faults, listing
from airweft.check.still import free_ends
from airweft.records.plan import Action, Plan

FRESH, IN_WORK, FINISHED = 0, 1, 2


class Bench:
    """The work table: how balloons, bubbles and joints stand after the actions so far."""

    def __init__(self, plan: Plan, faults: Faults) -> None:
        self.plan = plan
        self.faults = faults
        net, balloons = plan.net, plan.balloons
        self.first_ends: list[int] = net.ends[:, 0].tolist()
        self.second_ends: list[int] = net.ends[:, 1].tolist()
        self.free = free_ends(net)
        self.number: dict[str, int] = {}  # of each balloon code
        for b, balloon in enumerate(balloons):
            if self.number.setdefault(balloon.code, b) != b:
                faults.add(
                    "code-twice",
                    f"two balloons are called {balloon.code}",
                    "Give each balloon a code of its own.",
                    where=f"balloons[{b}]",
                    balloons=(balloon.code,),
                )
        count, joints = len(balloons), net.joint_count
        # One entry for each balloon. Visits of a balloon are numbered from 0, its knot.
        self.state = [FRESH] * count
        self.end = [balloon.start for balloon in balloons]  # joint where its end lies
        self.done = [0] * count  # bubbles of its trail made so far
        self.visits = [0] * count
        self.held = [0] * count  # number of its latest fast visit; those after it are loose
        # One entry for each joint.
        self.lying = [0] * joints  # visits
        self.groups = [0] * joints  # groups of visits not yet joined to each other
        # Visits (balloon, number) since the latest lock or start: only these can be loose.
        self.pending: list[list[tuple[int, int]]] = [[] for _ in range(joints)]
        self.made = [0] * net.bubble_count  # times
        self._order: dict[int, dict[int, int]] = {}
        self._came: dict[tuple[str, int], int] = {}
        self.made_count = 0
        self.loose = 0
        self.in_work = 0
        self.used = 0
        self.locks = 0

    # The five movements.

    def tie(self, action: Action) -> None:
        codes = action.balloons
        if len(codes) != 2 or codes[0] == codes[1]:
            self.faults.add(
                "m7-tie-two",
                f"a tie knots two balloons to each other, not {listing(codes)}",
                "Name two different fresh balloons.",
                balloons=codes,
                joints=(action.joint,),
            )
        whose = [b for code in dict.fromkeys(codes) if (b := self._known(code, "m7")) is not None]
        if not self._is_joint(action.joint, "m7"):
            return
        tied = [b for b in whose if self._knot(b, action.joint)]
        if tied:
            self.groups[action.joint] += 1

    def start(self, action: Action) -> None:
        joint = action.joint
        b = self._known(action.balloons[0] if action.balloons else "", "m7")
        if not self._is_joint(joint, "m7") or b is None:
            return
        # What lies at the joint is fast, or a loose end that the knot makes fast, or nothing:
        # then the balloon begins a part of its own. The knot joins all of it.
        if self._knot(b, joint):
            self._join(joint)

    def twist(self, action: Action) -> None:
        bubble, to = action.bubble, action.joint
        b = self._known(action.balloons[0] if action.balloons else "", "m2")
        if b is None:
            return
        if self.state[b] != IN_WORK:
            self._twist_out_of_turn(b)
        if not 0 <= bubble < len(self.made):
            self.faults.add(
                "m1-no-such-bubble",
                f"the net has no bubble {bubble}",
                "Make only bubbles of the net.",
                balloons=action.balloons,
            )
            return
        if not self._is_joint(to, "m2"):
            return
        if self.made[bubble]:
            self.faults.add(
                "m1-made-again",
                f"{self.faults.bubble(bubble)} is there already",
                "Make each bubble once.",
                balloons=action.balloons,
                bubbles=(bubble,),
            )
        else:
            self.made_count += 1
        self.made[bubble] += 1
        balloon = self.plan.balloons[b]
        done = self.done[b]
        if done < len(balloon.bubbles) and balloon.bubbles[done] == bubble:
            self.done[b] = done + 1
        else:
            self._twist_out_of_order(b, bubble)
        here = self.end[b]
        a, z = self.first_ends[bubble], self.second_ends[bubble]
        if not ((here == a and to == z) or (here == z and to == a)):
            self._twist_off_the_walk(b, bubble, here, to)
        net = self.plan.net
        if net.colours[bubble] != balloon.colour or net.sizes[bubble] not in ("", balloon.size):
            self._wrong_balloon(b, bubble)
        number = self.visits[b]
        self.visits[b] = number + 1
        self.end[b] = to
        self.lying[to] += 1
        self.groups[to] += 1
        self.pending[to].append((b, number))
        if self.free[to]:  # M11: the end of a free bubble counts as fast
            self.loose -= number - 1 - self.held[b]
            self.held[b] = number
        else:
            self.loose += 1

    def lock(self, action: Action) -> None:
        joint = action.joint
        self.locks += 1
        if not self._is_joint(joint, "m6"):
            return
        named = {b for code in action.balloons if (b := self._known(code, "m6")) is not None}
        held = self.held
        loose = {b for b, number in self.pending[joint] if number > held[b]}
        if self.lying[joint] < 2:
            count = "one visit" if self.lying[joint] else "nothing"
            self.faults.add(
                "m6-too-few",
                f"{count} lies at {self.faults.joint(joint)}; a lock takes at least two",
                "Bring another bubble's end there first.",
                joints=(joint,),
            )
        elif not loose and self.groups[joint] < 2:
            self.faults.add(
                "m6-nothing-to-lock",
                f"all that lies at {self.faults.joint(joint)} is fast and joined already",
                "Leave this lock out.",
                joints=(joint,),
            )
        if named != loose:
            self._wrong_lock(joint, named, loose)
        self._join(joint)

    def finish(self, action: Action) -> None:
        b = self._known(action.balloons[0] if action.balloons else "", "m9")
        if b is None:
            return
        code, joint, end = self.plan.balloons[b].code, action.joint, self.end[b]
        if self.state[b] != IN_WORK:
            so = "was never started" if self.state[b] == FRESH else "is finished already"
            self.faults.add(
                "m9-finish-out-of-turn",
                f"{code} {so}",
                "Finish each balloon once, as its last action.",
                balloons=(code,),
            )
            return
        if joint != end:
            self.faults.add(
                "m9-not-its-end",
                f"the end of {code} lies at {self.faults.joint(end)}, "
                f"not at {self.faults.joint(joint)}",
                "Finish a balloon where its last bubble ends.",
                balloons=(code,),
                joints=(joint, end),
            )
        if self.held[b] < self.visits[b] - 1:
            self.faults.add(
                "m9-end-is-loose",
                f"the end of {code} at {self.faults.joint(end)} is still loose",
                "Lock its last twist before finishing it.",
                balloons=(code,),
                joints=(end,),
            )
        self.state[b] = FINISHED
        self.in_work -= 1

    def _wrong_lock(self, joint: int, named: set[int], loose: set[int]) -> None:
        place, balloons = self.faults.joint(joint), self.plan.balloons
        wrong = [balloons[b].code for b in sorted(named - loose)]
        fast = [code for code in wrong if self._lies_at(code, joint)]
        absent = [code for code in wrong if not self._lies_at(code, joint)]
        unnamed = [balloons[b].code for b in sorted(loose - named)]
        if fast:
            self.faults.add(
                "m5-fast-already",
                f"the lock names {listing(fast)}, fast already where it lies at {place}: by a knot "
                "or a lock, or because it lies between two fast visits",
                "Name only balloons with a loose twist there.",
                joints=(joint,),
                balloons=fast,
            )
        if absent:
            self.faults.add(
                "m6-not-there",
                f"the lock names {listing(absent)}, but nothing of it lies at {place}",
                "Name only balloons with a loose twist there.",
                joints=(joint,),
                balloons=absent,
            )
        if unnamed:
            self.faults.add(
                "m6-not-named",
                f"the lock does not name {listing(unnamed)}, whose loose twist lies at {place}",
                "Name every balloon with a loose twist there.",
                joints=(joint,),
                balloons=unnamed,
            )

    def _lies_at(self, code: str, joint: int) -> bool:
        """Has the balloon come to the joint before now? Asked only where a lock is wrong."""
        if not self._came:
            for number, action in enumerate(self.plan.actions):
                if action.do in ("tie", "start", "twist"):
                    for whose in action.balloons:
                        self._came.setdefault((whose, action.joint), number)
        came = self._came.get((code, joint))
        return came is not None and came < (self.faults.now or 0)

    # What the movements share.

    def _known(self, code: str, rule: str) -> int | None:
        """The number of the balloon called `code`, or None after saying that there is none."""
        b = self.number.get(code)
        if b is None:
            self.faults.add(
                f"{rule}-no-such-balloon",
                f'there is no balloon "{code}"',
                "Use a code from the list of balloons.",
            )
        return b

    def _is_joint(self, joint: int, rule: str) -> bool:
        if 0 <= joint < len(self.lying):
            return True
        self.faults.add(
            f"{rule}-no-such-joint", f"the net has no joint {joint}", "Use a joint of the net."
        )
        return False

    def _knot(self, b: int, joint: int) -> bool:
        """Tie a fresh balloon's nozzle at a joint; False if it is not fresh."""
        balloon = self.plan.balloons[b]
        if self.state[b] != FRESH:
            self.faults.add(
                "m7-not-fresh",
                f"{balloon.code} was started before; only a fresh balloon has a nozzle to tie",
                "Start each balloon once.",
                balloons=(balloon.code,),
                joints=(joint,),
            )
            return False
        if joint != balloon.start:
            self.faults.add(
                "m2-wrong-start",
                f"{balloon.code} is tied on at {self.faults.joint(joint)}, but its bubbles leave "
                f"{self.faults.joint(balloon.start)}",
                "Tie it on where its first bubble begins.",
                balloons=(balloon.code,),
                joints=(joint, balloon.start),
            )
        self.state[b] = IN_WORK
        self.end[b] = joint
        self.visits[b] = 1
        self.lying[joint] += 1
        self.in_work += 1
        self.used += 1
        return True

    def _join(self, joint: int) -> None:
        """Make all that lies at a joint fast and joined (M5, M6)."""
        held = self.held
        for b, number in self.pending[joint]:
            if number > held[b]:
                self.loose -= number - held[b]
                held[b] = number
        self.pending[joint].clear()
        self.groups[joint] = min(1, self.lying[joint])

    def _twist_out_of_turn(self, b: int) -> None:
        balloon = self.plan.balloons[b]
        if self.state[b] == FINISHED:
            self.faults.add(
                "m9-after-finish",
                f"{balloon.code} is finished already",
                "Finish a balloon as its last action.",
                balloons=(balloon.code,),
            )
            return
        self.faults.add(
            "m2-not-started",
            f"{balloon.code} was not tied on yet",
            "Tie or start the balloon before its first twist.",
            balloons=(balloon.code,),
            joints=(balloon.start,),
        )
        # Go on as if it had been, so that one mistake is not told for every bubble.
        self.state[b] = IN_WORK
        self.visits[b] = 1
        self.in_work += 1
        self.used += 1
        if 0 <= balloon.start < len(self.lying):
            self.lying[balloon.start] += 1
            self._join(balloon.start)

    def _twist_out_of_order(self, b: int, bubble: int) -> None:
        balloon, done = self.plan.balloons[b], self.done[b]
        if done < len(balloon.bubbles):
            due = f"its next is {self.faults.bubble(balloon.bubbles[done])}"
        else:
            due = "all of its bubbles are made"
        self.faults.add(
            "m2-out-of-order",
            f"{balloon.code} makes {self.faults.bubble(bubble)}, but {due}",
            "Twist the bubbles in the order of the balloon's list.",
            balloons=(balloon.code,),
            bubbles=(bubble,),
        )
        # Go on from that bubble if it comes at all, so that one slip is told once.
        if b not in self._order:
            self._order[b] = {bubble: k for k, bubble in enumerate(balloon.bubbles)}
        self.done[b] = max(done, self._order[b].get(bubble, -1) + 1)

    def _twist_off_the_walk(self, b: int, bubble: int, here: int, to: int) -> None:
        code, name = self.plan.balloons[b].code, self.faults.bubble(bubble)
        a, z = self.first_ends[bubble], self.second_ends[bubble]
        if here in (a, z):
            far = z if here == a else a
            message = (
                f"{name} of {code} ends at {self.faults.joint(far)}, not at {self.faults.joint(to)}"
            )
        else:
            message = f"{code} lies at {self.faults.joint(here)}, but {name} joins {a} and {z}"
        self.faults.add(
            "m2-not-a-walk",
            message,
            "Let each bubble leave the joint where the one before ended.",
            balloons=(code,),
            joints=(here, to),
            bubbles=(bubble,),
        )

    def _wrong_balloon(self, b: int, bubble: int) -> None:
        balloon, net = self.plan.balloons[b], self.plan.net
        if net.colours[bubble] != balloon.colour:
            wanted, found, code = net.colours[bubble], balloon.colour, "m3-wrong-colour"
        else:
            wanted, found, code = net.sizes[bubble], balloon.size, "m3-wrong-size"
        self.faults.add(
            code,
            f"{self.faults.bubble(bubble)} is to be {wanted}, but {balloon.code} is {found}",
            f"Make it of a balloon that is {wanted}.",
            balloons=(balloon.code,),
            bubbles=(bubble,),
        )
