"""Round forms: turned towers, balls, rings and cones."""

from __future__ import annotations

from airweft.records.design import Ball, Cone, Ring, Turned
from benchmarks.nets.case import Recipe
from benchmarks.nets.make import chance, fabric, plain, striped

_LIGHTHOUSE = Turned(profile=((9000, 0), (5500, 24000), (5500, 28000), (0, 34000)))
_VASE = Turned(profile=((5000, 0), (9000, 6000), (9500, 10000), (4500, 19000), (6000, 23000)),
               closed=("bottom",))  # fmt: skip

RECIPES = (
    Recipe("fender, ball", lambda: plain(fabric(Ball(across=12000)), "R")),
    Recipe("fender, ball, rows", lambda: striped(fabric(Ball(across=16000)), "rows", "RRRWWW")),
    Recipe("beach ball, columns",
           lambda: striped(fabric(Ball(across=26000)), "columns", "RRWWBBYY")),
    Recipe("fender, ball, confetti", lambda: chance(fabric(Ball(across=16000)), "RWBYGK", "ball")),
    Recipe("lifebelt, ring", lambda: plain(fabric(Ring(across=24000, thick=7000)), "W")),
    Recipe("lifebelt, ring, columns",
           lambda: striped(fabric(Ring(across=30000, thick=8000)), "columns", "WWWWWWWRRR")),
    Recipe("marker cone", lambda: plain(fabric(Cone(across=14000, high=20000)), "Y"), most=16),
    Recipe("marker cone, rows",
           lambda: striped(fabric(Cone(across=14000, high=20000)), "rows", "YYRR")),
    Recipe("lighthouse, turned, rows", lambda: striped(fabric(_LIGHTHOUSE), "rows", "WWWRRR")),
    Recipe("vase, turned, columns", lambda: striped(fabric(_VASE), "columns", "BBW")),
)  # fmt: skip
