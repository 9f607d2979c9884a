"""Changing many single values and keys of a design's text in one walk, every other letter kept.

`setting` changes one key at a time and may give it any value. Here the values are texts and
numbers, wherever they stand: in lists, in tables on one line, in headings.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from airweft.base.errors import BadInput
from airweft.base.findings import Finding
from airweft.design.lines import Path, Scanner
from airweft.design.syntax import parse
from airweft.design.writing import key_text, value_text


class _Word(str):
    """A part of a key, with where it stands."""

    __slots__ = ("end", "start")
    start: int
    end: int


class _Leaves(Scanner):
    """Where each single value, and each part of each key, of a valid TOML text stands."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.values: dict[Path, tuple[int, int]] = {}
        self.keys: dict[Path, list[tuple[int, int]]] = {}
        self.document()

    def _value(self, path: Path) -> None:
        start = self.pos
        super()._value(path)
        if self.text[start] not in "[{":
            self.values[path] = start, start + len(self.text[start : self.pos].rstrip())

    def _key_part(self) -> str:
        start = self.pos
        word = _Word(super()._key_part())
        word.start, word.end = start, self.pos
        return word

    def _note(self, path: Path, at: int | None = None) -> None:
        super()._note(path, at)
        if isinstance(path[-1], _Word):
            spans = self.keys.setdefault(path, [])
            if (path[-1].start, path[-1].end) not in spans:
                spans.append((path[-1].start, path[-1].end))


def leaves_of(data: Any, path: Path = ()) -> Iterator[tuple[Path, Any]]:
    """Every single value of plain data with its path, in order."""
    inner = data.items() if isinstance(data, dict) else enumerate(data)
    for key, value in inner:
        if isinstance(value, dict | list):
            yield from leaves_of(value, (*path, key))
        else:
            yield (*path, key), value


def value_at(data: Any, path: Path) -> Any:
    """The value that stands at a path in plain data."""
    for key in path:
        data = data[key]
    return data


def with_leaves(
    text: str,
    values: Callable[[Path, Any], Any],
    keys: Mapping[Path, str] | None = None,
    *,
    name: str = "design",
) -> str:
    """The text with each single value as `values` makes it of its path and itself, and with other
    last parts for some `keys` by their paths. A value that stays equal is not touched.

    Raises BadInput for a text that is not TOML, and where something else would change.
    """
    parsed = parse(text, name)
    if parsed.data is None or parsed.findings:
        raise BadInput(parsed.findings)
    wanted = {path: (old, values(path, old)) for path, old in leaves_of(parsed.data)}
    new = {p: now for p, (old, now) in wanted.items() if type(now) is not type(old) or now != old}
    names = dict(keys or {})
    if not new and not names:
        return text
    found = _Leaves(text)
    cuts = [(*span, key_text(word)) for path, word in names.items() for span in found.keys[path]]
    for path, now in new.items():
        start, end = found.values[path]
        cuts.append((start, end, _written(text[start:end], wanted[path][0], now)))
    for start, end, put in sorted(cuts, reverse=True):
        text = f"{text[:start]}{put}{text[end:]}"
    if not _says(text, _expected(parsed.data, new, names)):
        raise BadInput(_impossible(name))
    return text


def _written(raw: str, old: object, now: object) -> str:
    """The value as it is written down; a text over several lines keeps its look."""
    if isinstance(old, str) and isinstance(now, str) and len(old) == len(now) and "\\" not in raw:
        body = raw.find(old)
        if body >= 0:
            return f"{raw[:body]}{now}{raw[body + len(old) :]}"
    return value_text(now, inline=True)


def _expected(data: Any, new: Mapping[Path, Any], names: Mapping[Path, str], at: Path = ()) -> Any:
    """What the text shall say."""
    if isinstance(data, dict):
        return {
            names.get((*at, key), key): _expected(value, new, names, (*at, key))
            for key, value in data.items()
        }
    if isinstance(data, list):
        return [_expected(value, new, names, (*at, k)) for k, value in enumerate(data)]
    return new.get(at, data)


def _says(text: str, expected: Any) -> bool:
    try:
        # Written alike means the same value of the same type: 1, 1.0 and true are three things.
        return repr(_sorted(tomllib.loads(text))) == repr(_sorted(expected))
    except ValueError:
        return False


def _sorted(data: Any) -> Any:
    if isinstance(data, dict):
        return {key: _sorted(data[key]) for key in sorted(data)}
    return [_sorted(value) for value in data] if isinstance(data, list) else data


def _impossible(name: str) -> Finding:
    return Finding(
        code="edit-not-possible",
        severity="cannot",
        where=name,
        message="this cannot be written into the design without changing more of it; nothing was "
        "changed",
        remedy="Change it in the text of the design yourself.",
    )
