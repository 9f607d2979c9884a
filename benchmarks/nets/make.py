"""Nets by rule: bubble fabric on forms, frames, struts given one by one; and colours for them."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import replace
from random import Random
from typing import Literal

import numpy as np

from airweft.colour.paint import paint
from airweft.net.fabric import weave
from airweft.net.frame import frame
from airweft.net.seams import add_loops
from airweft.records.arrays import pairs, points, whole
from airweft.records.design import Pattern, Simple, Solid
from airweft.records.net import Net
from airweft.surface.build import build
from benchmarks.nets.case import BUBBLE, PALETTE


def fabric(form: Simple, *, bubble: int = BUBBLE, size: str = "260") -> Net:
    """The bubble fabric of a form, not yet coloured."""
    net = weave(build(form, bubble=bubble), bubble=bubble, size=size)
    return add_loops(net) if getattr(form, "seams", "plain") == "extra" else net


def solid(name: str, *, divide: int = 1, bubble: int = 1200) -> Net:
    """The edges of a solid as a frame, not yet coloured."""
    form = Solid(name=name, build="frame", divide=divide)
    return frame(build(form, bubble=bubble), size="260")


def struts(
    edges: Sequence[tuple[int, int]], *, lengths: int | Sequence[int] = 6000, mark: str = ""
) -> Net:
    """Bubbles given one by one; where one alone ends, that end hangs free.

    The places of the joints are drawn by lot: no plan depends on them.
    """
    count = 1 + max(max(edge) for edge in edges)
    degree = np.bincount(np.array(edges).ravel(), minlength=count)
    turned = [(b, a) if degree[a] == 1 else (a, b) for a, b in edges]
    m = len(edges)
    return Net(
        joints=points(np.random.default_rng(0).normal(size=(count, 3)) * 100),
        ends=pairs(turned),
        lengths=whole([lengths] * m if isinstance(lengths, int) else lengths),
        colours=(mark,) * m,
        sizes=("260",) * m,
        kinds=tuple("free" if 1 in (degree[a], degree[b]) else "frame" for a, b in edges),
        joint_names=tuple(f"joint {j + 1}" for j in range(count)),
        bubble_names=tuple(f"bubble {b + 1}" for b in range(m)),
        bubble_panels=("",) * m,
        places=pairs([(-1, -1)] * m),
    )


def plain(net: Net, mark: str) -> Net:
    """All of one colour."""
    return replace(net, colours=(mark,) * net.bubble_count)


def striped(net: Net, kind: Literal["columns", "rows", "checks"], repeat: str) -> Net:
    """The design file's own patterns; checks of more than two marks are diagonal stripes."""
    return paint(net, Pattern(kind=kind, repeat=repeat), PALETTE)


def in_panels(net: Net, marks: str) -> Net:
    """A colour for every panel, in building order."""
    wanted = {panel: marks[i % len(marks)] for i, panel in enumerate(net.panels)}
    return paint(net, Pattern(kind="panels", panels=wanted), PALETTE)


def chance(net: Net, marks: str, seed: str) -> Net:
    """Every bubble coloured by a throw of seeded dice."""
    dice = Random(seed)
    return replace(net, colours=tuple(dice.choice(marks) for _ in range(net.bubble_count)))


def ripples(net: Net, repeat: str, *, wide: int = 2) -> Net:
    """Rings of colour around the first joint, each `wide` bubbles across: for nets of any kind."""
    at, ends = net.ends_at(), net.ends.tolist()
    away = {0: 0}
    queue = deque([0])
    while queue:
        here = queue.popleft()
        for bubble in at[here]:
            for joint in ends[bubble]:
                if joint not in away:
                    away[joint] = away[here] + 1
                    queue.append(joint)
    marks = (repeat[min(away[a], away[b]) // wide % len(repeat)] for a, b in ends)
    return replace(net, colours=tuple(marks))


def painted(net: Net, base: str, charts: dict[str, str], *, every: int = 0) -> Net:
    """Pictures as texts of marks on panels, upper line first, in the middle; dots leave the base.

    With `every` the picture is set again after so many columns and rows, as on printed cloth.
    """
    marks = [base] * net.bubble_count
    for panel, text in charts.items():
        lines = text.split()[::-1]
        mine = [b for b, p in enumerate(net.bubble_panels) if p == panel]
        right, up = (0, 0)
        if not every:
            wide, high = net.places[mine].max(axis=0) + 1
            right, up = (int(wide) - len(lines[0])) // 2, (int(high) - len(lines)) // 2
            assert right >= 0 <= up, panel
        for b in mine:
            column, row = net.places[b].tolist()
            x, y = (column % every, row % every) if every else (column - right, row - up)
            if 0 <= y < len(lines) and 0 <= x < len(lines[y]) and lines[y][x] != ".":
                marks[b] = lines[y][x]
    return replace(net, colours=tuple(marks))
