"""A profile turned round the upright axis: towers, vases, bells, mushrooms, posts."""

from __future__ import annotations

import math

import numpy as np

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.records.design import Turned
from airweft.records.mesh import Mesh
from airweft.surface.even import bubble_ends, spans
from airweft.surface.impossible import check_profile
from airweft.surface.limits import check_counts, check_total
from airweft.surface.profile import Profile, profile_of
from airweft.surface.rows import Rows, climb, spread, usual_cells
from airweft.surface.spin import Level, spin

_FLATTEST, _STEEPEST = 0.92, 0.42  # most and least of a bubble's length around the widest place
LEAST, MOST = 0.75, 1.33
"""Every bubble's room, as a share of the wished length, lies between these; else it is refused."""


def turned_mesh(form: Turned, *, bubble: int, name: str = "side", kind: str = "turned") -> Mesh:
    """Rows of cells from the widest place to both ends; panels `name`, and "bottom" and "top".

    At the widest place there are `around` / 2 cells. Where the profile narrows so far that bubbles
    would stand too steeply, cells are taken out by two at a time, in a row with five-sided cells,
    and put in again where it swells. Raises CannotMake with every finding for a profile that
    cannot be turned and for an `around` that does not suit it.
    """
    if bubble <= 0:
        check_counts({}, form=kind, bubble=bubble)
    corners = np.array(form.profile, dtype=np.float64).reshape(-1, 2) / 100
    check_profile(form, kind=kind)
    length = bubble / 100
    line = profile_of(corners)
    check_total(_about(line, length), form=kind)
    widest = int(np.argmax(line.radius))
    cells = _cells_around(form, float(line.radius[widest]), length, kind)
    stretches = [
        line.part(float(line.along[widest]), 0.0),
        line.part(float(line.along[widest]), line.length),
    ]
    ends = ("bottom", "top")
    levels: list[Level] = []
    panels: list[str] = []
    tips = ["", ""]
    foot = 0
    for side, (end, stretch) in enumerate(zip(ends, stretches, strict=True)):
        pointed = float(line.radius[-side]) < 1e-9
        run: list[Level] = [Level(0.0, cells, slides=False)]
        names: list[str] = []
        if stretch.length > 1e-6:
            rows = climb(stretch, cells=cells, most=cells, bubble=length, tip=pointed)
            run += _levels(rows, 0.0, last_slides=pointed)
            names += [name] * (len(rows.levels) - 1)
        own = len(names)
        if pointed:
            tips[side] = name
        elif end in form.closed:
            cap = profile_of(np.array([[float(line.radius[-side]), 0.0], [0.0, 0.0]]))
            rows = climb(cap, cells=run[-1].cells, most=run[-1].cells, bubble=length, tip=True)
            run += _levels(rows, stretch.length, last_slides=True)
            names += [end] * (len(rows.levels) - 1)
            tips[side] = end
        _check_tip(run, tips[side], cells, kind)
        if side == 0:
            foot = len(names) - own
            levels = [Level(-v.along, v.cells, v.slides) for v in reversed(run)]
            panels = names[::-1]
        else:
            levels += run[1:]
            panels += names
    whole, low = _whole(line, form, tips)
    shift = low + float(line.along[widest])
    levels = [Level(v.along + shift, v.cells, v.slides) for v in levels]
    mesh = spin(
        whole,
        levels,
        panels,
        bubble=length,
        around=cells,
        foot=foot,
        tips=(tips[0], tips[1]),
    )
    check_rooms(mesh, length, kind)
    return mesh


