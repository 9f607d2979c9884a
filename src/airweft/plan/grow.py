"""Growing a piece from a first ring: the *rounds* style, for any colouring and any net.

One move after the other is added to what is made already. The search stays with the balloon in
hand as long as its next move is free (Fleury's care: the rest is never cut off from the tips that
have to make it); only when that fails are the other tips and joints of the frontier compared. On a
net of one colour with even joints this is an Euler trail that is locked as it goes, cut where a
balloon is full: it needs no more balloons than the length alone demands.
"""

from __future__ import annotations

import heapq
from collections import deque
from random import Random

from airweft.base.progress import Progress
from airweft.plan.ground import Ground
from airweft.plan.kinds import Work
from airweft.plan.moves import Move, Pricer, long_walk, walks
from airweft.plan.script import Script, Strand

EASY = 3  # loose twists that two hands hold without strain: a chain of two and the end it meets
_FIRST = 48  # joints tried for the first knot where no ring of three is at hand
_DEEPEST = 4  # bubbles in a chain that is looked for everywhere; longer ones are shortest paths
_NEAR = 3  # how many bubbles away a change can alter a joint's moves
_TIPS = 16  # parked tips tried for a longer chain before a balloon more is started

_NOISE = (0, 0, 0, 1)  # how often a restart prefers an equally good move over the tidier one

Key = tuple[int, ...]


