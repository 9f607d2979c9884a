"""Boxes and blocks: the buoys, crates, lanterns and walls of the festival."""

from __future__ import annotations

from airweft.records.design import Blocks, Box
from benchmarks.nets.case import Recipe
from benchmarks.nets.make import chance, fabric, in_panels, plain, striped

_CUBE = Box(across=6, deep=6, high=6)
_DIE = Box(across=2, deep=2, high=2)
_CRATE = Box(across=8, deep=6, high=4, open=("top",))
_CHEST = Box(across=6, deep=4, high=4, seams="extra")
_LANTERN = Box(across=6, deep=6, high=8, open=("top",))
_WALL = Box(across=40, deep=4, high=12)
_CONTAINER = Box(across=20, deep=20, high=20)
_H = Blocks(cell=4, layers=(("#.#", "###", "#.#"),))
_TOWER = Blocks(cell=4, layers=(("##", "##"), ("##", "##"), (".#", "##"), ("..", "#.")))
_STAIRS = Blocks(cell=2, layers=(("####",), ("###.",), ("##..",), ("#...",)), seams="extra")

RECIPES = (
    Recipe("buoy cube", lambda: plain(fabric(_CUBE), "R"), most=12),
    Recipe("buoy cube, 18 a balloon", lambda: plain(fabric(_CUBE), "R"), most=18),
    Recipe("buoy cube, 36 a balloon", lambda: plain(fabric(_CUBE), "R"), most=36),
    Recipe("buoy cube, 7 a balloon", lambda: plain(fabric(_CUBE), "R"), most=7),
    Recipe("die", lambda: plain(fabric(_DIE), "W")),
    Recipe("bollard", lambda: plain(fabric(Box(across=4, deep=4, high=10)), "K")),
    Recipe("fish crate", lambda: plain(fabric(_CRATE), "Y")),
    Recipe("fish crate, panels", lambda: in_panels(fabric(_CRATE), "YBGRW")),
    Recipe("sea chest, seams", lambda: in_panels(fabric(_CHEST), "RWBYGK")),
    Recipe("sea chest, seams, rows", lambda: striped(fabric(_CHEST), "rows", "YYK"), most=9),
    Recipe("lantern, columns", lambda: striped(fabric(_LANTERN), "columns", "RRW"), most=12),
    Recipe("lantern, one tail", lambda: striped(fabric(_LANTERN), "columns", "RRW"), tail=17780),
    Recipe("lantern, rows", lambda: striped(fabric(_LANTERN), "rows", "RRWW")),
    Recipe("signal cube, checks", lambda: striped(fabric(_CUBE), "checks", "RW")),
    Recipe("signal cube, blocks of colour", lambda: striped(fabric(_CUBE), "checks", "RRWW")),
    Recipe("signal cube, diagonals", lambda: striped(fabric(_CUBE), "checks", "RWB")),
    Recipe("signal cube, panels", lambda: in_panels(fabric(_CUBE), "RWB"), most=12),
    Recipe("confetti cube, 2 colours", lambda: chance(fabric(_CUBE), "RW", "cube 2")),
    Recipe("confetti cube, 3 colours", lambda: chance(fabric(_CUBE), "RWB", "cube 3")),
    Recipe("confetti cube, 6 colours", lambda: chance(fabric(_CUBE), "RWBYGK", "cube 6")),
    Recipe("confetti die", lambda: chance(fabric(_DIE), "RW", "die")),
    Recipe("mooring block H", lambda: plain(fabric(_H), "K")),
    Recipe("mooring block H, rows", lambda: striped(fabric(_H), "rows", "KKYY")),
    Recipe("quay stairs, seams", lambda: in_panels(fabric(_STAIRS), "BW")),
    Recipe("signal tower", lambda: plain(fabric(_TOWER), "R")),
    Recipe("signal tower, rows", lambda: striped(fabric(_TOWER), "rows", "RRRRWWWW")),
    Recipe("signal tower, confetti", lambda: chance(fabric(_TOWER), "RW", "tower")),
    Recipe("quay wall", lambda: plain(fabric(_WALL), "B")),
    Recipe("quay wall, columns", lambda: striped(fabric(_WALL), "columns", "BBBBWWWW")),
    Recipe("container", lambda: plain(fabric(_CONTAINER), "R")),
    Recipe("container, confetti, 3 colours", lambda: chance(fabric(_CONTAINER), "RWB", "box 3")),
    Recipe("container, confetti, 6 colours", lambda: chance(fabric(_CONTAINER), "RWBYGK", "box 6")),
    Recipe("warehouse", lambda: plain(fabric(Box(across=56, deep=58, high=58)), "G")),
)  # fmt: skip
