"""Reading checked values out of JSON, keeping every problem with its path.

A `Reading` is passed down through the functions that read one part each. Its getters give a value
that is safe to go on with even where the file is wrong, and note the problem; the caller raises
once, at the end, with all of them.
"""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Context, Decimal
from typing import Any, TypeVar

from airweft.base.findings import Finding
from airweft.records.jsontext import Odd, Record

# Larger than any balloon or any piece; keeps every sum far inside 64 bits.
MOST_MM = 10_000_000
_MOST_INT = 2**63 - 1
_MOST_FINDINGS = 200
_LONGEST_WORD = 100
_CENT = Decimal("0.01")
_EXACT = Context(prec=100)
_Choice = TypeVar("_Choice", bound=str)


class Reading:
    """Problems of one file, gathered while it is read.

    `prefix` begins every finding's code ("plan-file"); `what` names the file's kind in messages.
    """

    def __init__(self, *, prefix: str, what: str) -> None:
        self.prefix = prefix
        self.what = what
        self.findings: list[Finding] = []
        self._untold = 0

    def problem(self, code: str, path: str, message: str, remedy: str = "") -> None:
        """Note a problem at a JSON path such as `actions[17].bubble`."""
        if len(self.findings) >= _MOST_FINDINGS:
            self._untold += 1
            return
        self.findings.append(
            Finding(
                code=f"{self.prefix}-{code}",
                severity="cannot",
                where=path or self.what,
                message=message,
                remedy=remedy or f"Mend the {self.what} at this place.",
            )
        )

    def all_findings(self) -> tuple[Finding, ...]:
        """Every problem noted; beyond two hundred only their number."""
        if not self._untold:
            return tuple(self.findings)
        more = Finding(
            code=f"{self.prefix}-and-more",
            severity="cannot",
            where=self.what,
            message=f"there are {self._untold} more problems like these",
            remedy="Mend those told first and check again.",
        )
        return (*self.findings, more)

    def refuse_odd(self, value: Any) -> None:
        """Note every number that JSON does not allow, also under keys that nobody reads."""
        told = {finding.where for finding in self.findings}
        stack: list[tuple[str, Any]] = [("", value)]
        while stack:
            path, item = stack.pop()
            if isinstance(item, Odd) and path not in told:
                self.problem("wrong-type", path, f"{printable(item.text)} is {item.why}")
            elif isinstance(item, dict):
                places = ((f"{path}.{printable(key)}".lstrip("."), item[key]) for key in item)
                stack.extend(reversed(list(places)))
            elif isinstance(item, list):
                stack.extend((f"{path}[{i}]", item[i]) for i in range(len(item) - 1, -1, -1))

    # One getter for each type. `value` is what was found at `path`.

    def record(self, value: Any, path: str) -> Record:
        """An object; an empty one where there is none."""
        if isinstance(value, Record):
            for key in value.twice:
                self.problem("key-twice", f"{path}.{key}".lstrip("."), "this key is given twice")
            return value
        self._wrong_type(value, path, "an object { }")
        return _NOTHING

    def get(self, record: Record, key: str, path: str) -> Any:
        """The value at a required key; MISSING (after noting it) where there is none."""
        if key in record:
            return record[key]
        if record is not _NOTHING:
            near = difflib.get_close_matches(key, [str(k) for k in record][:50], n=1, cutoff=0.6)
            hint = f' Is "{printable(near[0])}" meant for it?' if near else ""
            remedy = f'Give "{key}".{hint}'
            self.problem("missing", f"{path}.{key}".lstrip("."), "this key is missing", remedy)
        return MISSING

    def items(self, value: Any, path: str) -> list[Any]:
        """A list; an empty one where there is none."""
        if isinstance(value, list):
            return value
        self._wrong_type(value, path, "a list [ ]")
        return []

    def text(self, value: Any, path: str) -> str:
        """Any text for people, such as a name; "" where there is none."""
        if not isinstance(value, str):
            self._wrong_type(value, path, "a text in quotes")
            return ""
        if not value.isascii() and any("\ud800" <= c <= "\udfff" for c in value):
            shown = printable(value)
            self.problem("half-character", path, f'"{shown}" holds half a character')
            return ""
        return value

    def word(self, value: Any, path: str) -> str:
        """A short text that is printed as it is, such as a code; "" where there is none."""
        text = self.text(value, path)
        if not text:
            if value == "":
                self.problem("empty", path, "this text is empty")
        elif len(text) > _LONGEST_WORD:
            self.problem("too-long", path, f"{len(text)} characters; {_LONGEST_WORD} are possible")
        elif not text.isprintable() or text.isspace():
            self.problem(
                "unprintable",
                path,
                f'"{printable(text)}" is blank or holds a character that cannot be printed',
                "Use letters, digits, spaces and common marks.",
            )
        else:
            return text
        return ""

    def whole(
        self, value: Any, path: str, *, least: int = -_MOST_INT, most: int = _MOST_INT
    ) -> int:
        """A whole number from `least` to `most`; `least` where there is none."""
        number = self._integer(value, path)
        if number is None:
            return least
        if not least <= number <= most:
            self.problem("out-of-range", path, _range(str(number), str(least), str(most)))
            return least
        return number

    def index(self, value: Any, path: str, count: int, of: str) -> int:
        """An index into a list of `count` things called `of`; 0 where there is none."""
        number = self._integer(value, path)
        if number is None:
            return 0
        if not 0 <= number < count:
            there = f"they are numbered 0 to {count - 1}" if count else "there are none"
            self.problem("no-such", path, f"there is no {of} {number}; {there}")
            return 0
        return number

    def hundredths(self, value: Any, path: str, *, least: int = 0) -> int:
        """A length given in mm, in whole hundredths of a mm, halves rounded up (away from zero)."""
        number = self._decimal(value, path, "a length in mm")
        if number is None:
            return least
        found = int(number.quantize(_CENT, rounding=ROUND_HALF_UP, context=_EXACT).scaleb(2))
        if not least <= found <= MOST_MM * 100:
            low = f"{least / 100:g}"
            self.problem("out-of-range", path, _range(f"{number:f} mm", low, f"{MOST_MM} mm"))
            return least
        return found

    def millimetres(self, value: Any, path: str) -> float:
        """A position in mm; 0 where there is none."""
        number = self._decimal(value, path, "a number of mm")
        if number is None:
            return 0.0
        if abs(number) > MOST_MM:
            self.problem(
                "out-of-range", path, _range(f"{number:f} mm", f"-{MOST_MM}", f"{MOST_MM} mm")
            )
            return 0.0
        return float(number) + 0.0

    def truth(self, value: Any, path: str) -> bool:
        """true or false; False where there is neither."""
        if isinstance(value, bool):
            return value
        self._wrong_type(value, path, "true or false")
        return False

    def choice(self, value: Any, path: str, choices: Sequence[_Choice]) -> _Choice:
        """One of several words; the first of them where it is none."""
        for known in choices:
            if isinstance(value, str) and value == known:
                return known
        listed = ", ".join(f'"{c}"' for c in choices)
        if isinstance(value, str):
            near = difflib.get_close_matches(value[:60], choices, n=1)
            hint = f'Is "{near[0]}" meant?' if near else f"Use one of {listed}."
            self.problem("unknown-word", path, f'"{printable(value)}" is none of {listed}', hint)
        else:
            self._wrong_type(value, path, f"one of {listed}")
        return choices[0]

    def _integer(self, value: Any, path: str) -> int | None:
        if isinstance(value, int) and not isinstance(value, bool):
            return value
        # 3.0 is the whole number 3, as in JSON Schema: some writers know no other numbers.
        if isinstance(value, Decimal) and value == value.to_integral_value():
            return int(value)
        self._wrong_type(value, path, "a whole number")
        return None

    def _decimal(self, value: Any, path: str, wanted: str) -> Decimal | None:
        if isinstance(value, Decimal):
            return value
        if isinstance(value, int) and not isinstance(value, bool):
            return Decimal(value)
        self._wrong_type(value, path, wanted)
        return None

    def _wrong_type(self, value: Any, path: str, wanted: str) -> None:
        if value is MISSING:
            return  # noted by get()
        if isinstance(value, Odd):
            message = f"{printable(value.text)} is {value.why}; {wanted} is needed"
        else:
            message = f"{_kind(value)} is given; {wanted} is needed"
        self.problem("wrong-type", path, message)


MISSING = Odd("", "missing")
_NOTHING = Record()
_NOTHING.twice = ()


def printable(text: str) -> str:
    """The text in one line, cut short, with everything that cannot be printed written out."""
    cut = text if len(text) <= 40 else text[:37] + "..."
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in cut)


def _kind(value: Any) -> str:
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'the text "{printable(value)}"'
    if isinstance(value, list):
        return "a list"
    if isinstance(value, dict):
        return "an object"
    return f"the number {value}"


def _range(found: str, low: str, high: str) -> str:
    return f"{found} is out of range; {low} to {high} is possible"
