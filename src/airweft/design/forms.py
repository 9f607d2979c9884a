"""The [form] section: which counts can be woven, and how large a piece may be."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from airweft.base.limits import MOST_BUBBLES
from airweft.base.units import Unit
from airweft.design.explain import validate
from airweft.design.kinds import read_kind
from airweft.design.lines import Path
from airweft.design.report import Report, said
from airweft.design.schema import (
    FORMS,
    LATER_FORMS,
    BallPart,
    BlocksPart,
    BoxPart,
    ConePart,
    MeshPart,
    NetPart,
    RingPart,
    SheetPart,
    SolidPart,
    TubePart,
    TurnedPart,
)
from airweft.records.arrays import pairs, points, whole
from airweft.records.design import (
    Ball,
    Blocks,
    Box,
    Cone,
    End,
    Form,
    MeshFile,
    NetFile,
    Ring,
    Sheet,
    Side,
    Solid,
    Tube,
    Turned,
)
from airweft.records.net import Net

EMPTY_NET = Net(
    joints=points([]),
    ends=pairs([]),
    lengths=whole([]),
    colours=(),
    sizes=(),
    kinds=(),
    joint_names=(),
    bubble_names=(),
    bubble_panels=(),
    places=pairs([]),
)
"""Stands in a NetFile until its file is read."""

SIDES: tuple[Side, ...] = ("bottom", "front", "right", "back", "left", "top")
_OPPOSITE = ({"top", "bottom"}, {"front", "back"}, {"left", "right"})
_HERE: Path = ("form",)
_WAY = {
    "columns": "from left to right",
    "rows": "from bottom to top",
    "around": "around",
    "across": "from left to right",
    "deep": "from front to back",
    "high": "from bottom to top",
    "cell": "along the edge of a cube",
}


_COUNTS = {
    "sheet": ("columns", "rows"),
    "tube": ("around", "rows"),
    "box": ("across", "deep", "high"),
    "blocks": ("cell",),
}
_LEAST = {"tube": {"around": 4}}


def form_kind(data: Any, report: Report) -> str | None:
    """The kind of the form, or None after saying what is wrong with it."""
    return read_kind(
        data,
        _HERE,
        report,
        what="form",
        known=list(FORMS),
        later=LATER_FORMS,
        instead='Any other shape can be given joint by joint with kind = "net".',
    )


def read_form(kind: str, data: Any, report: Report, *, unit: Unit = "mm") -> Form | None:
    """The form as a record, or None after its problems were reported.

    A net's file is only named here; its `net` is empty until the file is read.
    """
    part = validate(FORMS[kind], data, _HERE, report, unit=unit)
    if part is None:
        _counts(kind, _sound_counts(kind, data), report, least=_LEAST.get(kind))
    match part:
        case SheetPart():
            sheet = Sheet(columns=part.columns, rows=part.rows)
            fits = _counts(kind, {"columns": part.columns, "rows": part.rows}, report)
            return sheet if fits and _total(part.columns * part.rows, report) else None
        case TubePart():
            tube = Tube(around=part.around, rows=part.rows)
            fits = _counts(
                kind, {"around": part.around, "rows": part.rows}, report, least=_LEAST[kind]
            )
            return tube if fits and _total(part.around * part.rows, report) else None
        case BoxPart():
            return _box(part, report)
        case BlocksPart():
            return _blocks(part, report)
        case TurnedPart():
            return _turned(part, report)
        case BallPart():
            return Ball(across=part.across)
        case RingPart():
            return Ring(across=part.across, thick=part.thick, arc=part.arc)
        case ConePart():
            return Cone(across=part.across, high=part.high, open=_ends(part.open))
        case SolidPart():
            name = " ".join(part.name.lower().split())
            return Solid(name=name, build=part.build, divide=part.divide)
        case MeshPart():
            return _mesh(part, report)
        case NetPart():
            return NetFile(file=part.file, net=EMPTY_NET)
    return None


def _sound_counts(kind: str, data: Any) -> dict[str, int]:
    """The counts that are whole numbers in a form with other faults: all is said at once."""
    if not isinstance(data, dict):
        return {}
    return {
        name: data[name]
        for name in _COUNTS.get(kind, ())
        if type(data.get(name)) is int and data[name] > 0
    }


def panel_sizes(form: Form | None) -> dict[str, tuple[int, int]] | None:
    """Columns and rows of each panel, or None where the panels are not known from counts alone."""
    match form:
        case Sheet():
            return {"sheet": (form.columns, form.rows)}
        case Tube():
            return {"tube": (form.around, form.rows)}
        case Box():
            size = {
                "bottom": (form.across, form.deep),
                "front": (form.across, form.high),
                "right": (form.deep, form.high),
                "back": (form.across, form.high),
                "left": (form.deep, form.high),
                "top": (form.across, form.deep),
            }
            return {side: size[side] for side in SIDES if side not in form.open}
    return None


def _counts(
    kind: str, counts: dict[str, int], report: Report, *, least: dict[str, int] | None = None
) -> bool:
    """Report every count that is odd or too small; True if none is.

    Bubble fabric is the medial graph of a mesh of square cells, and every cell is two bubbles wide
    and two high: an odd row would be half a cell, whose corner bubbles end in nothing.
    """
    good = True
    for name, count in counts.items():
        fewest = (least or {}).get(name, 2)
        if count < fewest:
            good = False
            report.cannot(
                "count-too-small",
                (*_HERE, name),
                f"{name} = {said(count)} is too few: this form needs at least {fewest} bubbles "
                f"{_WAY[name]}.",
                f"Write {name} = {fewest} or more; it has to be even.",
            )
        elif count % 2:
            good = False
            near = f"{count - 1} or {count + 1}" if count > fewest else f"{count + 1}"
            remedy = f"Write {name} = {near}." if count < 10**9 else "Write a smaller, even number."
            report.cannot(
                "odd-count",
                (*_HERE, name),
                f"{name} = {said(count)} is odd, and the fabric of a {kind} closes only on even "
                "counts: its cells are two bubbles wide and two high.",
                remedy,
            )
    return good


def _total(bubbles: int, report: Report) -> bool:
    """Report a piece that is too large; True if it is not."""
    if bubbles <= MOST_BUBBLES:
        return True
    amount = f"{bubbles:,}" if bubbles < 10**15 else "an immense number of"
    report.cannot(
        "too-many-bubbles",
        _HERE,
        f"This form asks for {amount} bubbles; the most that is planned is {MOST_BUBBLES:,}.",
        "Make the counts smaller, or divide the piece into several designs.",
    )
    return False


def _open_sides(listed: list[Any], report: Report) -> tuple[Side, ...]:
    """The open sides in a fixed order; a side named twice is only worth a note."""
    for i, side in enumerate(listed):
        if side in listed[:i]:
            report.note(
                "side-twice",
                (*_HERE, "open", i),
                f'"{side}" is in the list of open sides twice.',
                "Once is enough.",
            )
    return tuple(side for side in SIDES if side in listed)


def _box(part: BoxPart, report: Report) -> Form | None:
    open_sides = _open_sides(part.open, report)
    a, d, h = part.across, part.deep, part.high
    good = _counts("box", {"across": a, "deep": d, "high": h}, report)
    closed = [side for side in SIDES if side not in open_sides]
    if not closed:
        good = False
        report.cannot(
            "nothing-left",
            (*_HERE, "open"),
            "All six sides are open, so there is no fabric left.",
            "Take at least one side out of the list of open sides.",
        )
    elif set(closed) in _OPPOSITE:
        good = False
        report.cannot(
            "separate-parts",
            (*_HERE, "open"),
            f"Only {closed[0]} and {closed[1]} are closed; they touch nowhere, so the piece would "
            "fall apart in two.",
            "Close one more side to hold them together.",
        )
    if not good:
        return None
    box = Box(across=a, deep=d, high=h, open=open_sides, seams=part.seams)
    bubbles = sum(columns * rows for columns, rows in (panel_sizes(box) or {}).values())
    return box if _total(bubbles, report) else None


def _turned(part: TurnedPart, report: Report) -> Form | None:
    around = part.around
    if around and not _counts("turned form", {"around": around}, report, least={"around": 4}):
        return None
    profile = part.profile
    if profile and profile[0][1] > profile[-1][1]:
        profile = profile[::-1]  # from the lower end to the upper one
    return Turned(profile=profile, around=around, closed=_ends(part.closed))


def _mesh(part: MeshPart, report: Report) -> Form | None:
    if (part.height is None) == (part.width is None):
        report.bad(
            "missing-key",
            _HERE,
            "It is not said how large the piece becomes."
            if part.height is None
            else "The piece is given both a height and a width.",
            "Write one of them, such as: height = 40",
        )
        return None
    return MeshFile(
        file=part.file,
        height=part.height or 0,
        width=part.width or 0,
        fabric=part.fabric,
        up=part.up,
        openings=part.openings,
        net=EMPTY_NET,
    )


def _ends(listed: Sequence[str]) -> tuple[End, ...]:
    """The ends in a fixed order, each once."""
    ends: tuple[End, ...] = ("bottom", "top")
    return tuple(end for end in ends if end in listed)


def _blocks(part: BlocksPart, report: Report) -> Form | None:
    open_sides = _open_sides(part.open, report)
    good = _counts("blocks", {"cell": part.cell}, report)
    layers = _layers(part.layers, report)
    if layers is None or not good:
        return None
    if not _total(exposed_faces(layers) * part.cell**2, report):
        return None
    return Blocks(cell=part.cell, layers=layers, open=open_sides, seams=part.seams)


def _layers(texts: list[str], report: Report) -> tuple[tuple[str, ...], ...] | None:
    """The layers as lines of # and ., or None after their problems were reported."""
    here: Path = (*_HERE, "layers")
    if not texts:
        report.bad(
            "no-cubes",
            here,
            "There is no layer, so there is nothing to build.",
            'Give at least one layer, drawn with # for a cube and . for none: layers = ["##"]',
        )
        return None
    layers = []
    good = True
    for i, text in enumerate(texts):
        lines = tuple(line.strip() for line in text.strip().split("\n"))
        layers.append(lines)
        strange = re.search(r"[^#.]", "".join(lines))
        if strange:
            good = False
            report.bad(
                "unknown-mark",
                (*here, i),
                f"Layer {i + 1} holds {said(strange[0])}; a layer is drawn with # for a cube "
                "and . for none.",
                "Write # or . in its place.",
            )
    if not good:
        return None
    wide, deep = len(layers[0][0]), len(layers[0])
    for i, lines in enumerate(layers):
        for j, line in enumerate(lines):
            if len(line) != wide:
                good = False
                report.bad(
                    "uneven-layers",
                    (*here, i),
                    f"Line {j + 1} of layer {i + 1} has {len(line)} signs, but the first line of "
                    f"the first layer has {wide}.",
                    "Make all lines equally long; fill up with . where there is no cube.",
                )
        if len(lines) != deep:
            good = False
            report.bad(
                "uneven-layers",
                (*here, i),
                f"Layer {i + 1} has {len(lines)} lines, but the first layer has {deep}.",
                "Give every layer the same number of lines; fill up with lines of . only.",
            )
    if good and not any("#" in line for lines in layers for line in lines):
        report.bad("no-cubes", here, "There is no cube in any layer.", "Draw at least one #.")
        return None
    return tuple(layers) if good else None


def exposed_faces(layers: tuple[tuple[str, ...], ...]) -> int:
    """How many sides of cubes face no other cube."""
    cubes = {
        (x, y, z)
        for z, lines in enumerate(layers)
        for y, line in enumerate(lines)
        for x, sign in enumerate(line)
        if sign == "#"
    }
    ways = ((1, 0, 0), (-1, 0, 0), (0, 1, 0), (0, -1, 0), (0, 0, 1), (0, 0, -1))
    return sum((x + i, y + j, z + k) not in cubes for x, y, z in cubes for i, j, k in ways)
