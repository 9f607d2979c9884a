"""How-to diagrams for the booklet, in the same look: a balloon, a pair, bubbles, a lock, a ring.

Every diagram takes the colours it is drawn in and says in words what it shows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, hypot, pi, sin

import numpy as np

from airweft.draw.body import CAP, Outlines
from airweft.draw.numbers import num
from airweft.draw.paint import Brush, document, write
from airweft.draw.palette import INK, PAPER, shades_of
from airweft.records.design import Colour

_QUIET = "#55555f"
_RADIUS = 17.0  # px, waist of a balloon in the diagrams
_LINE = 1.7
_NOTE = 16.0  # px, height of the capitals of a note: 1.5 mm or more where three stand side by side
_MOST = 6  # diagrams that fill a page's two rows
_PLAIN = (Colour("a", "red", "#d11f3a"), Colour("b", "yellow", "#f7b32b"))

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Diagram:
    """A how-to drawing: a name for its caption, the SVG, and what it shows in words."""

    title: str
    svg: str
    alt: str


def all_diagrams(colours: Sequence[Colour] = ()) -> tuple[Diagram, ...]:
    """Every how-to diagram, in reading order, in the piece's own first two colours."""
    return (
        flat_tail(colours),
        pair(colours),
        tie_on(colours),
        bubbles(colours),
        lock(colours),
        loop(colours),
        ring(colours),
        finish(colours),
    )


def needed_diagrams(
    colours: Sequence[Colour], *, pairs: bool, tied_on: bool, loops: bool
) -> tuple[Diagram, ...]:
    """The how-to diagrams of the movements that a plan really has; a cell too where there is room.

    `pairs`: balloons are tied nozzle to nozzle; `tied_on`: fresh ones are tied to a joint.
    """
    wanted = [flat_tail(colours)]
    wanted += [pair(colours)] if pairs else []
    wanted += [tie_on(colours)] if tied_on else []
    wanted += [bubbles(colours), lock(colours)]
    wanted += [loop(colours)] if loops else []
    wanted += [ring(colours)] if len(wanted) < _MOST - 1 else []
    return (*wanted, finish(colours))


def flat_tail(colours: Sequence[Colour] = ()) -> Diagram:
    """One balloon, inflated but for its tail."""
    pad = _Pad(colours, 560, 120)
    pad.body("a", (44, 48), (414, 48))
    pad.nozzle("a", (44, 48), (-1, 0))
    pad.tail("a", (414, 48), (530, 48))
    pad.span((416, 78), (530, 78), "flat tail")
    pad.span((46, 78), (412, 78), "inflated")
    return pad.done(
        "The flat tail",
        "A balloon lies inflated from its nozzle; at the other end the last part stays flat. "
        "The flat tail is measured with the tail gauge before the twisting starts.",
    )


def pair(colours: Sequence[Colour] = ()) -> Diagram:
    """Two balloons tied nozzle to nozzle."""
    pad = _Pad(colours, 640, 110)
    pad.body("a", (92, 42), (312, 42))
    pad.body("b", (328, 42), (548, 42))
    pad.tail("a", (92, 42), (24, 42))
    pad.tail("b", (548, 42), (616, 42))
    pad.knot((320, 42))
    pad.note((320, 92), "one knot, nozzle to nozzle")
    pad.note((54, 78), "tail")
    pad.note((586, 78), "tail")
    return pad.done(
        "A pair",
        "Two balloons lie end to end. Their nozzles are knotted together in the middle; each flat "
        "tail points outwards.",
    )


def tie_on(colours: Sequence[Colour] = ()) -> Diagram:
    """A fresh balloon tied to a joint of the piece."""
    pad = _Pad(colours, 560, 168)
    for end in ((88.0, 20.0), (88.0, 124.0)):
        pad.bubble("b", end, (138, 72))
    pad.body("a", (146, 72), (420, 72))
    pad.tail("a", (420, 72), (530, 72))
    pad.knot((140, 72))
    pad.note((318, 140), "nozzle knotted round the joint")
    return pad.done(
        "Tying on",
        "A fresh balloon begins at a joint: its nozzle is knotted round what is there, with any "
        "loose twist in the knot. From here its bubbles are counted.",
    )


