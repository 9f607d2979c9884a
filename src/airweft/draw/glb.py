"""The piece as a 3D model for other programs: glTF 2.0 in its binary form, GLB.

The bodies are those of the pictures (`body.py`), in metres, y up, the front towards +z. Each bubble
is a node of its own, called as the bubble is, under one node for the whole piece, which sets it on
the ground, y = 0. What a bubble shows is one mesh for each colour and form of body, placed, turned
and stretched by its node. So a large piece stays a small file, and a person can pick, hide or
recolour single bubbles. Nodes are used and no instancing extension, which common readers load
wrongly.

Form of a body: its rounded ends take the share q of its half length. Forms that differ by less
than the eye sees are one, q being rounded to a step of a 32nd of an octave (1.1 % either way);
length and girth are exact.

Everything here follows the Khronos Group's glTF 2.0 specification; its sections are named below.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import replace
from math import cos, pi, sin
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airweft import __version__
from airweft.base.light import linear
from airweft.draw.body import Bodies, bodies_of
from airweft.draw.camera import Floats
from airweft.draw.palette import UNKNOWN, rgb
from airweft.records.arrays import points
from airweft.records.design import Colour, colour_of
from airweft.records.net import Net

AROUND = 20  # sides of a body; a multiple of four, so that the box around it is exact
RINGS = AROUND // 4  # from the waist to the tip, each as high as the sides are wide
ROUGH = 0.3  # glossy, as inflated latex is; by eye, no source
_OCTAVE = 32  # steps in which forms of bodies differ
_PLACES = 5  # decimals of a metre: a hundredth of a millimetre, as in the plan file
_TURNS = 5  # decimals of a quaternion
_LEAST = 10.0**-_PLACES  # a node must not be flat (3.5.3: transforms that cannot be inverted)

_Singles = NDArray[np.float32]  # of shape (n, 3), little endian as all of a file (3.6.1.1)

_FLOAT, _SHORT = 5126, 5123  # 3.6.2.2: component types
_VERTICES, _CORNERS = 34962, 34963  # 5.11.5: what a buffer view is for


def model(
    net: Net, palette: Iterable[Colour], *, name: str = "", extras: Mapping[str, str] | None = None
) -> bytes:
    """A GLB file of all bubbles of `net` as they lie; same net, palette and texts, same bytes.

    name     of the node that holds the piece
    extras   further texts that go with this node, for whoever opens the file in a program

    Joints count to a hundredth of a millimetre, as in the plan file. A mark that is not in
    `palette` is grey. Never fails: a net without bubbles gives a file with an empty piece.
    """
    hundredths = np.floor(net.joints * 100 + 0.5)
    bodies = bodies_of(replace(net, joints=points(hundredths / 100)))
    whole: dict[str, Any] = {"name": plain(name) or "piece"}
    if extras:
        whole["extras"] = {
            key: "\n".join(plain(line) for line in text.splitlines())
            for key, text in extras.items()
        }
    described: dict[str, Any] = {
        "asset": {"version": "2.0", "generator": f"airweft {__version__}"},
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "nodes": [whole],
    }
    if not net.bubble_count:  # lists in a file must not be empty (5.17)
        return _file(described, b"")
    colours = list(palette)
    there = set(net.colours)
    marks = [mark for mark in dict.fromkeys(c.mark for c in colours) if mark in there]
    marks += sorted(there.difference(marks))
    steps = _forms(bodies)
    forms = sorted(set(steps))
    shown = [(marks.index(m), forms.index(s)) for m, s in zip(net.colours, steps, strict=True)]
    meshes = sorted(set(shown))
    materials = [_material(colour_of(mark, colours)) for mark in marks]
    data, geometry, primitives = _geometry(forms)
    whole["translation"] = _numbers([0.0, round(-_lowest(bodies) / 1000, _PLACES), 0.0])
    whole["children"] = list(range(1, net.bubble_count + 1))
    described["nodes"] += _nodes(net, bodies, [meshes.index(one) for one in shown])
    described |= {
        "meshes": [
            {
                "name": materials[place]["name"] + (f", form {form + 1}" if form else ""),
                "primitives": [{**primitives[form], "material": place}],
            }
            for place, form in meshes
        ],
        "materials": materials,
        **geometry,
    }
    return _file(described, data)


def plain(text: str) -> str:
    """The text without what other programs may stumble over: control characters, half letters."""
    return "".join(c if c.isprintable() else " " for c in text).strip()


def _material(colour: Colour) -> dict[str, Any]:
    """The colour as light, not as a screen's value (3.9.2: factors are linear)."""
    light = [round(linear(channel), 6) for channel in rgb(colour.hex or UNKNOWN)]
    mark, said = plain(colour.mark), plain(colour.name)
    return {
        "name": (said if mark in ("", said) else f"{mark} {said}") or "no colour yet",
        "pbrMetallicRoughness": {
            "baseColorFactor": [*light, 1],
            "metallicFactor": 0,
            "roughnessFactor": ROUGH,
        },
    }


