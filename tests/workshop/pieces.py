"""Small designs for tests of the whole job, of the store and of the command."""

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


def box_text(wide: int = 4) -> str:
    """A closed red box, as wide, deep and high."""
    return f"""\
airweft = 1
name    = "Mooring block"
units   = "cm"
[balloon]
size   = "260"
bubble = 2.5
[form]
kind   = "box"
across = {wide}
deep   = {wide}
high   = {wide}
[colours]
R = "red"
[pattern]
kind   = "plain"
colour = "R"
"""
