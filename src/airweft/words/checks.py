"""The numbers to check after each step, from a replay's counts."""

from __future__ import annotations

from dataclasses import dataclass

from airweft.records.plan import Plan
from airweft.records.steps import Counts
from airweft.words import phrases
from airweft.words.ledger import Looseness
from airweft.words.sections import section_at, short_name

# More balloons than this are not told one by one.
MOST_BALLOONS = 12


@dataclass(frozen=True, slots=True)
class OwnCounts:
    """Bubbles made and twists loose after each action."""

    made: tuple[int, ...]
    loose: tuple[int, ...]


def own_counts(plan: Plan) -> OwnCounts:
    """Counts after each action, for callers that have no replay at hand."""
    loose = Looseness()
    bubbles = 0
    made: list[int] = []
    still: list[int] = []
    ends = plan.net.ends.tolist()
    for action in plan.actions:
        if action.do == "twist":
            bubbles += 1
            hangs = plan.net.kinds[action.bubble] == "free" and (
                action.joint == ends[action.bubble][1]
            )
            loose.lay(action.balloons[0], action.joint, hangs=hangs)
        elif action.do in ("lock", "start"):
            loose.knot(action.joint)
        if action.do in ("tie", "start"):
            for balloon in action.balloons:
                loose.begin(balloon, action.joint)
        made.append(bubbles)
        still.append(loose.count())
    return OwnCounts(tuple(made), tuple(still))


class Checker:
    """Says the check of one step after another, in order."""

    def __init__(self, plan: Plan, counts: Counts) -> None:
        self.plan = plan
        self.counts = counts
        self.made: dict[str, int] = {}
        self.hanging: dict[str, None] = {}
        self.parts: dict[str, str] = {}  # of each hanging balloon the part it was begun in
        self.joined = 0

    def step(self, first: int, last: int, rounds: int) -> str:
        """The check after the actions from `first` to `last` (exclusive), in `rounds` repeats."""
        worked: dict[str, None] = {}
        section = section_at(self.plan, first)
        part = short_name(section)
        for action in self.plan.actions[first:last]:
            if action.do in ("tie", "start"):
                for balloon in action.balloons:
                    self.made[balloon] = 0
                    self.hanging[balloon] = None
                    self.parts[balloon] = part
            elif action.do == "twist":
                balloon = action.balloons[0]
                self.made[balloon] += 1
                worked[balloon] = None
            elif action.do == "finish":
                del self.hanging[action.balloons[0]]
        done = self.counts.made[last - 1]
        new = done - (self.counts.made[first - 1] if first else 0)
        even = new % rounds == 0
        whole = self.plan.net.bubble_count
        hanging = self.hanging
        parts: list[str] = []
        if section is not None and section.person > 0:
            before = self.counts.made[section.first_action - 1] if section.first_action else 0
            done, whole = done - before, self.counts.made[section.last_action - 1] - before
            hanging = {code: None for code in hanging if self.parts[code] == part}
        elif section is not None:
            self.joined += sum(action.do == "lock" for action in self.plan.actions[first:last])
            every = self.plan.actions[section.first_action : section.last_action]
            parts = [
                phrases.check_joined(self.joined, sum(action.do == "lock" for action in every))
            ]
            part = ""
        if new or not parts:
            parts.append(
                phrases.check_bubbles(done, whole, new // rounds, rounds if even else 1, part)
            )
        if worked and len(worked) <= MOST_BALLOONS:
            by_made: dict[int, list[str]] = {}
            for balloon in self._in_order(worked):
                by_made.setdefault(self.made[balloon], []).append(balloon)
            parts.append(
                ", ".join(phrases.check_balloon(made, codes) for made, codes in by_made.items())
            )
        parts.append(phrases.check_waiting(self._in_order(hanging)))
        parts.append(phrases.check_loose(self.counts.loose[last - 1]))
        return phrases.check(parts)

    def _in_order(self, balloons: dict[str, None]) -> list[str]:
        """Balloons by mark and number, so that ranges can be drawn together."""
        return sorted(balloons, key=phrases.code_key)
