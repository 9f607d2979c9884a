"""Plans as points in a picture: balloons across, minutes upward, best and beaten told apart.

A plan that nothing beats is a glossy bubble, a beaten one is veiled, the best has a ring. The line
joins those that trade balloons against minutes. Names stand beside their bubbles and cover nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor, hypot, log10

from airweft.draw.glyph import text_width
from airweft.draw.key import one_outline
from airweft.draw.numbers import num
from airweft.draw.paint import Brush, document, write
from airweft.draw.palette import INK, PAPER, shades
from airweft.records.design import Colour

_WIDE, _HIGH = 640.0, 420.0  # px
_LEFT, _RIGHT, _TOP, _BOTTOM = 64.0, 24.0, 66.0, 58.0
_LETTERS = 9.0  # height of the capitals, px
_RADIUS = 11.0
_READ = "ring: best by the weights, pale: another plan is better all round"
_GRID = "#dcd9d2"
_LINE = "#9a978f"
_GOOD = "g"
_BLUE = Colour(_GOOD, "not beaten", "#2f7fb5")


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One plan in the picture. Plans on the same spot share a bubble and a label."""

    label: str
    balloons: int
    minutes: float
    beaten: bool
    best: bool


@dataclass(frozen=True, slots=True)
class _Box:
    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: _Box) -> bool:
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )


def tradeoffs(choices: Sequence[Choice], *, title: str) -> str:
    """The picture of several plans as SVG; same choices, same bytes.

    Labels never overlap each other or a bubble, whatever the number of plans: where there is no
    free place beside a bubble, its label stands in a list below with a number for it.
    """
    brush = Brush({_GOOD: shades(_BLUE)}, 1.2)
    spots = _merged(choices)
    across = _scale([c.balloons for c in choices], whole=True)
    upward = _scale([c.minutes for c in choices], whole=False)
    low_x, low_y = across[0], upward[0]
    wide = (_WIDE - _LEFT - _RIGHT) / max(across[-1] - low_x, 1e-9)
    high = (_HIGH - _TOP - _BOTTOM) / max(upward[-1] - low_y, 1e-9)

    def place(balloons: float, minutes: float) -> tuple[float, float]:
        return _LEFT + (balloons - low_x) * wide, _HIGH - _BOTTOM - (minutes - low_y) * high

    at = [place(spot.balloons, spot.minutes) for spot in spots]
    ground = f'<rect width="{num(_WIDE)}" height="{num(_HIGH)}" fill="{PAPER}" stroke="none"/>'
    out = [ground, write(title, _LEFT, 28, 12), *_axes(across, upward, place)]
    out.append(write(_READ, _WIDE - _RIGHT, _TOP - 12, 7.5, anchor="end"))
    out += _front(spots, at)
    taken = [_around(x, y) for x, y in at]
    listed: list[str] = []
    texts: list[str] = []
    for spot, (x, y) in sorted(zip(spots, at, strict=True), key=lambda pair: pair[1]):
        box = _beside(spot.label, x, y, taken)
        if box is None:
            listed.append(spot.label)
            texts.append(brush.mark(f"{len(listed)}", x, y, 6.4))
            continue
        taken.append(box)
        texts.append(write(spot.label, box.left + 3, box.bottom - 4, _LETTERS))
    for spot, (x, y) in zip(spots, at, strict=True):
        out.append(_bubble(brush, spot, x, y))
    tall = _HIGH
    for place_in_list, label in enumerate(listed, start=1):
        for line in _lines(f"{place_in_list}  {label}"):
            out.append(write(line, _LEFT, tall + 8, _LETTERS))
            tall += 18
    return document(_WIDE, tall + (12 if listed else 0), brush, "".join(out + texts), title)


def _merged(choices: Sequence[Choice]) -> list[Choice]:
    """One choice for each spot, its label naming all that lie there."""
    spots: dict[tuple[int, float], list[Choice]] = {}
    for choice in choices:
        spots.setdefault((choice.balloons, choice.minutes), []).append(choice)
    return [
        Choice(
            label=" / ".join(choice.label for choice in group),
            balloons=balloons,
            minutes=minutes,
            beaten=all(choice.beaten for choice in group),
            best=any(choice.best for choice in group),
        )
        for (balloons, minutes), group in spots.items()
    ]


