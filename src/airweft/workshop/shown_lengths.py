"""Lengths of a design as an input shows them, and the next ones above and below."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from airweft.base.units import HUNDREDTHS, NotALength, Unit, show_length, stated_length
from airweft.workshop.inputs import number

_STEPS: dict[Unit, Fraction] = {"mm": Fraction(5), "cm": Fraction(1), "in": Fraction(1, 2)}
_FINE: dict[Unit, Fraction] = {"mm": Fraction(1, 2), "cm": Fraction(1, 10), "in": Fraction(1, 8)}
_BEYOND: dict[Unit, Fraction] = {"mm": Fraction(100), "cm": Fraction(10), "in": Fraction(4)}
_PARTS: dict[Unit, int] = {"mm": 100, "cm": 100, "in": 64}
"""What a step may leave: two decimals (three could be taken for thousands), sixty-fourths."""


def shown_length(value: object, unit: Unit) -> tuple[str, str]:
    """How an input beside which `unit` stands shows a length, and what it is in that unit where
    the design has it in another one ("" where the two are the same).

    >>> shown_length("1 1/4 in", "in"), shown_length("4 cm", "in")
    (('1 1/4', ''), ('4 cm', 'about 1 9/16 in'))
    """
    if value is None:
        return "", ""
    if not isinstance(value, str):
        return (f"{value:.10g}" if isinstance(value, float) else str(value)), ""
    said = value.strip()
    below = said.startswith("-")
    bare = said[1:] if below else said
    other: Unit = "mm" if unit != "mm" else "in"
    try:
        amount, own = stated_length(bare, other)
        stated = own == stated_length(bare, unit)[1]
    except NotALength:
        return said, ""
    if not stated:
        return said, ""
    if own == unit:
        number = bare.rstrip("\"″”' .abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")
        return f"{'-' if below else ''}{number}", ""
    about = show_length(round(amount * HUNDREDTHS[own]), unit)
    return said, f"about {'-' if below else ''}{about}"


def stepped_length(said: str, way: int, unit: Unit, *, fine: bool = False) -> str:
    """The length a step above (`way` 1) or below (-1), as an input shows it; never below a step.

    >>> stepped_length("18,5", 1, "cm"), stepped_length("1 1/4", -1, "in")
    ('19.5', '3/4')
    """
    step = (_FINE if fine else _STEPS)[unit]
    try:
        plain = number(said)  # no doubt of what three decimals mean: the design has them
        amount, own = stated_length(said if plain is None else plain, unit)
    except NotALength:
        return said
    exact = amount * HUNDREDTHS[own] / HUNDREDTHS[unit]
    new = exact + way * step
    if _PARTS[unit] % new.denominator:  # to the next whole step
        new = (exact // step + (1 if way > 0 else 0)) * step
    new = max(step, new)
    return _said(new, unit)


def middle_of(one: object, other: object, unit: Unit) -> int | float | str | object:
    """The length in the middle of two, as a design has it; the first where one cannot be read."""
    a, b = _amount(one, unit), _amount(other, unit)
    return one if a is None or b is None else _value((a + b) / 2, unit)


def beyond(length: object, unit: Unit) -> int | float | str | object:
    """A length well beyond another, as a design has it; the same where it cannot be read."""
    found = _amount(length, unit)
    return length if found is None else _value(found + _BEYOND[unit], unit)


def _amount(value: object, unit: Unit) -> Fraction | None:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        return None
    try:
        amount, own = stated_length(value, unit)
    except NotALength:
        return None
    return amount * HUNDREDTHS[own] / HUNDREDTHS[unit]


def _value(exact: Fraction, unit: Unit) -> int | float | str:
    """A length as near as the unit usually says it."""
    near = Fraction(round(exact * _PARTS[unit]), _PARTS[unit])
    if near.denominator == 1:
        return int(near)
    return f"{_said(near, unit)} in" if unit == "in" else float(near)


def _said(exact: Fraction, unit: Unit) -> str:
    if unit == "in":
        whole, rest = divmod(exact, 1)
        return f"{whole} {rest}" if whole and rest else f"{rest or whole}"
    return f"{Decimal(exact.numerator) / Decimal(exact.denominator):f}"
