"""The printed text read back: balloons and actions rebuilt from words alone.

This proves that the text is enough. Joints are numbered by first touch and bubbles in the order in
which they are made, since names of joints and places in space are not part of the text; `renumber`
brings a plan into the same numbering, so that the two can be compared.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from airweft.records.plan import Action, Balloon, Plan
from airweft.records.steps import BalloonLine
from airweft.words.grammar import read_text
from airweft.words.ledger import Ledger, Looseness
from airweft.words.movements import Group, Made, Movement, Ref, Row, split_row
from airweft.words.said import FoldCall, trouble

_TITLE = re.compile(
    r"(?:(?:Part [A-Z]|Joining), )?(?:[Rr]ow (\d+)|[Rr]ows (\d+) (?:to|and) (\d+))(?:,.*)?"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rebuilt:
    """A plan without its shape: balloons, bubbles in the order made, and actions.

    `ends` are the joints that each bubble leaves and reaches, `made` what it is, `lengths` in 1/100
    mm. Lock actions name their balloons in the order of the balloon list.
    """

    balloons: tuple[Balloon, ...]
    ends: tuple[tuple[int, int], ...]
    made: tuple[Made, ...]
    lengths: tuple[int, ...]
    actions: tuple[Action, ...]


def read_back(steps: Sequence[tuple[str, str]], balloons: Sequence[BalloonLine]) -> Rebuilt:
    """The plan that the printed steps (title and text of each) and the balloon list tell.

    Raises BadInput, with the step and the word, where the text cannot be followed.
    """
    codes = {line.code: line for line in balloons}
    rows: list[Row] = []
    step_of: list[int] = []
    for number, (title, text) in enumerate(steps, start=1):
        first, last = _title_rows(title, number)
        if first != len(rows) + 1:
            raise trouble(number, title, f"row {len(rows) + 1} was expected next")
        rows += _step_rows(text, first, last, rows, codes, number)
        step_of += [number] * (len(rows) - len(step_of))
    return _Rebuilding(codes).run(rows, step_of)


def renumber(plan: Plan) -> Rebuilt:
    """A plan in the numbering of `read_back`: joints by first touch, bubbles by order made."""
    joints: dict[int, int] = {}
    bubbles: dict[int, int] = {}
    rows: dict[int, int] = {}
    place = {balloon.code: i for i, balloon in enumerate(plan.balloons)}
    here = {balloon.code: balloon.start for balloon in plan.balloons}
    net_ends = plan.net.ends.tolist()
    ends: list[tuple[int, int]] = []
    made: list[Made] = []
    actions: list[Action] = []
    for action in plan.actions:
        joint = joints.setdefault(action.joint, len(joints))
        row = rows.setdefault(action.row, len(rows) + 1)
        bubble = -1
        codes = action.balloons
        if action.do == "twist":
            bubble = bubbles.setdefault(action.bubble, len(bubbles))
            ends.append((joints[here[codes[0]]], joint))
            here[codes[0]] = action.joint
            a, b = net_ends[action.bubble]
            free = plan.net.kinds[action.bubble] == "free"
            made.append("free" if free else "loop" if a == b else "bubble")
        elif action.do == "lock":
            codes = tuple(sorted(set(codes), key=lambda code: place[code]))
        actions.append(Action(action.do, codes, joint, bubble, row))
    lengths = plan.net.lengths.tolist()
    return Rebuilt(
        balloons=tuple(
            replace(b, start=joints[b.start], bubbles=tuple(bubbles[i] for i in b.bubbles))
            for b in plan.balloons
        ),
        ends=tuple(ends),
        made=tuple(made),
        lengths=tuple(lengths[old] for old in bubbles),
        actions=tuple(actions),
    )


def _title_rows(title: str, step: int) -> tuple[int, int]:
    """The rows that a title names."""
    match = _TITLE.fullmatch(title)
    if match is None:
        raise trouble(step, title, "the title names no rows")
    if match[1]:
        return int(match[1]), int(match[1])
    return int(match[2]), int(match[3])


def _step_rows(
    text: str,
    first: int,
    last: int,
    rows: Sequence[Row],
    codes: dict[str, BalloonLine],
    step: int,
) -> list[Row]:
    """The rows of one step, repeats done."""
    said = read_text(text, codes, step)
    calls = [i for i, what in enumerate(said) if isinstance(what, FoldCall)]
    moves = tuple(what for what in said if isinstance(what, Movement))
    if not calls:
        if first != last:
            raise trouble(step, text, "the title names several rows, the text tells one")
        return [moves]
    call = said[calls[0]]
    assert isinstance(call, FoldCall)
    lead, close = moves[: calls[0]], moves[calls[0] :]
    if (
        len(calls) > 1
        or any(move.do not in ("tie", "start") for move in lead)
        or any(move.do != "finish" for move in close)
    ):
        raise trouble(step, text, "only tying on and tying off can stand beside a repeat")
    if not 1 <= call.source <= call.source_last < first:
        raise trouble(step, f"row {call.source_last}", "rows must be done before they are repeated")
    size = (call.source_last - call.source + 1) * call.times
    if size != last - first + 1:
        raise trouble(step, text, f"the title names {last - first + 1} rows, the text tells {size}")
    new = [
        tuple(_moved(move, call, time) for move in split_row(row)[1])
        for time in range(1, call.times + 1)
        for row in rows[call.source - 1 : call.source_last]
    ]
    new[0] = (*lead, *new[0])
    new[-1] = (*new[-1], *close)
    return new


def _moved(move: Movement, call: FoldCall, time: int) -> Movement:
    """The movement as it is done the `time`-th time."""
    new = {old: code for code, old in call.swaps}
    amount = dict(call.shifts)
    given = {old: refs[time - 1] for old, refs in call.names}

    def code(old: str) -> str:
        return new.get(old, old)

    def joint(old: Ref) -> Ref:
        now = code(old.balloon)
        return given.get(old) or Ref(now, old.count + time * amount.get(now, 0))

    return replace(
        move,
        balloons=tuple(code(old) for old in move.balloons),
        groups=tuple(Group(code(group.balloon), group.runs) for group in move.groups),
        at=tuple(joint(ref) for ref in move.at),
        names=None if move.names is None else tuple(code(old) for old in move.names),
    )


class _Rebuilding:
    """Does the movements and writes down what is made."""

    def __init__(self, codes: dict[str, BalloonLine]) -> None:
        self.codes = codes
        self.place = {code: i for i, code in enumerate(codes)}
        self.ledger = Ledger()
        self.joints = 0
        self.step = 0
        self.row = 0
        self.ends: list[tuple[int, int]] = []
        self.made: list[Made] = []
        self.lengths: list[int] = []
        self.bubbles: dict[str, list[int]] = {code: [] for code in codes}
        self.done: dict[str, None] = {}
        self.actions: list[Action] = []
        self.same: dict[int, int] = {}  # joints that were joined to one with a lower number

    def run(self, rows: Sequence[Row], step_of: Sequence[int]) -> Rebuilt:
        """Do all rows."""
        for index, row in enumerate(rows):
            self.row, self.step = index + 1, step_of[index]
            for move in row:
                self._do(move)
        for code in self.codes:
            if code not in self.ledger.trails:
                raise trouble(self.step, code, "this balloon of the list is never used")
        self._number_anew()
        self._name_locks()
        return Rebuilt(
            balloons=tuple(
                Balloon(
                    code=line.code,
                    colour=line.colour,
                    size=line.size,
                    tail=line.tail,
                    start=self.ledger.trails[line.code][0],
                    bubbles=tuple(self.bubbles[line.code]),
                )
                for line in self.codes.values()
            ),
            ends=tuple(self.ends),
            made=tuple(self.made),
            lengths=tuple(self.lengths),
            actions=tuple(self.actions),
        )

    def _fresh(self) -> int:
        self.joints += 1
        return self.joints - 1

    def _joint(self, at: tuple[Ref, ...]) -> int:
        """The joint that is named, or a fresh one."""
        if not at:
            return self._fresh()
        ref = at[0]
        trail = self.ledger.trails.get(ref.balloon, [])
        if ref.count >= len(trail) or ref.count < 0:
            raise trouble(self.step, str(ref), f"{ref.balloon} has not come so far yet")
        return trail[ref.count]

    def _act(self, do: str, codes: tuple[str, ...], joint: int, bubble: int = -1) -> None:
        assert do in ("tie", "start", "twist", "lock", "finish")
        self.actions.append(Action(do, codes, joint, bubble, self.row))  # type: ignore[arg-type]

    def _do(self, move: Movement) -> None:
        if move.do in ("tie", "start"):
            joint = self._joint(move.at)
            self._act(move.do, move.balloons, joint)
            for code in move.balloons:
                if code in self.ledger.trails:
                    raise trouble(self.step, code, "this balloon is tied on already")
                self.ledger.begin(code, joint)
        elif move.do == "make":
            joint = self._make(move)
        elif move.do == "lock":
            joint = self._joint(move.at)
        elif move.do == "join":
            joint = self._join(move.at)
        else:
            joint = self._lies(move.balloons[0])
            self._act("finish", move.balloons, joint)
            self.done[move.balloons[0]] = None
        if move.locks:
            names = ("?",) if move.names is None else move.names
            self._act("lock", names, joint)

    def _join(self, names: tuple[Ref, ...]) -> int:
        """Joints of different parts laid on each other: from now on they are one."""
        joints = sorted({self._place_of(self._joint((name,))) for name in names})
        if len(joints) < len(names):
            raise trouble(self.step, str(names[0]), "these are one joint already")
        for joint in joints[1:]:
            self.same[joint] = joints[0]
        return joints[0]

    def _place_of(self, joint: int) -> int:
        """The number that a joint goes by, for all that were joined to it."""
        while joint in self.same:
            joint = self.same[joint]
        return joint

    def _number_anew(self) -> None:
        """Joints that were joined have one number, and the numbers have no gaps."""
        new: dict[int, int] = {}
        count = 0
        for joint in range(self.joints):
            place = self._place_of(joint)  # never a higher number than the joint's own
            if place == joint:
                count += 1
            new[joint] = count - 1 if place == joint else new[place]
        self.ends = [(new[a], new[b]) for a, b in self.ends]
        self.actions = [replace(action, joint=new[action.joint]) for action in self.actions]
        self.ledger.trails = {
            code: [new[joint] for joint in trail] for code, trail in self.ledger.trails.items()
        }
        self.joints = count

    def _lies(self, code: str) -> int:
        """Where a balloon in work lies."""
        if code not in self.ledger.trails:
            raise trouble(self.step, code, "this balloon is not tied on yet")
        if code in self.done:
            raise trouble(self.step, code, "this balloon is tied off already")
        return self.ledger.here(code)

    def _make(self, move: Movement) -> int:
        """Make the bubbles; returns the joint where the movement ends."""
        end = -1
        if all(group.stays for group in move.groups):
            end = self._joint(move.at) if move.at else self._lies(move.groups[0].balloon)
        for group in move.groups:
            units = [run for run in group.runs for _ in range(run.count)]
            last = max((i for i, run in enumerate(units) if run.made != "loop"), default=-1)
            for i, run in enumerate(units):
                here = self._lies(group.balloon)
                if run.made == "loop":
                    to = here
                elif i < last:
                    to = self._fresh()
                else:
                    end = to = self._joint(move.at) if end < 0 else end
                self._bubble(group.balloon, here, to, run.made, run.length)
            if last < 0:
                end = self._joint(move.at) if end < 0 else end
                if self._lies(group.balloon) != end:
                    raise trouble(self.step, group.balloon, "this balloon does not lie there")
        return end

    def _bubble(self, code: str, here: int, to: int, made: Made, length: int) -> None:
        line = self.codes[code]
        usual = line.loop if made == "loop" else line.bubble
        self._act("twist", (code,), to, len(self.ends))
        self.bubbles[code].append(len(self.ends))
        self.ends.append((here, to))
        self.made.append(made)
        self.lengths.append(length or usual)
        self.ledger.lay(code, to)

    def _name_locks(self) -> None:
        """Say which balloons each lock takes in: those with a loose twist there (M5)."""
        uses = [0] * self.joints
        for a, b in self.ends:
            uses[a] += 1
            uses[b] += 1
        loose = Looseness()
        for i, action in enumerate(self.actions):
            if action.do == "twist":
                hangs = self.made[action.bubble] == "free" and uses[action.joint] == 1
                loose.lay(action.balloons[0], action.joint, hangs=hangs)
            elif action.do in ("start", "lock"):
                names = action.balloons
                if names == ("?",):
                    names = loose.at(action.joint)
                if action.do == "lock":
                    names = tuple(sorted(set(names), key=lambda code: self.place[code]))
                    self.actions[i] = replace(action, balloons=names)
                loose.knot(action.joint)
            if action.do in ("tie", "start"):
                for code in action.balloons:
                    loose.begin(code, action.joint)
