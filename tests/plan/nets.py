"""Nets and designs for the planner's tests."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from random import Random

from airweft.balloon.sizes import SIZES
from airweft.net.fabric import weave
from airweft.net.seams import add_loops
from airweft.records.design import Design, Form, Pattern, Sheet
from airweft.records.net import Net
from airweft.surface.build import build
from benchmarks.nets.make import struts
from tests.solids import SOLIDS

Colouring = Callable[[Net, int], str]


def design(*, most: int | None = None, hands: int = 4, form: Form | None = None) -> Design:
    """A design around a net that the test brings itself."""
    return Design(
        name="Test piece",
        units="mm",
        size="260",
        bubble=2500,
        hands=hands,
        most_bubbles=most,
        tail=None,
        tail_step=500,
        budget=SIZES["260"].budget,
        assumed=(),
        form=form or Sheet(columns=2, rows=2),
        palette=(),
        pattern=Pattern(kind="plain", repeat="R"),
    )


def fabric(form: Form, colouring: Colouring | None = None, *, loops: bool = False) -> Net:
    """The fabric of a form, coloured by a function of net and bubble (plain red without one)."""
    net = weave(build(form, bubble=2500), bubble=2500, size="260")
    if loops:
        net = add_loops(net)
    marks = [colouring(net, b) if colouring else "R" for b in range(net.bubble_count)]
    return replace(net, colours=tuple(marks))


def frame(edges: Sequence[tuple[int, int]], *, length: int = 600) -> Net:
    """A frame net of one colour; its joints lie anywhere, joints of one end hang free."""
    net = struts(edges, lengths=length, mark="R")
    return replace(
        net,
        joint_names=tuple(f"j{j}" for j in range(net.joint_count)),
        bubble_names=tuple(f"b{b}" for b in range(net.bubble_count)),
    )


def solid(name: str, *, length: int = 600) -> Net:
    """One of the 18 regular and semiregular solids as a frame."""
    return frame(SOLIDS[name].edges, length=length)


def columns(repeat: str) -> Colouring:
    """Stripes along the columns of every panel."""
    return lambda net, b: repeat[int(net.places[b][0]) % len(repeat)]


def rows(repeat: str) -> Colouring:
    """Stripes along the rows of every panel."""
    return lambda net, b: repeat[int(net.places[b][1]) % len(repeat)]


def checks(repeat: str) -> Colouring:
    """Colours alternating in both directions."""
    return lambda net, b: repeat[int(net.places[b].sum()) % len(repeat)]


def panels(net: Net, b: int) -> str:
    """A colour for every panel."""
    return "RGBYWK"[net.panels.index(net.bubble_panels[b]) % 6]


def chance(colours: int, seed: int) -> Colouring:
    """Every bubble coloured by a seeded throw of the dice."""
    dice = Random(seed)
    return lambda _net, _b: "RGBYWK"[dice.randrange(colours)]
