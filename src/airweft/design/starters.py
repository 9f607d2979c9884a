"""Starter designs: for every form a small piece that reads cleanly and teaches the keys."""

from __future__ import annotations

from airweft.base.errors import BadInput
from airweft.base.findings import Finding
from airweft.base.nearest import nearest, said_list
from airweft.design.report import short
from airweft.design.schema import FORMS, LATER_FORMS

_HEAD = """\
# A design for airweft: change it as you like, and keep it; it is yours.
# Everything after a # is a remark. Texts stand in "quotes", plain numbers do not.

airweft = 1                   # version of this file format
name    = "{name}"
units   = "cm"                # plain numbers are in this unit: mm, cm or in
# notes = "For the east pier" # your own remarks, printed in the booklet
# placed = "hanging"          # reckoned as it hangs; or "table": as it stands
"""

_BALLOON = """
[balloon]
size   = "260"                # 2 in thick, 60 in long; 160, 350 and 646 are known too
bubble = 2.5                  # length of a bubble; "1 in" or "2,5 cm" work as well
# hands        = 4            # how many twists may be loose at once
# most_bubbles = 12           # the most bubbles that one balloon may make
# tail         = "7 in"       # the same flat tail on every balloon; else each gets its own
# tail_step    = 0.5          # what tails are rounded to

# The lengths of your own balloons, once you have measured them; what you leave out is assumed.
# [balloon.budget]
# flat         = 27           # empty, without the nozzle
# full         = 152.4        # inflated to the tip
# knot         = 1.5          # inflated length that the knot takes
# stub         = 3            # inflated length left over to tie off
# twist_takes  = 1.4          # what a bubble takes beyond its own length
# twist_pushes = 1.4          # what each pinch pushes on into the tail
"""

_COLOURS = """
[colours]                     # mark = CSS colour name or "#rrggbb"
{colours}
"""

_PATTERN = """
[pattern]
kind   = "{kind}"{blank}# {what}
{keys}
# Other patterns, each in place of the lines above:
{others}"""

_PLAN = """
# What you settle about the plan; what you leave out, airweft settles.
# [plan]
# style = "rounds"            # or "pairs", "painted"; "fewest" balloons; "best" by what counts
# crew  = 2                   # how many people build at once
# seed  = 3                   # another number may give another plan
#
# [plan.weights]              # what counts when plans are compared
# balloons = 4                # so much for each balloon
# turning  = 1                # and for each turn of the piece
#
# [plan.inside]               # something small and light that goes into a closed piece
# what   = "a small bell"
# across = 3
"""

_OTHER: dict[str, str] = {
    "plain": '# kind = "plain"        colour = "{a}" on a line of its own',
    "columns": '# kind = "columns"      repeat = "{a}{a}{b}": upright stripes',
    "rows": '# kind = "rows"         repeat = "{a}{a}{b}": level stripes',
    "checks": '# kind = "checks"       repeat = "{a}{b}"',
    "panels": '# kind = "panels"       {panel} = "{a}", and rest = "{b}" for all other panels',
    "hand": '# kind = "hand"         base = {{ kind = "plain", colour = "{a}" }}, then a heading\n'
    '#                       [pattern.bubbles] with lines such as "{panel} 3.2" = "{b}":\n'
    "#                       column 3 of row 2, both counted from the lower left",
}


def _pattern(kind: str, what: str, keys: str, *, a: str, b: str, panel: str) -> str:
    others = [text.format(a=a, b=b, panel=panel) for other, text in _OTHER.items() if other != kind]
    blank = " " * max(1, 30 - len(f'kind   = "{kind}"'))
    return _PATTERN.format(kind=kind, blank=blank, what=what, keys=keys, others="\n".join(others))


_SHEET = (
    _HEAD.format(name="Quayside banner")
    + _BALLOON
    + """
[form]
kind    = "sheet"             # a flat rectangle of fabric
columns = 12                  # bubbles from left to right, an even number
rows    = 8                   # bubbles from bottom to top, an even number
"""
    + _COLOURS.format(colours='N = "navy"\nG = "gold"')
    + _pattern(
        "rows", "level stripes", 'repeat = "NNGG"               # from the bottom up',
        a="N", b="G", panel="sheet",
    )
)  # fmt: skip

_TUBE = (
    _HEAD.format(name="Bollard sleeve")
    + _BALLOON
    + """
[form]
kind   = "tube"               # open at both ends
around = 12                   # bubbles around, an even number
rows   = 10                   # bubbles from bottom to top, an even number
"""
    + _COLOURS.format(colours='R = "red"\nW = "white"')
    + _pattern(
        "columns", "upright stripes", 'repeat = "RRW"                # to the right, all round',
        a="R", b="W", panel="tube",
    )
)  # fmt: skip

