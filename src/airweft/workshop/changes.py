"""What changed between two states of a design, in a maker's words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from typing import Any

from airweft.base.errors import AirweftError
from airweft.base.nearest import said_list
from airweft.base.units import Unit
from airweft.design.canonical import write_design
from airweft.design.read import design_from_text
from airweft.design.syntax import parse
from airweft.records.choices import keep_of
from airweft.records.design import Design
from airweft.records.net import Net

_MOST = 12
_LONGEST = 40
_NO_MATTER = ("airweft", "name", "notes", "units")


def changes(before: str, now: str) -> tuple[str, ...]:
    """Each difference that bears on a plan, such as "form: across 6 -> 8"; at most a dozen.

    How a length is written, remarks, the name and the notes make no difference. The files that a
    design names are not looked into, and their names make none either.
    """
    if before == now:
        return ()
    old, new = _design(before), _design(now)
    if new is None:
        return ("the design cannot be read as it is now",)
    found = list(_between(_meant(old, new.units) if old else {}, _meant(new, new.units)))
    if len(found) > _MOST:
        found = [*found[: _MOST - 1], f"and {len(found) - _MOST + 1} more changes"]
    return tuple(found)


def same_net(one: Net, other: Net) -> bool:
    """Whether two nets are the same but for where their joints lie."""
    return (
        one.bubble_count == other.bubble_count
        and one.joint_count == other.joint_count
        and one.colours == other.colours
        and one.sizes == other.sizes
        and one.bubble_names == other.bubble_names
        and bool((one.ends == other.ends).all())
        and bool((one.lengths == other.lengths).all())
    )


def same_but_colours(one: Net, other: Net) -> bool:
    """Whether two nets are the same, places of joints included, whatever their colours."""
    return one is other or (
        same_net(replace(one, colours=other.colours), other)
        and one.joint_names == other.joint_names
        and bool((one.joints == other.joints).all())
    )


def file_changes(one: Net | None, other: Net | None) -> tuple[str, ...]:
    """What changed between two nets of texts that say the same; nothing where one is not there."""
    if one is None or other is None or same_net(one, other):
        return ()
    return ("form: a file that the design names has other contents",)


@lru_cache(maxsize=8)
def _design(text: str) -> Design | None:
    try:
        return design_from_text(text)
    except AirweftError:
        return None


def _meant(design: Design, unit: Unit) -> dict[str, Any]:
    """What a design says, without the manner in which it is written; lengths in one unit."""
    data = parse(write_design(replace(design, units=unit)), "design").data or {}
    pattern = data.get("pattern", {})
    if isinstance(pattern.get("base"), dict):  # painted over: the base is what it was before
        own = pattern.get("bubbles", {})
        data["pattern"] = {**pattern["base"], "bubbles": own}
    return data


def _between(old: dict[str, Any], new: dict[str, Any]) -> Iterator[str]:
    keys = [*new, *(key for key in old if key not in new)]
    for key in keys:
        if key in _NO_MATTER:
            continue
        one, other = old.get(key, {}), new.get(key, {})
        if key == "form":
            yield from _forms(one, other)
        else:
            yield from _section([key], one, other)


def _forms(old: dict[str, Any], new: dict[str, Any]) -> Iterator[str]:
    if old.get("kind") != new.get("kind"):
        yield f"form: {_said(old.get('kind'))} -> {_said(new.get('kind'))}"
        return
    parts, now = old.get("part", []), new.get("part", [])
    named = {part.get("name"): part for part in parts}
    for part in now:
        name = str(part.get("name"))
        if part.get("name") in named:
            yield from _section(["form", f"part {name}"], named[part.get("name")], part)
        else:
            yield f"form: part {name} is new"
    for name in named:
        if name not in [part.get("name") for part in now]:
            yield f"form: part {name} is gone"
    if [p.get("name") for p in parts] != [p.get("name") for p in now] and sorted(
        str(p.get("name")) for p in parts
    ) == sorted(str(p.get("name")) for p in now):
        yield "form: the parts come in another order"
    rest = ("part", "file")
    yield from _section(
        ["form"],
        {key: value for key, value in old.items() if key not in rest},
        {key: value for key, value in new.items() if key not in rest},
    )


def _section(where: list[str], old: Any, new: Any) -> Iterator[str]:
    if not isinstance(old, dict) or not isinstance(new, dict):
        if old != new:
            yield f"{', '.join(where)} changed"
        return
    if where == ["pattern"] and isinstance(old.get("bubbles"), dict | None):
        yield from _painted(old.get("bubbles") or {}, new.get("bubbles") or {})
        old = {key: value for key, value in old.items() if key != "bubbles"}
        new = {key: value for key, value in new.items() if key != "bubbles"}
    if where == ["plan"]:
        yield from _kept(old.get("keep", []), new.get("keep", []))
        old = {key: value for key, value in old.items() if key != "keep"}
        new = {key: value for key, value in new.items() if key != "keep"}
    for key in [*new, *(key for key in old if key not in new)]:
        one, other = old.get(key), new.get(key)
        if one == other or key == "file":
            continue
        if isinstance(one, dict) and isinstance(other, dict):
            yield from _section([*where, key], one, other)
        else:
            yield f"{', '.join(where)}: {key} {_said(one)} -> {_said(other)}"


def _kept(old: list[dict[str, Any]], new: list[dict[str, Any]]) -> Iterator[str]:
    for table in new:
        if table not in old:
            yield f"plan: fixed, {keep_of(table).title}"
    for table in old:
        if table not in new:
            yield f"plan: no longer fixed, {keep_of(table).title}"


def _painted(old: dict[str, Any], new: dict[str, Any]) -> Iterator[str]:
    other = [name for name in {**old, **new} if old.get(name) != new.get(name)]
    if len(other) > 3:
        yield f"pattern: {len(other):,} bubbles have another colour"
    elif other:
        noun = "bubble" if len(other) == 1 else "bubbles"
        yield f"pattern: another colour for the {noun} {said_list(other)}"


def _said(value: object) -> str:
    match value:
        case None:
            return "none"
        case bool():
            return "yes" if value else "no"
        case list() if not value:
            return "none"
        case list() if all(isinstance(item, str) and len(item) < 20 for item in value):
            text = said_list(map(str, value))
        case list() | dict():
            return "another list" if isinstance(value, list) else "another table"
        case _:
            text = str(value)
    text = " ".join(text.split())
    return text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"
