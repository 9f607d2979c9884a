"""The flat drawing of a net without panels: from the front, the right and above, with names."""

from __future__ import annotations

from math import pi

import numpy as np

from airweft.draw.body import Bodies, Outlines, bodies_of, draw_order, outlines
from airweft.draw.camera import Camera, Floats, project
from airweft.draw.cover import cover
from airweft.draw.frame import bounds, moved
from airweft.draw.key import colour_key
from airweft.draw.numbers import num
from airweft.draw.paint import Brush, document, write
from airweft.draw.palette import PAPER, shades_of
from airweft.draw.tags import Tag, tags
from airweft.records.design import Colour
from airweft.records.net import Net

VIEWS = (
    ("From the front", Camera(turn=0.0, tilt=0.0, reach=0.0)),
    ("From the right", Camera(turn=pi / 2, tilt=0.0, reach=0.0)),
    ("From above", Camera(turn=0.0, tilt=pi / 2, reach=0.0)),
)
_ROOM = 400.0  # px for the largest side of a view
_MOST_NAMES = 120  # more joints than this are not named
_MOST_MARKS = 600


def three_views(net: Net, palette: tuple[Colour, ...], *, title: str = "") -> str:
    """Three level views at one scale, with marks on the bubbles and the joints' names, as SVG."""
    bodies = bodies_of(net)
    every = list(range(net.bubble_count))
    seen = [outlines(bodies, camera) for _, camera in VIEWS]
    boxes = [bounds(s, every) if every else (0.0, 0.0, 1.0, 1.0) for s in seen]
    largest = max(max(b[2] - b[0], b[3] - b[1]) for b in boxes)
    scale = _ROOM / max(largest, 1e-9)
    middle = float(np.median(seen[0].minors)) * scale if every else 1.0
    brush = Brush(shades=shades_of(palette, net.colours), line=min(2.0, max(0.4, middle * 0.085)))
    out: list[str] = []
    x, tallest = 30.0, 0.0
    for (said, camera), shape, box in zip(VIEWS, seen, boxes, strict=True):
        wide, tall = (box[2] - box[0]) * scale, (box[3] - box[1]) * scale
        dx, dy = x - box[0] * scale, 52.0 - box[1] * scale
        out.append(write(said, x, 28, 11, weight=1.2))
        out.append(_view(net, bodies, camera, shape, scale, dx, dy, brush))
        x += max(wide, 150.0) + 46
        tallest = max(tallest, tall)
    key, base = colour_key(brush, list(net.colours), 30.0, 52 + tallest + 26, x - 30)
    ground = f'<path d="M0 0H{num(x)}V{num(base + 14)}H0z" fill="{PAPER}" stroke="none"/>'
    return document(
        x, base + 14, brush, ground + "".join(out) + key, title or "Three views of the piece"
    )


def _view(
    net: Net,
    bodies: Bodies,
    camera: Camera,
    seen: Outlines,
    scale: float,
    dx: float,
    dy: float,
    brush: Brush,
) -> str:
    """One view: bodies far to near with their marks, then the joints with their names."""
    shape = moved(seen, scale, dx, dy)
    order = draw_order(shape)
    found = cover(shape, order)
    out: list[str] = []
    for i in order:
        if found.share[i] <= 0:
            continue
        out.append(brush.plain(shape, i, net.colours[i]))
        radius = min(9.0, 0.6 * float(shape.minors[i]))
        if net.colours[i] and radius > 2.4 and net.bubble_count <= _MOST_MARKS:
            x, y = shape.centres[i].tolist()
            out.append(brush.mark(net.colours[i], x, y, radius))
    if net.joint_count <= _MOST_NAMES:
        flat, near, _ = project(camera, bodies.scene, np.nan_to_num(net.joints))
        out.append(_names(net, flat * scale + np.array([dx, dy]), near))
    return "".join(out)


def _names(net: Net, at: Floats, near: Floats) -> str:
    """Joint names on small plates, the nearest first."""
    order = np.argsort(-near, kind="stable").tolist()
    wanted = [Tag(net.joint_names[j], float(at[j, 0]), float(at[j, 1])) for j in order]
    return tags(wanted, height=5.4, dark=False)
