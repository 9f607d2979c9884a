"""Patches of a chart drawn: bubbles where their cells lie, with marks, and numbers on the cuts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import hypot, sqrt

import numpy as np

from airweft.draw.body import Outlines
from airweft.draw.facets import Spot
from airweft.draw.numbers import num
from airweft.draw.paint import Brush, write
from airweft.draw.palette import INK
from airweft.draw.patch import LENGTH, Patch
from airweft.draw.tags import Tag, tags
from airweft.records.net import Net

PLUMP = 0.27  # waist radius of a bubble as a share of the usual length
_SLIM = 0.21  # the same in rings of three, which would cover each other
_QUIET = "#63636e"

Loop = tuple[int, Spot]
"""An extra bubble and the place of its joint on the patch."""


def patch_loops(net: Net, patches: Sequence[Patch], taken: set[int]) -> dict[str, list[Loop]]:
    """Extra bubbles by the first patch that has their joint; those in `taken` are drawn already."""
    found: dict[str, list[Loop]] = {patch.name: [] for patch in patches}
    places: dict[int, tuple[str, Spot]] = {}
    for patch in patches:
        for joint, spot in patch.joints:
            places.setdefault(joint, (patch.name, spot))
    for bubble, (a, b) in enumerate(net.ends.tolist()):
        if a == b and bubble not in taken and a in places:
            found[places[a][0]].append((bubble, places[a][1]))
    return found


def draw_patch(
    net: Net,
    patch: Patch,
    loops: Sequence[Loop],
    origin: tuple[float, float],
    unit: float,
    brush: Brush,
    numbers: Mapping[int, int],
    *,
    named: bool = True,
) -> str:
    """One patch with its lower left corner at `origin`, px; `unit` px to a column."""
    x0, y0 = origin
    shape = patch_outlines(patch, loops, origin, unit)
    out: list[str] = []
    marks: list[str] = []
    for k, bubble in enumerate([*(b for b, _, _ in patch.bubbles), *(b for b, _ in loops)]):
        mark = net.colours[bubble]
        out.append(brush.plain(shape, k, mark))
        if mark:
            x, y = shape.centres[k].tolist()
            marks.append(brush.mark(mark, x, y, round(0.7 * float(shape.minors[k]), 1)))
    at = [(joint, x0 + x * unit, y0 - y * unit) for joint, (x, y) in patch.joints]
    plates = [(joint, x0 + x * unit, y0 - y * unit) for joint, (x, y) in patch.plates]
    dots = "".join(f"M{num(x)} {num(y)}h0" for _, x, y in at)
    out.append(f'<path d="{dots}" stroke="{INK}" stroke-width="{num(unit * 0.15)}"/>')
    out += marks
    out.append(cut_numbers(plates, numbers, unit))
    size = min(8.0, max(4.5, unit * 0.3))
    for text, (x, y) in patch.rows:
        out.append(
            write(text, x0 + x * unit - 0.3 * unit, y0 - y * unit + size / 2, size, anchor="end")
        )
    tall = min(13.0, max(7.0, unit * 0.5))
    top = y0 - patch.high * unit - unit * 0.75
    if named:
        out.append(write(patch.name[:1].upper() + patch.name[1:], x0, top, tall, weight=1.2))
    return "".join(out)


def cut_numbers(
    at: Sequence[tuple[int, float, float]], numbers: Mapping[int, int], unit: float
) -> str:
    """The numbers of joints that lie elsewhere too, on small plates on the joints."""
    wanted = [Tag(str(numbers[joint]), x, y) for joint, x, y in at if joint in numbers]
    return tags(wanted, height=min(5.0, max(2.6, unit * 0.165)), dark=False)


def patch_outlines(
    patch: Patch, loops: Sequence[Loop], origin: tuple[float, float], unit: float
) -> Outlines:
    """The patch's bubbles as outlines; extra bubbles as small round ones on their joints."""
    n, m = len(patch.bubbles), len(patch.bubbles) + len(loops)
    centres, axes = np.zeros((m, 2)), np.tile(np.array([1.0, 0.0]), (m, 1))
    majors, minors = np.full(m, unit * 0.3), np.full(m, unit * 0.3)
    for k, (_, (ax, ay), (bx, by)) in enumerate(patch.bubbles):
        centres[k] = (ax + bx) / 2, (ay + by) / 2
        dx, dy = bx - ax, ay - by
        size = hypot(dx, dy)
        if size > 1e-9:
            axes[k] = dx / size, dy / size
        majors[k] = max(0.47 * size, 0.2) * unit
        plump = _SLIM if patch.threes else PLUMP
        minors[k] = min(plump * LENGTH, 0.4 * sqrt(size * LENGTH)) * unit
        majors[k] = max(majors[k], minors[k])
    for k, (_, spot) in enumerate(loops):
        centres[n + k] = spot
    return Outlines(
        centres=np.array(origin) + centres * np.array([unit, -unit]),
        axes=axes,
        straights=np.zeros((m, 2)),
        majors=majors,
        minors=minors,
        nears=np.zeros(m),
        facing=np.ones(m),
    )
