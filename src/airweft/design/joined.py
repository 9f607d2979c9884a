"""The parts of a joined form: [[form.part]] tables, each a form of its own with a place."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Any

from airweft.balloon.sizes import SIZES
from airweft.base.nearest import nearest, said_list
from airweft.base.units import Unit
from airweft.design.explain import validate
from airweft.design.lines import Path
from airweft.design.report import Report, said, short
from airweft.design.schema import JoinedPart, PlacePart, StalkPart
from airweft.records.design import Form, Joined, NetFile, Part, Pattern, Side, Stalk

MOST_PARTS = 60
"""Most parts of a joined form."""

ReadForm = Callable[[str, Any, Report], Form | None]
ReadPattern = Callable[[Any, Report, str, Form | Stalk], Pattern | None]
FillNet = Callable[[NetFile, Report, str], NetFile | None]

_OWN = tuple(name for name in PlacePart.model_fields if name != "kind")
_ON = re.compile(
    r"(?:on )?(?:the )?(?P<side>top|bottom|front|back|left|right)(?: side)? of "
    r"(?:the )?(?P<name>.+)"
)
_SIDES: dict[str, Side] = {
    "top": "top",
    "bottom": "bottom",
    "front": "front",
    "back": "back",
    "left": "left",
    "right": "right",
}


class _Inside(Report):
    """The report for one part: what is said about [form] is said about its table."""

    def __init__(self, outer: Report, place: Path) -> None:
        self.__dict__.update(outer.__dict__)
        self._place = place

    def line_of(self, path: Path) -> int | None:
        return super().line_of(self.within(path))

    def within(self, path: Path) -> Path:
        """The path in the file of a path under [form]."""
        return (*self._place, *path[1:]) if path[:1] == ("form",) else path


def read_joined(
    part: JoinedPart,
    report: Report,
    *,
    unit: Unit,
    size: str,
    read_form: ReadForm,
    read_pattern: ReadPattern,
    fill_net: FillNet,
    kinds: Sequence[str],
) -> Joined | None:
    """The parts as a record, or None after their problems were reported.

    `fill_net` reads the file of a part of kind "net" for bubbles of a size. A model's file is only
    named here.
    """
    tables = part.part
    if not isinstance(tables, list) or not tables:
        report.bad(
            "missing-key",
            ("form",),
            "A joined form has no part.",
            "Write each part under a heading [[form.part]] of its own, with name and kind.",
        )
        return None
    if len(tables) > MOST_PARTS:
        report.bad(
            "too-many-parts",
            ("form", "part"),
            f"There are {len(tables)} parts; the most is {MOST_PARTS}.",
            "Divide the piece into several designs.",
        )
        return None
    parts: list[Part] = []
    good = True
    for number, table in enumerate(tables):
        if report.is_full:
            return None
        inside = _Inside(report, ("form", "part", number))
        read = _part(table, inside, parts, unit, size, read_form, read_pattern, fill_net, kinds)
        if read is None:
            good = False
        else:
            parts.append(read)
    return Joined(parts=tuple(parts)) if good else None


def _part(
    table: Any,
    report: _Inside,
    before: Sequence[Part],
    unit: Unit,
    size: str,
    read_form: ReadForm,
    read_pattern: ReadPattern,
    fill_net: FillNet,
    kinds: Sequence[str],
) -> Part | None:
    here: Path = ("form",)
    if not isinstance(table, dict):
        report.bad(
            "wrong-type",
            here,
            f"A part is a table with keys of its own, not {said(table)}.",
            "Write it under a heading [[form.part]].",
        )
        return None
    own = {key: table[key] for key in _OWN if key in table}
    rest = {key: value for key, value in table.items() if key not in _OWN}
    kind = rest.get("kind")
    place = validate(PlacePart, own, here, report, unit=unit)
    if not isinstance(kind, str) or kind not in kinds:
        close = nearest(kind, kinds) if isinstance(kind, str) else None
        report.bad(
            "missing-key" if kind is None else "unknown-value",
            (*here, "kind") if "kind" in rest else here,
            "A part needs a kind." if kind is None else f"{said(kind)} is no kind of part.",
            (f'Did you mean "{close}"? ' if close else "")
            + f"It can be {said_list(kinds, last='or')}.",
        )
        return None
    form: Form | Stalk | None
    if kind == "stalk":
        form = _stalk(rest, report, before, unit)
    else:
        if kind == "solid" and "solid" in rest:
            rest["name"] = rest.pop("solid")
        form = read_form(kind, rest, report)
    if place is None or form is None:
        return None
    assert not isinstance(form, Joined)
    if not _placed_well(place, form, before, report):
        return None
    if isinstance(form, NetFile):
        form = fill_net(form, report, place.size or size)
        if form is None:
            return None
    pattern: Pattern | None = None
    if place.pattern is not None:
        pattern = read_pattern(place.pattern, report, kind, form)
        if pattern is None:
            return None
    if place.size is not None and place.size not in (*SIZES, size):
        report.bad(
            "no-budget",
            (*here, "size"),
            f"There are no shipped figures for size {place.size}.",
            f"Use one of {said_list(dict.fromkeys((size, *SIZES)), last='or')}.",
        )
        return None
    side, beside = _side(place.on)
    return Part(
        name=place.name,
        form=form,
        side=side,
        beside=beside,
        at=place.at,
        turn=place.turn,
        shift=place.shift,
        size=place.size or "",
        bubble=place.bubble or 0,
        pattern=pattern,
        sew=place.sew,
    )


def _side(on: str | None) -> tuple[Side | Any, str]:
    match = _ON.fullmatch(on or "")
    return (_SIDES[match["side"]], match["name"].strip()) if match else ("", "")


def _placed_well(place: PlacePart, form: Any, before: Sequence[Part], report: _Inside) -> bool:
    """True unless the name is taken, or it is not said clearly where the part goes."""
    here: Path = ("form",)
    names = [part.name for part in before]
    if place.name in names:
        report.bad(
            "part-name-twice",
            (*here, "name"),
            f'There is another part called "{short(place.name)}".',
            "Give each part a name of its own.",
        )
        return False
    if isinstance(form, Stalk):
        return True
    if place.sew and not before:
        report.bad(
            "no-such-part",
            (*here, "sew"),
            "The first part cannot be sewn: there is nothing yet to sew it to.",
            'Put "sew" into the part that comes later.',
        )
        return False
    if place.on is None:
        by_name = any(":" in other for _, other in place.sew)
        if before and place.at is None and not by_name:
            report.bad(
                "missing-key",
                here,
                f'It is not said where the part "{short(place.name)}" goes.',
                f'Add a line such as: on = "top of {short(names[-1])}"',
            )
            return False
        return True
    if _ON.fullmatch(place.on) is None:
        report.bad(
            "unknown-value",
            (*here, "on"),
            f'"{short(place.on)}" does not say on which side of which part.',
            'Write it such as: on = "top of tower", on = "left side of head".',
        )
        return False
    _, beside = _side(place.on)
    if beside not in names:
        report.bad(
            "no-such-part",
            (*here, "on"),
            f'There is no part "{short(beside)}" before the part "{short(place.name)}".',
            f"Parts before it: {said_list(names)}." if names else "The first part has none.",
        )
        return False
    if place.at is not None:
        report.bad(
            "two-places",
            (*here, "at"),
            f'The part "{short(place.name)}" has two places: on and at.',
            "Keep one of them; shift moves a part that is on another.",
        )
        return False
    return True


def _stalk(
    rest: dict[str, Any], report: _Inside, before: Sequence[Part], unit: Unit
) -> Stalk | None:
    here: Path = ("form",)
    if not before:
        report.bad(
            "no-such-part",
            here,
            "The first part cannot be a stalk: it has nothing to begin at.",
            "Put the part that it grows from first.",
        )
        return None
    part = validate(StalkPart, rest, here, report, unit=unit)
    if part is None:
        return None
    if not any(part.towards):
        report.bad(
            "out-of-range",
            (*here, "towards"),
            "towards = [0, 0, 0] is no direction.",
            "Write it such as: towards = [-1, 0, 2] (to the right, to the back, up).",
        )
        return None
    return Stalk(
        begin=part.begin,
        end=part.end,
        bubbles=part.bubbles,
        strands=part.strands,
        towards=part.towards,
    )
