"""PNG from SVG."""

from __future__ import annotations

import resvg_py


def to_png(svg: str, *, width: int | None = None, background: str | None = "#ffffff") -> bytes:
    """The picture as PNG, `width` px wide (its own width if None), on `background` (None: clear).

    Our pictures need no fonts, so none of the machine's are read and the result is the same
    everywhere.
    """
    data = resvg_py.svg_to_bytes(
        svg_string=svg,
        width=width,
        background=background,
        skip_system_fonts=True,
        dpi=96.0,  # CSS px; without it lengths in mm are refused
    )
    return bytes(data)
