"""The phone page: one HTML file that leads through the making, with no network."""

from __future__ import annotations

import base64
import hashlib
import json
from functools import cache
from html import escape
from importlib.resources import files
from typing import Any

from airweft.base.findings import Finding, in_order
from airweft.base.units import show_length
from airweft.booklet.book import Book
from airweft.booklet.facts import codes_text, count, cover_facts, groups, minutes_text
from airweft.booklet.phone_crew import crew_section, swatch
from airweft.booklet.phone_data import page_data
from airweft.booklet.phone_shape import shape_section
from airweft.costing.shopping import packs_text, stock_text
from airweft.words.cautions import CHOKING

# In this order: the first files only define; from page.js on they run when the page is loaded. The
# modules of the canvas are those that the app's view imports.
MODULES = (
    "data.js",
    "labels.js",
    "turning.js",
    "seen.js",
    "writing.js",
    "inks.js",
    "pixels.js",
    "painter.js",
    "pace.js",
    "hands.js",
    "picture.js",
)
SCRIPTS = (
    "texts.js",
    "place.js",
    "awake.js",
    "voice.js",
    "page.js",
    "moves.js",
    "sheets.js",
    "keys.js",
)
STYLES = ("look.css", "making.css", "sheets.css")
_KINDS = {"cannot": "Cannot be made", "risky": "Risky", "note": "Note"}


def make_page(book: Book) -> str:
    """The page as one HTML text: cautions, needs, steps and pictures, without outside parts.

    The same book gives the same text. Whatever the names hold is written as text, never as markup.
    """
    style = "\n".join(map(_read, STYLES))
    parts = [*map(_module, MODULES), *map(_read, SCRIPTS)]
    script = "(() => {\n" + '"use strict";\n' + "\n".join(parts) + "})();\n"
    filling = {
        "script_hash": _digest(script),
        "style_hash": _digest(style),
        "style": style,
        "script": script,
        "data": script_json(page_data(book)),
        "version": escape(book.plan.version),
        "name": escape(_name(book)),
        "facts": "".join(
            f"<li><b>{escape(f.figure)}</b> {escape(f.meaning)}</li>" for f in cover_facts(book)
        ),
        "cautions": _cautions(book),
        "findings": _findings(book.findings),
        "crew": crew_section(book),
        "needs": _needs(book),
        "shape": shape_section(book),
        "how_to_read": "".join(f"<p>{escape(t)}</p>" for t in book.instructions.how_to_read),
        "glossary": _glossary(book),
        "colophon": _colophon(book),
    }
    return _filled(_read("page.html"), filling)


def script_json(data: Any) -> str:
    """JSON that is safe inside a script element: nothing in it can end the element or open another.

    >>> script_json({"name": "</script>"})
    '{"name":"\\\\u003c/script>"}'
    """
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    for char, code in (("<", "003c"), ("\u2028", "2028"), ("\u2029", "2029")):
        text = text.replace(char, f"\\u{code}")
    # Lone surrogates cannot be written as UTF-8; in JSON they have their own spelling.
    return "".join(f"\\u{ord(c):04x}" if "\ud800" <= c <= "\udfff" else c for c in text)


@cache
def _read(name: str) -> str:
    """One of the page's source files, with line ends as HTML counts them.

    The app imports some of them as modules; here nothing is exported.
    """
    text = (files("airweft.booklet") / "phone" / name).read_text(encoding="utf-8")
    return text.replace("\r\n", "\n").replace("\nexport function", "\nfunction")


@cache
def _module(name: str) -> str:
    """One of the canvas modules as a plain script: its imports are beside it, nothing is exported.

    In those modules an import is one line and "export" stands before what it exports.
    """
    text = (files("airweft.draw") / "canvas" / name).read_text(encoding="utf-8")
    lines = text.replace("\r\n", "\n").lstrip("\n").split("\n")
    kept = [line.removeprefix("export ") for line in lines if not line.startswith("import ")]
    return "\n".join(kept).lstrip("\n")


def _digest(text: str) -> str:
    """What the page's own security policy allows to run (CSP level 2, hash source)."""
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()


def _filled(template: str, parts: dict[str, str]) -> str:
    """The template with its `{{name}}` marks filled once; what is filled in is not looked at."""
    head, *rest = template.split("{{")
    out = [head]
    for piece in rest:
        name, _, after = piece.partition("}}")
        out += [parts[name], after]
    return "".join(out).encode("utf-8", "replace").decode()