class Grower:
    """One run of growing.

    `pick` shuffles equal choices when it is given (restarts); a `wild` run minds nothing but the
    number of balloons and the hands.
    """

    def __init__(
        self,
        script: Script,
        *,
        start: int | None = None,
        pick: Random | None = None,
        wild: bool = False,
    ) -> None:
        self.work: Work = script.work
        self.script = script
        self.ground = Ground(self.work)
        self.price = Pricer(self.ground, script)
        self.deepest = min(self.work.hands, _DEEPEST)
        self.pick = pick
        self.wild = wild
        self.start = start
        while self.start is not None and self.start in self.work.passing:
            self.start = (self.start + 1) % self.work.joint_count
        self.in_hand: Strand | None = None
        self.ring_of_three = True
        self.history: list[Move] = []
        self.costs: list[int] = []
        self.level = [0] * self.work.joint_count
        self.heap: list[tuple[Key, int, int, Move]] = []
        self.stamp = [0] * self.work.joint_count
        self.dirty: dict[int, None] = {}
        for joint in range(self.work.joint_count):
            if script.touched[joint]:
                self.ground.touched[joint] = 1
        for bubble, made in enumerate(script.made):
            if made:
                self.ground.remove(bubble)
        for joint in range(self.work.joint_count):
            self.ground.settle(joint)

    def run(self, progress: Progress | None = None) -> None:
        """Make everything that is not made yet."""
        total = len(self.work.ends)
        todo = total - sum(self.script.made)
        if not self.history:
            if todo and not any(self.script.touched):
                self._open()
                todo = total - sum(self.script.made)
            else:
                self._measure_levels(list(self.ground.frontier))
        self.dirty = dict.fromkeys(self.ground.frontier)
        focus = self.in_hand.tip if self.in_hand else -1
        steps = 0
        while todo:
            move, cost = (self._stay(focus) if focus >= 0 else None), 0
            if move is None:
                move, cost = self._compare()
            todo -= len(move.bubbles)
            focus = self._make(move, cost)
            steps += 1
            if progress is not None and steps % 64 == 0:
                progress.report(total - todo, total, "growing the piece")
        self.script.finish_all()

    # --- the first ring ---------------------------------------------------------------------------

    def _open(self) -> None:
        """Choose the first knot and the first move: a ring of three where the net has one."""
        best: tuple[Key, int, Move] | None = None
        for joint in self._first_joints():
            self.ground.touched[joint] = 1
            for walk in walks(self.ground, joint, self.deepest):
                if walk[0][0] != joint:
                    continue
                for move in self.price.moves(walk):
                    key = self._opening_key(move)
                    if best is None or key < best[0]:
                        best = (key, joint, move)
            self.ground.touched[joint] = 0
            if best is not None and best[0] <= (False, 0, False, EASY):
                break
        if best is None or best[0][0]:
            best = self._long_opening() or best
        if best is None:
            raise AssertionError("every checked net has a ring or a free end to start from")
        self._begin(best[1])
        self._make(best[2], 0)

    def _first_joints(self, *, every: bool = False) -> list[int]:
        """Joints to try for the first knot; `every` one in order, or a fair choice."""
        if self.start is not None:
            return [self.start]
        joints = [j for j in range(self.work.joint_count) if j not in self.work.passing]
        if every:
            return joints
        if self.pick is not None:
            self.pick.shuffle(joints)
        for joint in joints:
            self.ground.touched[joint] = 1
            ring = any(
                len(walk[1]) == EASY and walk[0][0] == walk[0][-1] == joint
                for walk in walks(self.ground, joint, EASY)
            )
            self.ground.touched[joint] = 0
            if ring and len(self.work.at[joint]) > 2:
                return [joint]
        self.ring_of_three = False
        return joints[:_FIRST]

    def _opening_key(self, move: Move) -> Key:
        """Smaller is better: hands, balloons, ease, then a small ring of few colours."""
        size = len(move.bubbles)
        return (
            move.peak > self.work.hands,
            move.cost + 2 * self._cuts_off(move),
            move.peak > EASY,
            size if size > 2 else size + 90,
            len(move.parts),
            0 if self.pick is None else self.pick.randrange(1 << 16),
        )

    def _long_opening(self) -> tuple[Key, int, Move] | None:
        """A first move for a net without a small ring: knots on the way hold the long one."""
        best: tuple[Key, int, Move] | None = None
        for joint in self._first_joints(every=True):
            walk = long_walk(self.ground, joint)
            for move in self.price.moves(walk) if walk is not None else ():
                key = self._opening_key(move)
                if best is None or key < best[0]:
                    best = (key, joint, move)
            if best is not None and not best[0][0]:
                break
        return best

    def _begin(self, joint: int) -> None:
        """Choose the joint where the first knot will lie."""
        self.ground.touched[joint] = 1
        self._measure_levels([joint])

    def repeat(self, moves: list[Move]) -> None:
        """Make the first moves of an earlier run of the same work again."""
        self._begin(moves[0].joints[0])
        for move in moves:
            self._make(move, 0)

    def _measure_levels(self, joints: list[int]) -> None:
        """How many bubbles every joint lies away from where the work begins."""
        level = self.level = [-1] * self.work.joint_count
        queue = deque(joints)
        for joint in joints:
            level[joint] = 0
        while queue:
            here = queue.popleft()
            for _, to in self.work.at[here]:
                if level[to] < 0:
                    level[to] = level[here] + 1
                    queue.append(to)

    # --- choosing ---------------------------------------------------------------------------------

    def _stay(self, focus: int) -> Move | None:
        """The best free and easy move from where the last one ended, or None."""
        ground = self.ground
        if not (ground.rest[focus] or ground.loops[focus]):
            return None
        options: list[tuple[Key, int, Move]] = []
        for walk in walks(ground, focus, EASY):
            for move in self.price.moves(walk):
                if (
                    move.cost <= 0
                    and not move.eager
                    and move.peak <= (self.work.hands if self.wild else EASY)
                ):
                    options.append((self._key(move), len(options), move))
        if len(options) == 1:
            move = options[0][2]
            return None if self._cuts_off(move) else move
        for _, _, move in sorted(options):
            if not self._cuts_off(move):
                return move
        return None

    def _compare(self) -> tuple[Move, int]:
        """The best move of the whole frontier, and what it costs with all that it cuts off."""
        for joint in self.dirty:
            self._value(joint, EASY)
        self.dirty = {}
        again: set[int] = set()
        while self.heap:
            key, stamp, joint, move = heapq.heappop(self.heap)
            if stamp != self.stamp[joint]:
                continue
            if joint not in again and self._cuts_off(move):
                again.add(joint)
                heapq.heappush(self.heap, ((key[0] + 2, *key[1:]), stamp, joint, move))
                continue
            self.dirty[joint] = None
            price = (key[0], move.eager)
            longer = self._deeper(price) if price > (0, 0) else None
            return (longer, longer.cost) if longer else (move, key[0])
        move = self._far()
        return move, move.cost

    def _deeper(self, price: tuple[int, int]) -> Move | None:
        """A longer chain from one of the latest parked tips that starts fewer balloons, or None."""
        live = [s for s in reversed(self.script.strands) if not s.finished][:_TIPS]
        best: tuple[Key, Move] | None = None
        for strand in live:
            for walk in walks(self.ground, strand.tip, self.deepest):
                if len(walk[1]) <= EASY:
                    continue
                for move in self.price.moves(walk):
                    key = self._key(move)
                    if (
                        (move.cost, move.eager) < price
                        and move.peak <= self.work.hands
                        and (best is None or key < best[0])
                        and not self._cuts_off(move)
                    ):
                        best = (key, move)
        return None if best is None else best[1]

    def _value(self, joint: int, deepest: int) -> None:
        """Put a frontier joint's best move on the heap."""
        self.stamp[joint] += 1
        if joint not in self.ground.frontier:
            return
        best: tuple[Key, Move] | None = None
        for walk in walks(self.ground, joint, deepest):
            for move in self.price.moves(walk):
                if move.peak > self.work.hands:
                    continue
                key = self._key(move)
                if best is None or key < best[0]:
                    best = (key, move)
        if best is not None:
            heapq.heappush(self.heap, (best[0], self.stamp[joint], joint, best[1]))

    def _far(self) -> Move:
        """A move for when no short walk lands anywhere: longer, with knots on the way."""
        best: tuple[Key, Move] | None = None
        for joint in self.ground.frontier:
            walk = long_walk(self.ground, joint)
            if walk is None:
                continue
            for move in self.price.moves(walk):
                key = (max(0, move.peak - self.work.hands), *self._key(move))
                if best is None or key < best[0]:
                    best = (key, move)
        if best is None:
            raise AssertionError("a connected net always has a walk from its frontier")
        return best[1]

    def _key(self, move: Move) -> Key:
        """Smaller is better: balloons first, then ease, then round by round."""
        last = move.joints[-1]
        left = len(self.ground.rest[last])
        if self.wild and self.pick is not None:
            return (move.cost, self.pick.randrange(1 << 16))
        return (
            move.cost,
            move.eager,
            not self.ground.touched[move.joints[0]],
            move.peak > EASY,
            move.waste,
            len(move.parts) - 1,
            0 if self.pick is None else self.pick.choice(_NOISE),
            max(self.level[j] for j in move.joints),
            len(move.bubbles),
            left,
            last,
            move.bubbles[0],
        )

    def _cuts_off(self, move: Move) -> bool:
        """True if the move would leave a part of the rest without a tip or an odd joint."""
        ground, kind_of = self.ground, self.work.kind_of
        tips: dict[int, int] = {}
        for bubble in move.bubbles:
            ground.remove(bubble)
        for part in move.parts:
            tips[part.kind] = part.end
            if part.strand >= 0:
                ground.leave(part.kind, part.origin, part.made)
            if not part.full:
                ground.arrive(part.kind, part.end, part.made)
        cut = False
        seen: set[tuple[int, int]] = set()
        for i, joint in enumerate(move.joints):
            for bubble in (
                move.bubbles[max(0, i - 1)],
                move.bubbles[min(i, len(move.bubbles) - 1)],
            ):
                kind = kind_of[bubble]
                if cut or (kind, joint) in seen:
                    continue
                seen.add((kind, joint))
                if ground.d[kind][joint] and ground.cut_off(kind, joint, tips.get(kind, joint)):
                    cut = True
        for part in move.parts:
            if part.strand >= 0:
                ground.arrive(part.kind, part.origin, part.made)
            if not part.full:
                ground.leave(part.kind, part.end, part.made)
        for bubble in move.bubbles:
            ground.restore(bubble)
        return cut

    # --- making -----------------------------------------------------------------------------------

    def _make(self, move: Move, cost: int) -> int:
        """Write a move into the script; returns the joint where the strand in hand lies."""
        self.history.append(move)
        self.costs.append(cost)
        script, ground = self.script, self.ground
        script.make_room(len(move.bubbles), taken_up=move.parts[0].strand != self._number_in_hand())
        done: list[Strand] = []
        strand: Strand | None = None
        for part in move.parts:
            before = strand
            if part.strand < 0:
                strand = script.start(part.kind, part.origin)
                if before is not None and before in done and before.tip == part.origin:
                    done.remove(before)
                    script.finish(before)
            else:
                strand = script.strands[part.strand]
                ground.tips[part.origin].remove(part.strand)
                ground.leave(part.kind, part.origin, part.made)
            for bubble in part.bubbles:
                script.twist(strand, bubble)
                ground.remove(bubble)
            if part.full:
                done.append(strand)
            else:
                ground.tips[part.end].append(strand.number)
                ground.arrive(part.kind, part.end, len(strand.bubbles))
        if move.lock >= 0:
            script.lock(move.lock)
        for spent in done:
            script.finish(spent)
        for joint in move.joints:
            ground.touched[joint] = 1
        for joint in dict.fromkeys(move.joints):
            self._close_tips(joint)
            ground.settle(joint)
        self._mark(move.joints)
        assert strand is not None
        self.in_hand = strand
        return strand.tip

    def _number_in_hand(self) -> int:
        return self.in_hand.number if self.in_hand else -1

    def _close_tips(self, joint: int) -> None:
        """Finish the strands that have nothing left to make at a joint."""
        ground = self.ground
        for number in list(ground.tips[joint]):
            strand = self.script.strands[number]
            kind = strand.kind
            if ground.d[kind][joint] == 0 and not ground.has_loops(kind, joint):
                ground.tips[joint].remove(number)
                ground.leave(kind, joint, len(strand.bubbles))
                self.script.finish(strand)

    def _mark(self, joints: tuple[int, ...]) -> None:
        """Remember which frontier joints a change may concern."""
        near = dict.fromkeys(joints)
        ring = list(near)
        for _ in range(_NEAR):
            outer = []
            for joint in ring:
                for _, to in self.work.at[joint]:
                    if to not in near:
                        near[to] = None
                        outer.append(to)
            ring = outer
        for joint in near:
            self.dirty[joint] = None


def grow(
    work: Work,
    *,
    start: int | None = None,
    pick: Random | None = None,
    wild: bool = False,
    after: list[Move] | None = None,
    progress: Progress | None = None,
) -> Grower:
    """A finished run: grown from one first ring, or on from the first moves of an earlier run."""
    grower = Grower(Script(work), start=start, pick=pick, wild=wild)
    if after:
        grower.repeat(after)
    grower.run(progress)
    return grower
