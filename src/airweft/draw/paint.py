"""The brush: how one body, one mark and one colour are written as SVG.

A short body is one path filled with its colour's gradient: highlight, light, base and shaded edge
in one, always lit from the upper left of the picture. A long body is painted in four flat strokes
along its axis: the shaded edge, the base moved towards the light, a light band and a glint. No
opacity, filter, mask, style sheet or font is used, so that it looks the same everywhere.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import atan2, degrees, hypot

from airweft.draw.body import Outlines
from airweft.draw.glyph import CAP, PEN, can_write, text_path, text_width
from airweft.draw.numbers import attribute, num
from airweft.draw.palette import INK, PAPER, Shades

LIGHT = (-0.6, -0.8)  # the direction in the picture from which the light comes, y down
LONG = 0.5  # a straight half longer than this many waist radii makes a body a long one
RIM = 5.0  # white rim around new work, in line widths
BOLD = 2.1  # its outline, in line widths
THIN = 0.7  # outline of finished work, in line widths


@dataclass(frozen=True, slots=True)
class Brush:
    """What one drawing uses: shades by mark, line width in px, and the definitions made so far."""

    shades: dict[str, Shades]
    line: float
    prefix: str = ""
    _gradients: dict[str, str] = field(default_factory=dict)
    _marks: dict[tuple[str, str], tuple[str, str]] = field(default_factory=dict)

    def gradient(self, mark: str) -> str:
        """A fill with a colour's gloss."""
        return f"url(#{self._gradients.setdefault(mark, f'{self.prefix}c{len(self._gradients)}')})"

    def mark(self, text: str, x: float, y: float, radius: float) -> str:
        """A white disc with `text` in ink, about (x, y)."""
        key = (text, num(radius, 2))
        if key not in self._marks:
            self._marks[key] = (f"{self.prefix}m{len(self._marks)}", mark_symbol(text, radius))
        return f'<use href="#{self._marks[key][0]}" x="{num(x)}" y="{num(y)}"/>'

    def definitions(self) -> str:
        """The <defs> of all that was used."""
        parts = [gloss(name, self.shades[mark]) for mark, name in self._gradients.items()]
        parts += [f'<g id="{name}">{symbol}</g>' for name, symbol in self._marks.values()]
        return f"<defs>{''.join(parts)}</defs>"

    def plain(self, shape: Outlines, i: int, mark: str, *, back: bool = False) -> str:
        """A body of the finished piece; `back` for one whose inner side is seen."""
        path, tone = body_path(shape, i), self.shades[mark]
        if back:
            return f'<path d="{path}" fill="{tone.inside}"/>'
        if is_long(shape, i):
            return f'<path d="{path}" fill="{tone.deep}"/>' + self._bands(shape, i, tone)
        return f'<path d="{path}" fill="{self.gradient(mark)}"/>'

    def new(self, shape: Outlines, i: int, mark: str) -> str:
        """A body made in this step: glossy, boldly outlined, on a white rim."""
        path, tone = body_path(shape, i), self.shades[mark]
        rim = f'<path d="{path}" stroke="{PAPER}" stroke-width="{num(self.line * RIM, 2)}"/>'
        bold = f' stroke-width="{num(self.line * BOLD, 2)}"/>'
        if is_long(shape, i):
            return f'{rim}<path d="{path}" fill="{tone.deep}"{bold}' + self._bands(shape, i, tone)
        return f'{rim}<path d="{path}" fill="{self.gradient(mark)}"{bold}'

    def veiled(self, shape: Outlines, i: int, mark: str, *, back: bool = False) -> str:
        """A body of finished work: flat and pale, with a thin light outline."""
        tone = self.shades[mark]
        fill = tone.veil_inside if back else tone.veil
        return (
            f'<path d="{body_path(shape, i)}" fill="{fill}" stroke="{tone.veil_line}"'
            f' stroke-width="{num(self.line * THIN, 2)}"/>'
        )

    def ghost(self, shape: Outlines, i: int) -> str:
        """The dashed outline of new work that lies behind, drawn over what hides it."""
        path = body_path(shape, i)
        dash = num(self.line * 4, 2)
        return (
            f'<path d="{path}" fill="none" stroke="{PAPER}" stroke-width="{dash}"/>'
            f'<path d="{path}" fill="none" stroke-width="{num(self.line * 1.6, 2)}"'
            f' stroke-dasharray="{dash}"/>'
        )

    def _bands(self, shape: Outlines, i: int, tone: Shades) -> str:
        """Base, light band and glint of a long body, as strokes along its axis."""
        x, y = shape.centres[i].tolist()
        sx, sy = shape.straights[i].tolist()
        ux, uy = shape.axes[i].tolist()
        r = float(shape.minors[i])
        cap = float(shape.majors[i])
        across = (-uy, ux) if -uy * LIGHT[0] + ux * LIGHT[1] > 0 else (uy, -ux)
        out = []
        # (half length beyond the straight half, shift towards the light, width): in caps, radii
        for colour, beyond, shift, wide in (
            (tone.base, 0.16, 0.15, 1.5),
            (tone.light, 0.02, 0.36, 0.62),
            (tone.glint, -0.2, 0.42, 0.24),
        ):
            hx, hy = sx + ux * beyond * cap, sy + uy * beyond * cap
            cx, cy = x + across[0] * shift * r, y + across[1] * shift * r
            out.append(
                f'<path d="M{num(cx - hx)} {num(cy - hy)}l{num(2 * hx)} {num(2 * hy)}"'
                f' stroke="{colour}" stroke-width="{num(wide * r, 2)}"/>'
            )
        return "".join(out)


