"""Changing single keys in the text of a design, and leaving every other letter of it alone.

A key is changed, added or removed in the text itself. What the text then says is compared with what
it was meant to say; where they differ a library that keeps remarks writes the key instead, and if
that does not hit it either, nothing is changed.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from copy import deepcopy
from itertools import pairwise
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from airweft.base.errors import BadInput
from airweft.base.findings import Finding
from airweft.design.lines import Path
from airweft.design.spans import Section, Spans
from airweft.design.syntax import parse
from airweft.design.writing import key_text, value_text

_MOST_DEEP = 12


def with_key(text: str, path: Sequence[str | int], value: object, *, name: str = "design") -> str:
    """The design's text with the key at `path` set to `value`; None removes it.

    A number in the path is the place in a list; one past its end adds to it. A mapping given for a
    section that is there changes it key by key, so that remarks stay beside keys that stay.
    Raises BadInput for a text that is not TOML, and where the key cannot be written.
    """
    at = tuple(path)
    data = _data(text, name)
    try:
        changes = list(_changes(data, at, value))
        for one, what in changes:
            text = _one(text, one, what)
    except (ValueError, TypeError, KeyError, IndexError, AttributeError, TOMLKitError) as error:
        raise BadInput(_impossible(at, name)) from error
    return text


def with_bubbles(text: str, bubbles: Mapping[str, str], *, name: str = "design") -> str:
    """The text with colours of bubbles by hand; an empty mark takes a bubble's own colour away.

    A pattern of another kind becomes the base of one by hand. Raises BadInput as `with_key` does.
    """
    data = _data(text, name)
    pattern = data.get("pattern")
    if not isinstance(pattern, dict) or pattern.get("kind") != "hand":
        hand = {"kind": "hand"} | ({"base": pattern} if isinstance(pattern, dict) else {})
        text = with_key(text, ("pattern",), hand, name=name)
        data = _data(text, name)
    at = ("pattern", "bubbles")
    own = data["pattern"].get("bubbles")
    had = own if isinstance(own, dict) else {}
    wanted = {bubble: mark for bubble, mark in bubbles.items() if had.get(bubble, "") != mark}
    if not wanted:
        return text
    changed = _bubbles(text, had, wanted)
    expected = deepcopy(data)
    expected["pattern"]["bubbles"] = _over(had, wanted)
    if changed is not None and _same(changed, expected):
        return changed
    return with_key(text, at, _over(had, wanted), name=name)


def _over(had: Mapping[str, object], wanted: Mapping[str, str]) -> dict[str, object]:
    return {bubble: mark for bubble, mark in {**had, **wanted}.items() if mark != ""}


def _bubbles(text: str, had: Mapping[str, object], wanted: Mapping[str, str]) -> str | None:
    """All bubbles in one walk over the text; None where they do not stand in lines of their own."""
    at = ("pattern", "bubbles")
    spans = Spans(text)
    section = next((s for s in spans.sections if s.path == at), None)
    if section is None:
        if had:
            return None
        return _appended(text, f"[{_heading(at)}]", _lines({b: m for b, m in wanted.items() if m}))
    cuts: list[tuple[int, int, str]] = []
    for bubble, mark in wanted.items():
        pair = spans.pairs.get((*at, bubble))
        if pair is None:
            continue
        if pair.section != at:
            return None
        if mark:
            cuts.append((pair.value, pair.end, value_text(mark)))
        else:
            cuts.append((*_whole_lines(text, pair.start, pair.end), ""))
    new = {b: m for b, m in wanted.items() if m and b not in had}
    end = _last_pair(spans, section)
    cuts.append((end, end, _put(text, end, _lines(new))))
    return _cut(text, cuts)


def _data(text: str, name: str) -> dict[str, Any]:
    parsed = parse(text, name)
    if parsed.data is None or parsed.findings:
        raise BadInput(parsed.findings)
    return parsed.data


def _changes(data: Any, at: Path, value: object) -> list[tuple[Path, object]]:
    """The single changes that setting `at` comes to: sections key by key."""
    if not at or len(at) > _MOST_DEEP:
        raise ValueError("no key")
    there = _look(data, at)
    if isinstance(there, dict) and isinstance(value, Mapping):
        out: list[tuple[Path, object]] = []
        other = "kind" in there and there["kind"] != value.get("kind")
        for key in there:
            # A remark beside a key of one kind would not be true of the same key of another.
            if key not in value or (other and key != "kind" and there[key] != value[key]):
                out.append(((*at, key), None))
        if other:
            there = {key: it for key, it in there.items() if key == "kind" or it == value.get(key)}
        for key, inner in value.items():
            if key not in there:
                out.append(((*at, str(key)), inner))
            elif there[key] != inner or type(there[key]) is not type(inner):
                out += _changes(data, (*at, str(key)), inner)
        return out
    return [(at, value)]


_NOTHING: Any = object()


def _look(data: Any, at: Path) -> Any:
    for key in at:
        if isinstance(data, dict):
            if key not in data:
                return _NOTHING
        elif not isinstance(data, list) or not isinstance(key, int) or not 0 <= key < len(data):
            return _NOTHING
        data = data[key]
    return data


def _expected(data: Any, at: Path, value: object) -> Any:
    """What the text shall say."""
    data = deepcopy(data)
    here = data
    for key, following in pairwise(at):
        if isinstance(here, dict):
            here = here.setdefault(key, [] if isinstance(following, int) else {})
        else:
            if key == len(here):
                here.append([] if isinstance(following, int) else {})
            here = here[key]
    last = at[-1]
    if value is None:
        if isinstance(here, dict):
            here.pop(last, None)
        elif isinstance(last, int) and 0 <= last < len(here):
            del here[last]
    elif isinstance(here, list) and last == len(here):
        here.append(_plain(value))
    elif isinstance(here, list) and not (isinstance(last, int) and 0 <= last < len(here)):
        raise ValueError("no such place in the list")
    else:
        here[last] = _plain(value)
    return data


def _plain(value: object) -> object:
    if isinstance(value, Mapping):
        return {str(k): _plain(v) for k, v in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [_plain(v) for v in value]
    return value


def _one(text: str, at: Path, value: object) -> str:
    data = tomllib.loads(text)
    expected = _expected(data, at, value)
    if _equal(expected, data):
        return text
    by_hand = _by_hand(text, at, value, data)
    if by_hand is not None and _same(by_hand, expected):
        return by_hand
    document: Any = tomlkit.parse(text)
    here = document
    for key in at[:-1]:
        if key not in here if isinstance(here, dict) else False:
            here[key] = tomlkit.table()
        here = here[key]
    if value is None:
        del here[at[-1]]
    elif isinstance(here, list) and at[-1] == len(here):
        here.append(_plain(value))
    else:
        here[at[-1]] = _plain(value)
    changed = str(tomlkit.dumps(document))
    if not _same(changed, expected):
        raise ValueError("something else would change")
    return changed


def _same(text: str, expected: object) -> bool:
    try:
        return _equal(tomllib.loads(text), expected)
    except ValueError:
        return False


def _equal(one: Any, other: Any) -> bool:
    """Equal, and of the same types: 1, 1.0 and true are three things in a file."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(_equal(v, other[k]) for k, v in one.items())
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_equal, one, other))
    return type(one) is type(other) and bool(one == other)