def _cells_around(form: Turned, radius: float, bubble: float, kind: str) -> int:
    """Cells around the widest place: half of `around`, or what suits the radius."""
    if not form.around:
        return usual_cells(radius, bubble)
    check_counts({"around": form.around}, form=kind, bubble=1, least={"around": 4})
    cells = form.around // 2
    share = spread(radius, cells, bubble)
    if _STEEPEST <= share <= _FLATTEST:
        return cells
    best = 2 * usual_cells(radius, bubble)
    wrong = "lie almost level" if share > 1 / math.sqrt(2) else "stand almost upright"
    reach = bubble / (2 * math.sin(math.pi / (2 * cells)))
    raise CannotMake(
        Finding(
            code="around-does-not-suit",
            severity="cannot",
            where=f"{kind}, around",
            message=f"With around = {form.around} and a radius of {_cm(radius)} at the widest "
            f"place, bubbles of {_cm(bubble)} would {wrong}, or be much too long or too short.",
            remedy=f"Write around = {best}, or leave it out; or keep {form.around} and make the "
            f"widest radius between {_cm(reach * _STEEPEST)} and {_cm(reach * _FLATTEST)}.",
        )
    )


def _levels(rows: Rows, before: float, *, last_slides: bool) -> list[Level]:
    """The levels after the first, `before` mm further along."""
    last = len(rows.levels) - 1
    return [
        Level(before + along, cells, k < last or last_slides)
        for k, (along, cells) in enumerate(zip(rows.levels, rows.cells, strict=True))
        if k
    ]


def _whole(line: Profile, form: Turned, tips: list[str]) -> tuple[Profile, float]:
    """The profile with its caps, and how much of its length the lower cap takes."""
    corners = [[r, h] for r, h in zip(line.radius.tolist(), line.height.tolist(), strict=True)]
    low = 0.0
    if tips[0] == "bottom" and corners[0][0] > 1e-9:
        low = corners[0][0]
        corners.insert(0, [0.0, corners[0][1]])
    if tips[1] == "top" and corners[-1][0] > 1e-9:
        corners.append([0.0, corners[-1][1]])
    return profile_of(np.array(corners)), low


def _about(line: Profile, bubble: float) -> int:
    """About how many bubbles there will be: the area of the surface over that of a bubble."""
    rings = np.diff(line.along) * (line.radius[1:] + line.radius[:-1])
    return int(math.pi * float(rings.sum()) / (bubble * bubble / 2))


def _check_tip(run: list[Level], tip: str, cells: int, kind: str) -> None:
    """Raise CannotMake where an end is to be closed that has too few or too many cells around."""
    if not tip or 3 <= run[-1].cells <= 8:
        return
    raise CannotMake(
        Finding(
            code="too-narrow-to-close",
            severity="cannot",
            where=f"{kind}, profile",
            message=f"With {2 * cells} bubbles around the widest place, its closed end has "
            f"{run[-1].cells} cells around: no one cell closes that.",
            remedy="Make the end wider or the bubbles shorter, or leave that end open.",
        )
    )


def check_rooms(mesh: Mesh, bubble: float, kind: str) -> None:
    """Raise CannotMake where bubbles would have far too much or too little room."""
    assert mesh.middles is not None
    rings, _ = mesh.rings()
    ends = bubble_ends(rings)
    room = spans(np.asarray(mesh.middles), ends) / bubble
    worst = int(np.argmax(np.abs(np.log(np.maximum(room, 1e-6)))))
    if LEAST <= room[worst] <= MOST:
        return
    x, y, z = mesh.middles[ends[worst, 0]].tolist()
    wrong = "far apart" if room[worst] > 1 else "close together"
    raise CannotMake(
        Finding(
            code="no-even-bubbles",
            severity="cannot",
            where=f"{kind}, profile",
            message=f"At radius {_cm(math.hypot(x, y))} and {_cm(z)} above the foot the profile "
            f"turns so sharply that joints come too {wrong}: a bubble of {_cm(bubble)} has "
            f"{_cm(float(room[worst]) * bubble)} there.",
            remedy="Round the profile off there, make the form larger, or the bubbles shorter.",
        )
    )


def _cm(mm: float) -> str:
    return f"{mm / 10:.1f} cm"
