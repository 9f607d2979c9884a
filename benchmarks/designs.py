"""The benchmark designs: painted nets from 12 to 2,500 bubbles, invented for the harbour festival.

Every case has a form, a pattern and a cap of bubbles to a balloon (None: as the length allows).
Patterns are the design file's own; "chance" colours every bubble by a seeded throw.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from random import Random

from airweft.balloon.sizes import SIZES
from airweft.colour.paint import paint
from airweft.net.fabric import weave
from airweft.net.seams import add_loops
from airweft.records.design import Blocks, Box, Colour, Design, Form, Pattern, Sheet, Tube
from airweft.records.net import Net
from airweft.surface.build import build
from tests.plan.nets import frame, solid

PALETTE = tuple(
    Colour(mark, name, code)
    for mark, name, code in (
        ("R", "red", "#ff0000"),
        ("W", "white", "#ffffff"),
        ("B", "blue", "#0000ff"),
        ("Y", "yellow", "#ffff00"),
        ("G", "green", "#008000"),
        ("K", "black", "#000000"),
    )
)
_H = ("#.#", "###", "#.#")
_TOWER = (("##", "##"), ("##", "##"), (".#", "##"), ("..", "#."))


@dataclass(frozen=True, slots=True)
class Case:
    """One benchmark design with its painted net."""

    name: str
    design: Design
    net: Net


_FABRICS: list[tuple[str, Form, str, str, int | None]] = [
    ("buoy cube", Box(across=6, deep=6, high=6), "plain", "R", 12),
    ("buoy cube, 18 a balloon", Box(across=6, deep=6, high=6), "plain", "R", 18),
    ("buoy cube, 36 a balloon", Box(across=6, deep=6, high=6), "plain", "R", 36),
    ("die", Box(across=2, deep=2, high=2), "plain", "W", None),
    ("bollard", Box(across=4, deep=4, high=10), "plain", "K", None),
    ("fish crate", Box(across=8, deep=6, high=4, open=("top",)), "plain", "Y", None),
    ("fish crate, panels", Box(across=8, deep=6, high=4, open=("top",)), "panels", "YBGRW", None),
    ("sea chest, seams", Box(across=6, deep=4, high=4, seams="extra"), "panels", "RWBYGK", None),
    ("lantern, columns", Box(across=6, deep=6, high=8, open=("top",)), "columns", "RRW", 12),
    ("lantern, rows", Box(across=6, deep=6, high=8, open=("top",)), "rows", "RRWW", None),
    ("signal cube, checks", Box(across=6, deep=6, high=6), "checks", "RW", None),
    ("signal cube, blocks of colour", Box(across=6, deep=6, high=6), "checks", "RRWW", None),
    ("confetti cube, 2 colours", Box(across=6, deep=6, high=6), "chance", "RW", None),
    ("confetti cube, 3 colours", Box(across=6, deep=6, high=6), "chance", "RWB", None),
    ("confetti cube, 6 colours", Box(across=6, deep=6, high=6), "chance", "RWBYGK", None),
    ("pennant", Sheet(columns=14, rows=10), "plain", "B", None),
    ("pennant, columns", Sheet(columns=14, rows=10), "columns", "BBWW", None),
    ("pennant, rows", Sheet(columns=14, rows=10), "rows", "BW", None),
    ("pennant, checks", Sheet(columns=12, rows=12), "checks", "BBWW", None),
    ("pennant, confetti", Sheet(columns=12, rows=12), "chance", "RWB", None),
    ("ribbon", Sheet(columns=2, rows=30), "plain", "R", 12),
    ("post sleeve", Tube(around=12, rows=14), "plain", "G", None),
    ("post sleeve, columns", Tube(around=12, rows=14), "columns", "GGW", None),
    ("post sleeve, rows", Tube(around=12, rows=14), "rows", "GGW", None),
    ("post sleeve, diagonals", Tube(around=12, rows=12), "checks", "GW", None),
    ("post sleeve, confetti", Tube(around=12, rows=12), "chance", "GWB", None),
    ("mast sleeve", Tube(around=4, rows=40), "rows", "RRRRWWWW", None),
    ("mooring block H", Blocks(cell=4, layers=(_H,)), "plain", "K", None),
    ("mooring block H, panels", Blocks(cell=4, layers=(_H,)), "rows", "KKYY", None),
    ("signal tower", Blocks(cell=4, layers=_TOWER), "plain", "R", None),
    ("signal tower, rows", Blocks(cell=4, layers=_TOWER), "rows", "RRRRWWWW", None),
    ("signal tower, confetti", Blocks(cell=4, layers=_TOWER), "chance", "RW", None),
    ("quay wall", Box(across=40, deep=4, high=12), "plain", "B", None),
    ("quay wall, columns", Box(across=40, deep=4, high=12), "columns", "BBBBWWWW", None),
    ("container", Box(across=20, deep=20, high=20), "plain", "R", None),
    ("container, confetti", Box(across=20, deep=20, high=20), "chance", "RWB", None),
]  # fmt: skip

_FRAMES = [
    ("star lantern, icosahedron", "icosahedron", None),
    ("net float, truncated icosahedron", "truncated icosahedron", None),
    ("compass rose, cuboctahedron", "cuboctahedron", None),
    ("anchor ball, snub cube", "snub cube", None),
    ("capstan, truncated octahedron", "truncated octahedron", 5),
    ("beacon, icosidodecahedron", "icosidodecahedron", 20),
]


def cases() -> Iterator[Case]:
    """Every benchmark design, in a fixed order."""
    for name, form, pattern, marks, most in _FABRICS:
        yield Case(name, _design(name, form, most), _painted(form, pattern, marks, name))
    for name, which, most in _FRAMES:
        yield Case(name, _design(name, Sheet(columns=2, rows=2), most), solid(which, length=1200))
    ring = [(i, (i + 1) % 7) for i in range(7)]
    yield Case("life ring of seven", _design("ring", Sheet(columns=2, rows=2), None), frame(ring))


def _design(name: str, form: Form, most: int | None) -> Design:
    return Design(
        name=name,
        units="cm",
        size="260",
        bubble=2500,
        hands=4,
        most_bubbles=most,
        tail=None,
        tail_step=500,
        budget=SIZES["260"].budget,
        assumed=(),
        form=form,
        palette=PALETTE,
        pattern=Pattern(kind="plain", repeat="R"),
    )


def _painted(form: Form, kind: str, marks: str, name: str) -> Net:
    net = weave(build(form, bubble=2500), bubble=2500, size="260")
    if getattr(form, "seams", "plain") == "extra":
        net = add_loops(net)
    if kind == "chance":
        dice = Random(name)
        return replace(net, colours=tuple(dice.choice(marks) for _ in range(net.bubble_count)))
    if kind == "panels":
        wanted = {panel: marks[i % len(marks)] for i, panel in enumerate(net.panels)}
        return paint(net, Pattern(kind="panels", panels=wanted), PALETTE)
    assert kind in ("plain", "columns", "rows", "checks")
    return paint(net, Pattern(kind=kind, repeat=marks), PALETTE)  # type: ignore[arg-type]
