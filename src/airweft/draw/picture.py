"""Pictures of a piece: its bubbles painted from far to near, as SVG.

Three looks: *plain* (the finished piece), *new* (this step's work: strong, boldly outlined on a
white rim) and *finished* (veiled: flat pale fill, thin light outline). There is no opacity, no
filter, no mask, no style sheet and no font in the SVG, so that it looks the same everywhere.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from airweft.draw.body import Outlines, bodies_of, draw_order, outlines
from airweft.draw.camera import Camera
from airweft.draw.cover import Cover, cover, spot
from airweft.draw.glyph import PEN, CAP, text_path, text_width
from airweft.draw.numbers import attribute, num
from airweft.draw.palette import INK, PAPER, Shades, shades_of
from airweft.records.design import Colour
from airweft.records.net import Net

Labels = Literal["mark", "none"] | Mapping[int, str]

DISC = 0.56  # radius of a mark's white disc, as a share of the middle waist radius
_SMALLER = (1.0, 0.8, 0.64)  # sizes in which marks are tried
_LEAST_MARK = 2.4  # px; smaller marks cannot be read and are left out
INSIDE = -0.04  # facing below this: the bubble's inner side is seen


def piece(
    net: Net,
    palette: Iterable[Colour],
    camera: Camera,
    *,
    shown: Collection[int] | None = None,
    new: Collection[int] = (),
    veiled: bool | None = None,
    labels: Labels = "mark",
    width: float = 480,
    height: float | None = None,
    frame: Literal["shown", "whole"] = "shown",
    title: str = "",
    prefix: str = "",
) -> str:
    """An SVG picture of the bubbles `shown` (all of them if None), seen by `camera`.

    new      drawn strong; they are shown even if `shown` leaves them out
    veiled   whether the rest is veiled; by default if there is anything new
    labels   "mark": the palette mark on every bubble that is not veiled; "none"; or texts for
             bubbles by index
    width, height   of the picture in px; without a height it follows from the piece, up to 1.25
             times the width
    frame    "shown" fills the picture with what is shown, "whole" keeps the whole piece's frame
    title    what the picture shows, for screen readers
    prefix   put before every id, for several pictures in one page
    """
    fresh = {int(i) for i in new}
    present = set(range(net.bubble_count)) if shown is None else {int(i) for i in shown}
    present |= fresh
    hide = bool(fresh) if veiled is None else veiled
    shape = outlines(bodies_of(net), camera)
    order = [i for i in draw_order(shape) if i in present]
    framed = order if frame == "shown" and order else list(range(net.bubble_count))
    shape, wide, high = _fit(shape, framed, width, height)
    found = cover(shape, order)
    order = [i for i in order if found.share[i] > 0]
    texts = _texts(net, labels, order, fresh, hide)
    brush = _Brush(
        shades=shades_of(palette, (net.colours[i] for i in order)),
        line=_line_width(shape, order),
        prefix=prefix,
    )
    body = _paint(net, shape, found, order, fresh, hide, texts, brush)
    return _document(wide, high, brush, body, title)


@dataclass(slots=True)
class _Brush:
    """What one picture uses: shades by mark, line width, and the definitions made so far."""

    shades: dict[str, Shades]
    line: float
    prefix: str
    gradients: dict[str, str] | None = None
    marks: dict[tuple[str, int], tuple[str, str]] | None = None

    def gradient(self, mark: str) -> str:
        """The id of a colour's gradient."""
        if self.gradients is None:
            self.gradients = {}
        return self.gradients.setdefault(mark, f"{self.prefix}c{len(self.gradients)}")

    def mark(self, text: str, size: int, radius: float) -> str:
        """The id of a mark's symbol in one of the sizes."""
        if self.marks is None:
            self.marks = {}
        key = (text, size)
        if key not in self.marks:
            self.marks[key] = (f"{self.prefix}m{len(self.marks)}", mark_symbol(text, radius))
        return self.marks[key][0]

    def definitions(self) -> str:
        """The content of <defs>."""
        out = []
        for mark, name in (self.gradients or {}).items():
            out.append(gloss(name, self.shades[mark]))
        for name, symbol in (self.marks or {}).values():
            out.append(f'<g id="{name}">{symbol}</g>')
        return "".join(out)


def gloss(name: str, tone: Shades) -> str:
    """The gradient of a glossy body lit from the upper left, with its highlight in it."""
    stops = (
        (0, tone.glint),
        (0.07, tone.glint),
        (0.2, tone.light),
        (0.52, tone.base),
        (0.78, tone.base),
        (1, tone.deep),
    )
    inner = "".join(f'<stop offset="{num(at, 2)}" stop-color="{c}"/>' for at, c in stops)
    return (
        f'<radialGradient id="{name}" cx=".4" cy=".36" r=".72" fx=".33" fy=".27">'
        f"{inner}</radialGradient>"
    )


def mark_symbol(text: str, radius: float) -> str:
    """A white disc about the origin with `text` on it in ink."""
    height = radius * 1.12
    wide = text_width(text, height)
    if wide > 1.36 * radius:
        height *= 1.36 * radius / wide
    pen = height * PEN / CAP * 1.15
    path = text_path(text, 0, height / 2, height, anchor="middle")
    return (
        f'<circle r="{num(radius, 2)}" fill="{PAPER}" stroke="none"/>'
        f'<path d="{path}" fill="none" stroke="{INK}" stroke-width="{num(pen, 2)}"/>'
    )


