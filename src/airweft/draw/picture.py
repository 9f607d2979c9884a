"""Pictures of a piece: its bubbles painted from far to near, as SVG.

Three looks: *plain* (the finished piece), *new* (this step's work: strong, boldly outlined on a
white rim) and *finished* (veiled: flat pale fill, thin light outline). There is no opacity, no
filter, no mask, no style sheet and no font in the SVG, so that it looks the same everywhere.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import Literal

import numpy as np

from airweft.draw.body import Bodies, Outlines, bodies_of, draw_order, outlines
from airweft.draw.camera import Camera, Scene, project
from airweft.draw.cover import Cover, cover, spot
from airweft.draw.frame import fit
from airweft.draw.paint import Brush, document
from airweft.draw.palette import shades_of
from airweft.draw.tags import Disc, Tag, tags
from airweft.records.design import Colour
from airweft.records.net import Net

Labels = Literal["mark", "none"] | Mapping[int, str]

DISC = 0.56  # radius of a mark's white disc, as a share of the middle waist radius
_SMALLER = (1.0, 0.8, 0.64)  # sizes in which marks are tried
_LEAST_MARK = 2.4  # px; smaller marks cannot be read and are left out
# Height of joint names: the least in px, then least and most as shares of the picture's height, so
# that they are 1.5 to 2 mm high where a step's picture is printed 60 to 45 mm high.
_TAG_LEAST, _TAG_SHARES = 8.5, (0.026, 0.044)
GHOST = 0.12  # new bubbles of which less than this share shows are also drawn through
INSIDE = -0.04  # facing below this: the bubble's inner side is seen


def piece(
    net: Net,
    palette: Iterable[Colour],
    camera: Camera,
    *,
    shown: Collection[int] | None = None,
    new: Collection[int] = (),
    veiled: bool | None = None,
    labels: Labels = "mark",
    joints: Mapping[int, str] | None = None,
    width: float = 480,
    height: float | None = None,
    frame: Literal["shown", "whole"] = "shown",
    title: str = "",
    prefix: str = "",
    bodies: Bodies | None = None,
) -> str:
    """An SVG picture of the bubbles `shown` (all of them if None), seen by `camera`.

    new      drawn strong; they are shown even if `shown` leaves them out
    veiled   whether the rest is veiled; by default if there is anything new
    labels   "mark": the palette mark on every bubble that is not veiled; "none"; or texts for
             bubbles by index
    joints   names to show at joints, by index; those that lie behind are left out
    width, height   of the picture in px; without a height it follows from the piece, up to 1.25
             times the width
    frame    "shown" fills the picture with what is shown, "whole" keeps the whole piece's frame
    title    what the picture shows, for screen readers
    prefix   put before every id, for several pictures in one page
    bodies   of the net, from `bodies_of`, to save time over many pictures of one net
    """
    fresh = {int(i) for i in new}
    present = set(range(net.bubble_count)) if shown is None else {int(i) for i in shown}
    present |= fresh
    hide = bool(fresh) if veiled is None else veiled
    body = bodies or bodies_of(net)
    shape = outlines(body, camera)
    order = [i for i in draw_order(shape) if i in present]
    framed = order if frame == "shown" and order else list(range(net.bubble_count))
    unfitted = shape
    shape, wide, high = fit(shape, framed, width, height)
    found = cover(shape, order)
    order = [i for i in order if found.share[i] > 0 or i in fresh]
    texts = _texts(net, labels, order, fresh, hide)
    brush = Brush(
        shades=shades_of(palette, (net.colours[i] for i in order)),
        line=_line_width(shape, order),
        prefix=prefix,
    )
    discs: list[Disc] = []
    inner = _paint(net, shape, found, order, fresh, hide, texts, brush, discs)
    if joints:
        at = _joint_places(net, body.scene, camera, unfitted, shape, found, joints)
        height = _tag_height(shape, found, high)
        inner += tags(at, height=height, dark=True, clear=discs, frame=(wide, high))
    return document(wide, high, brush, inner, title)


def _line_width(shape: Outlines, order: list[int]) -> float:
    """Outline width of a plain bubble in px."""
    if not order:
        return 1.0
    middle = float(np.median(shape.minors[order]))
    return min(max(middle * 0.085, 0.25), 2.6)


def _texts(
    net: Net, labels: Labels, order: list[int], fresh: set[int], hide: bool
) -> dict[int, str]:
    """The text of each labelled bubble."""
    if labels == "none":
        return {}
    if labels == "mark":
        return {i: net.colours[i] for i in order if net.colours[i] and (i in fresh or not hide)}
    assert not isinstance(labels, str)
    return {i: labels[i] for i in order if labels.get(i)}


def _paint(
    net: Net,
    shape: Outlines,
    found: Cover,
    order: list[int],
    fresh: set[int],
    hide: bool,
    texts: dict[int, str],
    brush: Brush,
    discs: list[Disc],
) -> str:
    """All bodies with their marks, far to near; where marks were put is added to `discs`."""
    radius = DISC * float(np.median(shape.minors[order])) if order else 1.0
    out: list[str] = []
    for i in order:
        back = bool(shape.facing[i] < INSIDE)
        if i in fresh:
            out.append(brush.new(shape, i, net.colours[i]))
        elif hide:
            out.append(brush.veiled(shape, i, net.colours[i], back=back))
        else:
            out.append(brush.plain(shape, i, net.colours[i], back=back))
        if i in texts and not (i in fresh and found.share[i] < GHOST):
            disc = _mark_place(shape, found, i, radius, i in fresh)
            if disc is not None:
                discs.append(disc)
                out.append(brush.mark(texts[i], *disc))
    for i in order:
        if i in fresh and found.share[i] < GHOST:
            out.append(brush.ghost(shape, i))
            if i in texts:
                x, y = shape.centres[i].tolist()
                discs.append((x, y, radius * _SMALLER[1]))
                out.append(brush.mark(texts[i], *discs[-1]))
    return "".join(out)


def _mark_place(shape: Outlines, found: Cover, i: int, radius: float, must: bool) -> Disc | None:
    """Where a bubble's mark fits best on what is seen of it; None if it does not fit."""
    if radius < _LEAST_MARK:
        return None
    x, y, free = spot(found, shape, i, radius)
    for share in _SMALLER:
        last = must and share == _SMALLER[-1] and free > 0
        if free >= radius * share * 0.9 or last:
            return x, y, radius * share
    return None


