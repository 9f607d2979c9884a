"""Lengths: one reader and one writer. Inside, whole hundredths of a millimetre.

A length that could be read in two ways is refused with both readings, never guessed: "1,000" may be
one or a thousand, "1.234,5" mixes two habits of writing. Rounding happens once, here, to the
nearest hundredth of a millimetre, halves upwards.
"""

from __future__ import annotations

import math
import re
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Literal

Unit = Literal["mm", "cm", "in"]

UNITS: tuple[Unit, ...] = ("mm", "cm", "in")

HUNDREDTHS: dict[Unit, int] = {"mm": 100, "cm": 1000, "in": 2540}
"""Hundredths of a millimetre in each unit. 1 in = 25.4 mm exactly (international inch, 1959)."""

LONGEST = 10_000_000
"""100 m: anything longer is a slip of the pen, since the longest balloons are under 3 m."""

_UNIT_WORDS: dict[str, Unit] = {
    "mm": "mm",
    "millimetre": "mm",
    "millimetres": "mm",
    "millimeter": "mm",
    "millimeters": "mm",
    "cm": "cm",
    "centimetre": "cm",
    "centimetres": "cm",
    "centimeter": "cm",
    "centimeters": "cm",
    "in": "in",
    "in.": "in",
    "inch": "in",
    "inches": "in",
    '"': "in",
    "″": "in",
    "”": "in",
    "''": "in",
}
_FEET = ("ft", "ft.", "foot", "feet", "'", "′", "’")
_METRES = ("m", "metre", "metres", "meter", "meters")
_ONE_SIGN = {
    "¼": "1/4",
    "½": "1/2",
    "¾": "3/4",
    "⅓": "1/3",
    "⅔": "2/3",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_PARTS = re.compile(r"(?P<sign>[-+−–]?)\s*(?P<number>[0-9][0-9.,/ '_-]*|[.,][0-9]+)(?P<unit>.*)")
_PLAIN = re.compile(r"[0-9]+")
_DECIMAL = re.compile(r"(?P<whole>[0-9]*)[.,](?P<after>[0-9]+)")
_FRACTION = re.compile(r"(?:(?P<whole>[0-9]+)(?: *- *| +))?(?P<top>[0-9]+) ?/ ?(?P<bottom>[0-9]+)")


class NotALength(ValueError):
    """A length that cannot be read: what is wrong with it, and what to write instead."""

    def __init__(self, message: str, remedy: str) -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy


def read_length(value: object, unit: Unit, *, zero: bool = False) -> int:
    """The length in whole hundredths of a millimetre.

    Plain numbers, and texts without a unit, are in `unit`; texts with one ("2,5 cm", "1 1/4 in",
    '7"', "25 mm") mean what they say. Zero is refused unless `zero`. Raises NotALength.

    >>> read_length("2,5 cm", "in")
    2500
    >>> read_length("1 1/4 in", "cm")
    3175
    >>> read_length(2.5, "cm")
    2500
    """
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise NotALength(
            f"{_kind(value)} is not a length.",
            'Write a number such as 2.5, or a text with its unit such as "2,5 cm" or "1 1/4 in".',
        )
    amount, found = stated_length(value, unit)
    return _to_hundredths(amount, found, zero=zero, said=_said(value))


def stated_length(value: str | int | float, unit: Unit) -> tuple[Fraction, Unit]:
    """The exact amount and the unit that a length states, without rounding; plain numbers and texts
    without a unit are in `unit`. Raises NotALength for what cannot be read.

    >>> stated_length("1 1/4 in", "cm")
    (Fraction(5, 4), 'in')
    """
    return _read_text(value, unit) if isinstance(value, str) else (_read_number(value), unit)


def show_length(length: int, unit: Unit, *, fraction: int = 16, comma: bool = False) -> str:
    """The length as a maker says it: "2.5 cm", "25 mm", "1 1/4 in".

    Inches are rounded to the nearest `fraction` of an inch and cancelled down; centimetres and
    millimetres to the nearest tenth of a millimetre. `comma` writes the decimal sign as a comma.

    >>> show_length(3175, "in"), show_length(2500, "cm"), show_length(2500, "mm")
    ('1 1/4 in', '2.5 cm', '25 mm')
    """
    if unit == "in":
        return f"{_mixed(_half_up(Fraction(length * fraction, 2540)), fraction)} in"
    tenths = _half_up(Fraction(length, 10))
    amount = Decimal(tenths) / (10 if unit == "mm" else 100)
    return f"{_plain(amount, comma=comma)} {unit}"


def exact_length(length: int, unit: Unit) -> str:
    """A text that reads back as exactly this length: in `unit` where that can be, else in mm.

    >>> exact_length(3175, "in"), exact_length(2501, "in")
    ('1 1/4 in', '25.01 mm')
    """
    if unit == "in":
        text = show_length(length, "in", fraction=64)
    else:
        text = f"{_plain(Decimal(length) / HUNDREDTHS[unit])} {unit}"
    try:
        same = read_length(text, unit, zero=True) == length
    except NotALength:  # three decimals could be taken for thousands
        same = False
    return text if same else f"{_plain(Decimal(length) / 100)} mm"


def _read_text(text: str, unit: Unit) -> tuple[Fraction, Unit]:
    """The amount and the unit that a text states."""
    said = _said(text)
    plain = " ".join(text.replace("⁄", "/").split())  # also turns hard spaces into plain ones
    for sign, fraction in _ONE_SIGN.items():
        plain = plain.replace(sign, f" {fraction} ")
    plain = " ".join(plain.split())
    if len(plain) > 60:
        raise NotALength(f"{said} is too long to be a length.", 'Write it such as "2.5 cm".')
    parts = _PARTS.fullmatch(plain)
    if parts is None:
        raise NotALength(
            f"{said} is not a length.",
            'Begin with the number, such as "2.5 cm", "2,5 cm", "25 mm" or "1 1/4 in".',
        )
    if parts["sign"] and parts["sign"] != "+":
        raise NotALength(f"{said} is below zero.", "Give a length above zero, without a minus.")
    number, unit_word = parts["number"].strip(), parts["unit"].strip()
    if number.endswith("'"):  # the regular expression takes a closing ' for a thousands mark
        stripped = number.rstrip("'")
        number, unit_word = stripped.strip(), number[len(stripped) :] + unit_word
    return _read_amount(number, said), _read_unit(unit_word, unit, said)


def _read_unit(word: str, unit: Unit, said: str) -> Unit:
    """The unit meant by what follows the number."""
    if not word:
        return unit
    lower = word.lower()
    if lower in _UNIT_WORDS:
        return _UNIT_WORDS[lower]
    if lower in _FEET:
        raise NotALength(f"{said} is in feet.", 'Give it in inches, such as "30 in" for 2 1/2 ft.')
    if lower in _METRES:
        raise NotALength(f"{said} is in metres.", 'Give it in cm, such as "150 cm" for 1.5 m.')
    raise NotALength(
        f'"{_short(word)}" in {said} is not a unit that is known here.',
        'Use mm, cm or in, with one number: "25 mm", "2.5 cm", "1 1/4 in".',
    )


def _read_amount(number: str, said: str) -> Fraction:
    """The number itself: whole, with a decimal point or comma, or with a fraction."""
    if _PLAIN.fullmatch(number):
        return Fraction(int(number))
    decimal = _DECIMAL.fullmatch(number)
    if decimal is not None:
        return _read_decimal(decimal["whole"], decimal["after"], said)
    fraction = _FRACTION.fullmatch(number)
    if fraction is not None:
        return _read_fraction(
            int(fraction["whole"] or 0), int(fraction["top"]), int(fraction["bottom"]), said
        )
    if "/" in number:
        raise NotALength(
            f"The fraction in {said} cannot be read.",
            'Write whole number, space, fraction, such as "1 1/4 in" or "3/4 in".',
        )
    if re.search(r"[.,].*[.,]|[ '_]", number):
        raise NotALength(
            f"{said} holds marks between the digits that can be read in more than one way.",
            "Write the digits without marks for the thousands, and one point or comma for the "
            'decimals, such as "1234.5 mm".',
        )
    raise NotALength(f"{said} is not a length.", 'Write it such as "2.5 cm" or "1 1/4 in".')


def _read_decimal(whole: str, after: str, said: str) -> Fraction:
    """A number with one point or comma, unless that could be a mark for the thousands."""
    if len(after) == 3 and 1 <= len(whole) <= 3 and not whole.startswith("0"):
        mark = "point" if "." in said and "," not in said else "comma"
        rounded = str(Decimal(f"{whole}.{after}").quantize(Decimal("0.01"), ROUND_HALF_UP))
        raise NotALength(
            f"{said} can be read in two ways: as {whole}{after} if the {mark} marks the thousands, "
            f"or as about {rounded} if it marks the decimals.",
            f'Write "{whole}{after}" for the large one, or "{rounded}" with two decimals '
            "for the small one, and the unit.",
        )
    return Fraction(Decimal(f"{whole or '0'}.{after}"))


def _read_fraction(whole: int, top: int, bottom: int, said: str) -> Fraction:
    """A proper fraction, on its own or after a whole number."""
    if bottom == 0:
        raise NotALength(f"{said} divides by zero.", 'Write a fraction such as "1 1/4 in".')
    if top >= bottom:
        over, rest = divmod(top, bottom)
        proper = f"{whole + over} {rest}/{bottom}" if rest else f"{whole + over}"
        raise NotALength(
            f"{said} has a fraction of one or more, which may be a slip.",
            f'Write "{proper}" if that is what you mean, '
            'or put a space after the whole number, such as "1 1/4 in".',
        )
    return whole + Fraction(top, bottom)


def _read_number(value: float) -> Fraction:
    """A plain number, by its shortest decimal writing and not by its binary value."""
    if isinstance(value, float) and not math.isfinite(value):
        raise NotALength(f"{_said(value)} is not a length.", "Write a number such as 2.5.")
    return Fraction(value) if isinstance(value, int) else Fraction(repr(value))


def _to_hundredths(amount: Fraction, unit: Unit, *, zero: bool, said: str) -> int:
    """The amount in hundredths of a millimetre, if it can be the length of anything here."""
    if amount < 0:
        raise NotALength(f"{said} is below zero.", "Give a length above zero, without a minus.")
    exact = amount * HUNDREDTHS[unit]
    if exact > LONGEST:
        raise NotALength(
            f"{said} is more than 100 m, longer than anything made of balloons.",
            "Check the number and its unit.",
        )
    length = _half_up(exact)
    if length == 0 and amount > 0:
        raise NotALength(
            f"{said} is less than a hundredth of a millimetre.", "Check the number and its unit."
        )
    if length == 0 and not zero:
        raise NotALength(f"{said} is zero.", "Give a length above zero.")
    return length


def _half_up(exact: Fraction) -> int:
    """The nearest whole number, halves upwards (exact, for numbers from zero)."""
    return math.floor(exact + Fraction(1, 2))


def _mixed(parts: int, fraction: int) -> str:
    """`parts` of a `fraction` of one, such as 20 sixteenths, as "1 1/4"."""
    whole, rest = divmod(parts, fraction)
    if rest == 0:
        return str(whole)
    least = Fraction(rest, fraction)
    text = f"{least.numerator}/{least.denominator}"
    return f"{whole} {text}" if whole else text


def _plain(amount: Decimal, *, comma: bool = False) -> str:
    """A decimal without exponent and without zeros at its end."""
    text = f"{amount:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return text.replace(".", ",") if comma else text


def _said(value: object) -> str:
    """The value as it stands in the file, cut short where it is long."""
    if isinstance(value, str):
        return f'"{_short(value)}"'
    try:
        return _short(str(value))
    except ValueError:  # whole numbers of thousands of digits have no short writing
        return "This number"


def _short(text: str) -> str:
    """At most 40 characters of a text, without line breaks and control characters."""
    clean = "".join(c if c.isprintable() else " " for c in text)
    return clean if len(clean) <= 40 else clean[:37] + "..."


def _kind(value: object) -> str:
    """What a value of a wrong type is, in words."""
    if isinstance(value, bool):
        return f'"{str(value).lower()}"'
    if isinstance(value, dict):
        return "A section with keys of its own"
    if isinstance(value, list | tuple):
        return "A list in square brackets"
    return "This value"
