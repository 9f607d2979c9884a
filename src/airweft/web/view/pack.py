"""What the view needs of a net or of a whole book, packed for the browser.

Numbers travel as base64 of little-endian arrays and names as one text each: a design under edit
changes at every key, and this is quick at both ends. docs/view.md lists the keys.
"""

from __future__ import annotations

import base64
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import degrees
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airweft.base.units import Unit, show_length
from airweft.booklet.book import Book
from airweft.booklet.phone_data import page_data
from airweft.booklet.phone_pack import unpack_texts
from airweft.booklet.phone_tones import tones
from airweft.draw.body import Bodies, bodies_of
from airweft.draw.palette import UNKNOWN
from airweft.draw.view import FRONT
from airweft.records.design import Colour
from airweft.records.net import Net

NORMAL_UNIT = 20
SHIFTED = 0.05  # mm off the middle between its joints from which a bubble's own place is sent
WAYS = ("width", "depth", "height")


@dataclass(frozen=True, slots=True)
class Pack:
    """`data` for the browser; names of bubbles and joints in the order in which it counts them."""

    data: dict[str, Any]
    bubbles: tuple[str, ...]
    joints: tuple[str, ...]

    @property
    def stops(self) -> int:
        """How many stops the making has; 0 for a bare net."""
        count: int = self.data["counts"].get("stops", 0)
        return count


def pack_net(net: Net, palette: Iterable[Colour], *, name: str = "", unit: Unit = "cm") -> Pack:
    """A net as it is, without a plan. Marks that the palette does not know are grey. O(bubbles)."""
    bodies = bodies_of(net)
    middles = (net.joints[net.ends[:, 0]] + net.joints[net.ends[:, 1]]) / 2
    off = bodies.centres - middles
    shifted = np.flatnonzero((np.abs(off) > SHIFTED).any(axis=1))
    scene = bodies.scene
    data = {
        "kind": "net",
        "name": name,
        "counts": {"joints": net.joint_count, "bubbles": net.bubble_count},
        **pack_colours(palette, net.colours),
        "scene": [round(value, 2) for value in (*scene.centre, scene.radius)],
        "cover": [round(degrees(FRONT.turn)), round(degrees(FRONT.tilt))],
        "joints": array(np.nan_to_num(net.joints), "<f4"),
        "ends": array(net.ends, "<i4"),
        "waists": array(bodies.waists, "<f4"),
        "caps": array(bodies.caps, "<f4"),
        "normals": array(np.round(bodies.normals * NORMAL_UNIT), "<i1"),
        "shifted": array(shifted, "<i4"),
        "shifts": array(off[shifted], "<f4"),
        "jointNames": lines(net.joint_names),
        "bubbleNames": lines(net.bubble_names),
        **_panels(net.bubble_panels),
        **_sizes(bodies, unit),
    }
    return Pack(data, net.bubble_names, net.joint_names)


def repainted(pack: Pack, palette: Iterable[Colour], marks: Sequence[str]) -> Pack:
    """The same net or chart in other colours, one mark for each bubble; far quicker than anew."""
    return replace(pack, data=pack.data | pack_colours(palette, marks))


def pack_book(book: Book) -> Pack:
    """A net with its plan and steps: the phone page's own data, and what only the view shows."""
    data = page_data(book)
    counts = data["counts"]
    bubbles = unpack_texts(data["bubbleNames"], counts["bubbles"])
    joints = unpack_texts(data["jointNames"], counts["joints"])
    panel = dict(zip(book.net.bubble_names, book.net.bubble_panels, strict=True))
    data |= {
        "kind": "steps",
        **_panels([panel[name] for name in bubbles]),
        **_sizes(bodies_of(book.net), book.design.units),
    }
    return Pack(data, tuple(bubbles), tuple(joints))


def extents(bodies: Bodies) -> NDArray[np.float64]:
    """Lowest and highest corner of the box around all bodies, shape (2, 3), mm; zeros for none.

    A body reaches to each side as far as its two end caps do, which are halves of an ellipsoid of
    revolution with half axes `caps` along the bubble and `waists` across.
    """
    if not len(bodies.centres):
        return np.zeros((2, 3))
    reach = np.sqrt((bodies.halves**2).sum(axis=1))
    along = bodies.halves / np.maximum(reach, 1e-12)[:, None]
    cap = np.minimum(bodies.caps, reach)[:, None]
    straight = np.abs(bodies.halves) - np.abs(along) * cap
    across = bodies.waists[:, None] ** 2 * (1 - along**2)
    half = straight + np.sqrt((along * cap) ** 2 + across)
    return np.stack([(bodies.centres - half).min(axis=0), (bodies.centres + half).max(axis=0)])


def _sizes(bodies: Bodies, unit: Unit) -> dict[str, Any]:
    """The box around the piece, mm, and its width, depth and height in words, to a millimetre."""
    box = extents(bodies)
    across = [show_length(round(float(mm)) * 100, unit) for mm in box[1] - box[0]]
    return {
        "box": [round(float(value), 2) for value in box.ravel()],
        "sizes": [[way, text] for way, text in zip(WAYS, across, strict=True)],
    }


def pack_colours(palette: Iterable[Colour], marks: Sequence[str]) -> dict[str, Any]:
    """The palette with its tones, and each bubble's place in it; grey for a mark it lacks."""
    found = {colour.mark: colour for colour in palette}
    for mark in sorted(set(marks) - set(found)):
        found[mark] = Colour(mark, mark or "no colour yet", UNKNOWN)
    number = {mark: k for k, mark in enumerate(found)}
    return {
        "palette": [[c.mark, c.name, *tones(c)] for c in found.values()],
        "colours": array([number[mark] for mark in marks], "<u2"),
    }


def _panels(panels: Sequence[str]) -> dict[str, str]:
    """The panels' names, and the number of each bubble's panel."""
    number = {name: k for k, name in enumerate(dict.fromkeys(panels))}
    return {
        "panels": lines(list(number)),
        "panelOf": array([number[name] for name in panels], "<u2"),
    }


def array(values: Any, kind: str) -> str:
    """Numbers of a kind ("<f4") as base64."""
    return base64.b64encode(np.ascontiguousarray(values, dtype=kind).tobytes()).decode()


def lines(names: Sequence[str]) -> str:
    """Names one to a line; a line end within a name, which only a net file can hold, is a space."""
    text = "\n".join(names)
    if text.count("\n") != max(0, len(names) - 1):
        text = "\n".join(" ".join(name.split("\n")) for name in names)
    # A lone surrogate cannot be sent as UTF-8.
    return text.encode("utf-8", "replace").decode()
