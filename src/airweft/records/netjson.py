"""The `net` object of the plan file (plan-format section 1), read and written.

Beside the keys of the format the writer gives further ones, so that a plan can be shown again as
it was made: `joint_names`, `panels`, `seams` and `cells`, and for each bubble `name`, `panel`,
`place` and `size`. Other programs' files may hold other things under these keys; where they are
not what this module writes they are ignored, as the format asks.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import Any, TypeVar

from airweft.records.arrays import pairs, points, whole
from airweft.records.jsonread import Reading
from airweft.records.jsontext import Record
from airweft.records.jsonwrite import keyed, listed, mm_of, quoted, rounded_mm, stacked
from airweft.records.net import BubbleKind, Cell, Net

_KINDS: tuple[BubbleKind, ...] = ("fabric", "frame", "loop", "free")
_T = TypeVar("_T")


def net_text(net: Net) -> str:
    """The net as canonical JSON, as a value at the first level of the plan file."""
    joints = (listed(rounded_mm(c) for c in xyz) for xyz in net.joints.tolist())
    names = _names(list(net.bubble_names), net.bubble_count, "b")
    ends, lengths, places = net.ends.tolist(), net.lengths.tolist(), net.places.tolist()
    bubbles = (
        _bubble_text(net, i, name, ends[i], lengths[i], places[i]) for i, name in enumerate(names)
    )
    joint_names = _names(list(net.joint_names), net.joint_count, "j")
    cells = (
        keyed(
            (
                ("joints", listed(map(str, c.joints))),
                ("bubbles", listed(map(str, c.bubbles))),
                ("panel", quoted(_text(c.panel))),
                ("column", str(c.column)),
                ("row", str(c.row)),
            )
        )
        for c in net.cells
    )
    parts = [
        f'"joints": {stacked(joints, 6)}',
        f'"bubbles": {stacked(bubbles, 6)}',
        f'"joint_names": {stacked(map(quoted, joint_names), 6)}',
        f'"panels": {listed(quoted(_text(p)) for p in net.panels)}',
        f'"seams": {listed(map(str, net.seams))}',
        f'"cells": {stacked(cells, 6)}',
    ]
    return "{\n    " + ",\n    ".join(parts) + "\n  }"


def _bubble_text(
    net: Net, i: int, name: str, ends: list[int], length: int, place: list[int]
) -> str:
    (a, b), (column, row) = ends, place
    items = [
        ("a", str(a)),
        ("b", str(b)),
        ("length_mm", mm_of(length)),
        ("colour", quoted(net.colours[i])),
        ("kind", quoted(net.kinds[i])),
        ("name", quoted(name)),
        ("panel", quoted(_text(net.bubble_panels[i]))),
    ]
    if column >= 0 and row >= 0:
        items.append(("place", f"[{column}, {row}]"))
    if net.sizes[i]:
        items.append(("size", quoted(net.sizes[i])))
    return keyed(items)


def net_of(reading: Reading, value: Any, path: str, *, sizes: Collection[str] = ()) -> Net:
    """The net that a JSON value holds; problems go to `reading`.

    A bubble's `size` is kept if it is one of `sizes` and is "" otherwise. Joints and bubbles
    without a usable name are called j0, j1 ... and b0, b1 ... after their index.
    """
    record = reading.record(value, path)
    joint_items = reading.items(reading.get(record, "joints", path), f"{path}.joints")
    bubble_items = reading.items(reading.get(record, "bubbles", path), f"{path}.bubbles")
    n, m = len(joint_items), len(bubble_items)
    joints = [_xyz(reading, item, f"{path}.joints[{i}]") for i, item in enumerate(joint_items)]
    ends: list[tuple[int, int]] = []
    lengths: list[int] = []
    colours: list[str] = []
    kinds: list[BubbleKind] = []
    for i, item in enumerate(bubble_items):
        at = f"{path}.bubbles[{i}]"
        bubble = reading.record(item, at)
        a = reading.index(reading.get(bubble, "a", at), f"{at}.a", n, "joint")
        b = reading.index(reading.get(bubble, "b", at), f"{at}.b", n, "joint")
        ends.append((a, b))
        length = reading.get(bubble, "length_mm", at)
        lengths.append(reading.hundredths(length, f"{at}.length_mm", least=1))
        colours.append(reading.word(reading.get(bubble, "colour", at), f"{at}.colour"))
        kinds.append(reading.choice(reading.get(bubble, "kind", at), f"{at}.kind", _KINDS))
    bubbles = [item if isinstance(item, Record) else Record() for item in bubble_items]
    names = [bubble.get("name") for bubble in bubbles]
    return Net(
        joints=points(joints),
        ends=pairs(ends),
        lengths=whole(lengths),
        colours=tuple(colours),
        sizes=tuple(s if (s := _text(b.get("size"))) in sizes else "" for b in bubbles),
        kinds=tuple(kinds),
        joint_names=_names(record.get("joint_names"), n, "j"),
        bubble_names=_names(names, m, "b"),
        bubble_panels=tuple(_text(bubble.get("panel")) for bubble in bubbles),
        places=pairs([_place(bubble.get("place")) for bubble in bubbles]),
        cells=_all(record.get("cells"), lambda item: _cell(item, n, m)),
        seams=_all(record.get("seams"), lambda item: _index(item, n)),
        panels=_all(
            record.get("panels"), lambda item: _text(item) if isinstance(item, str) else None
        ),
    )


def _xyz(reading: Reading, value: Any, path: str) -> tuple[float, float, float]:
    items = reading.items(value, path)
    if len(items) != 3:
        if isinstance(value, list):
            reading.problem("wrong-count", path, f"{len(items)} numbers are given; x, y, z is 3")
        return 0.0, 0.0, 0.0
    x, y, z = (reading.millimetres(item, f"{path}[{k}]") for k, item in enumerate(items))
    return x, y, z


# What follows reads the further keys: no problem is told, what does not fit is left out.


def _names(value: Any, count: int, letter: str) -> tuple[str, ...]:
    if isinstance(value, list) and len(value) == count:
        names = tuple(map(_text, value))
        if all(names) and len(set(names)) == count:
            return names
    return tuple(f"{letter}{i}" for i in range(count))


def _text(value: Any) -> str:
    """The value if it is a printable text, else nothing."""
    return value if isinstance(value, str) and value.isprintable() else ""


def _index(value: Any, count: int) -> int | None:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value < count:
        return None
    return value


def _place(value: Any) -> tuple[int, int]:
    if isinstance(value, list) and len(value) == 2:
        column, row = (_index(item, 1_000_000) for item in value)
        if column is not None and row is not None:
            return column, row
    return -1, -1


def _cell(value: Any, joints: int, bubbles: int) -> Cell | None:
    if not isinstance(value, Record):
        return None
    around = _all(value.get("joints"), lambda item: _index(item, joints))
    ring = _all(value.get("bubbles"), lambda item: _index(item, bubbles))
    if not around or len(around) != len(ring):
        return None
    column, row = _place([value.get("column"), value.get("row")])
    return Cell(around, ring, _text(value.get("panel")), column, row)


def _all(value: Any, read: Callable[[Any], _T | None]) -> tuple[_T, ...]:
    """Every item read, or nothing at all if one of them does not fit."""
    found: list[_T] = []
    for item in value if isinstance(value, list) else ():
        thing = read(item)
        if thing is None:
            return ()
        found.append(thing)
    return tuple(found)
