"""Small designs for tests of the store, and programs that are killed."""

from __future__ import annotations

SMALL = """\
# A flag for the ferry; this remark must stay.
airweft = 1
name    = "Ferry flag"   # and this one
units   = "cm"

[balloon]
size   = "260"
bubble = 2.5             # as long as a thumb

[form]
kind    = "sheet"
columns = 4              # an even number
rows    = 4

[colours]
R = "red"
W = "white"

# How it is painted
[pattern]
kind   = "rows"
repeat = "RW"
"""
