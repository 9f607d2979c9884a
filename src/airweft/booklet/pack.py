"""The last touch on the PDF: printed at 100 %, and packed small.

typst writes every little object on its own (a tag, a gradient's place), thousands in a booklet.
Here they are gathered into compressed object streams, and the wish never to be scaled is added to
the catalogue. Curves lose decimals that no printer shows; nothing else changes. Source: ISO
32000-1:2008, 7.5.7 (object streams), 7.5.8 (cross-reference streams), 12.2 (viewer preferences).
"""

from __future__ import annotations

import re
import zlib

_IN_ONE_STREAM = 200
_LEVEL, _BEST = 6, 9
_TRAILER = re.compile(rb"trailer\s*<<(.*)>>\s*startxref\s*(\d+)\s*%%EOF\s*$", re.DOTALL)
_OBJECT = re.compile(rb"\s*(\d+) 0 obj\s*")
_CONTENT = re.compile(
    rb"<</Length \d+(?:/Type/XObject/Subtype/Form[^>]*)?/Filter/FlateDecode>>\s*stream\r?\n"
)
# A run of curves after a move or a line, and in it the decimals beyond the second.
_CURVES = re.compile(rb"(?<= [ml] )(?:(?:-?[\d.]+ ){6}c\s)+")
_TOO_FINE = re.compile(rb"(\.\d\d)\d+")
_FINE = re.compile(rb"(\.\d)\d+")
_HEAVY = 150_000  # letters of a page's content from which the first decimal must do
_PREFERENCES = re.compile(rb"/ViewerPreferences\s*<<")


def pack(made: bytes) -> bytes:
    """A PDF with the same objects, packed, whose print dialogue does not scale.

    `made` has a plain cross-reference table and no encryption, as typst writes it. Raises
    ValueError for anything else.
    """
    ending = _TRAILER.search(made)
    if ending is None:
        raise ValueError("the PDF has no plain cross-reference table")
    table, keys = int(ending[2]), ending[1]
    objects = _objects(made, table)
    root_key = re.search(rb"/Root\s+(\d+) 0 R", keys)
    if root_key is None or int(root_key[1]) not in objects:
        raise ValueError("the PDF has no catalogue")
    root = int(root_key[1])
    objects[root] = _never_scaled(objects[root])
    objects = {number: _rounder(body) for number, body in objects.items()}
    return _written(made[: made.index(b"\n", 9) + 1], objects, keys)


def _objects(made: bytes, table: int) -> dict[int, bytes]:
    """The body of every object by its number, read through the cross-reference table."""
    lines = made[table:].split(b"\n", 2)
    first, count = (int(part) for part in lines[1].split())
    entries = lines[2][: 20 * count]
    offsets = [
        int(entries[20 * n : 20 * n + 10])
        for n in range(count)
        if entries[20 * n + 17 : 20 * n + 18] == b"n"
    ]
    if first != 0 or lines[0].strip() != b"xref":
        raise ValueError("the PDF's cross-reference table is not in one piece")
    found: dict[int, bytes] = {}
    order = sorted(offsets)
    for start, end in zip(order, [*order[1:], table], strict=True):
        head = _OBJECT.match(made, start)
        close = made.rfind(b"endobj", start, end)
        if head is None or close < 0:
            raise ValueError("the PDF's cross-reference table points beside an object")
        found[int(head[1])] = made[head.end() : close].strip(b"\r\n ")
    return found


def _rounder(body: bytes) -> bytes:
    """A page's content with curves cut to two decimals, or one on a heavy page of bubbles.

    Outlines of bubbles are nearly all there is there, at some 0.15 mm for each unit, and typst
    writes eight digits: what is lost is below 0.02 mm.
    """
    head = _CONTENT.match(body)
    if head is None:
        return body
    end = body.rfind(b"endstream")
    content = zlib.decompress(body[head.end() : end])
    fine = _TOO_FINE if len(content) < _HEAVY else _FINE
    fewer = _CURVES.sub(lambda run: fine.sub(rb"\1", run[0]), content)
    if fewer == content:
        return body
    packed = zlib.compress(fewer, _BEST)
    opening = re.sub(rb"/Length \d+", b"/Length %d" % len(packed), head[0], count=1)
    return opening + packed + b"\nendstream"


def _never_scaled(catalogue: bytes) -> bytes:
    """The catalogue with print scaling set to none."""
    wish = b"/PrintScaling/None"
    there = _PREFERENCES.search(catalogue)
    if there is not None:
        return catalogue[: there.end()] + wish + catalogue[there.end() :]
    return b"<</ViewerPreferences<<" + wish + b">>" + catalogue.removeprefix(b"<<")


def _written(head: bytes, objects: dict[int, bytes], keys: bytes) -> bytes:
    """The file: large objects as they are, small ones in object streams, one table at the end."""
    out = bytearray(head)
    places: dict[int, tuple[int, int, int]] = {0: (0, 0, 65535)}
    small = sorted(n for n, body in objects.items() if not body.endswith(b"endstream"))
    for number in sorted(objects.keys() - set(small)):
        places[number] = (1, len(out), 0)
        out += b"%d 0 obj\n%b\nendobj\n" % (number, objects[number])
    free = max(objects) + 1
    for start in range(0, len(small), _IN_ONE_STREAM):
        members = small[start : start + _IN_ONE_STREAM]
        bodies = [objects[number] for number in members]
        pairs, at = [], 0
        for number, body in zip(members, bodies, strict=True):
            pairs.append(b"%d %d" % (number, at))
            places[number] = (2, free, len(pairs) - 1)
            at += len(body) + 1
        index = b" ".join(pairs) + b"\n"
        packed = zlib.compress(index + b"\n".join(bodies), _LEVEL)
        places[free] = (1, len(out), 0)
        out += (
            b"%d 0 obj\n<</Type/ObjStm/N %d/First %d/Filter/FlateDecode/Length %d>>\nstream\n"
            % (
                free,
                len(members),
                len(index),
                len(packed),
            )
        )
        out += packed + b"\nendstream\nendobj\n"
        free += 1
    places[free] = (1, len(out), 0)
    rows = b"".join(
        b"%c%b%b" % (kind, a.to_bytes(4, "big"), b.to_bytes(2, "big"))
        for kind, a, b in (places.get(n, (0, 0, 65535)) for n in range(free + 1))
    )
    packed = zlib.compress(rows, _LEVEL)
    kept = re.sub(rb"/(Size|Prev)\s+\d+", b"", keys).strip()
    start = len(out)
    out += _stream(free, b"/Type/XRef/Size %d/W[1 4 2]" % (free + 1) + kept, packed)
    out += b"startxref\n%d\n%%%%EOF\n" % start
    return bytes(out)


def _stream(number: int, about: bytes, packed: bytes) -> bytes:
    """A compressed stream as an object."""
    return (
        b"%d 0 obj\n<<" % number
        + about
        + b"/Filter/FlateDecode/Length %d>>\nstream\n" % len(packed)
        + packed
        + b"\nendstream\nendobj\n"
    )