def _by_hand(text: str, at: Path, value: object, data: Any) -> str | None:
    """The text changed at one place, or None where that is not plain enough."""
    spans = Spans(text)
    pair = spans.pairs.get(at)
    own = [s for s in spans.sections if s.path[: len(at)] == at]
    if value is None:
        if pair is not None and pair.section is not None:
            return _cut(text, [(*_whole_lines(text, pair.start, pair.end), "")])
        if own and pair is None:
            return _cut(text, [(*_with_remarks(text, s), "") for s in own])
        return None
    if pair is not None:
        inline = pair.section is None
        return _cut(text, [(pair.value, pair.end, value_text(value, inline=inline))])
    if own or isinstance(at[-1], int):
        return _entry(text, spans, at, value, data)
    parent = at[:-1]
    if isinstance(value, Mapping) and len(at) == 1:
        return _appended(text, f"[{_heading(at)}]", _lines(value))
    section = next((s for s in spans.sections if s.path == parent), None)
    line = _lines({str(at[-1]): value})
    if section is not None:
        end = _last_pair(spans, section)
        return _cut(text, [(end, end, _put(text, end, line))])
    if not parent:
        first = spans.sections[0].start if spans.sections else len(text)
        ends = [pair.end for pair in spans.pairs.values() if pair.section == ()]
        if not ends:
            return _cut(text, [(first, first, line)])
        end = _line_end(text, max(ends))
        return _cut(text, [(end, end, _put(text, end, line))])
    if parent not in spans.lines and not any(isinstance(key, int) for key in parent):
        return _appended(text, f"[{_heading(parent)}]", line)
    return None