def _tag_height(shape: Outlines, found: Cover, high: float) -> float:
    """Height of a joint name's capitals, px: as large as the piece lets it, legible in print."""
    least, most = (max(_TAG_LEAST, share * high) for share in _TAG_SHARES)
    if not found.order:
        return least
    return min(max(0.42 * float(np.median(shape.minors[list(found.order)])), least), most)


def _joint_places(
    net: Net,
    scene: Scene,
    camera: Camera,
    unfitted: Outlines,
    shape: Outlines,
    found: Cover,
    joints: Mapping[int, str],
) -> list[Tag]:
    """The names of the joints that lie on the near side, each with its place in the picture."""
    if not net.bubble_count or not found.order:
        return []
    flat, near, _ = project(camera, scene, np.nan_to_num(net.joints))
    scale = float(shape.minors[0] / unfitted.minors[0])
    shift = shape.centres[0] - unfitted.centres[0] * scale
    rows, columns = len(found.grid), len(found.grid[0])
    wanted: list[Tag] = []
    for joint, text in joints.items():
        if not 0 <= joint < net.joint_count:
            continue
        x, y = (flat[joint] * scale + shift).tolist()
        u = min(max(int((x - found.corner[0]) / found.square), 0), columns - 1)
        v = min(max(int((y - found.corner[1]) / found.square), 0), rows - 1)
        top = int(found.grid[v, u])
        if top >= 0:
            front = found.order[top]
            own = joint in net.ends[front].tolist()
            if not own and shape.nears[front] > near[joint]:
                continue
        wanted.append(Tag(text, x, y))
    return wanted
