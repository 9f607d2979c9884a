"""From a stock file to the maker's stock, or to everything that is wrong with the file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from airweft.balloon.sizes import FIGURES, SIZES, read_size_code
from airweft.balloon.stock import KEEP_FROM, Entry, PartUsed, Stock, room, whole_room
from airweft.base.errors import BadInput
from airweft.base.nearest import misspelt, nearest, said_list
from airweft.base.units import UNITS, Unit, show_length
from airweft.design import lines
from airweft.design.balloons import own_budget
from airweft.design.colours import digits_of
from airweft.design.explain import validate
from airweft.design.report import Report, said, short
from airweft.design.schema import BudgetPart
from airweft.design.source import STOCK, decode, read_text
from airweft.design.stock_schema import VERSION, EntryPart, StockTop
from airweft.design.syntax import parse
from airweft.records.budget import Budget

_VERSION_KEY = "airweft-stock"
_ENTRIES = "balloons"
_TOP = (_VERSION_KEY, *StockTop.model_fields, _ENTRIES)
MOST_ENTRIES = 2_000


def read_stock(path: Path) -> Stock:
    """The stock that a file holds. Raises BadInput or TooNew with every finding and its line."""
    path = Path(path)
    return stock_from_text(read_text(path, STOCK), name=path.name)


def stock_from_bytes(data: bytes, *, name: str = "stock") -> Stock:
    """The stock in the bytes of a file, as `read_stock` reads it."""
    return stock_from_text(decode(data, name, STOCK), name=name)


def stock_from_text(text: str, *, name: str = "stock") -> Stock:
    """The stock in a text, as `read_stock` reads it."""
    parsed = parse(text, name)
    if parsed.data is None:
        raise BadInput(parsed.findings)
    report = Report(
        text.split("\n"), lines.key_lines(parsed.text), whole="the stock", begin=STOCK.begin
    )
    report.add_bad(parsed.findings)
    if "airweft" in parsed.data and _VERSION_KEY not in parsed.data:
        report.bad(
            "not-a-stock",
            ("airweft",),
            "This is a design, not a stock.",
            f"Give the file of your stock; it begins with {_VERSION_KEY} = {VERSION}.",
        )
        report.stop_if_needed()
    _check_version(parsed.data, report, lost=parsed.lost)
    stock = _read(parsed.data, report, lost=parsed.lost)
    report.stop_if_needed()
    assert stock is not None, "a reader gave nothing and did not say why"
    return stock


def _check_version(data: dict[str, Any], report: Report, *, lost: frozenset[str]) -> None:
    """Report a version that is missing or none; raise TooNew for a later one."""
    here: lines.Path = (_VERSION_KEY,)
    version = data.get(_VERSION_KEY)
    if _VERSION_KEY not in data:
        if _VERSION_KEY not in lost and not misspelt(_VERSION_KEY, data, _TOP):
            report.bad(
                "missing-key",
                (),
                f"{_VERSION_KEY} is missing: the version of the stock file.",
                f"Add as the first line: {_VERSION_KEY} = {VERSION}",
            )
    elif isinstance(version, bool) or not isinstance(version, int):
        report.bad(
            "wrong-type",
            here,
            f"{_VERSION_KEY} is a whole number, not {said(version)}.",
            f"Write {_VERSION_KEY} = {VERSION}.",
        )
    elif version < 1:
        report.bad(
            "out-of-range",
            here,
            f"There is no version {said(version)} of the stock file.",
            f"Write {_VERSION_KEY} = {VERSION}.",
        )
    elif version > VERSION:
        later = Report((), {here: report.line_of(here) or 1})
        later.stop_as_too_new(here, "stock", version, VERSION)


def _read(data: dict[str, Any], report: Report, *, lost: frozenset[str]) -> Stock | None:
    """The stock, or None after reporting."""
    _unknown(data, (), _TOP, report)
    units = data.get("units")
    unit: Unit = units if units in UNITS else "cm"
    own = {key: value for key, value in data.items() if key in StockTop.model_fields}
    if "units" in lost:
        own["units"] = unit
    top = None
    if "units" in own or not misspelt("units", data, _TOP):  # misspelt, and reported as unknown
        top = validate(StockTop, own, (), report, unit=unit)
    entries = _entries(data, report, unit, lost)
    if top is None or entries is None:
        return None
    keep = KEEP_FROM if top.keep_from is None else top.keep_from
    return Stock(units=top.units, keep_from=keep, entries=entries)


def _entries(
    data: dict[str, Any], report: Report, unit: Unit, lost: frozenset[str]
) -> tuple[Entry, ...] | None:
    given = data.get(_ENTRIES)
    if given is None:
        if _ENTRIES not in lost and not misspelt(_ENTRIES, data, _TOP):
            report.bad_at_end(
                "missing-key",
                "There are no balloons in this stock.",
                f"Add a heading [[{_ENTRIES}]] for each colour and size, and under it its keys: "
                'size = "260", colour = "red", count = 40',
            )
        return None
    if not isinstance(given, list) or not all(isinstance(one, dict) for one in given):
        report.bad(
            "wrong-type",
            (_ENTRIES,),
            f"Each colour and size is a section of its own, not {said(given)}.",
            f"Write a heading [[{_ENTRIES}]], with two brackets at each side, above each of them.",
        )
        return None
    if len(given) > MOST_ENTRIES:
        report.bad(
            "out-of-range",
            (_ENTRIES,),
            f"There are {len(given):,} colours and sizes; a stock has at most {MOST_ENTRIES:,}.",
            "Keep several stock files.",
        )
        return None
    found: dict[int, Entry] = {}
    for number, one in enumerate(given):
        if report.is_full:
            return None
        entry = _entry(one, (_ENTRIES, number), report, unit)
        if entry is not None:
            _check_twice(entry, (_ENTRIES, number), found, report)
            found[number] = entry
    return tuple(found.values()) if len(found) == len(given) else None


def _entry(data: dict[str, Any], here: lines.Path, report: Report, unit: Unit) -> Entry | None:
    known = tuple(EntryPart.model_fields)
    strange = _unknown(data, here, known, report)
    for name in EntryPart.model_fields:
        if name not in data and misspelt(name, data, known) and name in ("size", "colour"):
            return None
    own = {key: value for key, value in data.items() if key not in strange}
    part = validate(EntryPart, own, here, report, unit=unit)
    figures: BudgetPart | None = BudgetPart()
    if data.get("budget") is not None:
        figures = validate(BudgetPart, data["budget"], (*here, "budget"), report, unit=unit)
    digits = None if part is None else digits_of(part.colour, (*here, "colour"), report)
    if part is None or digits is None or figures is None:
        return None
    measured = tuple(f for f in FIGURES if getattr(figures, f) is not None)
    budget = None
    if measured:
        budget = own_budget(read_size_code(part.size), figures, report, here)
        if budget is None:
            return None
    part_used = (
        *(PartUsed(length) for length in part.part_used),
        *(PartUsed(length, flat=True) for length in part.part_used_flat),
    )
    if not _check_count(part, here, report):
        return None
    shipped = SIZES.get(part.size)
    lengths = budget or (shipped.budget if shipped else None)
    if lengths is not None and not _check_rests(part, lengths, here, report, unit):
        return None
    written = part.colour.strip()
    return Entry(
        size=part.size,
        name=part.name or (digits if written.startswith("#") else written.lower()),
        hex=digits,
        state=part.state,
        count=part.count or 0,
        part_used=part_used,
        pack=part.pack,
        budget=budget,
        own=measured,
    )


def _check_count(part: EntryPart, here: lines.Path, report: Report) -> bool:
    if part.state == "unlimited" and part.count is not None:
        report.bad(
            "stock-count",
            (*here, "count"),
            'A colour with state = "unlimited" has no count.',
            'Take the count out, or write state = "limited".',
        )
        return False
    if part.state == "limited" and part.count is None and not part.part_used + part.part_used_flat:
        report.bad(
            "stock-count",
            here,
            "It is not said how many balloons of this colour and size there are.",
            'Add a line such as: count = 40 (or state = "unlimited", or state = "do not use")',
        )
        return False
    return True


def _check_rests(
    part: EntryPart, budget: Budget, here: lines.Path, report: Report, unit: Unit
) -> bool:
    """Report part-used balloons that are longer than a whole one; False if there are any."""
    good = True
    for key, flat in (("part_used", False), ("part_used_flat", True)):
        for number, length in enumerate(getattr(part, key)):
            if room(PartUsed(length, flat), budget) > whole_room(budget):
                good = False
                most = budget.flat if flat else budget.full
                report.bad(
                    "stock-too-long",
                    (*here, key, number),
                    f"A part-used balloon of {show_length(length, unit)} is longer than a whole "
                    f"{part.size}, which is {show_length(most, unit)} long "
                    f"{'when it lies empty' if flat else 'inflated to the tip'}.",
                    "Measure it again, empty under part_used_flat or inflated under part_used; "
                    "whole balloons go into count.",
                )
    return good


def _check_twice(entry: Entry, here: lines.Path, before: dict[int, Entry], report: Report) -> None:
    """Report an entry of a colour and size that stands in the file already."""
    name = entry.name.casefold()
    for number, other in before.items():
        if other.size == entry.size and (other.name.casefold() == name or other.hex == entry.hex):
            like = "name" if other.name.casefold() == name else "colour"
            report.bad(
                "stock-twice",
                here,
                f"Balloons of size {entry.size} and this {like} stand under [[{_ENTRIES}]] "
                f"{number + 1} already.",
                "Put them together, or give one of the two a name and a colour of its own.",
            )
            return


def _unknown(
    data: dict[str, Any],
    here: lines.Path,
    known: tuple[str, ...],
    report: Report,
) -> set[str]:
    """Report keys that are not known here, and give them."""
    strange = {key for key in data if key not in known}
    for key in data:
        if key not in strange or report.is_full:
            continue
        near = nearest(key, known)
        place = f"in [[{_ENTRIES}]]" if here else "of a stock"
        report.bad(
            "unknown-key",
            (*here, key),
            f"{short(key) or 'An empty name'} is not a key {place}.",
            f"Did you mean {near}?" if near else f"Known here: {said_list(known)}.",
        )
    return strange