def is_long(shape: Outlines, i: int) -> bool:
    """Whether a body is long enough in the picture to be painted in bands."""
    return hypot(*shape.straights[i].tolist()) > LONG * float(shape.minors[i])


def gloss(name: str, tone: Shades) -> str:
    """The gradient of a short glossy body lit from the upper left, its highlight included."""
    stops = (
        (0.0, tone.glint),
        (0.08, tone.glint),
        (0.2, tone.light),
        (0.5, tone.base),
        (0.76, tone.base),
        (1.0, tone.deep),
    )
    inner = "".join(f'<stop offset="{num(at, 2)}" stop-color="{c}"/>' for at, c in stops)
    return (
        f'<radialGradient id="{name}" cx=".4" cy=".36" r=".72" fx=".32" fy=".25">'
        f"{inner}</radialGradient>"
    )


def mark_symbol(text: str, radius: float) -> str:
    """A white disc about the origin with `text` on it in ink."""
    height = radius * 1.12
    wide = text_width(text, height)
    if wide > 1.36 * radius:
        height *= 1.36 * radius / wide
    path = text_path(text, 0, height / 2, height, anchor="middle")
    return (
        f'<circle r="{num(radius, 2)}" fill="{PAPER}" stroke="none"/>'
        f'<path d="{path}" fill="none" stroke="{INK}"'
        f' stroke-width="{num(height * PEN / CAP * 1.15, 2)}"/>'
    )


def body_path(shape: Outlines, i: int) -> str:
    """Path data of one outline, in px."""
    x, y = shape.centres[i].tolist()
    a, b = float(shape.majors[i]), float(shape.minors[i])
    ux, uy = shape.axes[i].tolist()
    sx, sy = shape.straights[i].tolist()
    turn = 0.0 if a - b < 0.05 else degrees(atan2(uy, ux))
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


def write(
    text: str,
    x: float,
    y: float,
    height: float,
    *,
    anchor: str = "start",
    colour: str = INK,
    weight: float = 1.0,
) -> str:
    """`text` in the stroke alphabet, baseline at y; as a font's text if a letter is missing."""
    if not text.strip():
        return ""
    if not can_write(text):
        return (
            f'<text x="{num(x)}" y="{num(y)}" font-family="sans-serif"'
            f' font-size="{num(height * 1.4)}" text-anchor="{anchor}" fill="{colour}"'
            f' stroke="none">{attribute(text)}</text>'
        )
    path = text_path(text, x, y, height, anchor=anchor)
    pen = num(height * PEN / CAP * weight, 2)
    return f'<path d="{path}" fill="none" stroke="{colour}" stroke-width="{pen}"/>'


def document(width: float, height: float, brush: Brush, body: str, title: str) -> str:
    """A whole SVG of `width` by `height` px around what was painted."""
    said = f"<title>{attribute(title)}</title>" if title else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {num(width)} {num(height)}"'
        f' width="{num(width)}" height="{num(height)}">{said}{brush.definitions()}'
        f'<g stroke="{INK}" stroke-width="{num(brush.line, 2)}" stroke-linejoin="round"'
        f' stroke-linecap="round">{body}</g></svg>\n'
    )
