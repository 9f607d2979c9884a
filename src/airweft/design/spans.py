"""Where keys and sections of a TOML text begin and end, for changing one and leaving the rest."""

from __future__ import annotations

from dataclasses import dataclass

from airweft.design.lines import Path, Scanner


@dataclass(frozen=True, slots=True)
class Pair:
    """A key with its value: the text from the key's first sign to the value's last.

    `section` is the path of the section whose lines it stands in; None inside another value.
    """

    start: int
    value: int
    end: int
    section: Path | None


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and the lines under it, down to the next heading or the end of the text.

    `body` is where the line after the heading begins. `repeated` for an entry of an array of
    tables, whose `path` ends in its index.
    """

    path: Path
    start: int
    body: int
    end: int
    repeated: bool


class Spans(Scanner):
    """The spans of a valid TOML text with "\\n" line ends."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.pairs: dict[Path, Pair] = {}
        self.sections: list[Section] = []
        self._within: Path | None = ()
        self.document()
        self._close(len(text))

    def _close(self, end: int) -> None:
        if self.sections:
            last = self.sections[-1]
            self.sections[-1] = Section(last.path, last.start, last.body, end, last.repeated)

    def _section(self, keys: list[str], *, repeated: bool) -> Path:
        start = self.text.rfind("\n", 0, self.pos) + 1
        self._close(start)
        path = super()._section(keys, repeated=repeated)
        line_end = self.text.find("\n", self.pos)
        body = len(self.text) if line_end < 0 else line_end + 1
        self.sections.append(Section(path, start, body, len(self.text), repeated))
        self._within = path
        return path

    def _value_of(self, path: Path, start: int) -> None:
        value = self.pos
        within, self._within = self._within, None
        super()._value_of(path, start)
        self._within = within
        end = value + len(self.text[value : self.pos].rstrip())
        self.pairs[path] = Pair(start, value, end, within)
