"""The flat chart set out: where each panel and patch lies, and its bubbles as outlines.

Everything is counted in columns, y up, until an outline is drawn at some size.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

import numpy as np

from airweft.draw.body import Outlines
from airweft.draw.glyph import text_width
from airweft.draw.patch import Flat
from airweft.draw.patchwork import Loop, patch_loops
from airweft.draw.unfold import Sheet, shelved, unfold
from airweft.records.net import Net

_GAP = 3.6  # bubbles of room between panels, for names and numbers
_NAME = 0.5  # height of a patch's name, in columns
_PLUMP = 0.31  # waist radius of a charted bubble as a share of its length


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Lower left corners of the panels (by name) and patches (in order), in columns.

    `loops` and `patch_loops` are the extra bubbles drawn on each, `box` is left, low, right, high.
    """

    sheets: dict[str, tuple[float, float]]
    patches: tuple[tuple[float, float], ...]
    loops: dict[str, list[tuple[int, int, int]]]
    patch_loops: dict[str, list[Loop]]
    box: tuple[float, float, float, float]


def set_out(net: Net, laid: Flat, *, named: bool = True) -> Table:
    """Set out what was laid flat, of which there is at least one part. `named` leaves room."""
    sheets, patches = laid.sheets, laid.patches
    places = unfold(sheets, _GAP)
    boxes = [(*places[s.name], float(s.columns), float(s.rows)) for s in sheets]
    # A patch takes the room of its name as well, or it would run over its neighbour's.
    sizes = [(max(p.wide, text_width(p.name, _NAME) if named else 0.0), p.high) for p in patches]
    spots = shelved(sizes, boxes, _GAP)
    boxes += [(x, y, *size) for (x, y), size in zip(spots, sizes, strict=True)]
    loops = _loops(net, sheets)
    taken = {b for sheet in sheets for b, _, _ in (*sheet.bubbles, *loops[sheet.name])}
    return Table(
        sheets=places,
        patches=tuple(spots),
        loops=loops,
        patch_loops=patch_loops(net, patches, taken),
        box=(
            min(x for x, _, _, _ in boxes),
            min(y for _, y, _, _ in boxes),
            max(x + wide for x, _, wide, _ in boxes),
            max(y + tall for _, y, _, tall in boxes),
        ),
    )


def sheet_outlines(
    sheet: Sheet, loops: list[tuple[int, int, int]], origin: tuple[float, float], unit: float
) -> Outlines:
    """The panel's bubbles as outlines, each on a diagonal of its square; then the `loops`."""
    length = unit * sqrt(2)
    centres: list[tuple[float, float]] = []
    axes: list[tuple[float, float]] = []
    diagonal = sqrt(0.5)
    for _, column, row in sheet.bubbles:
        centres.append((origin[0] + (column + 0.5) * unit, origin[1] - (row + 0.5) * unit))
        # Joints are the lattice points with an odd sum: the diagonal's way follows from the parity.
        axes.append((diagonal, diagonal if (column + row) % 2 == 0 else -diagonal))
    for _, x, y in loops:
        centres.append((origin[0] + x * unit, origin[1] - y * unit))
        axes.append((1.0, 0.0))
    n, m = len(sheet.bubbles), len(centres)
    majors = np.full(m, length * 0.47)
    minors = np.full(m, length * _PLUMP)
    majors[n:] = minors[n:] = unit * 0.3
    return Outlines(
        centres=np.array(centres, dtype=np.float64).reshape(m, 2),
        axes=np.array(axes, dtype=np.float64).reshape(m, 2),
        straights=np.zeros((m, 2)),
        majors=majors,
        minors=minors,
        nears=np.zeros(m),
        facing=np.ones(m),
    )


def meeting(sheet: Sheet, side: str) -> str:
    """What a side is locked to, in words; nothing for an open side."""
    names = sheet.meets[side]
    if not names:
        return ""
    if names == (sheet.name,):
        opposite = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}[side]
        return f"closes with the {opposite} side"
    return "meets " + ", ".join(n or "panel" for n in names)


def panel_title(name: str) -> str:
    """A panel's name as it stands over its chart."""
    return name[:1].upper() + name[1:] if name else "Panel"


def _loops(net: Net, sheets: tuple[Sheet, ...]) -> dict[str, list[tuple[int, int, int]]]:
    """Extra bubbles by the first panel that has their joint, with the joint's lattice place."""
    result: dict[str, list[tuple[int, int, int]]] = {sheet.name: [] for sheet in sheets}
    for bubble, (a, b) in enumerate(net.ends.tolist()):
        if a != b:
            continue
        for sheet in sheets:
            if a in sheet.joints:
                result[sheet.name].append((bubble, *sheet.joints[a]))
                break
    return result
