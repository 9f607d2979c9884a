"""The one canonical writing of a design, and the fingerprint taken from it.

Comments, spacing, the order of keys and the way in which a length is written leave no trace in it.
Reading the canonical writing gives the same design. It holds what the maker decided: budget figures
that were shipped are left out, since they are no decision of the maker's.
"""

from __future__ import annotations

import hashlib
import json

from airweft.balloon.sizes import FIGURES
from airweft.base.units import Unit, exact_length
from airweft.design.css import CSS_COLOURS
from airweft.design.schema import VERSION
from airweft.records.choices import (
    Choices,
    KeepBefore,
    KeepPanels,
    KeepToward,
    KeepTrail,
    in_stable_order,
)
from airweft.records.design import (
    Ball,
    Blocks,
    Box,
    Colour,
    Cone,
    Design,
    Form,
    Joined,
    MeshFile,
    NetFile,
    Part,
    Pattern,
    Ring,
    Sheet,
    Solid,
    Stalk,
    Tube,
    Turned,
)
from airweft.records.net import Net


def write_design(design: Design) -> str:
    """The canonical text of a design; ends with a line end."""
    lines = [
        f"airweft = {VERSION}",
        f"name = {_text(design.name)}",
        f"units = {_text(design.units)}",
    ]
    if design.notes:
        lines.append(f"notes = {_text(design.notes)}")
    if design.placed:
        lines.append(f"placed = {_text(design.placed)}")
    lines += [
        "",
        *_balloon(design),
        "",
        "[form]",
        *_form(design.form, design.units),
        "",
        "[colours]",
    ]
    lines += [f"{colour.mark} = {_colour(colour)}" for colour in design.palette]
    pattern = _pattern(design.pattern)
    if pattern:
        lines += ["", *pattern]
    lines += _choices(design.choices, design.units)
    return "\n".join(lines) + "\n"


def fingerprint(design: Design) -> str:
    """SHA-256, in hexadecimal, of the canonical text and of the net where one was read."""
    digest = hashlib.sha256(write_design(design).encode())
    form = design.form
    forms = [part.form for part in form.parts] if isinstance(form, Joined) else [form]
    for one in forms:
        if isinstance(one, NetFile | MeshFile) and one.net.bubble_count:
            digest.update(_net(one.net).encode())
    return digest.hexdigest()


def _text(text: str) -> str:
    """A text in quotes, on one line, with all that is not plain ASCII written out."""
    out = []
    for sign in text:
        if sign in '"\\':
            out.append(f"\\{sign}")
        elif sign == "\n":
            out.append("\\n")
        elif sign.isprintable() or sign == "\t":
            out.append(sign)
        else:
            out.append(f"\\U{ord(sign):08X}")
    return f'"{"".join(out)}"'


def _balloon(design: Design) -> list[str]:
    unit = design.units
    lines = [
        "[balloon]",
        f"size = {_text(design.size)}",
    ]
    if not isinstance(design.form, NetFile):  # a net's file gives the lengths
        lines.append(f"bubble = {_text(exact_length(design.bubble, unit))}")
    lines.append(f"hands = {design.hands}")
    if design.most_bubbles is not None:
        lines.append(f"most_bubbles = {design.most_bubbles}")
    if design.tail is not None:
        lines.append(f"tail = {_text(exact_length(design.tail, unit))}")
    lines.append(f"tail_step = {_text(exact_length(design.tail_step, unit))}")
    own = [f for f in FIGURES if f not in design.assumed]
    if own:
        lines += ["", "[balloon.budget]"]
        lines += [f"{f} = {_text(exact_length(getattr(design.budget, f), unit))}" for f in own]
    return lines


