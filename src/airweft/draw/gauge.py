"""Gauges to print at true size: one unit of the drawing is one millimetre.

Every gauge says its own width and height in mm; place it at that size and nothing else. The edges
that matter are the `data-mm` ones: their distance along x is exact, and the thin outline of an edge
is centred on it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from airweft.base.units import Unit, show_length
from airweft.draw.body import CAP, PLUMP, PULL, diameter_mm
from airweft.draw.numbers import attribute, num
from airweft.draw.paint import write as pen
from airweft.draw.palette import INK, PAPER

ROOM = 180.0  # mm that fit across A4 and Letter alike with ordinary margins
SQUARES = (50.0, 50.8)  # mm; 50.8 mm is 2 in exactly
_HAIR = 0.18  # mm
_APART = 6.0  # mm between the check squares
_LINE = 0.35
_QUIET = "#5d5d68"
_BODY = "#e9eef6"
_FLAT = "#f3d9d3"


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauge:
    """A drawing at true size: its SVG, its size in mm, and the words that stand for it."""

    svg: str
    width_mm: float
    height_mm: float
    alt: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tail:
    """One flat tail to measure: for whom it is ("R1 to R6") and its length, hundredths of a mm."""

    text: str
    length: int


def bubble_gauge(bubble: int, *, size: str, units: Unit) -> Gauge:
    """A slot exactly one bubble long, with the outline of a plump bubble in it.

    `bubble` is the bubble length in hundredths of a mm. Bubbles longer than the paper is wide get
    the first and the last stop on two lines, see `tail_gauge` for how they are measured.
    """
    length = bubble / 100
    said = show_length(bubble, units)
    if length > ROOM - 16:
        return tail_gauge([Tail(text="One bubble", length=bubble)], units=units)
    half = max(min(diameter_mm(size) / 2, (PLUMP + 0.06) * length), 1.0)
    top, side = 7.0, 8.0
    width = max(length + 2 * side, 46.0)
    left = (width - length) / 2
    middle = top + half
    floor = middle + half + 1.2
    height = floor + 9.5
    slot = (
        f"M{_mm(left - 6)} {_mm(top - 3)}H{_mm(left)}V{_mm(floor)}H{_mm(left + length)}"
        f"V{_mm(top - 3)}H{_mm(left + length + 6)}"
    )
    inner = (
        f'<path d="{slot}" fill="none" stroke-width="{num(_LINE, 2)}"'
        f' data-from="{_mm(left)}" data-to="{_mm(left + length)}" data-mm="{_mm(length)}"/>'
        + _bubble(left + length / 2, middle, length, half)
        + _span(left, left + length, floor + 2.6)
        + _write(said, width / 2, floor + 7.4, 2.8, anchor="middle")
    )
    return _gauge(inner, width, height, f"Bubble gauge at true size: a slot {said} long.")


def tail_gauge(tails: Sequence[Tail], *, units: Unit) -> Gauge:
    """Flat tails at true size, one under the other from a common edge, each with its mark.

    A tail longer than the paper allows is drawn in parts: whole lines of `ROOM` and the rest.
    """
    width = ROOM + 8
    left, y = 4.0, 6.5
    out: list[str] = []
    lines = 0
    for tail in tails:
        length = max(tail.length, 0) / 100
        said = show_length(max(tail.length, 0), units)
        parts = [ROOM] * int((length - 1e-9) // ROOM) if length > ROOM else []
        parts.append(length - ROOM * len(parts))
        out.append(_write(f"{tail.text}: {said}", left + 1.6, y, 2.6))
        if len(parts) > 1:
            note = f"in {len(parts)} lines: {' + '.join(num(p, 2) + ' mm' for p in parts)}"
            out.append(_write(note, left + ROOM, y, 2.2, anchor="end", colour=_QUIET))
        for k, part in enumerate(parts):
            out.append(_tail(left, y + 2.2, part, first=k == 0, last=k == len(parts) - 1))
            y += 10.2
            lines += 1
        y += 3.4
    height = y if lines else 10.0
    edge = (
        f'<path d="M{_mm(left)} 2V{_mm(height - 3)}" stroke-width="{num(_LINE, 2)}"/>'
        if lines
        else ""
    )
    words = ", ".join(f"{t.text} {show_length(max(t.length, 0), units)}" for t in tails)
    return _gauge(edge + "".join(out), width, height, f"Tail gauge at true size: {words}.")


def ruler(length: int, *, units: Unit) -> Gauge:
    """A ruler of `length` hundredths of a mm, cut to whole cm or in and to the paper's width."""
    step, small, name = (25.4, 8, "in") if units == "in" else (10.0, 10, "cm")
    count = max(1, min(int(length / 100 / step + 1e-9), int(ROOM / step)))
    left, top = 4.0, 1.0
    ticks: list[str] = []
    for k in range(count * small + 1):
        x = left + k * step / small
        whole, half = k % small == 0, k % (small // 2) == 0
        quarter = units == "in" and k % (small // 4) == 0
        deep = 6.0 if whole else 4.4 if half else 3.4 if quarter else 2.4
        ticks.append(f"M{_mm(x)} {_mm(top)}v{num(deep)}")
    long = count * step
    numbers = "".join(
        _write(str(k), left + k * step, top + 9.6, 2.4, anchor="middle") for k in range(count + 1)
    )
    inner = (
        f'<path d="M{_mm(left)} {_mm(top)}h{_mm(long)}" stroke-width="{num(_LINE, 2)}"'
        f' data-from="{_mm(left)}" data-to="{_mm(left + long)}" data-mm="{_mm(long)}"/>'
        f'<path d="{"".join(ticks)}" stroke-width="{num(_HAIR, 2)}" fill="none"/>'
        f"{numbers}{_write(name, left + long + 3.4, top + 5.6, 2.4)}"
    )
    said = f"{count} {name}"
    return _gauge(inner, long + left + 9, top + 11.6, f"Ruler at true size, {said} long.")


def check_squares() -> Gauge:
    """Two squares to measure after printing: 50 mm and 2 in (50.8 mm)."""
    y, x = 2.0, 2.0
    out: list[str] = []
    for side, name in zip(SQUARES, ("50 mm", "2 in"), strict=True):
        out.append(
            f'<rect x="{_mm(x)}" y="{_mm(y)}" width="{_mm(side)}" height="{_mm(side)}"'
            f' fill="none" stroke-width="{num(_HAIR, 2)}" data-mm="{_mm(side)}"/>'
            + _write(name, x + side / 2, y + side / 2 + 2, 4.6, anchor="middle")
            + _span(x, x + side, y + side - 5)
            + _upright(y, y + side, x + 5)
        )
        x += side + _APART
    width, height = x - _APART + 2.0, 2 * y + SQUARES[1]
    words = "Two check squares at true size: 50 mm and 2 in (50.8 mm) a side."
    return _gauge("".join(out), width, height, words)


def _gauge(inner: str, width: float, height: float, alt: str) -> Gauge:
    """The SVG around a gauge, in mm."""
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_mm(width)}mm" height="{_mm(height)}mm"'
        f' viewBox="0 0 {_mm(width)} {_mm(height)}"><title>{attribute(alt)}</title>'
        f'<rect width="{_mm(width)}" height="{_mm(height)}" fill="{PAPER}"/>'
        f'<g stroke="{INK}" stroke-linecap="butt" stroke-linejoin="miter">{inner}</g></svg>\n'
    )
    return Gauge(svg=svg, width_mm=round(width, 4), height_mm=round(height, 4), alt=alt)


