"""What may help a soft piece, in maker's words."""

from __future__ import annotations

import numpy as np

from airweft.base.findings import Finding
from airweft.base.nearest import said_list
from airweft.records.net import Net
from airweft.records.shape import SoftMode
from airweft.shape.sparse import Whole

_GIVES = 1.0  # a piece that gives more than a bubble length under its own weight is soft
_HARDLY = 20.0  # beyond this the estimate says nothing but that hardly anything resists
_AT_RIM = 1.5  # the rim moves this much more than the whole, in squares
_MOST_NAMED = 3


def advice(net: Net, modes: tuple[SoftMode, ...]) -> tuple[Finding, ...]:
    """A finding for the softest way if it is soft enough to matter; what helps depends on where."""
    if not modes or modes[0].give <= _GIVES:
        return ()
    mode = modes[0]
    rim = rim_joints(net)
    motion = np.einsum("ij,ij->i", mode.moves, mode.moves)
    at_rim = float(motion[rim].mean() / max(motion.mean(), 1e-12)) if len(rim) else 0.0
    if mode.panels:
        where = ("panels " if len(mode.panels) > 1 else "panel ") + ", ".join(
            mode.panels[:_MOST_NAMED]
        )
    else:
        where = "joints " + ", ".join(net.joint_names[j] for j in mode.joints[:_MOST_NAMED])
    if "fabric" not in net.kinds:
        code, what = "soft-frame", "The frame gives"
        remedy = "Add a brace across an open ring there, so that it falls into triangles."
    elif len(rim) and not net.around and len(net.panels) <= 1:
        code, what = "soft-sheet", "The sheet twists and folds, and it gives"
        remedy = "That is the way of sheets: hang it, or give it a frame or a stick to hold it."
    elif at_rim > _AT_RIM:
        code, what = "soft-opening", "The rim of the opening gives"
        remedy = "Make the opening smaller, or set a brace or a ring of bubbles across it."
    elif net.seams and "loop" not in net.kinds:
        code, what = "soft-seams", "The fabric gives"
        remedy = "Set extra bubbles along the seams, or a brace across from side to side."
    else:
        code, what = "soft-fabric", "The fabric gives"
        remedy = "Set a brace across inside, use shorter bubbles, or make the piece smaller."
    return (
        Finding(
            code=code,
            severity="note",
            where=where,
            message=f"{what} most easily {place(net, mode)}: {_said(mode)}.",
            remedy=remedy,
            joints=mode.joints,
        ),
    )


def stalk_advice(net: Net, mode: SoftMode) -> tuple[Finding, ...]:
    """A finding for a stalk that gives more than the fabric that it stands on."""
    if mode.give <= _GIVES:
        return ()
    stalks = stalk_panels(net)
    parts = [panel for panel in mode.panels if panel in stalks]
    give = "give" if parts[1:] else "gives"
    return (
        Finding(
            code="soft-stalk",
            severity="note",
            where=f"part {parts[0]}",
            message=f"The {said_list(parts)} {give} most easily, {place(net, mode)}: "
            f"{_said(mode)}.",
            remedy="Give a stalk two strands (strands = 2), brace a frame, make it shorter, or "
            "hold its end.",
            joints=mode.joints,
        ),
    )


def stalk_panels(net: Net) -> frozenset[str]:
    """Parts of bare bubbles on a piece of fabric: stalks, and frames set on it."""
    woven = {b for cell in net.cells for b in cell.bubbles}
    fabric = {net.bubble_panels[b] for b in woven}
    return frozenset(net.bubble_panels) - fabric - {""} if fabric else frozenset()


def place(net: Net, mode: SoftMode) -> str:
    """Where on the piece, as seen from the front, a mode moves most: "at the top, on the left"."""
    low, high = net.joints.min(axis=0), net.joints.max(axis=0)
    spot = net.joints[mode.joints[0]]
    x, y, z = ((spot - low) / np.maximum(high - low, 1e-9)).tolist()
    up = "at the top" if z > 2 / 3 else "at the foot" if z < 1 / 3 else "half-way up"
    sides = [
        word
        for share, below, above in ((y, "front", "back"), (x, "left", "right"))
        for word in ([above] if share > 2 / 3 else [below] if share < 1 / 3 else [])
    ]
    return f"{up}, at the {' '.join(sides)}" if sides else f"{up}, in the middle"


def _said(mode: SoftMode) -> str:
    if mode.give > _HARDLY:
        return "it hardly resists there at all"
    return (
        f"by about {mode.give:.1f} bubble lengths when pressed with its own weight (an estimate "
        "for comparing pieces)"
    )


def rim_joints(net: Net) -> Whole:
    """Joints on an open border of the surface: those in one cell only."""
    met = np.zeros(net.joint_count, dtype=np.int64)
    for cell in net.cells:
        for joint in set(cell.joints):
            met[joint] += 1
    return np.flatnonzero(met == 1)
