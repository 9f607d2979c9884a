"""The same length written for a file of another unit: exactly, or with its own unit beside it."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

from airweft.base.units import HUNDREDTHS, NotALength, Unit, stated_length

_FINEST = 64
"""Fractions of an inch are written down to sixty-fourths."""
_MOST_DIGITS = 6
"""Decimals beyond which nobody writes a length."""


def in_other_unit(value: object, before: Unit, now: Unit) -> object:
    """`value`, a length of a file in `before`, as a file in `now` has it; the length is the same.

    A plain number where one says it exactly, a fraction for inches, else the text with the unit
    that it had. Inches that stand in a metric file on purpose stay inches. A minus is kept. What
    is no length stays as it is.

    >>> in_other_unit(2.5, "cm", "mm"), in_other_unit(31.75, "mm", "in")
    (25, '1 1/4 in')
    >>> in_other_unit(3, "cm", "in")
    '3 cm'
    """
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        return value
    text = value.strip() if isinstance(value, str) else ""
    below = text.startswith("-")
    try:
        amount, unit = stated_length(text[1:] if below else text or value, before)
    except NotALength:
        return value
    if unit == "in" and before != "in" and now != "in":
        return value
    amount = -amount if below else amount
    exact = amount * HUNDREDTHS[unit] / HUNDREDTHS[now]
    written = _inches(exact) if now == "in" else _decimal(exact)
    if written is not None:
        return written
    if text and stated_length(text.removeprefix("-"), now)[1] == unit:  # it says its unit itself
        return value
    return _with_unit(amount, unit, text)


def _inches(amount: Fraction) -> int | float | str | None:
    """A whole number, a fraction such as "1 1/4 in", or a short decimal; None if it is neither."""
    if amount.denominator == 1:
        return int(amount)
    if _FINEST % amount.denominator:
        return _decimal(amount)
    whole, rest = divmod(abs(amount), 1)
    sign = "-" if amount < 0 else ""
    return f"{sign}{whole} {rest} in" if whole else f"{sign}{rest} in"


def _decimal(amount: Fraction) -> int | float | None:
    """The number that says it exactly in a few decimals, or None."""
    if amount.denominator == 1:
        return int(amount)
    if not math.isfinite(float(amount)) or 10**_MOST_DIGITS % amount.denominator:
        return None
    number = float(amount)
    return number if Fraction(repr(number)) == amount else None


def _with_unit(amount: Fraction, unit: Unit, text: str) -> str:
    """The amount with its unit, so that it reads back as exactly this length."""
    for one in (unit, "mm", "cm"):
        exact = abs(amount) * HUNDREDTHS[unit] / HUNDREDTHS[one]
        number = _decimal(exact)
        if number is None:
            continue
        said = f"{'-' if amount < 0 else ''}{Decimal(repr(number)):f} {one}"
        try:
            back, _ = stated_length(said.removeprefix("-"), one)
        except NotALength:  # three decimals could be taken for thousands
            continue
        if back == exact:
            return said
    return f"{text or format(Decimal(repr(float(amount))), 'f')} {unit}"
