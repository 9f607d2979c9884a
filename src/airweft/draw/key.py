"""The key of colours: a small bubble, its mark, its name and how many there are."""

from __future__ import annotations

import numpy as np

from airweft.draw.body import Outlines
from airweft.draw.camera import Floats
from airweft.draw.paint import Brush, write

_KEY_LINE = 30.0  # px


def colour_key(
    brush: Brush,
    marks: list[str],
    left: float,
    top: float,
    right: float,
) -> tuple[str, float]:
    """Mark, name and number of bubbles for every colour in use, in lines from `top` on.

    Returns the drawing and the y where it ends.
    """
    x, y = left, top + _KEY_LINE / 2
    out: list[str] = []
    for mark, tone in brush.shades.items():
        count = marks.count(mark)
        text = f"{tone.name}: {count} {'bubble' if count == 1 else 'bubbles'}"
        wide = 44 + len(text) * 7.4
        if x > left and x + wide > right:
            x, y = left, y + _KEY_LINE
        shape = one_outline(x + 15, y, 13.0, 9.6)
        out.append(brush.plain(shape, 0, mark))
        if mark:
            out.append(brush.mark(mark, x + 15, y, 6.4))
        out.append(write(text, x + 36, y + 4.5, 9))
        x += wide + 18
    return "".join(out), y + _KEY_LINE / 2


def one_outline(
    x: float, y: float, major: float, minor: float, axis: Floats | None = None
) -> Outlines:
    """A single outline lying level, for keys and diagrams; px."""
    return Outlines(
        centres=np.array([[x, y]]),
        axes=np.array([[1.0, 0.0]]) if axis is None else axis.reshape(1, 2),
        straights=np.zeros((1, 2)),
        majors=np.array([major]),
        minors=np.array([minor]),
        nears=np.zeros(1),
        facing=np.ones(1),
    )
