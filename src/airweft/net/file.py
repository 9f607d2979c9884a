"""Nets from a file: joints and bubbles given one by one.

The file is JSON and holds the `net` object of the plan format, by itself or under the key "net", so
that a plan file can be read as a net too. Beside the plan format's keys a bubble may have a `name`
and a `size`, and the net `joint_names`; `kind` is "frame" and `colour` open where they are left
out. Everything else in the file is ignored.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from airweft.base.errors import BadInput, CannotMake, TooNew
from airweft.base.findings import Finding
from airweft.base.limits import MOST_BUBBLES
from airweft.net.whole import make_sound
from airweft.records.arrays import pairs, points, whole
from airweft.records.jsonread import Reading
from airweft.records.jsontext import Record, json_of_text, text_of_file
from airweft.records.net import BubbleKind, Net

MOST_JOINTS = MOST_BUBBLES
LONGEST_MM = 5_000
"""Longest bubble that is believed: several times the longest modelling balloon (assumption)."""
_KINDS: tuple[BubbleKind, ...] = ("fabric", "frame", "loop", "free")
_WHAT = "net file"
_MENDED_BY_SEWING = ("single-end", "separate-parts")


def read_net(path: Path, *, size: str = "", most_ends: int = 8, is_part: bool = False) -> Net:
    """The net in a file; bubbles without a size of their own get `size`.

    Lengths are rounded to whole hundredths of a millimetre. Ends of a free bubble are turned so
    that its second end hangs. Where the net `is_part` of a joined form, single ends and separate
    parts pass: other parts may hold them. Raises BadInput (TooNew for a plan of a later version)
    with every problem of the file and its JSON path, counted from 0 as in the file; CannotMake with
    every reason why a net that is written well cannot be made (making rules M10 to M12).
    """
    value = json_of_text(text_of_file(path, what=_WHAT), what=_WHAT)
    reading = Reading(prefix="net-file", what=_WHAT)
    net = _net(reading, *_net_object(value), size=size)
    problems = reading.all_findings()
    if problems:
        raise BadInput(problems)
    net, findings = make_sound(net, most_ends=most_ends)
    if is_part:
        findings = tuple(f for f in findings if f.code not in _MENDED_BY_SEWING)
    if findings:
        raise CannotMake(findings)
    return net


def _net_object(value: Any) -> tuple[Any, str]:
    """The net object in the file and the path to it."""
    if not isinstance(value, Record) or "net" not in value:
        return value, ""
    version = value.get("version")
    if value.get("format") == "airweft-plan" and isinstance(version, int) and version > 1:
        raise TooNew(
            Finding(
                code="net-file-too-new",
                severity="cannot",
                where="version",
                message=f"This is a plan file of version {version}; "
                "this program reads nets from version 1.",
                remedy="Get a later airweft, or ask for the plan in the older version.",
            )
        )
    return value["net"], "net"


def _net(reading: Reading, value: Any, path: str, *, size: str) -> Net:
    """The net that the object holds; what is wrong goes to `reading`."""
    record = reading.record(value, path)
    at = f"{path}." if path else ""
    spots = _items(reading, record, "joints", path, most=MOST_JOINTS)
    items = _items(reading, record, "bubbles", path, most=MOST_BUBBLES)
    n, m = len(spots), len(items)
    if not reading.findings and not m:
        reading.problem("empty", f"{at}bubbles", "there are no bubbles", "Give at least one.")
    ends: list[tuple[int, int]] = []
    lengths: list[int] = []
    colours: list[str] = []
    kinds: list[BubbleKind] = []
    sizes: list[str] = []
    names: list[str | None] = []
    for number, item in enumerate(items):
        here = f"{at}bubbles[{number}]"
        bubble = reading.record(item, here)
        a = reading.index(reading.get(bubble, "a", here), f"{here}.a", n, "joint")
        b = reading.index(reading.get(bubble, "b", here), f"{here}.b", n, "joint")
        ends.append((a, b))
        length = reading.hundredths(
            reading.get(bubble, "length_mm", here), f"{here}.length_mm", least=1
        )
        if length > LONGEST_MM * 100:
            reading.problem(
                "out-of-range",
                f"{here}.length_mm",
                f"{length / 100:g} mm is longer than any balloon; {LONGEST_MM} mm is the most",
                "Give the length in millimetres.",
            )
        lengths.append(length)
        colours.append(_mark(reading, bubble, here))
        kinds.append(_kind(reading, bubble, here, is_loop=a == b))
        sizes.append(reading.word(bubble["size"], f"{here}.size") if "size" in bubble else size)
        names.append(reading.word(bubble["name"], f"{here}.name") if "name" in bubble else None)
    joint_names: list[str | None] = [None] * n
    if "joint_names" in record:
        given = reading.items(record["joint_names"], f"{at}joint_names")
        if isinstance(record["joint_names"], list) and len(given) != n:
            reading.problem(
                "wrong-count",
                f"{at}joint_names",
                f"{len(given)} names for {n} joints",
                "Give one name for each joint, in order, or leave joint_names out.",
            )
        else:
            joint_names = [
                reading.word(name, f"{at}joint_names[{j}]") for j, name in enumerate(given)
            ]
    return Net(
        joints=points([_spot(reading, spot, f"{at}joints[{j}]") for j, spot in enumerate(spots)]),
        ends=pairs(ends),
        lengths=whole(lengths),
        colours=tuple(colours),
        sizes=tuple(sizes),
        kinds=tuple(kinds),
        joint_names=_names(reading, joint_names, "j", f"{at}joint_names[{{}}]"),
        bubble_names=_names(reading, names, "b", f"{at}bubbles[{{}}].name"),
        bubble_panels=("",) * m,
        places=pairs([(-1, -1)] * m),
    )


def _items(reading: Reading, record: Record, key: str, path: str, *, most: int) -> list[Any]:
    """The list at a key, unless it is longer than anything that two hands can make."""
    here = f"{path}.{key}".lstrip(".")
    items = reading.items(reading.get(record, key, path), here)
    if len(items) > most:
        reading.problem("too-many", here, f"{len(items):,} are given; {most:,} is the most")
        return []
    return items


def _spot(reading: Reading, value: Any, path: str) -> tuple[float, float, float]:
    """One joint's position."""
    items = reading.items(value, path)
    if len(items) != 3:
        if isinstance(value, list):
            reading.problem(
                "wrong-count", path, f"{len(items)} numbers are given; a place is [x, y, z] in mm"
            )
        return 0.0, 0.0, 0.0
    x, y, z = (reading.millimetres(item, f"{path}[{k}]") for k, item in enumerate(items))
    return x, y, z


