"""Every length that a design's text holds, and the same lengths in another unit."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Annotated, Any, get_args, get_origin

from airweft.base.other_unit import in_other_unit
from airweft.base.units import UNITS, NotALength, Unit, stated_length
from airweft.design import schema
from airweft.design.leaves import leaves_of, value_at, with_leaves
from airweft.design.lines import Path
from airweft.design.plan_keys import InsidePart
from airweft.design.setting import with_key
from airweft.design.syntax import parse

_READERS = tuple(
    mark
    for length in (schema.Length, schema.LengthOrZero, schema.ProfileLine, schema.Spot)
    for mark in get_args(length)[1:]
)


def lengths_of(data: Any) -> Iterator[Path]:
    """The paths of all single values in plain data that are lengths by the schema."""
    top = data if isinstance(data, dict) else {}
    form, balloon, plan = (_table(top, key) for key in ("form", "balloon", "plan"))
    yield from _within(balloon, ("balloon",), schema.BalloonPart)
    yield from _within(_table(balloon, "budget"), ("balloon", "budget"), schema.BudgetPart)
    yield from _of_form(form, ("form",))
    parts = form.get("part")
    for number, part in enumerate(parts if isinstance(parts, list) else ()):
        if isinstance(part, dict):
            here: Path = ("form", "part", number)
            yield from _within(part, here, schema.PlacePart)
            yield from _of_form(part, here)
    yield from _within(_table(plan, "inside"), ("plan", "inside"), InsidePart)


def with_units(text: str, unit: Unit, *, name: str = "design") -> str:
    """The design's text with `unit` for its plain numbers, and every length as long as it was.

    Lengths that the new unit cannot say exactly keep the old one, written beside them. Where the
    text has no unit that is known yet, only the key is set. Raises BadInput where the text cannot
    be changed.
    """
    data = parse(text, name).data or {}
    before = data.get("units")
    if before not in UNITS:
        return with_key(text, ("units",), unit, name=name)
    lengths = set(lengths_of(data))

    def changed(path: Path, value: Any) -> Any:
        if path == ("units",):
            return unit
        return in_other_unit(value, before, unit) if path in lengths else value

    return with_leaves(text, changed, name=name)


def other_lengths(data: Any) -> int:
    """How many lengths in plain data are said in another unit than that of the design."""
    unit = data.get("units") if isinstance(data, dict) else None
    if unit not in UNITS:
        return 0
    other: Unit = "mm" if unit == "in" else "in"
    count = 0
    for path in lengths_of(data):
        value = value_at(data, path)
        if not isinstance(value, str):
            continue
        try:
            bare = value.strip().removeprefix("-")
            own = {stated_length(bare, one)[1] for one in (unit, other)}
        except NotALength:
            continue
        count += own != {unit, other} and unit not in own
    return count


@cache
def length_keys(part: type[schema.Part]) -> frozenset[str]:
    """The keys of a section that hold lengths, single ones or lists of them."""
    return frozenset(
        key
        for key, field in part.model_fields.items()
        if any(mark in _READERS for mark in (*field.metadata, *_marks(field.annotation)))
    )


def _of_form(table: dict[str, Any], at: Path) -> Iterator[Path]:
    part = schema.FORMS.get(str(table.get("kind")))
    if part is not None:
        yield from _within(table, at, part)


def _within(table: dict[str, Any], at: Path, part: type[schema.Part]) -> Iterator[Path]:
    for key in length_keys(part) & table.keys():
        value = table[key]
        if isinstance(value, list):
            yield from (path for path, _ in leaves_of(value, (*at, key)))
        else:
            yield (*at, key)


def _table(data: dict[str, Any], key: str) -> dict[str, Any]:
    found = data.get(key)
    return found if isinstance(found, dict) else {}


def _marks(annotation: Any) -> tuple[Any, ...]:
    if get_origin(annotation) is Annotated:
        return get_args(annotation)[1:]
    return tuple(mark for inner in get_args(annotation) for mark in _marks(inner))