def loop(colours: Sequence[Colour] = ()) -> Diagram:
    """A loop in two pictures."""
    pad = _Pad(colours, 640, 190)
    y = 104.0
    pad.nozzle("a", (30, y), (-1, 0))
    pad.bubble("a", (30, y), (92, y))
    pad.bubble("a", (92, y), (140, y))
    pad.body("a", (140, y), (232, y))
    pad.tail("a", (232, y), (290, y))
    pad.spin((92, y), 16)
    pad.spin((140, y), 16)
    pad.note((150, 178), "1 twist off")
    pad.nozzle("a", (356, y), (-1, 0))
    pad.bubble("a", (356, y), (422, y))
    pad.body("a", (426, y), (524, y))
    pad.tail("a", (524, y), (600, y))
    pad.bubble("a", (424, y - 4), (424, y - 76))
    pad.knot((424, y))
    pad.note((478, 178), "2 fold, lock the ends")
    return pad.done(
        "A loop",
        "A bubble is twisted off, folded back, and its two ends are twisted together: it stands on "
        "the joint. It counts as a bubble.",
    )


def bubbles(colours: Sequence[Colour] = ()) -> Diagram:
    """Bubbles twisted off one balloon; the last twist is still loose."""
    pad = _Pad(colours, 560, 130)
    x = 40.0
    pad.nozzle("a", (x, 50), (-1, 0))
    for _ in range(3):
        pad.bubble("a", (x, 50), (x + 52, 50))
        x += 52
    pad.body("a", (x, 50), (470, 50))
    pad.tail("a", (470, 50), (530, 50))
    pad.spin((x, 50), 27)
    pad.span((41, 88), (91, 88), "")
    pad.note((66, 116), "one bubble")
    pad.note((x, 116), "twist")
    return pad.done(
        "Bubbles and a twist",
        "Three bubbles of equal length are twisted off a balloon one after the other, all turned "
        "the same way. The last twist is loose: hold it until it is locked.",
    )


def lock(colours: Sequence[Colour] = ()) -> Diagram:
    """A lock twist in three pictures."""
    pad = _Pad(colours, 640, 220)
    for k, said in enumerate(("1 twist both", "2 bring together", "3 turn: locked")):
        cx, cy = 108.0 + 212 * k, 88.0
        apart = (26.0, 7.0, 0.0)[k]
        for mark, side in (("a", -1), ("b", 1)):
            at = (cx + side * apart, cy)
            pad.bubble(mark, (at[0] + side * 46, cy - 54), at)
            pad.body(mark, at, (at[0] + side * 58, cy + 66))
        if k == 0:
            pad.spin((cx - apart, cy), 15)
            pad.spin((cx + apart, cy), 15)
        elif k == 1:
            pad.arrow((cx - 66, cy), (cx - 36, cy))
            pad.arrow((cx + 66, cy), (cx + 36, cy))
        else:
            pad.knot((cx, cy))
            pad.spin((cx, cy), 31)
        pad.note((cx, 208), said)
    return pad.done(
        "A lock",
        "Two balloons, each with a twist. The twists are brought together and one bubble is turned "
        "around the other: the joint holds all four ends and none can unwind.",
    )


def ring(colours: Sequence[Colour] = ()) -> Diagram:
    """A cell of the fabric: a ring of four bubbles and four joints."""
    pad = _Pad(colours, 300, 220)
    centre, reach = (150.0, 92.0), 62.0
    joints = [
        (centre[0] + reach * sin(pi * k / 2), centre[1] - reach * cos(pi * k / 2)) for k in range(4)
    ]
    for k, (x, y) in enumerate(joints):
        for turn in (-1, 1):
            angle = pi * k / 2 + turn * pi / 4
            end = (x + 34 * sin(angle), y - 34 * cos(angle))
            pad.faint("b" if turn > 0 else "a", (x, y), end)
    for k in range(4):
        pad.bubble("ab"[k % 2], joints[k], joints[(k + 1) % 4])
    for joint in joints:
        pad.knot(joint)
    pad.note((150, 212), "4 bubbles, 4 joints")
    return pad.done(
        "A cell",
        "Four bubbles make a ring around an opening; at each of its four joints two bubbles of the "
        "ring meet two bubbles of the neighbouring cells.",
    )


