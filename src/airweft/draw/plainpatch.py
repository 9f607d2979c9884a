"""Patches of large pieces: a plain stroke for each bubble, with its mark.

All bubbles of one colour are one shape and all their marks another, so that a chart stays light.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from airweft.draw.glyph import CAP, PEN, text_path
from airweft.draw.numbers import num
from airweft.draw.palette import INK, PAPER, luminance, shades_of
from airweft.draw.patch import Patch
from airweft.draw.patchwork import cut_numbers
from airweft.records.design import Colour
from airweft.records.net import Net

_COLUMN = 12.0  # px to a column
_EDGE = 10.0
_LETTER = 4.0
_SHORT = 0.42  # a stroke's length without its round ends, as a share of the bubble's
_THICK = 0.55  # its width in columns, so thin that neighbours stay apart


def plain_patch(
    net: Net, palette: Iterable[Colour], patch: Patch, numbers: Mapping[int, int]
) -> str:
    """One patch as SVG; `numbers` are those of the joints on its cuts."""
    tones = shades_of(palette, (net.colours[b] for b, _, _ in patch.bubbles))
    thick = _THICK * _COLUMN * (0.72 if patch.threes else 1.0)
    high = patch.high * _COLUMN + 2 * _EDGE
    ground: list[str] = []
    letters: dict[str, list[str]] = {INK: [], PAPER: []}
    for mark, tone in tones.items():
        strokes = []
        for bubble, (ax, ay), (bx, by) in patch.bubbles:
            if net.colours[bubble] != mark:
                continue
            x, y = (ax + bx) / 2 * _COLUMN + _EDGE, high - _EDGE - (ay + by) / 2 * _COLUMN
            dx, dy = (bx - ax) * _COLUMN * _SHORT, (ay - by) * _COLUMN * _SHORT
            strokes.append(f"M{num(x - dx / 2)} {num(y - dy / 2)}l{num(dx)} {num(dy)}")
            ink = INK if luminance(tone.base) > 0.22 else PAPER
            letters[ink].append(text_path(mark, x, y + _LETTER / 2, _LETTER, anchor="middle"))
        line = "".join(strokes)
        ground.append(f'<path d="{line}" stroke="{INK}" stroke-width="{num(thick + 1.2)}"/>')
        ground.append(f'<path d="{line}" stroke="{tone.base}" stroke-width="{num(thick)}"/>')
    pen = num(_LETTER * PEN / CAP * 1.15, 2)
    marks = "".join(
        f'<path d="{"".join(paths)}" stroke="{ink}" stroke-width="{pen}"/>'
        for ink, paths in letters.items()
        if paths
    )
    at = [(j, x * _COLUMN + _EDGE, high - _EDGE - y * _COLUMN) for j, (x, y) in patch.plates]
    size = (num(patch.wide * _COLUMN + 2 * _EDGE), num(high))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size[0]} {size[1]}"'
        f' width="{size[0]}" height="{size[1]}"><g fill="none" stroke-linecap="round"'
        f' stroke-linejoin="round">{"".join(ground)}{marks}'
        f"{cut_numbers(at, numbers, _COLUMN * 1.15)}</g></svg>\n"
    )
