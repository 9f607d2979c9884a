"""Collects everything that is wrong with a design file, each with its line, before anything stops.

One Report goes through all stages of the reading. Problems are of two kinds: what is badly written
(ends as BadInput) and what is well written but cannot be made (ends as CannotMake). Advice, risky
or merely good to know, stops nothing and goes along with the design.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import NoReturn

from airweft.base.errors import BadInput, CannotMake, TooNew
from airweft.base.findings import Finding, Severity, in_order
from airweft.design.lines import Path

MOST_TOLD = 100
"""So many problems are told; a file with more is hardly a design."""


class Report:
    """The findings so far; `lines` gives the line of each path, `text_lines` the file's lines.

    `whole` is what the file holds, in words, and `begin` the command that begins such a file.
    """

    def __init__(
        self,
        text_lines: Sequence[str],
        lines: Mapping[Path, int],
        *,
        whole: str = "the design",
        begin: str = "airweft new box",
    ) -> None:
        self._whole = whole
        self._begin = begin
        self._text_lines = text_lines
        self._lines = lines
        self._bad: list[Finding] = []
        self._cannot: list[Finding] = []
        self._advice: list[Finding] = []

    def bad_at_end(self, code: str, message: str, remedy: str) -> None:
        """Something that should follow what the file holds."""
        last = max((n for n, text in enumerate(self._text_lines, 1) if text.strip()), default=1)
        self._bad.append(self._finding(code, "cannot", (), message, remedy, line=last))

    def bad(self, code: str, path: Path, message: str, remedy: str) -> None:
        """Something badly written, at a path of keys."""
        self._bad.append(self._finding(code, "cannot", path, message, remedy))

    def cannot(self, code: str, path: Path, message: str, remedy: str) -> None:
        """Something well written that cannot be made."""
        self._cannot.append(self._finding(code, "cannot", path, message, remedy))

    def risky(self, code: str, path: Path, message: str, remedy: str) -> None:
        """Something that can be made, but is likely to go wrong."""
        self._advice.append(self._finding(code, "risky", path, message, remedy))

    def note(self, code: str, path: Path, message: str, remedy: str) -> None:
        """Something the maker would want to know."""
        self._advice.append(self._finding(code, "note", path, message, remedy))

    def add_bad(self, findings: Iterable[Finding]) -> None:
        """Ready findings about another file, or about the text as such."""
        self._bad.extend(findings)

    def add_cannot(self, findings: Iterable[Finding]) -> None:
        """Ready findings about another file that is well written but cannot be made."""
        self._cannot.extend(findings)

    def forget(self, unwanted: Callable[[Finding], bool]) -> None:
        """Drop findings that only follow from others."""
        for findings in (self._bad, self._cannot, self._advice):
            findings[:] = [f for f in findings if not unwanted(f)]

    @property
    def is_full(self) -> bool:
        """True once so much is wrong that looking further helps nobody."""
        return len(self._bad) >= MOST_TOLD

    @property
    def is_clean(self) -> bool:
        """True while nothing stands in the way of a design."""
        return not self._bad and not self._cannot

    @property
    def advice(self) -> tuple[Finding, ...]:
        """What does not stop anything, in a stable order."""
        return tuple(in_order(self._advice))

    def stop_if_needed(self) -> None:
        """Raise BadInput, or else CannotMake, with everything found so far."""
        if self.is_full:
            self.bad_at_end(
                "more-problems",
                f"There are more problems than the {MOST_TOLD} told here.",
                f"Mend these first, or begin anew with: {self._begin}",
            )
        if self._bad:
            raise BadInput(in_order(self._bad + self._cannot))
        if self._cannot:
            raise CannotMake(in_order(self._cannot))

    def stop_as_too_new(self, path: Path, what: str, version: int, newest: int) -> NoReturn:
        """Raise TooNew, and tell nothing else, for a file (`what`: "design") of a later version."""
        message = (
            f"This {what} is written in version {said(version)} of the {what} file; this program "
            f"reads up to version {newest}."
        )
        remedy = "Install the newest airweft to use it."
        raise TooNew(self._finding("too-new", "cannot", path, message, remedy))

    def line_of(self, path: Path) -> int | None:
        """The line of a path, or of the nearest section around it that stands in the file.

        The design as a whole, (), is the first line.
        """
        if not path:
            return 1
        for end in range(len(path), 0, -1):
            line = self._lines.get(path[:end])
            if line is not None:
                return line
        return None

    def places(self, section: str) -> dict[Path, tuple[int, str]]:
        """The line of every path within a section, and what that line says."""
        return {
            path: (line, shown_line(self._text_lines, line))
            for path, line in self._lines.items()
            if path[:1] == (section,)
        }

    def _finding(
        self,
        code: str,
        severity: Severity,
        path: Path,
        message: str,
        remedy: str,
        *,
        line: int | None = None,
    ) -> Finding:
        line = self.line_of(path) if line is None else line
        return Finding(
            code=code,
            severity=severity,
            where=where(path) if path else self._whole,
            message=message,
            remedy=remedy,
            line=line,
            context=shown_line(self._text_lines, line),
        )


def where(path: Path) -> str:
    """The place as a maker sees it in the file: "[balloon] bubble"."""
    if not path:
        return "the design"
    words = [short(str(part), 40) if isinstance(part, str) else f"{part + 1}" for part in path]
    if len(path) == 1:
        return f"[{words[0]}]" if words[0] in SECTIONS else words[0]
    if path[0] not in SECTIONS:
        if isinstance(path[1], int):
            return " ".join([f"[[{words[0]}]] {words[1]}", *words[2:]])
        return " ".join(words)
    sub = 2 if path[:2] in SUBSECTIONS else 1
    head = f"[{'.'.join(words[:sub])}]"
    return " ".join([head, *words[sub:]])


SECTIONS = ("balloon", "form", "colours", "pattern", "plan")
SUBSECTIONS: tuple[Path, ...] = (
    ("balloon", "budget"),
    ("pattern", "base"),
    ("pattern", "bubbles"),
    ("pattern", "charts"),
    ("plan", "weights"),
    ("plan", "keep"),
    ("plan", "inside"),
)


def shown_line(text_lines: Sequence[str], line: int | None) -> str:
    """The text of a line, without its indentation and cut short where it is long."""
    if line is None or not 1 <= line <= len(text_lines):
        return ""
    return short(text_lines[line - 1].strip(), 100)


def short(text: str, most: int = 40) -> str:
    """At most `most` characters of a text, with control characters shown as blanks."""
    clean = "".join(c if c.isprintable() else " " for c in text[: most + 1])
    return clean if len(clean) <= most else f"{clean[: most - 3]}..."


def said(value: object) -> str:
    """A value of the file as it would be written there, cut short where it is long."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f'"{short(value)}"'
    if isinstance(value, dict):
        return "a section"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, int) and abs(value) > 10**30:
        return "a number of more than 30 digits"
    return short(str(value))
