"""The [pattern] section: which colour goes where."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from airweft.base.nearest import nearest, said_list
from airweft.design.explain import unknown_key, unknown_word, validate
from airweft.design.forms import SIDES, panel_sizes
from airweft.design.kinds import read_kind
from airweft.design.lines import Path
from airweft.design.report import Report, said, short, where
from airweft.design.schema import (
    BASE_KINDS,
    LATER_PATTERNS,
    PATTERN_KINDS,
    PATTERNS,
    HandPart,
    PlainPart,
    RepeatPart,
)
from airweft.records.design import Form, NetFile, Pattern, Stalk

_HERE: Path = ("pattern",)
_INSTEAD = 'Any pattern can be given bubble by bubble with kind = "hand".'
_NAME = re.compile(r"(?P<panel>.+) (?P<column>[1-9][0-9]*)\.(?P<row>[1-9][0-9]*)")


def read_pattern(
    data: Any,
    report: Report,
    *,
    form_kind: str | None,
    form: Form | Stalk | None,
    marks: Sequence[str],
    path: Path = _HERE,
) -> Pattern | None:
    """The section as a record, or None after its problems were reported.

    `marks` are those of the palette; an empty `marks` means that it could not be read, and marks
    are then left unchecked. The pattern of one part of a joined form stands at another `path`, and
    is any but by hand.
    """
    whole = path == _HERE
    kind = read_kind(
        data,
        path,
        report,
        what="pattern",
        known=PATTERN_KINDS if whole else BASE_KINDS,
        later=LATER_PATTERNS,
        instead=_INSTEAD,
    )
    if kind is None:
        return None
    reader = _Reader(report, form_kind, None if isinstance(form, Stalk) else form, marks)
    return reader.hand(data) if kind == "hand" else reader.base(kind, data, path)


class _Reader:
    """Reads a pattern for one form and one palette."""

    def __init__(
        self, report: Report, form_kind: str | None, form: Form | None, marks: Sequence[str]
    ) -> None:
        self.report = report
        self.form_kind = form_kind
        self.form = form
        self.marks = marks
        self.panels = panel_sizes(form)
        self.net_names = frozenset(form.net.bubble_names if isinstance(form, NetFile) else ())

    def base(self, kind: str, data: Any, path: Path) -> Pattern | None:
        """A pattern of any kind but by hand."""
        if self.form_kind == "net" and kind != "plain":
            self.report.bad(
                "pattern-needs-panels",
                (*path, "kind"),
                f'A net of your own has no panels, so the pattern "{kind}" has no place in it.',
                'Leave [pattern] out to use the colours of the net\'s file, or write kind = "plain"'
                ' or kind = "hand".',
            )
            return None
        if kind == "panels":
            return self.per_panel(data, path)
        part = validate(PATTERNS[kind], data, path, self.report)
        match part:
            case PlainPart():
                good = self.mark(part.colour, (*path, "colour"))
                return Pattern(kind="plain", repeat=part.colour) if good else None
            case RepeatPart():
                return self.repeating(part, path)
        return None

    def repeating(self, part: RepeatPart, path: Path) -> Pattern | None:
        """Columns, rows or checks."""
        here: Path = (*path, "repeat")
        repeat = re.sub(r"[\s,]", "", part.repeat)
        least = 2 if part.kind == "checks" else 1
        if len(repeat) < least:
            self.report.bad(
                "bad-repeat",
                here,
                "Checks need two marks or more." if least == 2 else "There is no mark in repeat.",
                f'Write it such as: repeat = "{"".join(self.marks[:2]) or "RW"}"',
            )
            return None
        good = [self.mark(mark, here) for mark in dict.fromkeys(repeat)]
        return Pattern(kind=part.kind, repeat=repeat) if all(good) else None

    def per_panel(self, data: dict[str, Any], path: Path) -> Pattern | None:
        """A colour for each panel by its name; `rest` for all that are not named."""
        named = {str(k): v for k, v in data.items() if k != "kind"}
        good = [
            not self.report.is_full and self.mark(mark, (*path, name))
            for name, mark in named.items()
        ]
        rest = named.pop("rest", "")
        if self.panels is not None:
            for name in [n for n in named if n not in self.panels]:
                if self.report.is_full:
                    return None
                good.append(self.other_panel(name, path))
                del named[name]
            missing = [name for name in self.panels if name not in named]
            if missing and not rest:
                self.report.bad(
                    "panel-without-colour",
                    path,
                    f"No colour is given for {said_list(missing)}.",
                    f'Add {missing[0]} = "{self.marks[0] if self.marks else "R"}", or rest = "..." '
                    "for all panels that are not named.",
                )
                return None
            named = {name: named.get(name, rest) for name in self.panels}
            rest = ""
        elif not named and not rest:
            self.report.bad(
                "panel-without-colour",
                path,
                "No panel is given a colour.",
                'Add a line for each panel, such as "front 1" = "R", or rest = "R" for all.',
            )
            return None
        else:
            named = dict(sorted(named.items()))
        return Pattern(kind="panels", repeat=rest, panels=named) if all(good) else None

    def other_panel(self, name: str, path: Path) -> bool:
        """A panel that the form does not have; True if that does no harm."""
        if name in SIDES and self.form_kind == "box":
            self.report.note(
                "panel-is-open",
                (*path, name),
                f"The {name} of this box is open, so its colour changes nothing.",
                "Take the line out.",
            )
            return True
        unknown_key(name, path, ["kind", *(self.panels or {}), "rest"], self.report)
        return False

    def hand(self, data: dict[str, Any]) -> Pattern | None:
        """Bubbles by name and panels by chart, over a base pattern."""
        part = validate(HandPart, data, _HERE, self.report)
        if part is None:
            return None
        pattern = self.under(part.base)
        bubbles = self.charts(part.charts)
        for name, mark in self.table(part.bubbles, "bubbles").items():
            here: Path = (*_HERE, "bubbles", name)
            if self.report.is_full:
                break
            if self.mark(mark, here) and self.bubble(name, here):
                bubbles[name] = mark
        if part.bubbles is None and part.charts is None:
            self.report.bad(
                "missing-key",
                _HERE,
                "A pattern by hand names bubbles or draws panels, and here is neither.",
                'Add a heading [pattern.bubbles] and lines such as: "front 3.2" = "R"',
            )
        return None if pattern is None else replace(pattern, bubbles=dict(sorted(bubbles.items())))

    def under(self, data: Any) -> Pattern | None:
        """The base pattern; without one bubbles keep the colours given, which only a net's have."""
        if data is None:
            return Pattern(kind="given")
        path: Path = (*_HERE, "base")
        if isinstance(data, dict) and data.get("kind") == "hand":
            self.report.bad(
                "unknown-value",
                (*path, "kind"),
                "The base of a pattern by hand cannot be by hand itself.",
                f"Choose one of {said_list(BASE_KINDS, last='or')} for the base.",
            )
            return None
        kind = read_kind(
            data,
            path,
            self.report,
            what="pattern",
            known=BASE_KINDS,
            later=LATER_PATTERNS,
            instead=_INSTEAD,
        )
        return None if kind is None else self.base(kind, data, path)

    def table(self, data: Any, name: str) -> dict[str, Any]:
        """A section of names, or nothing after saying that it is none."""
        if data is None:
            return {}
        if isinstance(data, dict):
            return {str(k): v for k, v in data.items()}
        self.report.bad(
            "wrong-type",
            (*_HERE, name),
            f"{where((*_HERE, name))} is a section, not {said(data)}.",
            f"Write it as a heading: [pattern.{name}]",
        )
        return {}

    def charts(self, data: Any) -> dict[str, str]:
        """Panels drawn with marks: the upper line of the chart is the upper row of the panel."""
        bubbles: dict[str, str] = {}
        for panel, text in self.table(data, "charts").items():
            here: Path = (*_HERE, "charts", panel)
            if not isinstance(text, str):
                self.report.bad(
                    "wrong-type",
                    here,
                    f"A chart is a text of marks, not {said(text)}.",
                    'Put three quotes before and after it: """ and """.',
                )
                continue
            rows = [re.sub(r"\s", "", line) for line in text.strip().split("\n")]
            used = dict.fromkeys("".join(rows).replace(".", ""))
            if not self.chart_fits(panel, rows, here) or not all(
                [self.mark(mark, here) for mark in used]
            ):
                continue
            for up, line in enumerate(reversed(rows), start=1):
                for right, mark in enumerate(line, start=1):
                    if mark != ".":
                        bubbles[f"{panel} {right}.{up}"] = mark
        return bubbles

    def chart_fits(self, panel: str, rows: list[str], here: Path) -> bool:
        """True if the chart is as large as its panel, as far as that is known."""
        wide = len(rows[0])
        for number, line in enumerate(rows, start=1):
            if len(line) != wide:
                self.report.bad(
                    "bad-chart",
                    here,
                    f"Line {number} of the chart has {len(line)} marks, its first line has {wide}.",
                    "Make all lines equally long; a . leaves a bubble as it is.",
                )
                return False
        if self.panels is None:
            return self.no_bubble_names(panel, here)
        if panel not in self.panels:
            return self.bubble(f"{panel} 1.1", here)
        columns, high = self.panels[panel]
        if (wide, len(rows)) != (columns, high):
            self.report.bad(
                "bad-chart",
                here,
                f"The chart of {panel} is {wide} marks wide and {len(rows)} lines high, but the "
                f"panel has {columns} columns and {high} rows.",
                "Make the chart as large as the panel; a . leaves a bubble as it is.",
            )
            return False
        return True

    def no_bubble_names(self, panel: str, here: Path) -> bool:
        """False, after saying so, for a chart on a net of one's own; it has no panels."""
        if self.form_kind != "net":
            return True
        self.report.bad(
            "pattern-needs-panels",
            here,
            f"A net of your own has no panels, so there is no place for a chart of {short(panel)}.",
            "Name its bubbles one by one under [pattern.bubbles].",
        )
        return False

    def bubble(self, name: str, here: Path) -> bool:
        """True unless it is certain that the form has no bubble of this name."""
        if isinstance(self.form, NetFile):
            known = self.net_names
            if not known or name in known:
                return True
            first = said_list(self.form.net.bubble_names[:3])
            self._no_bubble(name, here, f"Its bubbles are called {first} ...")
            return False
        match = _NAME.fullmatch(name)
        if self.panels is None or match is None:
            return True  # the names are known once the form is built
        panel = match["panel"]
        if panel not in self.panels:
            close = nearest(panel, self.panels)
            if panel in SIDES or close:
                tip = f'Did you mean "{close} {match["column"]}.{match["row"]}"?' if close else ""
                self._no_bubble(name, here, tip or f"Its panels are {said_list(self.panels)}.")
                return False
            return True
        columns, rows = self.panels[panel]
        if int(match["column"][:9]) > columns or int(match["row"][:9]) > rows:
            self._no_bubble(
                name,
                here,
                f"The panel {panel} has columns 1 to {columns} and rows 1 to {rows}; column 3 of "
                f'row 2 is "{panel} 3.2".',
            )
            return False
        return True

    def _no_bubble(self, name: str, here: Path, remedy: str) -> None:
        self.report.bad("unknown-bubble", here, f'This form has no bubble "{short(name)}".', remedy)

    def mark(self, mark: Any, here: Path) -> bool:
        """True if it is a mark of the palette."""
        if not isinstance(mark, str):
            self.report.bad(
                "wrong-type",
                here,
                f"A colour is given by its mark in quotes, not {said(mark)}.",
                f'Write it such as "{self.marks[0] if self.marks else "R"}".',
            )
            return False
        if not self.marks or mark in self.marks:
            return True
        unknown_word(
            "unknown-colour", "a mark of [colours]", mark, here, [*self.marks], self.report
        )
        return False