def _scale(values: Sequence[float], *, whole: bool) -> list[float]:
    """Round numbers from below the least value to above the greatest, about five steps apart."""
    least, most = min(values, default=0.0), max(values, default=1.0)
    span = max(most - least, 4.0 if whole else 2.0)
    rough = span / 5
    power = 10.0 ** floor(log10(rough))
    step = next(m * power for m in (1, 2, 5, 10) if m * power >= rough - 1e-9)
    step = max(step, 1.0) if whole else step
    first = floor(least / step - 0.25)
    last = ceil(most / step + 0.25)
    return [round(k * step, 9) for k in range(max(first, 0), max(last, first + 2) + 1)]


def _axes(
    across: Sequence[float],
    upward: Sequence[float],
    place: Callable[[float, float], tuple[float, float]],
) -> list[str]:
    out = []
    foot, top = _HIGH - _BOTTOM, _TOP
    for value in across:
        x, _ = place(value, upward[0])
        out.append(_line(x, top, x, foot, _GRID))
        out.append(write(f"{value:g}", x, foot + 18, 8, anchor="middle"))
    for value in upward:
        _, y = place(across[0], value)
        out.append(_line(_LEFT, y, _WIDE - _RIGHT, y, _GRID))
        out.append(write(f"{value:g}", _LEFT - 9, y + 4, 8, anchor="end"))
    out.append(_line(_LEFT, foot, _WIDE - _RIGHT, foot, INK))
    out.append(_line(_LEFT, top, _LEFT, foot, INK))
    out.append(
        write("balloons", (_LEFT + _WIDE - _RIGHT) / 2, foot + 42, _LETTERS, anchor="middle")
    )
    out.append(write("minutes", _LEFT - 40, top - 12, _LETTERS))
    return out


def _front(spots: Sequence[Choice], at: Sequence[tuple[float, float]]) -> list[str]:
    """A line through the plans that trade balloons against minutes."""
    order = sorted(zip(spots, at, strict=True), key=lambda p: (p[0].balloons, p[0].minutes))
    kept: list[tuple[float, float]] = []
    least = float("inf")
    for spot, xy in order:
        if spot.minutes < least:
            least = spot.minutes
            kept.append(xy)
    return [_line(*a, *b, _LINE, dash=True) for a, b in pairwise(kept)]


def _bubble(brush: Brush, spot: Choice, x: float, y: float) -> str:
    shape = one_outline(x, y, _RADIUS, _RADIUS * 0.82)
    ring = (
        f'<circle cx="{num(x)}" cy="{num(y)}" r="{num(_RADIUS + 5)}" fill="none" stroke-width="2"/>'
        if spot.best
        else ""
    )
    body = brush.veiled(shape, 0, _GOOD) if spot.beaten else brush.plain(shape, 0, _GOOD)
    return ring + body


def _beside(label: str, x: float, y: float, taken: Sequence[_Box]) -> _Box | None:
    """A free place for a label near its bubble, the right side first; None if there is none."""
    wide, high = text_width(label, _LETTERS) + 6, _LETTERS + 8
    away = _RADIUS + 7
    for dx, dy in (
        (away, -high / 2),
        (-away - wide, -high / 2),
        (-wide / 2, -away - high),
        (-wide / 2, away),
        (away * 0.7, -away * 0.6 - high),
        (away * 0.7, away * 0.6),
        (-away * 0.7 - wide, -away * 0.6 - high),
        (-away * 0.7 - wide, away * 0.6),
    ):
        box = _Box(x + dx, y + dy, x + dx + wide, y + dy + high)
        inside = box.left >= _LEFT and box.right <= _WIDE - 4 and box.top >= _TOP - 6
        if (
            inside
            and box.bottom <= _HIGH - _BOTTOM
            and not any(box.meets(other) for other in taken)
        ):
            return box
    return None


def _lines(text: str) -> list[str]:
    """A listed label in lines that fit the picture."""
    lines = [""]
    for part in text.split(" / "):
        longer = f"{lines[-1]} / {part}" if lines[-1] else part
        if lines[-1] and text_width(longer, _LETTERS) > _WIDE - _LEFT - _RIGHT:
            lines.append(part)
        else:
            lines[-1] = longer
    return lines


def _around(x: float, y: float) -> _Box:
    reach = _RADIUS + 6
    return _Box(x - reach, y - reach, x + reach, y + reach)


def _line(x: float, y: float, to_x: float, to_y: float, colour: str, *, dash: bool = False) -> str:
    if hypot(to_x - x, to_y - y) < 0.05:
        return ""
    dashed = ' stroke-dasharray="5 4"' if dash else ""
    return (
        f'<path d="M{num(x)} {num(y)}L{num(to_x)} {num(to_y)}" fill="none" stroke="{colour}"'
        f' stroke-width="1"{dashed}/>'
    )
