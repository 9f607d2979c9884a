"""A given net made larger or smaller, for a part with a bubble length of its own."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np

from airweft.records.arrays import points, whole
from airweft.records.net import Net


def usual_length(net: Net) -> int:
    """The most frequent bubble length (the shortest among equals), in hundredths of a mm."""
    counts = Counter(net.lengths.tolist())
    return int(min(counts, key=lambda length: (-counts[length], length)))


def scaled(net: Net, *, bubble: int, size: str) -> Net:
    """The net with its usual bubble `bubble` long, all else in proportion, in one balloon size."""
    ratio = bubble / usual_length(net)
    return replace(
        net,
        joints=points(net.joints * ratio),
        lengths=whole(np.maximum(np.floor(net.lengths * ratio + 0.5), 1)),
        sizes=(size,) * net.bubble_count,
    )
