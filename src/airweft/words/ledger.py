"""Where every balloon lies and what is loose, kept while the actions are gone through."""

from __future__ import annotations

from dataclasses import dataclass, field

from airweft.words.movements import Ref


@dataclass(slots=True)
class Ledger:
    """The joints that each balloon has passed, and who has passed each joint."""

    trails: dict[str, list[int]] = field(default_factory=dict)
    passed: dict[int, list[Ref]] = field(default_factory=dict)
    order: dict[str, int] = field(default_factory=dict)

    def begin(self, balloon: str, joint: int) -> None:
        """The balloon's knot lies at the joint."""
        self.order[balloon] = len(self.order)
        self.trails[balloon] = []
        self._lay(balloon, joint)

    def lay(self, balloon: str, joint: int) -> None:
        """The end of the balloon's next bubble lies at the joint."""
        self._lay(balloon, joint)

    def here(self, balloon: str) -> int:
        """The joint where the balloon lies now."""
        return self.trails[balloon][-1]

    def made(self, balloon: str) -> int:
        """How many bubbles the balloon has made."""
        return len(self.trails[balloon]) - 1

    def names(self, joint: int) -> tuple[Ref, ...]:
        """The joint's names so far, the one with the fewest bubbles to count first."""
        refs = self.passed.get(joint, [])
        return tuple(sorted(refs, key=lambda ref: (ref.count, self.order[ref.balloon])))

    def _lay(self, balloon: str, joint: int) -> None:
        trail = self.trails[balloon]
        self.passed.setdefault(joint, []).append(Ref(balloon, len(trail)))
        trail.append(joint)


@dataclass(slots=True)
class Looseness:
    """Loose and fast twists by making rule M5.

    A balloon's knot is fast, and a twist between two fast ones is fast; so the loose ones are those
    after the last fast one.
    """

    trails: dict[str, list[int]] = field(default_factory=dict)
    fast: dict[str, int] = field(default_factory=dict)
    open: list[str] = field(default_factory=list)

    def begin(self, balloon: str, joint: int) -> None:
        """A fresh balloon; its knot is fast."""
        self.trails[balloon] = [joint]
        self.fast[balloon] = 0

    def knot(self, joint: int) -> None:
        """What lies at the joint is taken into a knot or a lock, and becomes fast."""
        for balloon in self.at(joint):
            trail = self.trails[balloon]
            last = max(i for i in range(self.fast[balloon] + 1, len(trail)) if trail[i] == joint)
            self.fast[balloon] = last
            if last == len(trail) - 1:
                self.open.remove(balloon)

    def lay(self, balloon: str, joint: int, *, hangs: bool) -> None:
        """A new bubble ends at the joint; the hanging end of a free bubble is fast (M11)."""
        trail = self.trails[balloon]
        trail.append(joint)
        if hangs:
            self.fast[balloon] = len(trail) - 1
            if balloon in self.open:
                self.open.remove(balloon)
        elif balloon not in self.open:
            self.open.append(balloon)

    def at(self, joint: int) -> tuple[str, ...]:
        """The balloons with a loose twist at the joint, in the order in which they came loose."""
        return tuple(b for b in self.open if joint in self.trails[b][self.fast[b] + 1 :])

    def count(self) -> int:
        """How many twists are loose."""
        return sum(len(self.trails[b]) - 1 - self.fast[b] for b in self.open)