def _name(book: Book) -> str:
    return book.design.name.strip() or "A piece without a name"


def _cautions(book: Book) -> str:
    """All cautions: the choking statement first and apart, word for word."""
    others = [c for c in book.cautions if c.text != CHOKING]
    listed = "".join(
        f"<div><dt>{escape(c.title)}</dt><dd>{escape(c.text)}</dd></div>" for c in others
    )
    return f'<p class="choking">{escape(CHOKING)}</p><dl class="caution-list">{listed}</dl>'


def _findings(findings: tuple[Finding, ...]) -> str:
    if not findings:
        return ""
    items = []
    for found in in_order(findings):
        where = f", {escape(found.where)}" if found.where else ""
        message = found.message.rstrip()
        end = "" if message.endswith((".", "!", "?", ":")) or not found.remedy else "."
        said = f"<b>{_KINDS[found.severity]}{where}:</b> {escape(message)}{end}"
        items.append(f'<li dir="auto">{said} {escape(found.remedy)}</li>')
    return (
        '<section aria-labelledby="findings-title"><h2 id="findings-title">Good to know about this '
        f'plan</h2><ul class="findings">{"".join(items)}</ul></section>'
    )


def _needs(book: Book) -> str:
    """What to buy by colour, and how far to inflate which balloons."""
    units = book.design.units
    low, high = book.plan.claims.minutes_low, book.plan.claims.minutes_high
    # With a stock the spares stand beside the need, so that four columns still fit a phone.
    stocked = any(line.supply is not None for line in book.shopping)
    heads = ("Need + spare", "From stock", "To buy") if stocked else ("Need", "Spare", "Packs")
    rows = []
    for line in book.shopping:
        cells = (
            (f"{line.need:,} + {line.spare:,}", stock_text(line.supply))
            if stocked
            else (f"{line.need:,}", f"{line.spare:,}")
        )
        figures = "".join(f'<td class="count">{escape(cell)}</td>' for cell in cells)
        rows.append(
            f'<tr><th scope="row"><span class="need-name">{swatch(line.mark, line.hex)}'
            f"<span><bdi>{escape(line.name)}</bdi> ({escape(line.mark)}), {escape(line.size)}"
            f"</span></span></th>{figures}<td>{escape(packs_text(line.packs))}</td></tr>"
        )
    buy = ""
    if rows:
        first, second, last = heads
        buy = (
            '<div class="table-box"><table class="needs"><caption>To buy or lay ready. Plan '
            f"{escape(minutes_text(low, high))} if your hands know lock twists.</caption><thead>"
            f'<tr><th scope="col">Balloon</th><th scope="col" class="count">{first}</th>'
            f'<th scope="col" class="count">{second}</th><th scope="col">{last}</th></tr></thead>'
            f"<tbody>{''.join(rows)}</tbody></table></div>"
        )
    inflating = "".join(
        f'<tr><th scope="row"><span class="need-name">'
        f"{swatch(group.mark, book.colour(group.mark).hex)}<span>"
        f"{escape(codes_text(group.codes))}{', part-used' if group.flat else ''}</span></span></th>"
        f'<td class="count">{group.bubbles:,}</td>'
        f"<td>{escape(show_length(group.tail, units))}</td></tr>"
        for group in groups(book)
    )
    return (
        f'{buy}<h3>Inflating</h3><div class="table-box"><table class="needs"><caption>'
        f"{escape(count(len(book.plan.balloons), 'balloon'))}. Inflate each until only its flat "
        'tail is left, and knot it.</caption><thead><tr><th scope="col">Balloons</th>'
        '<th scope="col" class="count">Bubbles each</th><th scope="col">Flat tail</th></tr></thead>'
        f"<tbody>{inflating}</tbody></table></div>"
        "<p>Lay ready: a hand pump, eye protection, blunt scissors, a pen for the codes on the "
        "tails, a bag for every scrap.</p>"
    )


def _glossary(book: Book) -> str:
    if not book.instructions.glossary:
        return ""
    terms = "".join(
        f"<dt>{escape(term)}</dt><dd>{escape(meaning)}</dd>"
        for term, meaning in book.instructions.glossary
    )
    return f'<details><summary>The words</summary><dl class="glossary">{terms}</dl></details>'


def _colophon(book: Book) -> str:
    plan = book.plan
    made = f"{plan.program} {plan.version}, style {plan.style}, seed {plan.seed}"
    return f"<p>Made by {escape(made)}; design {escape(plan.fingerprint[:12])}.</p>"
