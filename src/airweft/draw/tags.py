"""Names of joints in a picture: small plates that never cover each other.

A plate stands beside its joint, with a line to it, where it would hide a number or another plate.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import cos, hypot, pi, sin

from airweft.draw.glyph import text_width
from airweft.draw.numbers import num
from airweft.draw.paint import write
from airweft.draw.palette import INK, PAPER

Disc = tuple[float, float, float]
"""A round place, px: centre and radius."""

_WAYS = 16  # directions in which a plate may step aside
_REACHES = (2.2, 3.4, 5.0)  # and how far, in heights of the capitals beyond the plate's own half
_HIDES = 120.0  # px of distance that hiding one number is worth


@dataclass(frozen=True, slots=True)
class Tag:
    """A name and the point it belongs to, px."""

    text: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class _Plate:
    """A plate of half width and half height about (x, y)."""

    x: float
    y: float
    wide: float
    high: float

    def meets(self, other: _Plate) -> bool:
        """Whether two plates cover each other or touch."""
        return (
            abs(self.x - other.x) < self.wide + other.wide + 1
            and abs(self.y - other.y) < self.high + other.high + 1
        )

    def hides(self, disc: Disc) -> float:
        """How much of a disc lies under the plate, roughly: 0 to 1."""
        x, y, radius = disc
        dx = max(abs(self.x - x) - self.wide, 0.0)
        dy = max(abs(self.y - y) - self.high, 0.0)
        return max(0.0, 1.0 - hypot(dx, dy) / radius) if radius > 0 else 0.0


def tags(
    wanted: Iterable[Tag],
    *,
    height: float,
    dark: bool,
    clear: Sequence[Disc] = (),
    frame: tuple[float, float] | None = None,
) -> str:
    """Plates with the names, the first ones first; a name that would cover another is left out.

    `height` is that of the capitals; `dark` plates are ink with white letters, light ones the
    other way round with a thin edge. With a `frame` (width and height of the picture) plates step
    aside from each other and from the discs `clear`, with a line to their points.
    """
    ground, letters = (INK, PAPER) if dark else (PAPER, INK)
    taken: list[_Plate] = []
    lines: list[str] = []
    out: list[str] = []
    for tag in wanted:
        if not tag.text:
            continue
        plate = _place(tag, height, taken, clear, frame)
        if plate is None:
            continue
        taken.append(plate)
        if (plate.x, plate.y) != (tag.x, tag.y):
            lines.append(_leader(tag, plate, height))
        edge = f' stroke="{PAPER if dark else INK}" stroke-width=".9"'
        out.append(
            f'<rect x="{num(plate.x - plate.wide)}" y="{num(plate.y - plate.high)}"'
            f' width="{num(2 * plate.wide)}" height="{num(2 * plate.high)}"'
            f' rx="{num(plate.high)}" fill="{ground}"{edge}/>'
            + write(
                tag.text, plate.x, plate.y + height / 2, height, anchor="middle", colour=letters
            )
        )
    return "".join(lines + out)


def _place(
    tag: Tag,
    height: float,
    taken: Sequence[_Plate],
    clear: Sequence[Disc],
    frame: tuple[float, float] | None,
) -> _Plate | None:
    """The place for a plate that hides least and lies nearest; None if there is none."""
    high = height * 0.98
    wide = max(text_width(tag.text, height) / 2 + height * 0.62, high)
    best: _Plate | None = None
    least = float("inf")
    for dx, dy in _steps(wide, high, height) if frame else ((0.0, 0.0),):
        plate = _Plate(tag.x + dx, tag.y + dy, wide, high)
        if any(plate.meets(other) for other in taken):
            continue
        if frame and (dx or dy) and not _within(plate, frame):
            continue
        cost = hypot(dx, dy) + _HIDES * sum(plate.hides(disc) for disc in clear)
        if cost < least - 0.01:
            best, least = plate, cost
    return best


def _steps(wide: float, high: float, height: float) -> list[tuple[float, float]]:
    """The joint itself, then places around it, near ones first."""
    found = [(0.0, 0.0)]
    for reach in _REACHES:
        for k in range(_WAYS):
            x, y = cos(2 * pi * k / _WAYS), sin(2 * pi * k / _WAYS)
            far = reach * height
            found.append((x * (wide + far), y * (high + far)))
    return found


def _within(plate: _Plate, frame: tuple[float, float]) -> bool:
    return (
        plate.wide <= plate.x <= frame[0] - plate.wide
        and plate.high <= plate.y <= frame[1] - plate.high
    )


def _leader(tag: Tag, plate: _Plate, height: float) -> str:
    """A line from the plate to its point, with a dot there; ink on a white rim."""
    path = f"M{num(plate.x)} {num(plate.y)}L{num(tag.x)} {num(tag.y)}"
    pen = height * 0.15
    rim = f'<path d="{path}" fill="none" stroke="{PAPER}" stroke-width="{num(pen * 2.6, 2)}"/>'
    line = f'<path d="{path}" fill="none" stroke="{INK}" stroke-width="{num(pen, 2)}"/>'
    dot = (
        f'<circle cx="{num(tag.x)}" cy="{num(tag.y)}" r="{num(height * 0.32)}" fill="{INK}"'
        f' stroke="{PAPER}" stroke-width="{num(pen * 0.8, 2)}"/>'
    )
    return rim + line + dot
