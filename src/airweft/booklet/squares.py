"""Charts of large panels: a plain square for each bubble, with its mark.

The glossy chart of a panel of hundreds of bubbles would be large and its marks small. Here all
squares of one colour are one shape and all its marks another, so that a chart stays light.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from airweft.draw.glyph import CAP, PEN, text_path
from airweft.draw.numbers import num
from airweft.draw.palette import INK, PAPER, luminance, shades_of
from airweft.draw.patchwork import cut_numbers
from airweft.draw.unfold import Sheet
from airweft.records.design import Colour
from airweft.records.net import Net

SQUARE = 10.0  # px
_EDGE = 16.0  # px around the panel for its numbers
_EVERY = 5


def square_chart(net: Net, palette: Iterable[Colour], sheet: Sheet, cuts: Mapping[int, int]) -> str:
    """A panel seen from outside, columns from the left and rows from the bottom.

    `cuts` numbers the joints that lie on another chart as well.
    """
    places = net.places.tolist()
    mine = [bubble for bubble, _, _ in sheet.bubbles]
    columns, rows = sheet.columns, sheet.rows
    tones = shades_of(palette, (net.colours[b] for b in mine))
    out: list[str] = []
    for mark, tone in tones.items():
        corners = [
            (_EDGE + places[b][0] * SQUARE, _EDGE + (rows - 1 - places[b][1]) * SQUARE)
            for b in mine
            if net.colours[b] == mark
        ]
        squares = "".join(f"M{num(x)} {num(y)}h10v10h-10z" for x, y in corners)
        letters = "".join(
            text_path(mark, x + SQUARE / 2, y + 7.4, 4.8, anchor="middle") for x, y in corners
        )
        pen = num(4.8 * PEN / CAP, 2)
        ink = INK if luminance(tone.base) > 0.22 else PAPER
        out.append(
            f'<path d="{squares}" fill="{tone.base}" stroke="{PAPER}" stroke-width=".5"/>'
            f'<path d="{letters}" fill="none" stroke="{ink}" stroke-width="{pen}"'
            ' stroke-linecap="round" stroke-linejoin="round"/>'
        )
    wide, high = columns * SQUARE, rows * SQUARE
    numbers = [
        text_path(str(c), _EDGE + (c - 0.5) * SQUARE, _EDGE + high + 9, 5, anchor="middle")
        for c in _counted(columns)
    ]
    numbers += [
        text_path(str(r), _EDGE - 4, _EDGE + high - (r - 0.5) * SQUARE + 2.5, 5, anchor="end")
        for r in _counted(rows)
    ]
    out.append(
        f'<rect x="{num(_EDGE)}" y="{num(_EDGE)}" width="{num(wide)}" height="{num(high)}"'
        f' fill="none" stroke="{INK}" stroke-width="1"/>'
        f'<path d="{"".join(numbers)}" fill="none" stroke="{INK}" stroke-width=".7"'
        ' stroke-linecap="round" stroke-linejoin="round"/>'
    )
    at = [(j, _EDGE + x * SQUARE, _EDGE + high - y * SQUARE) for j, (x, y) in sheet.joints.items()]
    plates = cut_numbers(at, cuts, SQUARE)
    out.append(f'<g stroke-linecap="round" stroke-linejoin="round">{plates}</g>')
    size = (num(wide + 2 * _EDGE), num(high + 2 * _EDGE))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size[0]} {size[1]}"'
        f' width="{size[0]}" height="{size[1]}">{"".join(out)}</svg>\n'
    )


def _counted(most: int) -> list[int]:
    """The numbers that stand along an edge: 1, every fifth, and the last."""
    return sorted({1, most, *range(_EVERY, most - 1, _EVERY)}) if most > 0 else []
