"""The [colours] section: marks, names and colours."""

from __future__ import annotations

import re
from typing import Any

from airweft.base.nearest import nearest
from airweft.design.css import CSS_COLOURS
from airweft.design.explain import validate
from airweft.design.lines import Path
from airweft.design.report import Report, said, short
from airweft.design.schema import ColourPart
from airweft.records.design import Colour

_HERE: Path = ("colours",)
_MARK = re.compile(r"[A-Za-z0-9]")
_HEX = re.compile(r"#[0-9a-fA-F]{6}")
_SHORT_HEX = re.compile(r"#[0-9a-fA-F]{3}")
_ALIKE = ("0O", "1I", "1l", "Il", "5S", "2Z", "8B")


def read_palette(data: Any, report: Report) -> tuple[Colour, ...] | None:
    """The palette in the order of its marks, or None after its problems were reported."""
    if not isinstance(data, dict):
        validate(ColourPart, data, _HERE, report)
        return None
    if not data:
        report.bad(
            "missing-key",
            _HERE,
            "There is no colour in [colours].",
            'Add a line for each colour: R = "red"',
        )
        return None
    colours = [
        None if report.is_full else _colour(str(mark), value, report)
        for mark, value in data.items()
    ]
    good = _check_case([str(mark) for mark in data], report)
    palette = tuple(c for c in colours if c is not None)
    if not good or len(palette) < len(colours):
        return None
    _advise(palette, report)
    return tuple(sorted(palette, key=lambda colour: colour.mark))


def marks_of(data: Any) -> list[str]:
    """The marks that the section names, whether or not their colours can be read."""
    return [str(mark) for mark in data] if isinstance(data, dict) else []


def _colour(mark: str, value: Any, report: Report) -> Colour | None:
    """One entry of the palette."""
    here: Path = (*_HERE, mark)
    good = _MARK.fullmatch(mark) is not None
    if not good:
        suggestion = next((c.upper() for c in mark if _MARK.fullmatch(c)), "R")
        report.bad(
            "colour-mark",
            here,
            f"{said(mark)} cannot be the mark of a colour: a mark is one letter (A to Z) or "
            "one digit.",
            f"Write it such as: {suggestion} = {said(value) if isinstance(value, str) else '...'}",
        )
    name: str | None = None
    if isinstance(value, dict):
        part = validate(ColourPart, value, here, report)
        if part is None:
            return None
        name, value, here = part.name, part.colour, (*here, "colour")
    digits = digits_of(value, here, report)
    if digits is None or not good:
        return None
    if name is None:
        name = digits if value.strip().startswith("#") else value.strip().lower()
    return Colour(mark, name, digits)


def digits_of(value: Any, here: Path, report: Report) -> str | None:
    """#rrggbb in small letters, for a colour name or digits; None after reporting what is wrong."""
    if not isinstance(value, str):
        report.bad(
            "wrong-type",
            here,
            f"A colour is a text in quotes, not {said(value)}.",
            'Write a CSS colour name or #rrggbb, such as R = "red" or R = "#c8102e".',
        )
        return None
    text = value.strip().lower()
    if _HEX.fullmatch(text):
        return text
    if _SHORT_HEX.fullmatch(text):
        return "#" + "".join(2 * c for c in text[1:])
    found = CSS_COLOURS.get(re.sub(r"[ _-]", "", text))
    if found is not None:
        return found
    if text.startswith("#"):
        report.bad(
            "bad-colour",
            here,
            f"{said(value)} is not a colour: after # stand six digits, 0 to 9 and a to f.",
            'Write it such as "#c8102e": two digits each for red, green and blue.',
        )
        return None
    close = nearest(re.sub(r"[ _-]", "", text), CSS_COLOURS)
    report.bad(
        "bad-colour",
        here,
        f'"{short(value)}" is not a colour name that is known.',
        (f'Did you mean "{close}"? ' if close else "")
        + 'Use a CSS colour name such as "gold" or "navy", or #rrggbb.',
    )
    return None


def _check_case(marks: list[str], report: Report) -> bool:
    """Report marks that differ only by case: they sound alike when read out."""
    seen: dict[str, str] = {}
    good = True
    for mark in marks:
        first = seen.setdefault(mark.lower(), mark)
        if first != mark:
            good = False
            report.bad(
                "colour-mark",
                (*_HERE, mark),
                f"The marks {short(first)} and {short(mark)} differ only in size, and sound the "
                "same when read out.",
                "Choose another letter for one of them.",
            )
    return good


def _advise(palette: tuple[Colour, ...], report: Report) -> None:
    """A note for every two marks that are easily mixed up in print."""
    for i, colour in enumerate(palette):
        for other in palette[:i]:
            if any({colour.mark, other.mark} == set(pair) for pair in _ALIKE):
                report.note(
                    "marks-alike",
                    (*_HERE, colour.mark),
                    f"The marks {other.mark} and {colour.mark} are easily mixed up in print.",
                    "Choose another letter for one of them.",
                )
