"""The flat chart: every panel as its grid of bubbles, with numbers, seams, direction and key.

Panels are seen from outside. Columns count from the left and rows from the bottom, both from 1, so
that the bubble called "front 3.2" is in column 3 and row 2 of the panel "front".
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from airweft.draw.glyph import text_width
from airweft.draw.key import colour_key
from airweft.draw.numbers import num
from airweft.draw.paint import Brush, document, write
from airweft.draw.palette import INK, PAPER, shades_of
from airweft.draw.patch import Flat, flat
from airweft.draw.patchwork import cut_numbers, draw_patch
from airweft.draw.table import meeting, panel_title, set_out, sheet_outlines
from airweft.draw.threeviews import three_views
from airweft.draw.unfold import SIDES, Sheet
from airweft.records.design import Colour
from airweft.records.net import Net

_WIDTH = 1040.0  # px that a chart tries to keep to
_LARGEST, _SMALLEST = 30.0, 9.0  # px a column may take
_QUIET = "#63636e"
_GROUND = "#f6f4ef"


def chart(net: Net, palette: Iterable[Colour], *, title: str = "") -> str:
    """The whole chart as SVG: panels unfolded and patches below, or three views for a bare frame.

    A patch is a flat piece of what has no columns and rows: the faces of a solid or a divided ball
    unfolded, the rows of a turned form where columns begin or end, a closed end as rings.
    """
    colours = tuple(palette)
    laid = flat(net)
    if not laid.sheets and not laid.patches:
        return three_views(net, colours, title=title)
    return _chart(net, colours, laid, title or "Chart of the whole piece, seen from outside")


def panel_charts(
    net: Net, palette: Iterable[Colour], *, bare: bool = False
) -> tuple[tuple[str, str], ...]:
    """One chart for each panel and patch, as pairs of name and SVG; empty for bare frames.

    `bare` leaves out the name, the key and the note, for pages that print them once for all.
    """
    colours = tuple(palette)
    laid = flat(net)
    parts = [(sheet.name, Flat(sheets=(sheet,), patches=(), numbers=laid.numbers))
             for sheet in laid.sheets]  # fmt: skip
    parts += [(patch.name, Flat(sheets=(), patches=(patch,), numbers=laid.numbers))
              for patch in laid.patches]  # fmt: skip
    return tuple(
        (name, _chart(net, colours, part, f"Chart of {name}, seen from outside", bare=bare))
        for name, part in parts
    )


def _chart(
    net: Net, palette: tuple[Colour, ...], laid: Flat, title: str, *, bare: bool = False
) -> str:
    sheets, patches = laid.sheets, laid.patches
    table = set_out(net, laid, named=not bare)
    left, low, right, high = table.box
    unit = min(_LARGEST, max(_SMALLEST, (_WIDTH - 120) / max(right - left, 1.0)))
    pad_x, pad_top, pad_bottom = (
        max(2.4 * unit, 46.0),
        max(1.7 * unit, 34.0),
        max((1.2 if patches else 2.4) * unit, 46.0),
    )
    loops, more = table.loops, table.patch_loops
    shown = [b for sheet in sheets for b, _, _ in (*sheet.bubbles, *loops[sheet.name])]
    shown += [b for patch in patches for b, _, _ in patch.bubbles]
    shown += [b for patch in patches for b, _ in more[patch.name]]
    brush = Brush(
        shades=shades_of(palette, (net.colours[b] for b in shown)),
        line=min(1.5, max(0.6, unit * 0.05)),
    )
    if bare:
        pad_top = (1.3 if patches or any(sheet.meets["top"] for sheet in sheets) else 0.7) * unit
    body: list[str] = []
    for sheet in sheets:
        x, y = table.sheets[sheet.name]
        origin = (pad_x + (x - left) * unit, pad_top + (high - y) * unit)
        body.append(
            _panel(net, sheet, loops[sheet.name], origin, unit, brush, laid.numbers, named=not bare)
        )
    for (x, y), patch in zip(table.patches, patches, strict=True):
        origin = (pad_x + (x - left) * unit, pad_top + (high - y) * unit)
        body.append(
            draw_patch(net, patch, more[patch.name], origin, unit, brush, laid.numbers,
                       named=not bare)
        )  # fmt: skip
    if bare:
        width = pad_x + (right - left) * unit + max(0.9 * pad_x, 30.0)
        base = pad_top + (high - low) * unit + max(2.0 * unit if sheets else unit, 40.0)
        return document(width, base, brush, _paper(width, base) + "".join(body), title)
    width = max(pad_x + (right - left) * unit + max(pad_x, 30.0), 360.0)
    base = pad_top + (high - low) * unit + pad_bottom
    key, base = colour_key(brush, [net.colours[b] for b in shown], 24.0, base, width - 24)
    body.append(key)
    more_notes = chart_notes(laid, loops=any(loops.values()) or any(more.values()))
    says = ["Seen from outside.", *more_notes]
    says[:2] = [" ".join(says[:2])]
    if text_width(" ".join(says), 6.5) <= width - 48:
        says = [" ".join(says)]
    for line in says:
        body.append(write(line, 24, base + 14, 6.5, colour=_QUIET))
        base += 12
    base += 4
    return document(width, base + 14, brush, _paper(width, base + 14) + "".join(body), title)


def chart_notes(laid: Flat, *, loops: bool) -> list[str]:
    """How to read a chart, in sentences."""
    says = ["Columns count from the left, rows from the bottom."] if laid.sheets else []
    if laid.numbers:
        says.append("Joints with the same number are one joint: the chart is cut there.")
    if loops:
        says.append("Small round ones are extra bubbles on a joint, drawn once.")
    return says


def _paper(width: float, height: float) -> str:
    """A white ground, so that the chart reads on any page."""
    return f'<path d="M0 0H{num(width)}V{num(height)}H0z" fill="{PAPER}" stroke="none"/>'


def _panel(
    net: Net,
    sheet: Sheet,
    loops: list[tuple[int, int, int]],
    origin: tuple[float, float],
    unit: float,
    brush: Brush,
    numbers: Mapping[int, int],
    *,
    named: bool = True,
) -> str:
    """One panel with its lower left corner at `origin`."""
    x0, y0 = origin
    wide, high = sheet.columns * unit, sheet.rows * unit
    edge = unit * 0.16
    out = [
        f'<rect x="{num(x0 - edge)}" y="{num(y0 - high - edge)}" width="{num(wide + 2 * edge)}"'
        f' height="{num(high + 2 * edge)}" rx="{num(unit * 0.35)}" fill="{_GROUND}"'
        f' stroke="#d8d4ca" stroke-width="1"/>'
    ]
    shape = sheet_outlines(sheet, loops, origin, unit)
    radius = 0.66 * float(shape.minors[0])
    marks: list[str] = []
    for k, (bubble, _, _) in enumerate((*sheet.bubbles, *loops)):
        mark = net.colours[bubble]
        out.append(brush.plain(shape, k, mark))
        if mark:
            x, y = shape.centres[k].tolist()
            share = 1.0 if k < len(sheet.bubbles) else 0.8
            marks.append(brush.mark(mark, x, y, radius * share))
    out += marks
    out.append(_joint_dots(sheet, origin, unit))
    out.append(_numbers(sheet, origin, unit, named=named))
    at = [(j, x0 + x * unit, y0 - y * unit) for j, (x, y) in sheet.joints.items()]
    out.append(cut_numbers(at, numbers, unit))
    return "".join(out)


def _joint_dots(sheet: Sheet, origin: tuple[float, float], unit: float) -> str:
    """A small dot at every joint of the lattice that the panel uses."""
    used: set[tuple[int, int]] = set()
    for _, c, r in sheet.bubbles:
        used |= {(c + 1, r), (c, r + 1)} if (c + r) % 2 == 0 else {(c, r), (c + 1, r + 1)}
    dots = "".join(
        f"M{num(origin[0] + x * unit)} {num(origin[1] - y * unit)}h0" for x, y in sorted(used)
    )
    return f'<path d="{dots}" stroke="{INK}" stroke-width="{num(unit * 0.15)}"/>'


def _numbers(sheet: Sheet, origin: tuple[float, float], unit: float, *, named: bool = True) -> str:
    """Name, column and row numbers, what each side meets, and the arrows of counting."""
    x0, y0 = origin
    wide, high = sheet.columns * unit, sheet.rows * unit
    size = min(9.0, max(5.0, unit * 0.34))
    small = size * 0.82
    notes = {side: meeting(sheet, side) for side in SIDES}
    lengths = {side: text_width(text, small) for side, text in notes.items()}
    out: list[str] = []
    every = 1 if unit >= 15 else 2 if unit >= 11 else 5
    for c in range(sheet.columns):
        if (c + 1) % every == 0 or c == 0:
            x = x0 + (c + 0.5) * unit
            out.append(write(str(c + 1), x, y0 + unit * 0.4 + size, size, anchor="middle"))
    for r in range(sheet.rows):
        if (r + 1) % every == 0 or r == 0:
            y = y0 - (r + 0.5) * unit + size / 2
            out.append(write(str(r + 1), x0 - unit * 0.4, y, size, anchor="end"))
    # Above: the note on the right, the name on the same line if both fit, else one line higher.
    name, tall = panel_title(sheet.name), min(13.0, size * 1.5)
    note_y = y0 - high - unit * 0.45
    fits = text_width(name, tall) + lengths["top"] + unit * 0.6 <= wide
    name_y = note_y - (small + 5 if notes["top"] and not fits else unit * 0.2)
    if named:
        out.append(write(name, x0, name_y, tall, weight=1.2))
    out.append(_note(notes["top"], x0 + wide, note_y, small, anchor="end"))
    # Below and on the left: the arrow of counting first, the note in what is left of the side.
    line = y0 + unit * 0.72 + size * 1.2
    room = wide - lengths["bottom"] - 0.8 * unit if notes["bottom"] else 0.6 * wide
    if room >= 0.7 * unit:
        out.append(_arrow(x0 + unit * 0.1, line, min(room, 3 * unit), 0))
    out.append(_note(notes["bottom"], x0 + wide, line + small / 2, small, anchor="end"))
    line = x0 - unit * 0.6 - size * 1.9
    room = high - lengths["left"] - 0.8 * unit if notes["left"] else 0.6 * high
    if room >= 0.7 * unit:
        out.append(_arrow(line, y0 - unit * 0.1, 0, min(room, 3 * unit)))
    out.append(_note(notes["left"], line - small / 2, y0 - high, small, down=True))
    out.append(_note(notes["right"], x0 + wide + unit * 0.4, y0 - high, small, down=True))
    return "".join(out)


def _note(
    text: str, x: float, y: float, size: float, *, anchor: str = "start", down: bool = False
) -> str:
    """A quiet note beside a panel, read downwards if `down`."""
    if not text:
        return ""
    if down:
        inner = write(text, 0, 0, size, colour=_QUIET)
        return f'<g transform="translate({num(x)} {num(y)}) rotate(90)">{inner}</g>'
    return write(text, x, y, size, anchor=anchor, colour=_QUIET)


def _arrow(x: float, y: float, dx: float, up: float) -> str:
    """A thin arrow to the right or upwards: which way columns and rows are counted."""
    if up:
        path = f"M{num(x)} {num(y)}v{num(-up)}m-3 5l3-5l3 5"
    else:
        path = f"M{num(x)} {num(y)}h{num(dx)}m-5-3l5 3l-5 3"
    return f'<path d="{path}" fill="none" stroke="{_QUIET}" stroke-width="1"/>'
