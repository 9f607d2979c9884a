"""Sheets and tubes: pennants, ribbons and sleeves."""

from __future__ import annotations

from airweft.records.design import Sheet, Tube
from benchmarks.nets.case import Recipe
from benchmarks.nets.make import chance, fabric, plain, striped

_PENNANT = Sheet(columns=14, rows=10)
_SQUARE = Sheet(columns=12, rows=12)
_SLEEVE = Tube(around=12, rows=14)
_SHORT = Tube(around=12, rows=12)

RECIPES = (
    Recipe("bookmark", lambda: plain(fabric(Sheet(columns=2, rows=6)), "B")),
    Recipe("bookmark, confetti", lambda: chance(fabric(Sheet(columns=2, rows=6)), "BW", "book")),
    Recipe("pennant", lambda: plain(fabric(_PENNANT), "B")),
    Recipe("pennant, three hands", lambda: striped(fabric(_PENNANT), "rows", "BBBW"), hands=3),
    Recipe("pennant, columns", lambda: striped(fabric(_PENNANT), "columns", "BBWW")),
    Recipe("pennant, rows", lambda: striped(fabric(_PENNANT), "rows", "BW")),
    Recipe("pennant, checks", lambda: striped(fabric(_SQUARE), "checks", "BBWW")),
    Recipe("pennant, diagonals", lambda: striped(fabric(_SQUARE), "checks", "BBBWYW")),
    Recipe("pennant, confetti", lambda: chance(fabric(_SQUARE), "RWB", "pennant")),
    Recipe("ribbon", lambda: plain(fabric(Sheet(columns=2, rows=30)), "R"), most=12),
    Recipe("post sleeve", lambda: plain(fabric(_SLEEVE), "G")),
    Recipe("post sleeve, columns", lambda: striped(fabric(_SLEEVE), "columns", "GGW")),
    Recipe("post sleeve, rows", lambda: striped(fabric(_SLEEVE), "rows", "GGW")),
    Recipe("post sleeve, diagonals", lambda: striped(fabric(_SHORT), "checks", "GW")),
    Recipe("post sleeve, confetti", lambda: chance(fabric(_SHORT), "GWB", "sleeve")),
    Recipe("mast sleeve", lambda: striped(fabric(Tube(around=4, rows=40)), "rows", "RRRRWWWW")),
    Recipe("awning, columns",
           lambda: striped(fabric(Sheet(columns=60, rows=40)), "columns", "RRRRWWWW"), most=24),
)  # fmt: skip
