"""Small pieces to draw in the tests."""

from __future__ import annotations

from dataclasses import replace
from math import cos, pi, sin

import numpy as np

from airweft.net.fabric import weave
from airweft.records.arrays import pairs, points, whole
from airweft.records.design import (
    Ball,
    Blocks,
    Box,
    Colour,
    Cone,
    Form,
    Ring,
    Sheet,
    Solid,
    Tube,
    Turned,
)
from airweft.records.net import BubbleKind, Net
from airweft.surface.build import build

PALETTE = (
    Colour("R", "red", "#d11f3a"),
    Colour("W", "white", "#ffffff"),
    Colour("B", "blue", "#1560a8"),
    Colour("Y", "yellow", "#f7b32b"),
    Colour("K", "black", "#000000"),
)


def woven(form: Form, repeat: str, *, by_row: bool = False, size: str = "260") -> Net:
    """Fabric on a form with bubbles of 2.5 cm, coloured in columns or rows."""
    net = weave(build(form, bubble=2500), bubble=2500, size=size)
    axis = 1 if by_row else 0
    marks = tuple(repeat[place[axis] % len(repeat)] for place in net.places.tolist())
    return replace(net, colours=marks)


def cube() -> Net:
    return woven(Box(across=6, deep=6, high=6), "RRWWBB")


def chest() -> Net:
    return woven(Box(across=8, deep=6, high=6, open=("top",)), "RYY", by_row=True)


def tube() -> Net:
    return woven(Tube(around=8, rows=10), "BBWW")


def sheet() -> Net:
    return woven(Sheet(columns=8, rows=6), "RYB")


def letter() -> Net:
    return woven(Blocks(cell=2, layers=(("###",), ("#..",), ("###",))), "RW")


def loose(
    joints: list[tuple[float, float, float]],
    ends: list[tuple[int, int]],
    *,
    kind: BubbleKind = "frame",
    lengths: list[int] | None = None,
    colours: str = "R",
) -> Net:
    """A net given joint by joint."""
    m = len(ends)
    at = points(joints)
    sizes = [
        round(100 * float(np.linalg.norm(at[a] - at[b]))) for a, b in ends
    ]  # hundredths of a mm
    return Net(
        joints=at,
        ends=pairs(ends),
        lengths=whole(lengths or sizes),
        colours=tuple(colours[k % len(colours)] for k in range(m)),
        sizes=("260",) * m,
        kinds=(kind,) * m,
        joint_names=tuple(f"J{k + 1}" for k in range(len(joints))),
        bubble_names=tuple(f"b{k + 1}" for k in range(m)),
        bubble_panels=("",) * m,
        places=pairs([(-1, -1)] * m),
    )


def star() -> Net:
    """A five-pointed frame star, 60 cm across, with a raised middle on both sides."""
    joints = [
        (r * sin(pi * k / 5), 0.0, r * cos(pi * k / 5))
        for k in range(10)
        for r in (300.0 if k % 2 == 0 else 120.0,)
    ]
    joints += [(0.0, -90.0, 0.0), (0.0, 90.0, 0.0)]
    ends = [(k, (k + 1) % 10) for k in range(10)]
    ends += [(k, middle) for k in range(1, 10, 2) for middle in (10, 11)]
    return loose(joints, ends, colours="YYR")


PIECES = {
    "cube": cube,
    "chest": chest,
    "tube": tube,
    "sheet": sheet,
    "letter": letter,
    "star": star,
}


def painted_round(form: Form, marks: str = "RW") -> Net:
    """Fabric on any form, its bubbles coloured in turn."""
    net = weave(build(form, bubble=3000), bubble=3000, size="260")
    return replace(net, colours=tuple(marks[k % len(marks)] for k in range(net.bubble_count)))


ROUND: dict[str, Form] = {
    "ball": Ball(across=22000),
    "ball of class two": Ball(across=18000),
    "ring": Ring(across=36000, thick=8000),
    "cone": Cone(across=20000, high=24000),
    "cone open below": Cone(across=16000, high=20000, open=("bottom",)),
    "tower": Turned(profile=((11000, 0), (7000, 36000))),
    "vase": Turned(profile=((7000, 0), (11000, 9000), (6000, 22000)), closed=("bottom",)),
    "jar": Turned(profile=((8000, 0), (8000, 12000)), closed=("bottom", "top")),
    "post": Turned(
        profile=((9000, 0), (6500, 8000), (6500, 18000), (9500, 22000), (6000, 29000), (0, 30000))
    ),
    "cube": Solid(name="cube"),
    "snub cube": Solid(name="snub cube"),
    "truncated icosahedron": Solid(name="truncated icosahedron"),
    "divided octahedron": Solid(name="octahedron", divide=3),
    "antiprism": Solid(name="antiprism 7"),
}
