"""Balloon sizes: what a size code says, and the length budgets shipped for four of them.

Code rule (common practice; 260 = 2 in by 60 in also in Demaine, Demaine and Hart, "Computational
Balloon Twisting", CCCG 2008): first digit the diameter in inches, last two the inflated length in
inches. Both are nominal; every maker measures their own.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from airweft.records.budget import Budget

_INCH = 2540
_CODE = re.compile(r"([1-9])([1-9][0-9])")

ASSUMPTION = "assumption, from memory; measure your own"

FIGURES = ("flat", "full", "knot", "stub", "twist_takes", "twist_pushes")
"""The six figures of a budget, in the order in which they are always listed."""


class NotASize(ValueError):
    """A size code that cannot be read: what is wrong with it, and what to write instead."""

    def __init__(self, message: str, remedy: str) -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy


@dataclass(frozen=True, slots=True)
class SizeCode:
    """What a size code says: nominal diameter and inflated length in hundredths of a mm."""

    code: str
    diameter: int
    length: int


@dataclass(frozen=True, slots=True)
class ShippedSize:
    """A size with the length budget that is used until the maker gives their own figures."""

    code: SizeCode
    budget: Budget
    note: str = ASSUMPTION


def read_size_code(text: str) -> SizeCode:
    """The code's diameter and length. Raises NotASize.

    >>> read_size_code("260")
    SizeCode(code='260', diameter=5080, length=152400)
    """
    code = text.strip()
    match = _CODE.fullmatch(code)
    if match is None:
        shown = "".join(c if c.isprintable() else " " for c in code[:20])
        raise NotASize(
            f'"{shown}" is not a balloon size code.',
            "A code has three digits: the diameter in inches, then the length in inches as two "
            'digits. "260" is 2 in thick and 60 in long.',
        )
    return SizeCode(code, int(match[1]) * _INCH, int(match[2]) * _INCH)


def diameter_of(size: str) -> int:
    """Nominal diameter in hundredths of a mm; that of a 260 where the code tells none."""
    try:
        return read_size_code(size).diameter
    except NotASize:
        return 2 * _INCH


def _shipped(code: str, *, flat: float, knot: float, stub: float, twist: float) -> ShippedSize:
    """A shipped size from figures in mm; inflated it is as long as its code says.

    A pinch takes as much body for its two rounded ends as it pushes on: `twist` is both. Two half
    balls stand one diameter long but hold the air of two thirds of it, so a third of the diameter
    is pushed on; 14 mm for a 260 is a little less.
    """
    read = read_size_code(code)
    return ShippedSize(
        read,
        Budget(
            flat=round(flat * 100),
            full=read.length,
            knot=round(knot * 100),
            stub=round(stub * 100),
            twist_takes=round(twist * 100),
            twist_pushes=round(twist * 100),
        ),
    )


# Every figure below is an assumption, from memory. The 260 row is set so that two facts of common
# practice (no source) hold: with a 7 in tail one balloon makes 18 bubbles of 1 in, and with the
# tail left free it makes 36. The others are scaled from it: lengths with the inflated length,
# twists with the diameter.
SIZES: dict[str, ShippedSize] = {
    "160": _shipped("160", flat=270, knot=12, stub=25, twist=7),
    "260": _shipped("260", flat=270, knot=15, stub=30, twist=14),
    "350": _shipped("350", flat=225, knot=20, stub=40, twist=21),
    "646": _shipped("646", flat=207, knot=30, stub=60, twist=42),
}


def smallest_comfortable(size: SizeCode) -> int:
    """The shortest bubble that twists comfortably, in hundredths of a mm.

    About half the diameter: common practice, no source, says 1 in for a 260. A tenth less is let
    pass, so that 25 mm in a 260 counts as comfortable.
    """
    return size.diameter * 9 // 20


def bubbles_per_balloon(budget: Budget, bubble: int, *, step: int, tail: int | None) -> int:
    """How many equal bubbles one balloon makes (M4), with a fixed `tail` or a free one.

    `step` is what tails are rounded to. Counting stops at 1,000.
    """
    count = 0
    while count < 1000:
        more = count + 1
        if budget.tail_for(more, more * bubble, step=step, fixed=tail) is None:
            break
        count = more
    return count
