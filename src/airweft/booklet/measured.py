"""Gauges at true size and charts: pictures whose size on the paper matters."""

from __future__ import annotations

import re

from airweft.base.units import show_length
from airweft.booklet.book import Book
from airweft.booklet.facts import codes_text
from airweft.booklet.pictures import Figure
from airweft.booklet.squares import square_chart
from airweft.draw.chart import chart, chart_notes, panel_charts
from airweft.draw.gauge import Gauge, Tail, bubble_gauge, check_squares, ruler, tail_gauge
from airweft.draw.patch import Flat, flat
from airweft.draw.plainpatch import plain_patch
from airweft.words.phrases import listed

BLOCK_WIDTH = 174.0  # mm, the width of the text on both papers
BLOCK_HEIGHT = 240.0
MOST_TAILS = 6
MOST_LENGTHS = 3
WHOLE_CHART = 640  # up to so many bubbles the panels are shown unfolded in one chart
_CHART_MM = 0.22  # mm for each px of a chart, at most: marks are then 2 mm high
_LEAST_MM = 0.2  # a chart of all panels that comes out smaller is cut into its panels
_SQUARE_MM = 0.36
_LARGE_MM = 0.4
_VIEW = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')


def gauges(book: Book) -> tuple[Figure, ...]:
    """Check squares, a ruler, a bubble gauge for each length, and the tail gauge."""
    units = book.design.units
    lengths = sorted(set(zip(book.net.lengths.tolist(), book.net.sizes, strict=True)))
    tails: dict[int, list[str]] = {}
    for balloon in book.plan.balloons:
        tails.setdefault(balloon.tail, []).append(balloon.code)
    told = [Tail(text=_short(codes), length=tail) for tail, codes in sorted(tails.items())]
    found = [
        _figure(check_squares(), "", ""),
        _figure(ruler(17000, units=units), "Ruler", ""),
        *(
            _figure(
                bubble_gauge(length, size=size, units=units),
                f"Bubble gauge, {show_length(length, units)}",
                "Hold a fresh bubble in the slot before you lock it: both twists touch the edges.",
            )
            for length, size in lengths[:MOST_LENGTHS]
        ),
    ]
    if told:
        rest = len(told) - MOST_TAILS
        more = f" The other {rest} tails: measure with the ruler." if rest > 0 else ""
        found.append(
            _figure(
                tail_gauge(told[:MOST_TAILS], units=units),
                "Tail gauge",
                "Lay the flat tail on its strip, tip on the round end. The inflated part begins at "
                "the mark." + more,
            )
        )
    return tuple(found)


def charts(book: Book, *, large: bool = False) -> tuple[Figure, ...]:
    """All panels and patches in one chart, or a plain chart for each where they are large.

    In large type, and where the marks would be too small to read, each has its own.
    """
    net = book.net
    laid = flat(net)
    parts = bool(laid.sheets or laid.patches)
    if net.bubble_count <= WHOLE_CHART or not parts:
        title = "Laid flat" if laid.patches else "All panels" if parts else "From three sides"
        whole = _sized(chart(net, book.palette), title, _CHART_MM)
        if parts and (large or whole.width < _LEAST_MM * _wide(whole.svg)):
            most = _LARGE_MM if large else _CHART_MM
            one_by_one = panel_charts(net, book.palette, bare=not large)
            beside = "" if large else _beside(book, laid)
            return tuple(_sized(svg, _titled(laid, name), most, beside) for name, svg in one_by_one)
        return (whole,)
    beside = _beside(book, laid)
    return (
        *(
            _sized(
                square_chart(net, book.palette, sheet, laid.numbers),
                f"Panel {sheet.name}",
                _SQUARE_MM,
                beside,
            )
            for sheet in laid.sheets
        ),
        *(
            _sized(
                plain_patch(net, book.palette, patch, laid.numbers),
                _capital(patch.name),
                _SQUARE_MM,
                beside,
            )
            for patch in laid.patches
        ),
    )


def _titled(laid: Flat, name: str) -> str:
    return f"Panel {name}" if any(sheet.name == name for sheet in laid.sheets) else _capital(name)


def _capital(name: str) -> str:
    return name[:1].upper() + name[1:]


def _wide(svg: str) -> float:
    """Width of a picture in px."""
    view = _VIEW.search(svg)
    return float(view[1]) if view else 400.0


def _beside(book: Book, laid: Flat) -> str:
    """What is told once for all charts that have no key of their own."""
    used = set(book.net.colours)
    names = listed([f"{c.mark} is {c.name}" for c in book.palette if c.mark in used])
    key = [f"{names}."] if names else []
    return " ".join(key + chart_notes(laid, loops="loop" in book.net.kinds))


def _sized(svg: str, title: str, most: float, text: str = "") -> Figure:
    """A chart as large as reads well (`most` mm for each px), within the text block."""
    view = _VIEW.search(svg)
    wide, high = (float(view[1]), float(view[2])) if view else (400.0, 400.0)
    scale = min(most, BLOCK_WIDTH / wide, (BLOCK_HEIGHT - 45) / high)
    return Figure(
        svg=svg,
        alt=f"Chart: {title.lower()}, seen from outside, each bubble with its mark.",
        title=title,
        text=text,
        width=wide * scale,
        height=high * scale,
    )


def _figure(gauge: Gauge, title: str, text: str) -> Figure:
    return Figure(
        svg=gauge.svg,
        alt=gauge.alt,
        title=title,
        text=text,
        width=gauge.width_mm,
        height=gauge.height_mm,
    )


def _short(codes: list[str]) -> str:
    """Codes that share a tail, cut where they are very many."""
    text = codes_text(tuple(codes))
    return text if len(text) <= 60 else f"{len(codes)} balloons, {codes[0]} first"
