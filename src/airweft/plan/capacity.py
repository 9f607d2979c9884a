"""How many bubbles one balloon can make: making rule M4 turned into a table."""

from __future__ import annotations

from collections.abc import Mapping

from airweft.records.budget import Budget
from airweft.records.design import Design

_MOST = 10_000  # no balloon of any size makes more bubbles than this


class Capacity:
    """What one balloon of one size can make, for any mixture of bubble lengths.

    `most_length[n]` is the greatest total length, in hundredths of a millimetre, of n bubbles that
    one balloon can make with a printed tail; the table ends where no balloon can make n bubbles.
    `extra` is what a bubble uses beyond its own length and `holds` what one balloon holds, by the
    two parts of M4 together (with a fixed tail by M4a alone).
    """

    __slots__ = ("budget", "extra", "fixed_tail", "holds", "most_length", "step")

    def __init__(
        self, budget: Budget, *, most_bubbles: int | None, fixed_tail: int | None, step: int
    ) -> None:
        self.budget = budget
        self.fixed_tail = fixed_tail
        self.step = step
        self.extra = budget.twist_takes
        self.holds = budget.full - budget.stub - budget.knot
        if fixed_tail is not None:
            self.extra -= budget.twist_pushes
            body = (budget.flat - fixed_tail) * budget.full // budget.flat - budget.knot
            self.holds = body - budget.stub
        self.most_length = [0]
        for count in range(1, (most_bubbles or _MOST) + 1):
            longest = self._longest(count)
            if longest < count:  # not even bubbles of a hundredth of a millimetre
                break
            self.most_length.append(longest)

    def _longest(self, count: int) -> int:
        """Greatest total length of `count` bubbles, or -1 if the tail cannot take the pinches."""
        b = self.budget
        tail = self.fixed_tail
        if tail is None:
            tail = b.least_tail(count, self.step)
        elif not b.enough_tail(count, tail):
            return -1
        body = (b.flat - tail) * b.full // b.flat - b.knot
        return body - b.stub - count * (b.twist_takes - b.twist_pushes)

    def fits(self, count: int, length: int) -> bool:
        """True if one balloon can make `count` bubbles of `length` in all."""
        return count < len(self.most_length) and length <= self.most_length[count]

    def most_of(self, length: int) -> int:
        """The most bubbles of one `length` that a balloon can make."""
        most = 0
        for count in range(1, len(self.most_length)):
            if count * length <= self.most_length[count]:
                most = count
        return most

    def tail(self, count: int, length: int) -> int:
        """The flat tail to leave for `count` bubbles of `length` in all; they must fit."""
        tail = self.budget.tail_for(count, length, step=self.step, fixed=self.fixed_tail)
        if tail is None:
            raise ValueError(f"{count} bubbles of {length} do not fit one balloon")
        return tail


def capacities(design: Design, budgets: Mapping[str, Budget]) -> dict[str, Capacity]:
    """What one balloon of each size can make, as the design caps it."""
    return {
        size: Capacity(
            budget,
            most_bubbles=design.most_bubbles,
            fixed_tail=design.tail if size == design.size else None,
            step=design.tail_step,
        )
        for size, budget in budgets.items()
    }