def finish(colours: Sequence[Colour] = ()) -> Diagram:
    """Cutting and tying off a balloon's end."""
    pad = _Pad(colours, 470, 168)
    pad.bubble("b", (84, 26), (122, 78))
    pad.bubble("b", (84, 130), (122, 78))
    pad.bubble("a", (164, 26), (126, 78))
    pad.body("a", (126, 78), (208, 116))
    pad.tail("a", (208, 116), (330, 152))
    pad.knot((124, 78))
    pad.scissors((262, 104))
    pad.note((332, 52), "let out, cut, tie off")
    return pad.done(
        "Finishing",
        "After its last lock a balloon is let out and cut, the end is tied off at the joint and "
        "tucked in between the bubbles. Every cut piece goes into the bin.",
    )


class _Pad:
    """A sheet to draw one diagram on; collects SVG and closes it with `done`."""

    def __init__(self, colours: Sequence[Colour], width: float, height: float) -> None:
        chosen = list(colours[:2]) + list(_PLAIN[len(colours[:2]) :])
        named = [Colour(m, c.name, c.hex) for m, c in zip("ab", chosen, strict=True)]
        self._brush = Brush(shades=shades_of(named, "ab"), line=_LINE)
        self._size = (width, height)
        self._out: list[str] = []

    def done(self, title: str, alt: str) -> Diagram:
        """The finished diagram."""
        svg = document(*self._size, self._brush, "".join(self._out), title)
        return Diagram(title, svg, alt)

    def body(self, mark: str, start: Point, end: Point) -> None:
        """An inflated length of balloon between two points."""
        self._out.append(self._brush.plain(_segment(start, end, _RADIUS), 0, mark))

    def bubble(self, mark: str, start: Point, end: Point) -> None:
        """One bubble."""
        length = hypot(end[0] - start[0], end[1] - start[1])
        radius = min(_RADIUS * 1.5, 0.36 * length)
        self._out.append(self._brush.plain(_segment(start, end, radius), 0, mark))

    def faint(self, mark: str, start: Point, end: Point) -> None:
        """A bubble that goes on out of the picture."""
        shape = _segment(start, end, _RADIUS * 0.8)
        self._out.append(self._brush.veiled(shape, 0, mark))

    def tail(self, mark: str, start: Point, end: Point) -> None:
        """A flat tail from the inflated end to its tip."""
        ux, uy, length = _unit(start, end)
        nx, ny = -uy, ux
        w, r = 6.0, _RADIUS * 0.55
        x, y = start
        tip = (x + ux * length, y + uy * length)
        neck = (x + ux * 12, y + uy * 12)
        path = (
            f"M{num(x + nx * r)} {num(y + ny * r)}"
            f"Q{num(x + nx * w + ux * 4)} {num(y + ny * w + uy * 4)}"
            f" {num(neck[0] + nx * w)} {num(neck[1] + ny * w)}"
            f"L{num(tip[0] + nx * w - ux * w)} {num(tip[1] + ny * w - uy * w)}"
            f"A{num(w)} {num(w)} 0 0 0 {num(tip[0] - nx * w - ux * w)}"
            f" {num(tip[1] - ny * w - uy * w)}"
            f"L{num(neck[0] - nx * w)} {num(neck[1] - ny * w)}"
            f"Q{num(x - nx * w + ux * 4)} {num(y - ny * w + uy * 4)}"
            f" {num(x - nx * r)} {num(y - ny * r)}z"
        )
        tone = self._brush.shades[mark]
        crease = (
            f"M{num(neck[0] + ux * 6)} {num(neck[1] + uy * 6)}"
            f"L{num(tip[0] - ux * 14)} {num(tip[1] - uy * 14)}"
        )
        self._out.append(
            f'<path d="{path}" fill="{tone.inside}"/>'
            f'<path d="{crease}" fill="none" stroke="{tone.deep}" stroke-width="1.2"/>'
        )

    def nozzle(self, mark: str, at: Point, away: Point) -> None:
        """A knotted nozzle pointing away from the body."""
        tone = self._brush.shades[mark]
        x, y = at
        ux, uy = away
        nx, ny = -uy, ux
        path = (
            f"M{num(x)} {num(y)}L{num(x + ux * 13 + nx * 7)} {num(y + uy * 13 + ny * 7)}"
            f"Q{num(x + ux * 10)} {num(y + uy * 10)}"
            f" {num(x + ux * 13 - nx * 7)} {num(y + uy * 13 - ny * 7)}z"
        )
        self._out.append(
            f'<path d="{path}" fill="{tone.base}"/>'
            f'<circle cx="{num(x)}" cy="{num(y)}" r="4.2" fill="{tone.deep}"/>'
        )

    def knot(self, at: Point) -> None:
        """A joint that holds: a small dark ring on white."""
        x, y = at
        self._out.append(
            f'<circle cx="{num(x)}" cy="{num(y)}" r="7" fill="{INK}" stroke="{PAPER}"'
            f' stroke-width="2"/><circle cx="{num(x)}" cy="{num(y)}" r="2.4" fill="{PAPER}"'
            f' stroke="none"/>'
        )

    def spin(self, at: Point, radius: float) -> None:
        """An arrow most of the way around a point: turn here."""
        x, y = at
        a0, a1 = -0.25 * pi, 1.25 * pi
        p0 = (x + radius * cos(a0), y + radius * sin(a0))
        p1 = (x + radius * cos(a1), y + radius * sin(a1))
        h = min(9.0, radius * 0.5)
        tx, ty = -sin(a1), cos(a1)
        head = (
            f"M{num(p1[0] - tx * h + cos(a1) * h * 0.6)} {num(p1[1] - ty * h + sin(a1) * h * 0.6)}"
            f"L{num(p1[0])} {num(p1[1])}"
            f"L{num(p1[0] - tx * h - cos(a1) * h * 0.6)} {num(p1[1] - ty * h - sin(a1) * h * 0.6)}"
        )
        arc = (
            f"M{num(p0[0])} {num(p0[1])}A{num(radius)} {num(radius)} 0 1 1"
            f" {num(p1[0])} {num(p1[1])}"
        )
        self._stroke(arc + head)

    def arrow(self, start: Point, end: Point) -> None:
        """A straight arrow."""
        ux, uy, _ = _unit(start, end)
        x, y = end
        head = (
            f"M{num(x - ux * 8 - uy * 5)} {num(y - uy * 8 + ux * 5)}L{num(x)} {num(y)}"
            f"L{num(x - ux * 8 + uy * 5)} {num(y - uy * 8 - ux * 5)}"
        )
        self._stroke(f"M{num(start[0])} {num(start[1])}L{num(x)} {num(y)}{head}")

    def scissors(self, at: Point) -> None:
        """A small pair of scissors cutting downwards."""
        x, y = at
        handles = (
            f'<circle cx="{num(x - 11)}" cy="{num(y - 6)}" r="6"/>'
            f'<circle cx="{num(x + 11)}" cy="{num(y - 6)}" r="6"/>'
        )
        blades = (
            f"M{num(x - 8)} {num(y - 1)}L{num(x + 7)} {num(y + 34)}"
            f"M{num(x + 8)} {num(y - 1)}L{num(x - 7)} {num(y + 34)}"
        )
        self._out.append(f'<g fill="none" stroke-width="2.6">{handles}<path d="{blades}"/></g>')

    def span(self, start: Point, end: Point, text: str) -> None:
        """A dimension line with its text underneath."""
        (x0, y), (x1, _) = start, end
        self._out.append(
            f'<path d="M{num(x0)} {num(y - 4)}v8M{num(x1)} {num(y - 4)}v8M{num(x0)} {num(y)}'
            f'H{num(x1)}" fill="none" stroke="{_QUIET}" stroke-width="1.2"/>'
        )
        self.note(((x0 + x1) / 2, y + 25), text)

    def note(self, at: Point, text: str, *, anchor: str = "middle") -> None:
        """A word on the drawing."""
        self._out.append(write(text, at[0], at[1], _NOTE, anchor=anchor))

    def _stroke(self, path: str) -> None:
        self._out.append(
            f'<path d="{path}" fill="none" stroke="{PAPER}" stroke-width="6"/>'
            f'<path d="{path}" fill="none" stroke-width="2.6"/>'
        )


def _unit(start: Point, end: Point) -> tuple[float, float, float]:
    """Direction and length of a segment."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = max(hypot(dx, dy), 1e-9)
    return dx / length, dy / length, length


def _segment(start: Point, end: Point, radius: float) -> Outlines:
    """A body between two points of the drawing, as a single outline."""
    ux, uy, length = _unit(start, end)
    half = length / 2
    cap = min(half, max(radius, CAP * radius))
    straight = half - cap
    return Outlines(
        centres=np.array([[(start[0] + end[0]) / 2, (start[1] + end[1]) / 2]]),
        axes=np.array([[ux, uy]]),
        straights=np.array([[ux * straight, uy * straight]]),
        majors=np.array([cap]),
        minors=np.array([min(radius, cap)]),
        nears=np.zeros(1),
        facing=np.ones(1),
    )
