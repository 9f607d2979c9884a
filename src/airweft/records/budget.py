"""The length budget (making rule M4): the one formula that planner and checker both use."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """Six figures of one balloon size, all in whole hundredths of a millimetre.

    flat    length of the empty balloon          full    length inflated to the tip
    knot    inflated length the knot takes       stub    inflated length wanted to tie off
    twist_takes    body a bubble uses beyond its own length
    twist_pushes   body gained at the tail's expense by each pinch
    """

    flat: int
    full: int
    knot: int
    stub: int
    twist_takes: int
    twist_pushes: int

    def enough_body(self, count: int, length: int, tail: int) -> bool:
        """M4a for `count` bubbles of `length` in all with `tail` left flat (exact, in integers)."""
        used = length + count * (self.twist_takes - self.twist_pushes) + self.stub + self.knot
        return used * self.flat <= (self.flat - tail) * self.full

    def enough_tail(self, count: int, tail: int) -> bool:
        """M4b for `count` bubbles with `tail` left flat (exact, in integers)."""
        return count * self.twist_pushes * self.flat <= tail * self.full

    def least_tail(self, count: int, step: int) -> int:
        """The shortest tail for `count` bubbles by M4b, rounded up to a multiple of `step`."""
        exact = -(-count * self.twist_pushes * self.flat // self.full)
        return -(-exact // step) * step

    def most_tail(self, count: int, length: int, step: int) -> int:
        """The longest tail by M4a, rounded down to a multiple of `step`; negative if none fits."""
        used = length + count * (self.twist_takes - self.twist_pushes) + self.stub + self.knot
        exact = self.flat - -(-used * self.flat // self.full)
        return exact // step * step

    def tail_for(self, count: int, length: int, *, step: int, fixed: int | None) -> int | None:
        """The tail to leave for these bubbles, or None if one balloon cannot make them.

        With a `fixed` tail that tail must do. Otherwise the tail lies three quarters of the way
        from the shortest that leaves room for every pinch to the longest that leaves enough body:
        soft to twist, with a quarter of the room kept for hands that measure differently.
        """
        if fixed is not None:
            fits = self.enough_body(count, length, fixed) and self.enough_tail(count, fixed)
            return fixed if fits else None
        least = self.least_tail(count, step)
        most = self.most_tail(count, length, step)
        if most < least:
            return None
        return least + (most - least) * 3 // 4 // step * step