def _form(form: Form, unit: Unit) -> list[str]:
    """The keys of a form, one a line."""
    match form:
        case Sheet():
            keys = ['kind = "sheet"', f"columns = {form.columns}", f"rows = {form.rows}"]
        case Tube():
            keys = ['kind = "tube"', f"around = {form.around}", f"rows = {form.rows}"]
        case Box():
            keys = [
                'kind = "box"',
                f"across = {form.across}",
                f"deep = {form.deep}",
                f"high = {form.high}",
                f"open = {_list(form.open)}",
                f"seams = {_text(form.seams)}",
            ]
        case Blocks():
            keys = [
                'kind = "blocks"',
                f"cell = {form.cell}",
                f"layers = {_list(chr(10).join(layer) for layer in form.layers)}",
                f"open = {_list(form.open)}",
                f"seams = {_text(form.seams)}",
            ]
        case Turned():
            keys = ['kind = "turned"', f"profile = {_profile(form.profile, unit)}"]
            if form.around:
                keys.append(f"around = {form.around}")
            keys.append(f"closed = {_list(form.closed)}")
        case Ball():
            keys = ['kind = "ball"', f"across = {_length(form.across, unit)}"]
        case Ring():
            keys = [
                'kind = "ring"',
                f"across = {_length(form.across, unit)}",
                f"thick = {_length(form.thick, unit)}",
            ]
            if form.arc != 360:
                keys.append(f"arc = {form.arc}")
        case Cone():
            keys = [
                'kind = "cone"',
                f"across = {_length(form.across, unit)}",
                f"high = {_length(form.high, unit)}",
                f"open = {_list(form.open)}",
            ]
        case Solid():
            keys = [
                'kind = "solid"',
                f"name = {_text(form.name)}",
                f"build = {_text(form.build)}",
                f"divide = {form.divide}",
            ]
        case MeshFile():
            keys = ['kind = "mesh"', f"file = {_text(form.file)}"]
            if form.height:
                keys.append(f"height = {_length(form.height, unit)}")
            if form.width:
                keys.append(f"width = {_length(form.width, unit)}")
            keys.append(f"fabric = {_text(form.fabric)}")
            if form.up:
                keys.append(f"up = {_text(form.up)}")
            if form.openings:
                keys.append(f"openings = {_text(form.openings)}")
        case Joined():
            keys = ['kind = "joined"']
            for part in form.parts:
                keys += ["", "[[form.part]]", *_part(part, unit)]
        case NetFile():
            keys = ['kind = "net"', f"file = {_text(form.file)}"]
    return keys


def _part(part: Part, unit: Unit) -> list[str]:
    """The keys of one part of a joined form."""
    lines = [f"name = {_text(part.name)}"]
    if isinstance(part.form, Stalk):
        stalk = part.form
        lines += ['kind = "stalk"', f"begin = {_text(stalk.begin)}"]
        if stalk.end:
            lines.append(f"end = {_text(stalk.end)}")
        lines += [f"bubbles = {stalk.bubbles}", f"towards = {list(stalk.towards)}"]
        if stalk.strands != 1:
            lines.append(f"strands = {stalk.strands}")
    elif isinstance(part.form, Solid):
        lines += [
            f"solid = {line.removeprefix('name = ')}" if line.startswith("name = ") else line
            for line in _form(part.form, unit)
        ]
    else:
        lines += _form(part.form, unit)
    if part.beside:
        lines.append(f"on = {_text(f'{part.side} of {part.beside}')}")
    if part.at is not None:
        lines.append(f"at = {_spot(part.at, unit)}")
    if any(part.turn):
        lines.append(f"turn = [{', '.join(f'{n / 100:g}' for n in part.turn)}]")
    if any(part.shift):
        lines.append(f"shift = {_spot(part.shift, unit)}")
    if part.size:
        lines.append(f"size = {_text(part.size)}")
    if part.bubble:
        lines.append(f"bubble = {_length(part.bubble, unit)}")
    if part.pattern is not None:
        keys = ", ".join(_base(part.pattern))
        lines.append(f"pattern = {{ {keys} }}")
    if part.sew:
        sewn = ", ".join(f"{_text(own)} = {_text(other)}" for own, other in part.sew)
        lines.append(f"sew = {{ {sewn} }}")
    return lines


