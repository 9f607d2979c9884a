"""From text to plain data, with slips of writing explained in the maker's words.

The standard library's parser stops at the first slip. Where a slip keeps to one line, that line is
taken out and the parser asked again, so that several are reported at once.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass, field
from typing import Any

from airweft.base.findings import Finding
from airweft.design.report import short, shown_line

_MOST_SLIPS = 20
_AT = re.compile(r"(?P<what>.*) \(at (?:line (?P<line>\d+), column \d+|end of document)\)", re.S)
_PAIR = re.compile(r"\s*(?P<key>[^=#\[\]]*?)\s*=\s*(?P<value>.*?)\s*")
_HEAD = re.compile(r"\s*\[")
_DEEP_KEY = re.compile(r"(?<![\w\"'-])(?:[\w\"'-]+[ \t]*\.[ \t]*){30}")


@dataclass(frozen=True, slots=True)
class Parsed:
    """What could be read. `data` is None where nothing more can be said about the rest.

    `text` is the text without the lines that could not be read (they are left blank), `lost` the
    keys that stood on them.
    """

    data: dict[str, Any] | None
    text: str
    findings: tuple[Finding, ...] = ()
    lost: frozenset[str] = field(default_factory=frozenset)


def parse(text: str, name: str) -> Parsed:
    """The data of a design text. Never raises."""
    lines = text.split("\n")
    original = list(lines)
    findings: list[Finding] = []
    lost: set[str] = set()
    whole = True
    for number, line in enumerate(lines, start=1):
        if _DEEP_KEY.search(line):  # such keys take the parser a time that grows with the square
            findings.append(_finding(name, number, original, *_DEEP))
            return Parsed(None, text, tuple(findings))
    for _ in range(_MOST_SLIPS):
        left = "\n".join(lines)
        try:
            data = tomllib.loads(left)
        except RecursionError:
            findings.append(_finding(name, None, original, *_DEEP))
            return Parsed(None, left, tuple(findings))
        except ValueError as error:
            match = _AT.fullmatch(str(error))
            what = match["what"] if match else str(error)
            at = int(match["line"]) if match and match["line"] else len(lines)
            number, message, remedy = _explain(what, at, lines)
            findings.append(_finding(name, number, original, message, remedy))
            line = lines[number - 1]
            if not _keeps_to_line(what, line) or number != at:
                return Parsed(None, left, tuple(findings))
            pair = _PAIR.fullmatch(line)
            if pair:
                lost.add(pair["key"].strip().strip("\"'").split(".")[0])
            elif not line.lstrip().startswith("#"):
                lost.add(re.split(r"[\s:]", line.strip().strip("\"'"), maxsplit=1)[0])
            if _HEAD.match(line) and "Cannot declare" not in what:
                whole = False  # what follows would be taken for part of the section before
            if "Cannot declare" in what:
                whole = False
            lines[number - 1] = ""
        else:
            return Parsed(data if whole else None, left, tuple(findings), frozenset(lost))
    return Parsed(None, "\n".join(lines), tuple(findings))


_DEEP = (
    "The keys or brackets are nested deeper than any design needs.",
    "Write plain keys under plain section headings, as the files of airweft new have them.",
)


def _keeps_to_line(what: str, line: str) -> bool:
    """True if the slip is all on this line, so that the rest can be read without it."""
    if not line.strip() or '"""' in line or "'''" in line:
        return False
    if "Unclosed" in what or "Unterminated" in what or _PAIR.fullmatch(line) is None:
        return bool(_HEAD.match(line)) or "Expected '='" in what or "Invalid statement" in what
    value = re.sub(r'"[^"]*"|\'[^\']*\'|#.*', "", line)
    return value.count("[") == value.count("]") and value.count("{") == value.count("}")


def _finding(name: str, number: int | None, lines: list[str], message: str, remedy: str) -> Finding:
    return Finding(
        code="not-toml",
        severity="cannot",
        where=name,
        message=message,
        remedy=remedy,
        line=number,
        context=shown_line(lines, number),
    )


