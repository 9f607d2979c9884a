"""Colours of a piece as a page edits them: names, marks that are free, patterns in the text."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from airweft.base.nearest import said_list
from airweft.colour.difference import difference, lab_of
from airweft.colour.seen import EYES, Alike, Eyes, alike, seen_by
from airweft.design.css import CSS_COLOURS
from airweft.design.lines import Path
from airweft.design.marks import why_no_mark, with_mark
from airweft.design.setting import with_key
from airweft.records.design import Colour, Design, Joined, NetFile
from airweft.workshop.inputs import raw, section

__all__ = ["EYES", "Alike", "Eyes", "alike", "seen_by", "with_mark"]

_MARKS = "RWYGBOPTKNSVMCLAEFHJUXQDZI2345678901"
PATTERNS = ("plain", "columns", "rows", "checks", "panels")
"""Patterns that lie under what is painted by hand."""


def colour_name(hex_colour: str) -> str:
    """The CSS colour name that lies nearest.

    >>> colour_name("#c8102e")
    'crimson'
    """
    lab = lab_of(hex_colour)
    return min(CSS_COLOURS, key=lambda name: (difference(lab, lab_of(CSS_COLOURS[name])), name))


def with_colour(text: str, colour: Colour, hex_colour: str, name: str, *, called: str) -> str:
    """The text with another tone or name for a colour.

    A colour that was called after its tone gets the name of the new tone; one that the maker named
    keeps that. Raises BadInput.
    """
    tone = hex_colour.lower()
    own = name.strip()
    if own == colour.name and tone != colour.hex and _after_tone(colour):
        own = colour_name(tone)
    value: object = {"name": own, "colour": tone}
    if CSS_COLOURS.get(own.lower()) == tone:
        value = own.lower()
    return with_key(text, ("colours", colour.mark), value, name=called)


def why_no_other_mark(text: str, design: Design | None, old: str, new: str) -> str:
    """Why a colour cannot have another mark, in words; "" where it can."""
    reason = why_no_mark(text, old, new)
    if reason or new == old:
        return reason
    files = [file for file, marks in _files_with_marks(design) if old in marks]
    if files:
        return (
            f"{old} stands in the file {said_list(files)} too, which stays as it is. "
            "Give the bubbles of that file a pattern first, or change the mark in the file."
        )
    return ""


def _files_with_marks(design: Design | None) -> list[tuple[str, frozenset[str]]]:
    """The net files whose own colours a design uses, each with its marks."""
    if design is None:
        return []
    form = design.form
    given = [form] if isinstance(form, NetFile) and design.pattern.kind == "given" else []
    if isinstance(form, Joined):
        given = [
            part.form
            for part in form.parts
            if isinstance(part.form, NetFile) and part.pattern is None
        ]
    return [(one.file, frozenset(one.net.colours)) for one in given]


def with_new_colour(text: str, *, called: str) -> str:
    """The text with one colour more, unlike those that are there. Raises BadInput."""
    there = section(text, "colours")
    taken = {str(mark).lower() for mark in there}
    used = {_tone(value) for value in there.values()}
    for name in ("red", "gold", "royalblue", "seagreen", "orange", "purple", "black", "white",
                 "hotpink", "turquoise", "saddlebrown", "grey"):  # fmt: skip
        if name not in used and CSS_COLOURS[name] not in used:
            break
    first = name[0].upper()
    free = [mark for mark in first + _MARKS if mark.lower() not in taken]
    return with_key(text, ("colours", free[0] if free else first), name, name=called)


def base_of(text: str) -> tuple[Path, Mapping[str, Any]]:
    """Where the pattern under what is painted by hand stands in the text, and what it says."""
    pattern = section(text, "pattern")
    if pattern.get("kind") == "hand":
        base = pattern.get("base")
        return ("pattern", "base"), base if isinstance(base, dict) else {}
    return ("pattern",), pattern


def painted_by_hand(text: str) -> int:
    """How many bubbles have a colour by hand, one by one."""
    bubbles = section(text, "pattern").get("bubbles")
    return len(bubbles) if isinstance(bubbles, dict) else 0


def without_hand(text: str, *, called: str) -> str:
    """The text with the pattern alone, all colours of single bubbles taken away."""
    pattern = section(text, "pattern")
    base = pattern.get("base")
    if pattern.get("kind") != "hand":
        return text
    if isinstance(base, dict):
        return with_key(text, ("pattern",), base, name=called)
    if section(text, "form").get("kind") == "net":
        return with_key(text, ("pattern",), None, name=called)
    return text


def part_pattern(text: str, at: int) -> tuple[Path, Mapping[str, Any]]:
    """Where the pattern of one part of a joined form stands, and what it says; empty for none."""
    parts = section(text, "form").get("part")
    part = parts[at] if isinstance(parts, list) and at < len(parts) else {}
    own = part.get("pattern") if isinstance(part, dict) else None
    return ("form", "part", at, "pattern"), own if isinstance(own, dict) else {}


def with_pattern(
    text: str, kind: str, *, called: str, where: tuple[Path, Mapping[str, Any]] | None = None
) -> str:
    """The text with another pattern under what is painted by hand, or `where` it says.

    No kind takes the pattern of a part away. Raises BadInput.
    """
    path, before = base_of(text) if where is None else where
    if not kind:
        return with_key(text, path, None, name=called)
    marks = [str(mark) for mark in raw(text).get("colours", {})] or ["R"]
    old = str(before.get("repeat") or before.get("colour") or before.get("rest") or "")
    value: dict[str, Any] = {"kind": kind}
    if kind == "plain":
        value["colour"] = old[:1] or marks[0]
    elif kind == "panels":
        value["rest"] = old[:1] or marks[0]
    else:
        several = len(set(old)) > 1
        value["repeat"] = old if several else "".join(marks[:2]) if len(marks) > 1 else marks[0] * 2
    return with_key(text, path, value, name=called)


def known_marks(repeat: str, palette: Mapping[str, Any], *, least: int = 1) -> str:
    """Why a text of marks cannot be a repeat of `least` marks or more, "" if it can."""
    foreign = dict.fromkeys(c for c in repeat if not c.isspace() and c not in palette)
    if foreign:
        return (
            f"{said_list(list(foreign)[:5])}: no such mark. Marks are {said_list(list(palette))}."
        )
    if len("".join(repeat.split())) < least:
        few = "Write marks of the colours" if least == 1 else "Write two marks or more"
        return f"{few}, such as {''.join(palette)[: least + 1]}."
    return ""


def _after_tone(colour: Colour) -> bool:
    return colour.name.startswith("#") or CSS_COLOURS.get(colour.name) == colour.hex


def _tone(value: object) -> str:
    found = value.get("colour", "") if isinstance(value, dict) else value
    return str(found).strip().lower()
