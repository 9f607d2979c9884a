"""The whole booklet as plain data: what each page says, in letters that the font can print."""

from __future__ import annotations

import json
from typing import Any

from airweft.base.findings import Finding
from airweft.booklet import back, crew_page, front, shape_page, walk
from airweft.booklet.book import Book
from airweft.booklet.letters import breakable, printable, shortened
from airweft.booklet.pictures import Pictures

Data = dict[str, Any]

PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height in mm. A4: ISO 216. Letter: 8.5 by 11 in."""

_LETTERS = "booklet-letters"
_NOT_PRINTED = ("svg", "hex", "document_title")


def content(book: Book, pictures: Pictures, *, paper: str, large: bool) -> str:
    """All that the pages show, as JSON."""
    name = shortened(book.design.name, 160) or "A piece without a name"
    width, height = PAPERS[paper]
    title = f"{name}: how to make it"
    data: Data = {
        "paper": {"width": width, "height": height},
        "large": large,
        "program": book.plan.program or "airweft",
        "document_title": printable(title)[0],
        "short_title": shortened(name, 48 if large else 80),
        "footer": f"{book.plan.program} {book.plan.version} · "
        f"{back.short_fingerprint(book)} · print at 100 %",
        "ornament": _ornament(book),
        "cover": front.cover(book) | {"figure": walk.figure_data(pictures.cover)},
        "cautions": front.cautions(book),
        "findings_title": "Good to know about this plan",
        "findings": front.findings(book),
        "findings_run_on": not large and front.run_on(book),
        "contents_title": "In this booklet",
        "need": front.need(book),
        "gauges": walk.gauges(pictures, large=large),
        "reading": walk.reading(book, pictures.howto),
        "charts": walk.charts(pictures),
        "shape": shape_page.shape(book, pictures.motion),
        "crew": crew_page.crew(book, pictures.crew),
        "steps": walk.steps(book, pictures.steps, large=large),
        "finishing": back.finishing(book),
        "variations": back.variations(book),
        "notes": back.notes(book),
        "balloons": back.balloon_list(book),
        "colophon": back.colophon(book),
    }
    missing: dict[str, None] = {}
    clean = _clean(data, missing)
    if missing and all(f.code != _LETTERS for f in book.findings):
        clean["findings"].append(_clean(front.finding(_lacking("".join(missing))), {}))
    return json.dumps(clean, ensure_ascii=True, sort_keys=True)


def letter_findings(book: Book) -> tuple[Finding, ...]:
    """A note if the book's texts hold characters that the booklet's font cannot print."""
    texts = [book.design.name, book.design.notes]
    texts += [part for colour in book.palette for part in (colour.mark, colour.name)]
    texts += [balloon.code for balloon in book.plan.balloons]
    texts += book.net.joint_names
    for step in book.instructions.steps:
        texts += [step.title, step.text, step.check, step.note]
    texts += [part for pair in book.instructions.glossary for part in pair]
    texts += book.instructions.how_to_read
    missing = "".join(dict.fromkeys(printable("".join(texts))[1]))
    return (_lacking(missing),) if missing else ()


def _lacking(missing: str) -> Finding:
    """The finding about characters without a glyph, named by their code points."""
    points = ", ".join(f"U+{ord(char):04X}" for char in missing[:8])
    more = f" and {len(missing) - 8} more" if len(missing) > 8 else ""
    return Finding(
        code=_LETTERS,
        severity="note",
        where="the booklet's type",
        message=f"The booklet's type has no letters for {points}{more}; an empty box stands in "
        "their place.",
        remedy="Write names and notes in Latin, Greek or Cyrillic letters.",
    )


def _clean(value: Any, missing: dict[str, None], key: str = "") -> Any:
    """`value` with every text made printable; characters that are lacking go to `missing`."""
    if isinstance(value, str):
        if key in _NOT_PRINTED:
            return value
        text, lacking = printable(value)
        missing.update(dict.fromkeys(lacking))
        return breakable(text)
    if isinstance(value, dict):
        return {k: _clean(v, missing, k) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_clean(v, missing, key) for v in value]
    return value


def _ornament(book: Book) -> list[str]:
    """The piece's own colours, as often as its first bubbles take them."""
    marks = [mark for mark in dict.fromkeys(book.net.colours) if mark]
    colours = [walk.safe_hex(book.colour(mark).hex) for mark in marks]
    return colours or ["#999999"]