def _explain(what: str, at: int, lines: list[str]) -> tuple[int, str, str]:
    """Line, message and remedy for what the parser said about line `at`."""
    at = min(max(at, 1), len(lines))
    line = lines[at - 1]
    if "Unclosed" in what:
        kind, mark = ("list", "[") if "array" in what else ("inline section", "{")
        close = "]" if mark == "[" else "}"
        at = _opened(lines, at, mark)
        return (
            at,
            f"This {kind} is opened with {mark} but not closed.",
            (
                f'Close it with {close} and part its entries with commas, such as ["top", "left"].'
                if mark == "["
                else 'Keep it on one line and close it with }, such as { kind = "plain" }.'
            ),
        )
    opened = _still_open(lines, at)
    if opened is not None:
        if _PAIR.fullmatch(line) or _HEAD.match(line):
            return (
                opened,
                "The list that begins on this line is not closed.",
                ('Close it with ] and part its entries with commas, such as ["top", "left"].'),
            )
        return (
            at,
            "This entry of the list cannot be read.",
            ('Put texts in quotes and part them with commas, such as "top", "left".'),
        )
    if "Unterminated" in what or "Expected \"'" in what:
        at = _last_quote(lines, at)
        return (
            at,
            "This text is opened with quotes but never closed.",
            ('Close it with the same quotes that open it: " or """.'),
        )
    message, remedy = _explain_line(what, at, lines, line)
    return at, message, remedy


def _explain_line(what: str, at: int, lines: list[str], line: str) -> tuple[str, str]:
    """Message and remedy for a slip that shows on its own line."""
    pair = _PAIR.fullmatch(line)
    key = short(pair["key"].strip(), 30) if pair else ""
    value = pair["value"] if pair else ""
    if re.search("[“”„‘’«»]", line):
        straight = re.sub("[“”„«»]", '"', re.sub("[‘’]", "'", line)).strip()
        return "This line has curly quotes.", f"Use straight quotes: {short(straight, 80)}"
    if "Cannot overwrite" in what or "Cannot declare" in what or "Cannot mutate" in what:
        return _twice(at, lines, key)
    if "after a key" in what or "Invalid statement" in what or (pair is None and not key):
        return _no_pair(line)
    if re.fullmatch(r"[+-]?\d+,\d+\s*(#.*)?", value):
        number = re.split(r"[\s#]", value)[0]
        return (
            f"A plain number takes a point and no comma; here it is {short(number)}.",
            f"Write {key} = {short(number.replace(',', '.'))}, or a text with its unit: "
            f'{key} = "{short(number)} cm".',
        )
    if value.startswith("#"):
        colour = re.match(r"#[0-9a-fA-F]{3,8}\b", value)
        if colour:
            return (
                "Everything after # is a comment, so no colour is given here.",
                f'Put the colour in quotes: {key} = "{colour[0]}".',
            )
    if not value or value.startswith("#"):
        return f"Nothing is given for {key}.", f"Write a value after the equals sign: {key} = ..."
    if re.match(r"[\"']", value):
        return _quoted(what, key, value)
    bare = short(re.split(r"\s+#", value)[0].rstrip().rstrip(","), 40)
    if value.lower() in ("true", "false"):
        return f"{bare} is not a value here.", f"Write it in small letters: {bare.lower()}."
    if re.fullmatch(r"0\d+", bare):
        return f"{bare} begins with a zero.", f"Write {key} = {bare.lstrip('0') or '0'}."
    if re.match(r"[+-]?[\d.]", value):
        bare = re.sub(r"\s*(\"|'')$", " in", bare).replace('"', "")
        return (
            f"{bare} is not a plain number.",
            f'Put lengths with a unit or a fraction in quotes: {key} = "{bare}". '
            f"A plain number is written such as {key} = 6 or {key} = 2.5.",
        )
    words = re.fullmatch(r"\[([\w ,-]*)\]", bare)
    if words:
        listed = ", ".join(f'"{w.strip()}"' for w in words[1].split(",") if w.strip())
        return "Texts in a list are put in quotes.", f"Write {key} = [{listed}]."
    if re.match(r"[\[{]", value):
        return (
            f"What is given for {key} cannot be read.",
            'A list is written such as ["top", "left"], an inline section such as '
            '{ kind = "plain", colour = "R" }.',
        )
    return "Texts are put in quotes.", f'Write {key} = "{bare}".'