def _mark(reading: Reading, bubble: Record, here: str) -> str:
    """The bubble's palette mark; "" where it is left open."""
    if "colour" not in bubble or bubble["colour"] == "":
        return ""
    mark = reading.word(bubble["colour"], f"{here}.colour")
    if len(mark) > 1:
        reading.problem(
            "not-a-mark",
            f"{here}.colour",
            f'"{mark}" is longer than one letter',
            "Give the mark of one of the design's colours.",
        )
        return ""
    return mark


def _kind(reading: Reading, bubble: Record, here: str, *, is_loop: bool) -> BubbleKind:
    """The bubble's kind, which has to agree with its ends."""
    if "kind" not in bubble:
        return "loop" if is_loop else "frame"
    kind = reading.choice(bubble["kind"], f"{here}.kind", _KINDS)
    known = bubble["kind"] in _KINDS if isinstance(bubble["kind"], str) else False
    if known and "a" in bubble and "b" in bubble and (kind == "loop") != is_loop:
        if is_loop:
            message = f'both ends are at one joint, but the kind is "{kind}"'
            remedy = 'Write "kind": "loop", or give it another end.'
        else:
            message = "a loop has both ends at one joint, but a and b differ"
            remedy = "Give the same joint twice, or another kind."
        reading.problem("not-a-loop", f"{here}.kind", message, remedy)
    return kind


def _names(reading: Reading, given: list[str | None], letter: str, path: str) -> tuple[str, ...]:
    """Every thing's name: the one given, else its letter and index; each only once."""
    names: list[str] = []
    first: dict[str, int] = {}
    for number, name in enumerate(given):
        name = name or f"{letter}{number}"
        names.append(name)
        other = first.setdefault(name, number)
        if other != number:
            reading.problem(
                "name-twice",
                path.format(number),
                f'the name "{name}" is also that of number {other}',
                "Give each its own name.",
            )
    return tuple(names)
