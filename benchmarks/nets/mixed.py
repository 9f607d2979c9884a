"""Several balloon sizes in one piece, joined forms, feelers that hang free, extra bubbles."""

from __future__ import annotations

from dataclasses import replace

from airweft.records.design import Ball, Box, Cone, Joined, Part, Pattern, Stalk, Tube
from airweft.records.net import Net
from airweft.workshop.shape import painted_net
from benchmarks.nets.case import Recipe, design_of, resized
from benchmarks.nets.make import fabric, in_panels, plain, solid, striped


def _joined(parts: tuple[Part, ...], pattern: Pattern) -> Net:
    return painted_net(design_of("joined", Joined(parts=parts), pattern))


def _one(mark: str) -> Pattern:
    return Pattern(kind="plain", repeat=mark)


def _crab() -> Net:
    """A box with two feelers and a handle, thick and thin balloons."""
    return _joined(
        (
            Part(name="shell", form=Box(across=8, deep=6, high=4), pattern=_one("R")),
            Part(name="eye", form=Stalk(begin="shell", towards=(-1, -1, 2), bubbles=3),
                 pattern=_one("K"), size="160"),
            Part(name="feeler", form=Stalk(begin="shell", towards=(1, -1, 2), bubbles=3),
                 pattern=_one("K"), size="160"),
            Part(name="handle",
                 form=Stalk(begin="shell", end="shell", towards=(0, 2, 1), bubbles=4),
                 pattern=_one("Y"), bubble=4000),
        ),
        _one("R"),
    )  # fmt: skip


def _buoy() -> Net:
    """A ball, a cone on it, and a mast that ends free."""
    return _joined(
        (
            Part(name="float", form=Ball(across=16000),
                 pattern=Pattern(kind="rows", repeat="RRRRWWWW")),
            Part(name="tower", form=Cone(across=8500, high=14000, open=("bottom",)),
                 side="top", beside="float", pattern=Pattern(kind="rows", repeat="RRWW")),
            Part(name="mast", form=Stalk(begin="tower"), bubble=5000, pattern=_one("Y")),
        ),
        _one("R"),
    )  # fmt: skip


def _bands() -> Net:
    """A sleeve whose rows take turns between thick and thin balloons."""
    net = fabric(Tube(around=14, rows=16))
    thick = [row // 2 % 2 == 0 for row in net.places[:, 1].tolist()]
    return plain(resized(net, lambda b: ("350", 3500) if thick[b] else ("260", 2500)), "G")


def _crate() -> Net:
    """A crate whose panels are of three sizes and whose extra bubbles are thin."""
    net = in_panels(fabric(Box(across=8, deep=6, high=6, open=("top",), seams="extra")), "YB")
    figures = {"bottom": ("350", 3000), "front": ("160", 2500), "back": ("160", 2500)}
    return resized(
        net,
        lambda b: ("160", 3200) if net.kinds[b] == "loop"
        else figures.get(net.bubble_panels[b], ("260", 2500)),
    )  # fmt: skip


def _lengths() -> Net:
    """A frame whose bubbles are long and short by turns, so that balloons are hard to fill."""
    net = solid("rhombicuboctahedron")
    net = resized(net, lambda b: ("260", (9000, 14000, 23000, 31000)[b * 7 % 4]))
    return replace(net, colours=tuple("BW"[b // 24] for b in range(net.bubble_count)))


RECIPES = (
    Recipe("crab with feelers", _crab),
    Recipe("fairway buoy with mast", _buoy),
    Recipe("sleeve, two sizes in bands", _bands),
    Recipe("crate, three sizes, seams", _crate),
    Recipe("long and short, rhombicuboctahedron", _lengths),
    Recipe("hatch, seams, columns",
           lambda: striped(fabric(Box(across=10, deep=8, high=2, open=("bottom",), seams="extra")),
                           "columns", "WWB"), most=15),
)  # fmt: skip