def _write(
    text: str, x: float, y: float, height: float, *, anchor: str = "start", colour: str = INK
) -> str:
    """Text with a round pen, while all edges to measure are cut square."""
    inner = pen(text, x, y, height, anchor=anchor, colour=colour)
    return f'<g stroke-linecap="round" stroke-linejoin="round">{inner}</g>'


def _mm(value: float) -> str:
    """A length in mm, exact to a ten thousandth."""
    return num(value, 4)


def _bubble(x: float, y: float, length: float, half: float) -> str:
    """The outline of a plump bubble between its two twists, with a highlight."""
    reach = length / 2 * PULL
    cap = min(reach, CAP * half)
    flat = max(reach - cap, 0.0)
    path = (
        f"M{_mm(x - flat)} {_mm(y - half)}H{_mm(x + flat)}"
        f"A{_mm(cap)} {_mm(half)} 0 0 1 {_mm(x + flat)} {_mm(y + half)}H{_mm(x - flat)}"
        f"A{_mm(cap)} {_mm(half)} 0 0 1 {_mm(x - flat)} {_mm(y - half)}z"
    )
    shine = (
        f"M{_mm(x - flat - cap * 0.55)} {_mm(y - half * 0.3)}"
        f"Q{_mm(x - flat - cap * 0.4)} {_mm(y - half * 0.68)}"
        f" {_mm(x - flat + cap * 0.1)} {_mm(y - half * 0.72)}"
    )
    ends = "".join(
        f"M{_mm(x + s * reach)} {_mm(y)}L{_mm(x + s * length / 2)} {_mm(y - half * 0.12)}"
        f"M{_mm(x + s * reach)} {_mm(y)}L{_mm(x + s * length / 2)} {_mm(y + half * 0.12)}"
        for s in (-1, 1)
    )
    return (
        f'<path d="{path}" fill="{_BODY}" stroke-width="{num(_LINE, 2)}"/>'
        f'<path d="{ends}" stroke-width="{num(_LINE, 2)}"/>'
        f'<path d="{shine}" fill="none" stroke="{PAPER}" stroke-width="{_mm(half * 0.14)}"'
        f' stroke-linecap="round"/>'
    )