def _spot(spot: tuple[int, int, int], unit: Unit) -> str:
    signed = (_text(f"{'-' if n < 0 else ''}{exact_length(abs(n), unit)}") for n in spot)
    return f"[{', '.join(signed)}]"


def _length(length: int, unit: Unit) -> str:
    return _text(exact_length(length, unit))


def _profile(profile: tuple[tuple[int, int], ...], unit: Unit) -> str:
    points = (f"[{_length(r, unit)}, {_length(h, unit)}]" for r, h in profile)
    return f"[{', '.join(points)}]"


def _list(texts: object) -> str:
    return f"[{', '.join(_text(str(t)) for t in texts)}]"  # type: ignore[attr-defined]


def _colour(colour: Colour) -> str:
    """The colour as its name alone where that says it all."""
    plain = colour.name.replace(" ", "").replace("_", "").replace("-", "")
    says_all = CSS_COLOURS.get(plain) == colour.hex or colour.name == colour.hex
    if says_all and colour.name == colour.name.lower():
        return _text(colour.name)
    return f"{{ name = {_text(colour.name)}, colour = {_text(colour.hex)} }}"


def _pattern(pattern: Pattern) -> list[str]:
    """The section, or nothing where a net's own colours are used as they are."""
    if not pattern.bubbles:
        return [] if pattern.kind == "given" else ["[pattern]", *_base(pattern)]
    lines = ["[pattern]", 'kind = "hand"']
    if pattern.kind != "given":
        lines += ["", "[pattern.base]", *_base(pattern)]
    lines += ["", "[pattern.bubbles]"]
    lines += [f"{_text(name)} = {_text(mark)}" for name, mark in sorted(pattern.bubbles.items())]
    return lines


def _base(pattern: Pattern) -> list[str]:
    lines = [f"kind = {_text(pattern.kind)}"]
    if pattern.kind == "plain":
        lines.append(f"colour = {_text(pattern.repeat)}")
    elif pattern.kind == "panels":
        lines += [f"{_text(panel)} = {_text(mark)}" for panel, mark in pattern.panels.items()]
        if pattern.repeat:
            lines.append(f"rest = {_text(pattern.repeat)}")
    else:
        lines.append(f"repeat = {_text(pattern.repeat)}")
    return lines


def _choices(choices: Choices, unit: Unit) -> list[str]:
    """The [plan] section, or nothing where the maker settled nothing."""
    keys = []
    if choices.style:
        keys.append(f"style = {_text(choices.style)}")
    if choices.crew:
        keys.append(f"crew = {choices.crew}")
    if choices.seed is not None:
        keys.append(f"seed = {choices.seed}")
    if choices.start:
        keys.append(f"start = {_text(choices.start)}")
    lines = ["", "[plan]", *keys] if keys else []
    if choices.weights:
        lines += ["", "[plan.weights]"]
        lines += [f"{name} = {repr(weight).removesuffix('.0')}" for name, weight in choices.weights]
    if choices.inside is not None:
        lines += ["", "[plan.inside]", f"what = {_text(choices.inside.what)}"]
        lines.append(f"across = {_length(choices.inside.across, unit)}")
    for keep in in_stable_order(choices.keep):
        match keep:
            case KeepTrail(names):
                line = f"trail = {_list(names)}"
            case KeepPanels(names):
                line = f"panels = {_list(names)}"
            case KeepBefore(names):
                line = f"before = {_list(names)}"
            case KeepToward(start, goal):
                line = f"toward = {_list((start, goal))}"
        lines += ["", "[[plan.keep]]", line]
    return lines


def _net(net: Net) -> str:
    """Everything of a net that a plan depends on, as one line."""
    return json.dumps(
        [
            net.joints.tolist(),
            net.ends.tolist(),
            net.lengths.tolist(),
            list(net.colours),
            list(net.kinds),
            list(net.bubble_names),
        ],
        separators=(",", ":"),
    )
