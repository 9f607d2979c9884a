"""Findings on the screen: the place, the line itself with a mark under it, what, and the remedy."""

from __future__ import annotations

import re
from collections.abc import Sequence

from rich.console import Console
from rich.text import Text

from airweft.base.findings import Finding, in_order
from airweft.cli.screen import clean, say, say_wrapped

_SEVERITY = {
    "cannot": ("cannot", "bold red"),
    "risky": ("risky", "bold yellow"),
    "note": ("note", "bold cyan"),
}
_LONGEST_LINE = 200


def show_findings(console: Console, findings: Sequence[Finding], file: str = "") -> None:
    """Write each finding as a block, the gravest first; `file` is where line numbers belong."""
    for finding in in_order(list(findings)):
        _show(console, finding, file)


def _show(console: Console, finding: Finding, file: str) -> None:
    word, style = _SEVERITY[finding.severity]
    head = Text()
    place = clean(file) if finding.line is None else f"{clean(file)}:{finding.line}"
    where = "" if finding.where == file else clean(finding.where)
    head.append(": ".join(part for part in (place, where) if part), style="bold")
    head.append(": " if head.plain else "")
    head.append(word, style=style)
    code = f"{finding.rule} {finding.code}" if finding.rule else finding.code
    head.append(f" [{clean(code)}]", style="dim")
    say(console, head)
    if finding.context.strip():
        _show_line(console, finding, style)
    say_wrapped(console, finding.message, 4)
    if finding.remedy:
        remedy = Text("What to do: ", style="bold")
        remedy.append(clean(finding.remedy), style="not bold")
        say_wrapped(console, remedy, 4)
    say(console)


def _show_line(console: Console, finding: Finding, style: str) -> None:
    """The line of the file, and carets under the part of it that the finding is about."""
    line = clean(finding.context.rstrip()).replace("\n", " ")[:_LONGEST_LINE]
    gutter = "" if finding.line is None else str(finding.line)
    say(console, Text(f"    {gutter} | ", style="dim") + Text(line))
    start, end = _marked(line, finding.where)
    blanks = Text(line[:start]).cell_len
    carets = max(1, Text(line[start:end]).cell_len)
    mark = Text(f"    {' ' * len(gutter)} | ", style="dim")
    mark.append(" " * blanks + "^" * carets, style=style)
    say(console, mark)


def _marked(line: str, where: str) -> tuple[int, int]:
    """Where to put the mark: the key's value or the key, if the line holds it, or the whole line.

    `where` is a place in the file such as `balloon.bubble`; its last word is looked for.
    """
    key = re.split(r"[.\[\]: ]+", where.rstrip("]"))[-1] if where else ""
    if key:
        found = re.search(rf"(?<![\w-]){re.escape(key)}(?![\w-])", line)
        if found:
            return found.span()
    stripped = line.strip()
    start = line.index(stripped) if stripped else 0
    return start, start + len(stripped)