_BOX = (
    _HEAD.format(name="Bait box")
    + _BALLOON
    + """
[form]
kind   = "box"
across = 6                    # bubbles from left to right, an even number
deep   = 4                    # bubbles from front to back, an even number
high   = 4                    # bubbles from bottom to top, an even number
open   = ["top"]              # sides left open: top bottom front back left right; [] for none
seams  = "plain"              # or "extra": an extra bubble at every joint along the edges
"""
    + _COLOURS.format(colours='T = "teal"\nY = "khaki"')
    + _pattern(
        "panels", "a colour for each side",
        'front = "Y"\nrest  = "T"                   # all others',
        a="T", b="Y", panel="front",
    )
)  # fmt: skip

_BLOCKS = (
    _HEAD.format(name="Landing steps")
    + _BALLOON
    + '''
[form]
kind   = "blocks"             # cubes joined side to side, drawn layer by layer
cell   = 4                    # bubbles along the edge of a cube, an even number
open   = []                   # sides left open: top bottom front back left right
seams  = "plain"              # or "extra": an extra bubble at every joint along the edges

# The bottom layer comes first. In each, # is a cube and . is none; the back line comes first,
# so you look down on it from the front. Cubes must touch side to side, not only at an edge.
layers = [
"""
##
##
""",
"""
##
..
""",
]
'''
    + _COLOURS.format(colours='S = "slategray"\nA = "aqua"')
    + _pattern(
        "panels", "a colour for each flat side",
        'front = "A"\nrest  = "S"                   # all others: "front 2", "top", "left" ...',
        a="S", b="A", panel="front",
    )
)  # fmt: skip

_TURNED = (
    _HEAD.format(name="Quay post")
    + _BALLOON
    + """
[form]
kind    = "turned"            # a profile turned round an upright axis
profile = [[9, 0], [7, 25]]   # radius and height of each point, lengths; as many points as you like
# around = 24                 # bubbles around the widest place, even; else what suits the radius
closed  = ["top"]             # ends closed by a flat cap: "bottom", "top"; [] for none
"""
    + _COLOURS.format(colours='R = "red"\nW = "white"')
    + _pattern(
        "rows", "level stripes", 'repeat = "RRRRWWWW"           # from the foot up',
        a="R", b="W", panel="top",
    )
)  # fmt: skip

_BALL = (
    _HEAD.format(name="Beach ball")
    + _BALLOON
    + """
[form]
kind   = "ball"
across = 16                   # a length, from joint to joint; the bubbles' bodies stand out further
"""
    + _COLOURS.format(colours='R = "red"\nY = "gold"')
    + _pattern(
        "columns", "segments, as of a beach ball", 'repeat = "RRRYYY"             # all round',
        a="R", b="Y", panel="ball",
    )
)  # fmt: skip

_RING = (
    _HEAD.format(name="Quoit")
    + _BALLOON
    + """
[form]
kind   = "ring"               # lies flat
across = 24                   # lengths, from joint to joint: across in all ...
thick  = 7                    # ... and how thick it is
"""
    + _COLOURS.format(colours='O = "orangered"\nW = "white"')
    + _pattern(
        "columns", "stripes across the ring", 'repeat = "OOOOWW"             # all round',
        a="O", b="W", panel="ring",
    )
)  # fmt: skip

_CONE = (
    _HEAD.format(name="Channel mark")
    + _BALLOON
    + """
[form]
kind   = "cone"               # stands on its wide end
across = 16                   # lengths: across at the foot ...
high   = 24                   # ... and how high
open   = ["bottom"]           # or [] to close the foot
"""
    + _COLOURS.format(colours='G = "green"\nW = "white"')
    + _pattern(
        "rows", "level stripes", 'repeat = "GGGGWW"             # from the foot up',
        a="G", b="W", panel="cone",
    )
)  # fmt: skip

_SOLID = (
    _HEAD.format(name="Net float")
    + _BALLOON
    + """
[form]
kind   = "solid"
name   = "icosahedron"        # any regular or semiregular solid, or "prism 6", "antiprism 5"
build  = "fabric"             # or "frame": bubbles along its edges
divide = 2                    # parts of each edge, rounded out to a ball; triangles only
"""
    + _COLOURS.format(colours='N = "navy"\nA = "aqua"')
    + """
[pattern]
kind   = "plain"              # a solid has one panel and no columns or rows
colour = "N"

# To colour single bubbles, in place of the lines above:
# kind = "hand"               # then a heading [pattern.bubbles] with lines such as
# base = { kind = "plain", colour = "N" }          # "solid cell 7.1" = "A"
"""
)