def _halves(bodies: Bodies) -> Floats:
    """Half the length of each body, (m,); a round one is as long as it is wide."""
    reach = np.sqrt((bodies.halves**2).sum(axis=1))
    result: Floats = np.maximum(reach, bodies.waists)
    return result


def _lowest(bodies: Bodies) -> float:
    """How low the lowest body reaches, mm; the support of an ellipsoid that is pulled apart."""
    reach = np.sqrt((bodies.halves**2).sum(axis=1))
    down = np.abs(bodies.halves[:, 2]) / np.maximum(reach, 1e-12)
    ends = np.sqrt(bodies.waists**2 * (1 - down**2) + (bodies.caps * down) ** 2)
    straight = np.maximum(reach - bodies.caps, 0.0) * down
    return float((bodies.centres[:, 2] - ends - straight).min())


def _forms(bodies: Bodies) -> list[int]:
    """The form of each body: how many steps its rounded ends are shorter than half of it."""
    share = np.minimum(1.0, bodies.caps / _halves(bodies))
    steps: list[int] = np.rint(np.round(_OCTAVE * np.log2(1 / share), 6)).astype(int).tolist()
    return steps


def _nodes(net: Net, bodies: Bodies, meshes: list[int]) -> list[dict[str, Any]]:
    """The nodes of all bubbles: x, y, z of the piece are x, -z, y of the file (3.4)."""
    at = bodies.centres[:, [0, 2, 1]] * (1, 1, -1) / 1000
    axis = bodies.halves[:, [0, 2, 1]] * (1, 1, -1)
    size = np.sqrt((axis**2).sum(axis=1, keepdims=True))
    unit = np.where(size > 0, axis / np.where(size > 0, size, 1.0), (0.0, 1.0, 0.0))
    # A body is the same from both ends: the end that points up is taken, and so a turn is never
    # more than a quarter. The shortest turn from y to u is the quaternion (y x u, 1 + y . u).
    unit = np.where(unit[:, 1:2] < 0, -unit, unit)
    turn = np.stack([unit[:, 2], np.zeros(len(unit)), -unit[:, 0], 1 + unit[:, 1]], axis=1)
    turn /= np.sqrt((turn**2).sum(axis=1, keepdims=True))
    wide, long = bodies.waists / 1000, _halves(bodies) / 1000
    stretch = np.maximum(np.stack([wide, long, wide], axis=1), _LEAST)
    return [
        {
            "name": plain(name),
            "mesh": mesh,
            "translation": _numbers(place),
            "rotation": _numbers(quaternion),
            "scale": _numbers(sizes),
        }
        for name, mesh, place, quaternion, sizes in zip(
            net.bubble_names,
            meshes,
            at.round(_PLACES).tolist(),
            turn.round(_TURNS).tolist(),
            stretch.round(_PLACES).tolist(),
            strict=True,
        )
    ]


def _numbers(values: list[float]) -> list[float | int]:
    """The same numbers, whole ones without a point and never -0."""
    return [int(value) if value == int(value) else value for value in values]


