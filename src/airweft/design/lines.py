"""Where each key of a TOML text stands: path of keys and indices -> line, counted from 1.

The parser of the standard library gives values without places. This scanner gives places without
values; it is only for texts which that parser has accepted, so it needs no error handling.
"""

from __future__ import annotations

import tomllib
from bisect import bisect_right

Path = tuple[str | int, ...]


def key_lines(text: str) -> dict[Path, int]:
    """The line of every key, section and list entry of a valid TOML text with "\\n" line ends.

    Sections that are only implied (`[a.b]` without `[a]`) have the line that implies them first.

    >>> key_lines('a = 1\\n[b]\\nc = ["x",\\n  "y"]')[("b", "c", 1)]
    4
    """
    scan = Scanner(text)
    scan.document()
    return scan.lines


class Scanner:
    """Walks over the keys of a valid TOML text; `lines` is where each was met first."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.pos = 0
        self.lines: dict[Path, int] = {}
        self._ends = [i for i, c in enumerate(text) if c == "\n"]
        self._counts: dict[Path, int] = {}  # arrays of tables: how many entries so far

    def document(self) -> None:
        base: Path = ()
        while self._to_next():
            if self.text.startswith("[[", self.pos):
                self.pos += 2
                base = self._section(self._key(), repeated=True)
                self.pos += 2
            elif self.text[self.pos] == "[":
                self.pos += 1
                base = self._section(self._key(), repeated=False)
                self.pos += 1
            else:
                self._pair(base)

    def _section(self, keys: list[str], *, repeated: bool) -> Path:
        path: Path = ()
        for i, key in enumerate(keys):
            path = (*path, key)
            self._note(path)
            if repeated and i == len(keys) - 1:
                self._counts[path] = self._counts.get(path, 0) + 1
            if path in self._counts:
                path = (*path, self._counts[path] - 1)
                self._note(path)
        return path

    def _pair(self, base: Path) -> None:
        start = self.pos
        path = base
        for key in self._key():
            path = (*path, key)
            self._note(path, start)
        self._blanks()
        self.pos += 1  # the equals sign
        self._blanks()
        self._value_of(path, start)

    def _value_of(self, path: Path, start: int) -> None:
        """Step over the value of the key `path`, which begins at `start`."""
        self._value(path)

    def _key(self) -> list[str]:
        """The parts of a dotted key; stops after it and its trailing blanks."""
        parts = []
        while True:
            self._blanks()
            parts.append(self._key_part())
            self._blanks()
            if self.text[self.pos] != ".":
                return parts
            self.pos += 1

    def _key_part(self) -> str:
        """One part of a key, bare or in quotes; stops right after it."""
        start = self.pos
        if self.text[start] in "\"'":
            self._string()
            return _unquote(self.text[start : self.pos])
        while self.pos < len(self.text) and self.text[self.pos] not in " \t.=]":
            self.pos += 1
        return self.text[start : self.pos]

    def _value(self, path: Path) -> None:
        mark = self.text[self.pos]
        if mark in "\"'":
            self._string()
        elif mark == "[":
            self._list(path)
        elif mark == "{":
            self._table(path)
        else:
            while self.pos < len(self.text) and self.text[self.pos] not in ",]}#\n":
                self.pos += 1

    def _list(self, path: Path) -> None:
        self.pos += 1
        index = 0
        while self._to_next() and self.text[self.pos] != "]":
            self._note((*path, index))
            self._value((*path, index))
            index += 1
            if self._to_next() and self.text[self.pos] == ",":
                self.pos += 1
        self.pos += 1

    def _table(self, path: Path) -> None:
        self.pos += 1
        while self._to_next() and self.text[self.pos] != "}":
            self._pair(path)
            if self._to_next() and self.text[self.pos] == ",":
                self.pos += 1
        self.pos += 1

    def _string(self) -> None:
        """Step over a string of any of the four kinds."""
        quote = self.text[self.pos]
        long = self.text.startswith(quote * 3, self.pos)
        end = quote * 3 if long else quote
        self.pos += len(end)
        while not self.text.startswith(end, self.pos):
            self.pos += 2 if quote == '"' and self.text[self.pos] == "\\" else 1
        self.pos += len(end)
        if long:  # up to two quotes may stand right before the closing three
            for _ in range(2):
                if self.text.startswith(quote, self.pos):
                    self.pos += 1

    def _blanks(self) -> None:
        while self.pos < len(self.text) and self.text[self.pos] in " \t":
            self.pos += 1

    def _to_next(self) -> bool:
        """Step over blanks, line ends and comments; False at the end of the text."""
        while self.pos < len(self.text):
            mark = self.text[self.pos]
            if mark == "#":
                end = self.text.find("\n", self.pos)
                self.pos = len(self.text) if end < 0 else end
            elif mark in " \t\n":
                self.pos += 1
            else:
                return True
        return False

    def _note(self, path: Path, at: int | None = None) -> None:
        """Keep where `path` was met first."""
        if path not in self.lines:
            where = self.pos if at is None else at
            # A section's key has been read when it is noted; it stands on one line all the same.
            self.lines[path] = bisect_right(self._ends, where - 1) + 1


def _unquote(quoted: str) -> str:
    """The key that a quoted key stands for (its escapes are those of a text)."""
    if "\\" not in quoted:
        return quoted[1:-1]
    key: str = tomllib.loads(f"k = {quoted}")["k"]
    return key