_MESH = (
    _HEAD.format(name="Harbour seal")
    + _BALLOON
    + """
[form]
kind   = "mesh"
file   = "seal.obj"           # a model, in the folder of this design: OBJ, STL, PLY, GLB or OFF
height = 40                   # how high the piece becomes, a length; or width
fabric = "kagome"             # stars of three bubbles; or "diamond": cells of four
"""
    + _COLOURS.format(colours='S = "slategray"')
    + """
[pattern]
kind   = "plain"
colour = "S"
"""
)

_JOINED = (
    _HEAD.format(name="Crab")
    + _BALLOON
    + """
[form]
kind = "joined"               # several forms, sewn together where they meet

[[form.part]]                 # one heading for each part, in building order
name = "body"
kind = "ball"                 # any form, with its keys; for a solid write solid = "cube"
across = 14

[[form.part]]
name = "hat"
kind = "turned"
profile = [[5, 0], [5, 8]]
closed = ["top"]
on = "top of body"            # or bottom, front, back, left, right; or at = [x, y, z]
# shift = [0, 0, 1]           # moved from there: to the right, to the back, up
# turn = 45                   # degrees, about the upright axis
# size = "160"                # its own balloons and bubbles
# bubble = 2
pattern = { kind = "plain", colour = "W" }   # its own colours; else [pattern] below

[[form.part]]
name = "left feeler"
kind = "stalk"                # a chain of bubbles: feelers, legs, masts
begin = "body"                # at the joint that lies farthest ...
towards = [-2, 0, 1]          # ... to the left and up, and going there
bubbles = 3
# end = "hat"                 # where it is held again; else it hangs free
"""
    + _COLOURS.format(colours='R = "orangered"\nW = "white"')
    + """
[pattern]                     # for all parts that have none of their own
kind   = "plain"
colour = "R"
"""
)

_NET = (
    _HEAD.format(name="Mooring cross")
    + _BALLOON.replace(
        'bubble = 2.5                  # length of a bubble; "1 in" or "2,5 cm" work as well\n', ""
    )
    + """
[form]
kind = "net"                  # joints and bubbles given one by one
file = "cross.net.json"       # in the folder of this design

# Make that file next. It is a text file that lists the joints by their places (left to right, front
# to back, bottom to top, in mm) and the bubbles by the two joints that they join, counted from 0:
#
# { "joints": [[0, 0, 0], [90, 0, 0], [90, 0, 90], [0, 0, 90]],
#   "bubbles": [
#     {"a": 0, "b": 1, "length_mm": 90, "colour": "R", "kind": "frame"},
#     {"a": 1, "b": 2, "length_mm": 90, "colour": "R", "kind": "frame"},
#     {"a": 2, "b": 3, "length_mm": 90, "colour": "R", "kind": "frame"},
#     {"a": 3, "b": 0, "length_mm": 90, "colour": "R", "kind": "frame"},
#     {"a": 0, "b": 2, "length_mm": 127, "colour": "W", "kind": "frame"} ] }
"""
    + _COLOURS.format(colours='R = "red"\nW = "white"')
    + """
# The bubbles have their colours from the net's file, so no [pattern] is needed. To change them:
# [pattern]
# kind   = "plain"
# colour = "R"
"""
)

_STARTERS: dict[str, str] = {
    "sheet": _SHEET,
    "tube": _TUBE,
    "box": _BOX,
    "blocks": _BLOCKS,
    "turned": _TURNED,
    "ball": _BALL,
    "ring": _RING,
    "cone": _CONE,
    "solid": _SOLID,
    "mesh": _MESH,
    "joined": _JOINED,
    "net": _NET,
}
STARTERS: dict[str, str] = {form: f"{text.rstrip()}\n{_PLAN}" for form, text in _STARTERS.items()}
"""The starter of each form that this version makes."""


def starter(form: str) -> str:
    """The commented starter design of a form. Raises BadInput for a form that is not known.

    >>> starter("box").splitlines()[3]
    'airweft = 1                   # version of this file format'
    """
    text = STARTERS.get(form.strip().lower())
    if text is not None:
        return text
    if form.strip().lower() in LATER_FORMS:
        message = f'The form "{short(form)}" is not in this version of airweft yet.'
        remedy = f"This version makes {said_list(FORMS)}."
    else:
        close = nearest(form, FORMS)
        message = f'"{short(form)}" is not a form that is known.'
        remedy = (f"Did you mean {close}? " if close else "") + (
            f"The forms are {said_list(FORMS)}."
        )
    raise BadInput(
        Finding(
            code="unknown-form", severity="cannot", where="form", message=message, remedy=remedy
        )
    )