def _geometry(forms: list[int]) -> tuple[bytes, dict[str, Any], list[dict[str, Any]]]:
    """Positions, normals and triangles of all forms; what describes them; a primitive for each.

    One buffer view for each of the three (3.6.1.1: vertices and triangles are kept apart). Forms
    with a straight middle share their triangles.
    """
    bodies = [_body(2.0 ** (-step / _OCTAVE)) for step in forms]
    kinds = sorted({len(places) for places, _ in bodies})
    triangles = [_triangles(count) for count in kinds]
    accessors: list[dict[str, Any]] = []
    primitives: list[dict[str, Any]] = []
    start = 0
    for corners in triangles:
        accessors.append(
            {
                "bufferView": 2,
                "byteOffset": start,
                "componentType": _SHORT,
                "count": corners.size,
                "type": "SCALAR",
            }
        )
        start += corners.nbytes
    start = 0
    for places, _ in bodies:
        column = {
            "byteOffset": start,
            "componentType": _FLOAT,
            "count": len(places),
            "type": "VEC3",
        }
        # 3.6.2.5: positions have their bounds, which are those of the numbers that are stored.
        bounds = {"min": places.min(axis=0).tolist(), "max": places.max(axis=0).tolist()}
        primitives.append(
            {
                "attributes": {"POSITION": len(accessors), "NORMAL": len(accessors) + 1},
                "indices": kinds.index(len(places)),
            }
        )
        accessors += [{"bufferView": 0, **column, **bounds}, {"bufferView": 1, **column}]
        start += places.nbytes
    blocks = [
        b"".join(places.tobytes() for places, _ in bodies),
        b"".join(normals.tobytes() for _, normals in bodies),
        b"".join(corners.tobytes() for corners in triangles),
    ]
    views: list[dict[str, Any]] = []
    start = 0
    for block, target in zip(blocks, (_VERTICES, _VERTICES, _CORNERS), strict=True):
        stride = {"byteStride": 12} if target == _VERTICES else {}
        views.append(
            {"buffer": 0, "byteOffset": start, "byteLength": len(block), **stride, "target": target}
        )
        start += len(block)
    described = {
        "accessors": accessors,
        "bufferViews": views,
        "buffers": [{"byteLength": start}],
    }
    return b"".join(blocks), described, primitives


def _body(share: float) -> tuple[_Singles, _Singles]:
    """Vertices and normals of the body about y with girth and length 1.

    It is a sphere whose halves are pressed to `share` of their height and pulled apart. Rings from
    the upper tip to the lower; where nothing is pulled apart the ring at the waist comes once.
    """
    circle = [2 * pi * k / AROUND for k in range(AROUND)]
    half = [(sin(t), cos(t)) for t in (pi / 2 * k / RINGS for k in range(RINGS + 1))]
    rows = [(r, up, 1.0) for r, up in half]
    rows += [(r, -up, -1.0) for r, up in reversed(half)][share == 1.0 :]
    places: list[tuple[float, float, float]] = []
    normals: list[tuple[float, float, float]] = []
    for r, up, side in rows:
        slope = (r**2 + (up / share) ** 2) ** 0.5
        high = side * (1 - share) + up * share
        for around in circle if r > 0 else [0.0]:
            x, z = sin(around), cos(around)
            places.append((r * x, high, r * z))
            normals.append((r * x / slope, up / share / slope, r * z / slope))
    return _singles(places), _singles(normals)


def _singles(values: list[tuple[float, float, float]]) -> _Singles:
    # Rounded, because the last bit of a sine is not the same on every machine; + 0.0: never -0.
    return (np.array(values).round(6) + 0.0).astype("<f4")


def _triangles(count: int) -> NDArray[np.uint16]:
    """Triangles of a body of so many vertices, anticlockwise seen from outside (3.7.4)."""
    rows = (count - 2) // AROUND
    corners: list[tuple[int, int, int]] = []
    for k in range(AROUND):
        beside = (k + 1) % AROUND
        corners.append((0, 1 + k, 1 + beside))
        for row in range(rows - 1):
            a, b = 1 + row * AROUND + k, 1 + row * AROUND + beside
            corners += [(a, a + AROUND, b + AROUND), (a, b + AROUND, b)]
        last = 1 + (rows - 1) * AROUND
        corners.append((last + k, count - 1, last + beside))
    return np.array(corners, dtype="<u2")


def _file(described: dict[str, Any], data: bytes) -> bytes:
    """Header and chunks (4.4), each filled up to four bytes; without data no second chunk."""
    text = json.dumps(described, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    chunks = _chunk(b"JSON", text.encode(), b" ")
    if data:
        chunks += _chunk(b"BIN\0", data, b"\0")
    return b"glTF" + _whole(2) + _whole(12 + len(chunks)) + chunks


def _chunk(kind: bytes, data: bytes, filling: bytes) -> bytes:
    data += filling * (-len(data) % 4)
    return _whole(len(data)) + kind + data


def _whole(number: int) -> bytes:
    return number.to_bytes(4, "little")
