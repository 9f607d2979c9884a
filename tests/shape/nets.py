"""Nets for the tests of shape: fabrics, frames of solids, and bars given one by one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

import numpy as np

from airweft.net.fabric import weave
from airweft.records.arrays import pairs, points, whole
from airweft.records.net import BubbleKind, Net
from airweft.surface.build import build

BUBBLE = 2500


def woven(form: Any) -> Net:
    """The fabric of a form with bubbles of 25 mm."""
    return weave(build(form, bubble=BUBBLE), bubble=BUBBLE, size="260")


def bars(
    spots: Any, ends: Iterable[tuple[int, int]], *, length: int = BUBBLE, kind: BubbleKind = "frame"
) -> Net:
    """A net of bubbles of one length; `spots` in bubble lengths."""
    joined = pairs(list(ends))
    places, m = points(np.asarray(spots, dtype=np.float64) * (length / 100)), len(joined)
    return Net(
        joints=places,
        ends=joined,
        lengths=whole([length] * m),
        colours=("R",) * m,
        sizes=("260",) * m,
        kinds=(kind,) * m,
        joint_names=tuple(f"j{i}" for i in range(len(places))),
        bubble_names=tuple(f"b{i}" for i in range(m)),
        bubble_panels=("",) * m,
        places=pairs([(-1, -1)] * m),
    )


def disturbed(net: Net, share: float, seed: int) -> Net:
    """The net with joints moved at random by `share` of a bubble length."""
    noise = np.random.default_rng(seed).normal(size=net.joints.shape)
    return replace(net, joints=points(net.joints + noise * share * BUBBLE / 100))