def _tail(x: float, y: float, length: float, *, first: bool, last: bool) -> str:
    """A flat tail lying with its cut or rounded end at x and its mark at x + length."""
    tall = 7.0
    round_end = min(tall / 2, length / 2) if first else 0.0
    path = (
        f"M{_mm(x + length)} {_mm(y)}H{_mm(x + round_end)}"
        f"A{_mm(round_end)} {_mm(tall / 2)} 0 0 0 {_mm(x + round_end)} {_mm(y + tall)}"
        f"H{_mm(x + length)}"
        if first
        else f"M{_mm(x + length)} {_mm(y)}H{_mm(x)}V{_mm(y + tall)}H{_mm(x + length)}"
    )
    mark = (
        f'<path d="M{_mm(x + length)} {_mm(y - 1.2)}v{_mm(tall + 2.4)}"'
        f' stroke-width="{num(_LINE, 2)}" data-from="{_mm(x)}"'
        f' data-to="{_mm(x + length)}" data-mm="{_mm(length)}"/>'
    )
    swell = ""
    if last:
        swell = (
            f'<path d="M{_mm(x + length)} {_mm(y + 1.6)}q1.6-1.8 3-2.2'
            f'm-3 {_mm(tall - 1)}q1.6 1.8 3 2.2" fill="none"'
            f' stroke="{_QUIET}" stroke-width="{num(_HAIR, 2)}"/>'
        )
    return f'<path d="{path}" fill="{_FLAT}" stroke-width="{num(_HAIR, 2)}"/>{mark}{swell}'


def _span(left: float, right: float, y: float) -> str:
    """A dimension line from `left` to `right` with arrow heads that end exactly there."""
    a = min(1.6, (right - left) / 4)
    b = a * 0.45
    path = (
        f"M{_mm(left)} {_mm(y)}H{_mm(right)}"
        f"M{_mm(left + a)} {_mm(y - b)}L{_mm(left)} {_mm(y)}L{_mm(left + a)} {_mm(y + b)}"
        f"M{_mm(right - a)} {_mm(y - b)}L{_mm(right)} {_mm(y)}L{_mm(right - a)} {_mm(y + b)}"
    )
    return f'<path d="{path}" fill="none" stroke="{_QUIET}" stroke-width="{num(_HAIR, 2)}"/>'


def _upright(top: float, bottom: float, x: float) -> str:
    """The same for a height."""
    a, b = 1.6, 0.72
    path = (
        f"M{_mm(x)} {_mm(top)}V{_mm(bottom)}"
        f"M{_mm(x - b)} {_mm(top + a)}L{_mm(x)} {_mm(top)}L{_mm(x + b)} {_mm(top + a)}"
        f"M{_mm(x - b)} {_mm(bottom - a)}L{_mm(x)} {_mm(bottom)}L{_mm(x + b)} {_mm(bottom - a)}"
    )
    return f'<path d="{path}" fill="none" stroke="{_QUIET}" stroke-width="{num(_HAIR, 2)}"/>'
