"""The figures behind the prediction. All are assumptions until somebody measures real fabric.

Lengths inside are in mean bubble lengths, forces in units of (stiffness of a bubble) x (length).
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """What may be turned, each with its effect.

    bend        stiffness of the joints' angles against a bubble's along its length. Without it the
                shape of a fabric is not settled; from .1 on bubbles are pulled out of their length
    contact     stiffness of bodies pressed together; more keeps overlaps smaller, and rests later
    plump       greatest body diameter as a share of the bubble's length: a shorter bubble is
                pressed flat by its neighbours
    closest     least distance between the middles of two bubbles at one joint, as a share of their
                length: .45 keeps corners above 53 degrees
    weight      weight of a mean bubble against its stiffness along its length
    rest        greatest force left on any joint for the shape to count as settled
    steps       most steps of one phase; fewer are taken for very large nets
    corrections how often lengths are made good for what forces stretch or press them
    jitter      size of the seeded disturbance that keeps flat or doubled starts from sticking
    """

    bend: float = 0.02
    contact: float = 1.0
    plump: float = 0.69
    closest: float = 0.45
    weight: float = 1.5e-4
    rest: float = 2e-4
    steps: int = 4000
    corrections: int = 3
    jitter: float = 1e-3

    def __post_init__(self) -> None:
        for name in ("bend", "weight", "jitter"):
            if not 0 <= getattr(self, name) <= 1:
                raise ValueError(f"{name} is {getattr(self, name)}; it lies from 0 to 1")
        for name in ("contact", "plump", "closest", "rest"):
            if not 0 < getattr(self, name) <= 10:
                raise ValueError(f"{name} is {getattr(self, name)}; it lies above 0, at most 10")
        if self.steps < 1 or self.corrections < 0:
            raise ValueError("steps is at least 1, corrections at least 0")


LENGTH_ALLOWED = 0.01
"""Greatest mean length error that is not worth a finding."""
OVERLAP_ALLOWED = 0.05
"""Greatest overlap, as a share of the diameter, that is not worth a finding."""