def _entry(text: str, spans: Spans, at: Path, value: object, data: Any) -> str | None:
    """A new last entry of an array of tables."""
    last = at[-1]
    there = _look(data, at[:-1])
    if not isinstance(value, Mapping) or not isinstance(last, int):
        return None
    before = [s for s in spans.sections if s.path[: len(at) - 1] == at[:-1] and len(s.path) >= 2]
    if isinstance(there, list) and last != len(there):
        return None
    if there is not _NOTHING and not (before and before[0].repeated):
        return None
    end = before[-1].end if before else len(text)
    heading = f"[[{_heading(at[:-1])}]]"
    return _appended(text[:end], heading, _lines(value)) + ("\n" + text[end:] if text[end:] else "")


def _heading(path: Path) -> str:
    return ".".join(key_text(key) for key in path if isinstance(key, str))


def _lines(values: Mapping[str, Any]) -> str:
    return "".join(f"{key_text(str(k))} = {value_text(v)}\n" for k, v in values.items())


def _appended(text: str, heading: str, lines: str) -> str:
    body = text.rstrip("\n")
    return f"{body}\n\n{heading}\n{lines}" if body else f"{heading}\n{lines}"


def _last_pair(spans: Spans, section: Section) -> int:
    """Where the line after a section's last key begins."""
    ends = [p.end for p in spans.pairs.values() if section.body <= p.start < section.end]
    return _line_end(spans.text, max(ends)) if ends else section.body


def _line_end(text: str, at: int) -> int:
    end = text.find("\n", at)
    return len(text) if end < 0 else end + 1


def _put(text: str, at: int, line: str) -> str:
    """The line as it goes in at `at`, where the text may lack its last line end."""
    return f"\n{line}" if line and at and text[at - 1] != "\n" else line


def _whole_lines(text: str, start: int, end: int) -> tuple[int, int]:
    return text.rfind("\n", 0, start) + 1, _line_end(text, end)


def _with_remarks(text: str, section: Section) -> tuple[int, int]:
    """A section to be removed; remarks that lead to the next heading stay with that."""
    lines = text[section.start : section.end].split("\n")
    kept = len(lines)
    while kept > 1 and lines[kept - 1].lstrip().startswith("#"):
        kept -= 1
    if kept == len(lines) or section.end == len(text):
        return section.start, section.end
    return section.start, section.start + sum(len(line) + 1 for line in lines[:kept])


def _cut(text: str, cuts: Sequence[tuple[int, int, str]]) -> str:
    out, at = [], 0
    for start, end, new in sorted(cuts, key=lambda cut: cut[:2]):
        out += [text[at:start], new]
        at = end
    return "".join([*out, text[at:]])


def _impossible(at: Path, name: str) -> Finding:
    said = ".".join(map(str, at)) or "the top"
    return Finding(
        code="edit-not-possible",
        severity="cannot",
        where=name,
        message=f"{said} cannot be written into this design without changing more of it; nothing "
        "was changed",
        remedy="Change it in the text of the design yourself.",
    )
