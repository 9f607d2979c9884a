"""Descent to rest by FIRE: motion with inertia that is stopped whenever it goes uphill.

E. Bitzek, P. Koskinen, F. Gähler, M. Moseler, P. Gumbsch, "Structural relaxation made simple",
Phys. Rev. Lett. 97 (2006) 170201, with its published figures; half a step is taken back on going
uphill. Only +, -, x, / and square roots are used, in a fixed order, so that the same start gives
the same result.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from airweft.shape.sparse import Floats

_WAIT, _FASTER, _SLOWER = 5, 1.1, 0.5
_MIX, _MIX_LESS = 0.1, 0.99
_FIRST, _LONGEST = 0.1, 0.5
_TOLD = 20  # steps between two reports: often enough to stop within half a second
_FARTHEST = 0.1  # no point moves farther than this in one step


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """Where it came to rest: positions (n, 3), steps taken, the greatest force left."""

    spots: Floats
    steps: int
    force: float


def settle(
    start: Floats,
    force: Callable[[Floats], Floats],
    *,
    mass: Floats,
    rest: float,
    steps: int,
    told: Callable[[int], None] | None = None,
) -> Rest:
    """Moves from `start` until no force is above `rest`, at most `steps` steps.

    `force` takes positions to forces, both (n, 3); `mass` (n,) evens out how stiffly points are
    held; `told` hears the number of steps now and then.
    """
    spots = start.copy()
    speed = np.zeros_like(spots)
    heavy = mass[:, None]
    step, mix, uphill_free = _FIRST, _MIX, 0
    done, greatest = 0, 0.0
    while True:
        f = force(spots)
        greatest = float(np.sqrt(np.einsum("ij,ij->i", f, f).max())) if len(f) else 0.0
        if greatest <= rest or done >= steps:
            return Rest(spots=spots, steps=done, force=greatest)
        if told is not None and done % _TOLD == 0:
            told(done)
        if float((f * speed).sum()) > 0:
            uphill_free += 1
            if uphill_free > _WAIT:
                step = min(step * _FASTER, _LONGEST)
                mix *= _MIX_LESS
        else:
            spots -= speed * (step / 2)
            speed[:] = 0.0
            step, mix, uphill_free = max(step * _SLOWER, 0.02), _MIX, 0
        pull = f / heavy
        speed += pull * step
        size = float(np.sqrt((pull * pull).sum()))
        if size > 0:
            speed = (1 - mix) * speed + pull * (mix * float(np.sqrt((speed * speed).sum())) / size)
        move = speed * step
        farthest = float(np.sqrt(np.einsum("ij,ij->i", move, move).max()))
        if farthest > _FARTHEST:
            speed *= _FARTHEST / farthest
            move *= _FARTHEST / farthest
        spots += move
        done += 1
