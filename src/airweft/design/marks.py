"""Another mark for a colour, wherever the text of a design has it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from airweft.base.errors import BadInput
from airweft.base.findings import Finding
from airweft.design.leaves import leaves_of, value_at, with_leaves
from airweft.design.lines import Path
from airweft.design.syntax import parse

_MARK = re.compile(r"[A-Za-z0-9]")
_SEVERAL = ("repeat", "charts")  # texts of many marks; all others are one


def with_mark(text: str, old: str, new: str, *, name: str = "design") -> str:
    """The text with the mark `new` for the colour that had `old`: in the palette, in every pattern
    and its parts, for single bubbles, in charts, and in the order of colours under [plan].

    Remarks stay as they are. Raises BadInput where `new` cannot be had, saying why.
    """
    data = parse(text, name).data or {}
    reason = _reason(data, old, new)
    if reason is not None:
        raise BadInput(reason)
    if new == old:
        return text
    places = dict(_places(data))

    def changed(path: Path, value: Any) -> Any:
        several = places.get(path)
        if several is None or not isinstance(value, str):
            return value
        if several:
            return value.replace(old, new)
        return new if value == old else value

    return with_leaves(text, changed, {("colours", old): new}, name=name)


def why_no_mark(text: str, old: str, new: str) -> str:
    """Why a colour cannot have another mark, in words; "" where it can."""
    found = _reason(parse(text, "design").data or {}, old, new)
    return "" if found is None else f"{found.message} {found.remedy}"


def _reason(data: dict[str, Any], old: str, new: str) -> Finding | None:
    palette = data.get("colours")
    marks = [str(mark) for mark in palette] if isinstance(palette, dict) else []
    if _MARK.fullmatch(new) is None:
        said = f"“{new[:20]}” is" if new else "Nothing is"
        return _no(f"{said} no mark for a colour.", "Take one letter, A to Z, or one digit.")
    if old not in marks:
        return _no(f"There is no colour {old[:20]} any more.", "Look at the palette again.")
    same = next((m for m in marks if m.lower() == new.lower() and m != old), None)
    if same is not None:
        other = palette[same] if isinstance(palette, dict) else ""
        called = other.get("name", same) if isinstance(other, dict) else other
        alike = "" if same == new else f" {same} and {new} sound the same when read out."
        return _no(f"{same} is the mark of {called} already.{alike}", _free(marks))
    used = {
        mark
        for path, several in _places(data)
        for mark in (value_at(data, path) if several else [value_at(data, path)])
    }
    if new in used and new != old:
        return _no(f"{new} stands in a pattern already, without a colour.", _free(marks))
    return None


def _places(data: dict[str, Any]) -> Iterator[tuple[Path, bool]]:
    """The paths of all texts that hold marks; True for those that hold many."""
    yield from _of_pattern(data.get("pattern"), ("pattern",))
    form = data.get("form")
    parts = form.get("part") if isinstance(form, dict) else None
    for number, part in enumerate(parts if isinstance(parts, list) else ()):
        if isinstance(part, dict):
            yield from _of_pattern(part.get("pattern"), ("form", "part", number, "pattern"))
    plan = data.get("plan")
    kept = plan.get("keep") if isinstance(plan, dict) else None
    for number, choice in enumerate(kept if isinstance(kept, list) else ()):
        before = choice.get("before") if isinstance(choice, dict) else None
        for place, mark in enumerate(before if isinstance(before, list) else ()):
            if isinstance(mark, str):
                yield ("plan", "keep", number, "before", place), False


def _of_pattern(pattern: Any, at: Path) -> Iterator[tuple[Path, bool]]:
    if not isinstance(pattern, dict):
        return
    for path, value in leaves_of(pattern, at):
        if isinstance(value, str) and path[-1] != "kind":
            yield path, any(key in _SEVERAL for key in path[len(at) :])


def _free(marks: list[str]) -> str:
    taken = {mark.lower() for mark in marks}
    free = [c for c in "ABCDEFGHJKLMNPQRSTUVWXYZ" if c.lower() not in taken]
    return f"Take another, such as {', '.join(free[:3])}." if free else "Take another."


def _no(message: str, remedy: str) -> Finding:
    return Finding(
        code="colour-mark", severity="cannot", where="colours", message=message, remedy=remedy
    )