def body_path(shape: Outlines, i: int) -> str:
    """Path data of one outline."""
    x, y = shape.centres[i].tolist()
    a, b = float(shape.majors[i]), float(shape.minors[i])
    ux, uy = shape.axes[i].tolist()
    sx, sy = shape.straights[i].tolist()
    turn = 0.0 if a - b < 0.05 else float(np.degrees(np.arctan2(uy, ux)))
    arc = f"a{num(a)} {num(b)} {num(turn, 0)} 1 0 "
    if abs(sx) + abs(sy) < 0.05:
        dx, dy = num(-2 * a * ux), num(-2 * a * uy)
        return f"M{num(x + a * ux)} {num(y + a * uy)}{arc}{dx} {dy}{arc}{_minus(dx)} {_minus(dy)}z"
    nx, ny = -uy * b, ux * b
    return (
        f"M{num(x - sx + nx)} {num(y - sy + ny)}l{num(2 * sx)} {num(2 * sy)}"
        f"{arc}{num(-2 * nx)} {num(-2 * ny)}l{num(-2 * sx)} {num(-2 * sy)}"
        f"{arc}{num(2 * nx)} {num(2 * ny)}z"
    )


def _minus(number: str) -> str:
    """A printed number with its sign turned, so that a path closes exactly."""
    if number == "0":
        return number
    return number[1:] if number.startswith("-") else "-" + number


def _fit(
    shape: Outlines, framed: list[int], width: float, height: float | None
) -> tuple[Outlines, float, float]:
    """Outlines scaled and shifted so that `framed` fills the picture; its width and height."""
    if not framed:
        return shape, width, height or width / 2
    half = shape.extents()[framed]
    low = (shape.centres[framed] - half).min(axis=0)
    high = (shape.centres[framed] + half).max(axis=0)
    span = np.maximum(high - low, 1e-9)
    margin = width * 0.02 + 2
    room_x = max(width - 2 * margin, 1.0)
    room_y = max((height or width * 1.25) - 2 * margin, 1.0)
    scale = min(room_x / float(span[0]), room_y / float(span[1]))
    tall = height or float(span[1]) * scale + 2 * margin
    shift = np.array([width, tall]) / 2 - (low + high) / 2 * scale
    return (
        replace(
            shape,
            centres=shape.centres * scale + shift,
            straights=shape.straights * scale,
            majors=shape.majors * scale,
            minors=shape.minors * scale,
        ),
        width,
        tall,
    )


def _line_width(shape: Outlines, order: list[int]) -> float:
    """Outline width of a plain bubble in px."""
    if not order:
        return 1.0
    middle = float(np.median(shape.minors[order]))
    return min(max(middle * 0.085, 0.25), 2.6)


def _texts(
    net: Net, labels: Labels, order: list[int], fresh: set[int], hide: bool
) -> dict[int, str]:
    """The text of each labelled bubble."""
    if labels == "none":
        return {}
    if labels == "mark":
        return {i: net.colours[i] for i in order if net.colours[i] and (i in fresh or not hide)}
    assert not isinstance(labels, str)
    return {i: labels[i] for i in order if labels.get(i)}


def _paint(
    net: Net,
    shape: Outlines,
    found: Cover,
    order: list[int],
    fresh: set[int],
    hide: bool,
    texts: dict[int, str],
    brush: _Brush,
) -> str:
    """All bodies with their marks, far to near."""
    line = brush.line
    radius = DISC * float(np.median(shape.minors[order])) if order else 1.0
    out: list[str] = []
    strong = False
    out.append("<g>")
    for i in order:
        tone = brush.shades[net.colours[i]]
        path = body_path(shape, i)
        back = shape.facing[i] < INSIDE
        if i in fresh:
            fill = f"url(#{brush.gradient(tone.mark)})"
            out.append(
                f'<path d="{path}" stroke="{PAPER}" stroke-width="{num(line * 5, 2)}"/>'
                f'<path d="{path}" fill="{fill}" stroke-width="{num(line * 2.1, 2)}"/>'
            )
        elif hide:
            fill = tone.veil_inside if back else tone.veil
            out.append(
                f'<path d="{path}" fill="{fill}" stroke="{tone.veil_line}"'
                f' stroke-width="{num(line * 0.7, 2)}"/>'
            )
        else:
            fill = tone.inside if back else f"url(#{brush.gradient(tone.mark)})"
            out.append(f'<path d="{path}" fill="{fill}"/>')
        if i in texts:
            out.append(_mark(shape, found, i, texts[i], radius, i in fresh, brush))
    out.append("</g>")
    assert not strong
    return "".join(out)


def _mark(
    shape: Outlines,
    found: Cover,
    i: int,
    text: str,
    radius: float,
    must: bool,
    brush: _Brush,
) -> str:
    """A bubble's mark where it fits best on what is seen of it; nothing if it does not fit."""
    if radius < _LEAST_MARK:
        return ""
    x, y, free = spot(found, shape, i, radius)
    for size, share in enumerate(_SMALLER):
        last = must and size == len(_SMALLER) - 1 and free > 0
        if free >= radius * share * 0.9 or last:
            name = brush.mark(text, size, radius * share)
            return f'<use href="#{name}" x="{num(x)}" y="{num(y)}"/>'
    return ""


def _document(wide: float, high: float, brush: _Brush, body: str, title: str) -> str:
    """The SVG around the painted bodies."""
    said = f"<title>{attribute(title)}</title>" if title else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {num(wide)} {num(high)}"'
        f' width="{num(wide)}" height="{num(high)}">{said}<defs>{brush.definitions()}</defs>'
        f'<g stroke="{INK}" stroke-width="{num(brush.line, 2)}" stroke-linejoin="round"'
        f' stroke-linecap="round">{body}</g></svg>\n'
    )