def _quoted(what: str, key: str, value: str) -> tuple[str, str]:
    """A slip in a text that does begin with a quote."""
    if "Unescaped" in what or "escape" in what.lower():
        return (
            "The sign \\ has a special meaning in texts.",
            "Use / between folder and file, such as parts/star.json.",
        )
    closed = re.match(r"\"[^\"]*\"(?P<more>.*)|'[^']*'(?P<raw>.*)", value)
    if closed is None:
        return "The closing quote is missing.", f"Close the text: {key} = {short(value)}{value[0]}"
    more = (closed["more"] or closed["raw"] or "").strip()
    return (
        f"After the text for {key} there is something more: {short(more)} .",
        "Keep to one value on a line. Inches inside a text are best written as in: "
        f'{key} = "7 in".',
    )


def _no_pair(line: str) -> tuple[str, str]:
    """A line that is neither a section nor a key with a value."""
    if _HEAD.match(line):
        name = re.sub(r"[^\w.-]", "", line.split("#")[0]) or "balloon"
        return "This section heading cannot be read.", f"Write [{short(name)}] and no more on it."
    colon = re.match(r"\s*(?P<key>[\w-]+)\s*:\s*(?P<value>.*)", line)
    if colon:
        return (
            "Key and value are joined with an equals sign, not with a colon.",
            f"Write {short(colon['key'], 30)} = {short(colon['value'].strip() or '...', 40)}",
        )
    pair = _PAIR.fullmatch(line)
    if pair and re.search(r"\s", pair["key"]):
        key = short(pair["key"], 30).strip("\"'")
        return (
            "A key with blanks in it stands in quotes.",
            f'Write "{key}" = {short(pair["value"], 40)}',
        )
    if pair and not pair["key"]:
        return "There is no key before the equals sign.", "Write key = value, or take it out."
    if "=" not in line:
        return (
            "This line is neither a section such as [form] nor a key with a value.",
            "Write key = value, or begin the line with # to make it a remark.",
        )
    return (
        "This key cannot be read.",
        "A key is made of letters, digits, - and _; anything else stands in quotes.",
    )


def _twice(at: int, lines: list[str], key: str) -> tuple[str, str]:
    """A key or a section that is given a second time."""
    if _HEAD.match(lines[at - 1]):
        head = lines[at - 1].split("#")[0].strip()
        first = next((n for n in range(at - 1) if lines[n].split("#")[0].strip() == head), None)
        place = f" It begins on line {first + 1} already." if first is not None else ""
        return (
            f"The section {short(head)} is given twice.{place}",
            "Put all its keys under one heading.",
        )
    for number in range(at - 1, 0, -1):
        earlier = lines[number - 1]
        if _HEAD.match(earlier):
            break
        pair = _PAIR.fullmatch(earlier)
        if pair and pair["key"].strip() == key:
            return f"{key} is given on line {number} already.", "Keep one of the two lines."
    return f"{key} is given twice.", "Keep one of the two."


def _opened(lines: list[str], at: int, mark: str) -> int:
    """The last line up to `at` that opens a list or an inline section after an equals sign."""
    opening = re.compile(rf"=\s*.*{re.escape(mark)}")
    return next((n for n in range(at, 0, -1) if opening.search(lines[n - 1])), at)


def _still_open(lines: list[str], at: int) -> int | None:
    """The line whose list is still open where line `at` begins, if there is one."""
    depth, start = 0, 0
    for number, line in enumerate(lines[: at - 1], start=1):
        if '"""' in line or "'''" in line:
            return None  # brackets in long texts would be miscounted
        bare = re.sub(r"\"[^\"]*\"|'[^']*'|#.*", "", line)
        if depth == 0:
            start = number
        depth = max(depth + bare.count("[") - bare.count("]"), 0)
    return start if depth else None


def _last_quote(lines: list[str], at: int) -> int:
    """The line that opens a text which is never closed: its last odd quote, by the longest kind."""
    for mark in ('"""', "'''", "'"):
        for number in range(len(lines), 0, -1):
            if lines[number - 1].count(mark) % 2:
                return number
    return at
