"""Pictures in letters, painted on panels: what a maker draws on squared paper."""

from __future__ import annotations

from airweft.records.design import Box, Sheet, Tube
from benchmarks.nets.case import Recipe
from benchmarks.nets.make import fabric, painted

ANCHOR = """
.....WW.....
....W..W....
....W..W....
.....WW.....
..WWWWWWWW..
..WWWWWWWW..
.....WW.....
.....WW.....
W....WW....W
W....WW....W
WW...WW...WW
.WW..WW..WW.
..WWWWWWWW..
....WWWW....
"""
FISH = """
....YYYY....
R..YYYYYYY..
RRYYYYYYKYY.
.RRYYYYYYYYY
RRYYYYYYYYY.
R..YYYYYYY..
....YRRY....
"""
FLAG = """
RRRRRRWWRRRRRRRRRR
RRRRRRWWRRRRRRRRRR
RRRRRRWWRRRRRRRRRR
RRRRRRWWRRRRRRRRRR
WWWWWWWWWWWWWWWWWW
WWWWWWWWWWWWWWWWWW
RRRRRRWWRRRRRRRRRR
RRRRRRWWRRRRRRRRRR
RRRRRRWWRRRRRRRRRR
RRRRRRWWRRRRRRRRRR
"""
LIGHTHOUSE = """
....RR....
...RRRR...
Y..KYYK..Y
YYYKYYKYYY
Y..KYYK..Y
..WWWWWW..
...RRRR...
...RRRR...
...WWWW...
...WWWW...
..RRRRRR..
..RRRRRR..
..WWWWWW..
..WWKKWW..
.RRRKKRRR.
.RRRKKRRR.
GGGGGGGGGG
GGGGGGGGGG
"""
BOAT = """
......W.....
......WW....
......WWW...
.R....WWWW..
.RR...WWWWW.
......K.....
KKKKKKKKKKKK
.KKKKKKKKKK.
..KKKKKKKK..
"""

_PANEL = Box(across=12, deep=6, high=10)

RECIPES = (
    Recipe("anchor on a sheet",
           lambda: painted(fabric(Sheet(columns=16, rows=18)), "B", {"sheet": ANCHOR})),
    Recipe("fish on a banner",
           lambda: painted(fabric(Sheet(columns=16, rows=10)), "B", {"sheet": FISH})),
    Recipe("flag", lambda: painted(fabric(Sheet(columns=18, rows=10)), "R", {"sheet": FLAG})),
    Recipe("lighthouse on a sheet",
           lambda: painted(fabric(Sheet(columns=14, rows=22)), "B", {"sheet": LIGHTHOUSE})),
    Recipe("boat round a post",
           lambda: painted(fabric(Tube(around=16, rows=14)), "B", {"tube": BOAT})),
    Recipe("fish and boat on a box",
           lambda: painted(fabric(_PANEL), "B", {"front": FISH, "back": BOAT})),
    Recipe("anchor on a box, 14 a balloon",
           lambda: painted(fabric(Box(across=14, deep=4, high=14)), "B", {"front": ANCHOR}),
           most=14),
    Recipe("sail of fish",
           lambda: painted(fabric(Sheet(columns=48, rows=42)), "B", {"sheet": FISH}, every=14)),
    Recipe("festival wall of boats",
           lambda: painted(fabric(Sheet(columns=120, rows=100)), "B", {"sheet": BOAT}, every=14)),
)  # fmt: skip
