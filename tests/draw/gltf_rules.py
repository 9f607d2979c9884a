"""A GLB file read by the rules of the glTF 2.0 specification, and by nothing of airweft's.

Khronos Group, glTF 2.0 Specification, version 2.0.1; the section stands beside each rule.
"""

from __future__ import annotations

import json
import struct
from typing import Any

import numpy as np

COMPONENTS = {5121: "<u1", 5123: "<u2", 5125: "<u4", 5126: "<f4"}  # 3.6.2.2
NUMBERS = {"SCALAR": 1, "VEC2": 2, "VEC3": 3, "VEC4": 4}  # 3.6.2.2, those without padding
LISTS = ("accessors", "bufferViews", "buffers", "materials", "meshes", "nodes", "scenes")


class Gltf:
    """A file that keeps the rules: what it describes, and its accessors as arrays."""

    def __init__(self, data: bytes) -> None:
        self.described, self.binary = _chunks(data)
        self.arrays = [self._array(one) for one in self.described.get("accessors", [])]
        self._lists()
        self._buffers()
        self._accessors()
        self._meshes()
        self._materials()
        self._nodes()

    def all(self, what: str) -> list[dict[str, Any]]:
        """A list of the file, empty where there is none."""
        found: list[dict[str, Any]] = self.described.get(what, [])
        return found

    def _lists(self) -> None:
        asset = self.described["asset"]
        assert asset["version"] == "2.0"  # 3.2
        assert "extensionsRequired" not in self.described  # nothing that a reader may lack
        for what in LISTS:
            if what in self.described:
                assert len(self.described[what]) >= 1, what  # 5.17: [1-*]
        assert set(self.described) <= {"asset", "scene", *LISTS}, "5.17: no further properties"

    def _buffers(self) -> None:
        buffers = self.all("buffers")
        if not buffers:
            assert self.binary is None  # 4.4.3.3: omitted when the buffer is empty
            return
        (buffer,) = buffers
        assert "uri" not in buffer and self.binary is not None  # 3.6.1.2
        assert 0 <= len(self.binary) - buffer["byteLength"] <= 3  # 3.6.1.2
        assert not any(self.binary[buffer["byteLength"] :])  # 4.4.3.3: padded with zeros
        for view in self.all("bufferViews"):
            assert view["buffer"] == 0 and view["byteLength"] >= 1  # 3.3, 5.11
            assert view["byteOffset"] + view["byteLength"] <= buffer["byteLength"]  # 5.11
            stride = view.get("byteStride", 4)
            assert 4 <= stride <= 252 and stride % 4 == 0  # 5.11.4, 3.6.2.4

    def _array(self, accessor: dict[str, Any]) -> np.ndarray[Any, Any]:
        view = self.described["bufferViews"][accessor["bufferView"]]
        kind = np.dtype(COMPONENTS[accessor["componentType"]])
        many, count = NUMBERS[accessor["type"]], accessor["count"]
        stride = view.get("byteStride", kind.itemsize * many)
        offset = accessor.get("byteOffset", 0)
        assert count >= 1  # 5.1.5
        assert offset % kind.itemsize == 0  # 3.6.2.4
        assert (offset + view["byteOffset"]) % kind.itemsize == 0  # 3.6.2.4
        assert stride % kind.itemsize == 0  # 3.6.2.4
        # 3.6.2.4: each accessor fits its buffer view.
        assert offset + stride * (count - 1) + kind.itemsize * many <= view["byteLength"]
        assert self.binary is not None
        begin = view["byteOffset"] + offset
        found: np.ndarray[Any, Any] = np.ndarray(
            (count, many), kind, self.binary, begin, (stride, kind.itemsize)
        )
        return found

    def _accessors(self) -> None:
        for accessor, values in zip(self.all("accessors"), self.arrays, strict=True):
            assert np.isfinite(values.astype(float)).all()  # 3.6.2.2: no NaN, no infinity
            for bound, actual in (("min", values.min(axis=0)), ("max", values.max(axis=0))):
                if bound in accessor:  # 3.6.2.5: the length and the values that are stored
                    assert len(accessor[bound]) == values.shape[1]
                    assert np.array_equal(np.float32(accessor[bound]), actual.astype(np.float32))

    def _meshes(self) -> None:
        accessors, views = self.all("accessors"), self.all("bufferViews")
        corners: set[int] = set()
        vertices: dict[int, set[int]] = {}
        for mesh in self.all("meshes"):
            assert mesh["primitives"]  # 5.23.1: [1-*]
            for primitive in mesh["primitives"]:
                assert primitive.get("mode", 4) == 4  # 5.24.4: triangles
                assert 0 <= primitive["material"] < len(self.all("materials"))  # 3.3
                position, normal = (primitive["attributes"][n] for n in ("POSITION", "NORMAL"))
                for place in (position, normal):  # 3.7.2.1: the table of attributes
                    assert accessors[place]["componentType"] == 5126
                    assert accessors[place]["type"] == "VEC3"
                    assert accessors[place].get("byteOffset", 0) % 4 == 0  # 3.6.2.4
                    vertices.setdefault(accessors[place]["bufferView"], set()).add(place)
                assert {"min", "max"} <= set(accessors[position])  # 3.7.2.1, 3.6.2.5
                count = accessors[position]["count"]
                assert accessors[normal]["count"] == count  # 3.7.2.1: one count for all
                size = np.linalg.norm(self.arrays[normal].astype(float), axis=1)
                assert np.abs(size - 1).max() < 1e-5  # 3.7.2.1: normalized
                faces = accessors[primitive["indices"]]
                corners.add(faces["bufferView"])
                assert faces["type"] == "SCALAR" and faces["count"] % 3 == 0  # 3.7.2.1
                assert faces["componentType"] in (5121, 5123, 5125)  # 5.24.2
                index = self.arrays[primitive["indices"]].ravel()
                assert int(index.max()) < count  # 3.7.2.1
                assert int(index.max()) < np.iinfo(index.dtype).max  # 3.7.2.1: no restart value
                three = index.reshape(-1, 3)
                assert all(len(set(one)) == 3 for one in three.tolist())  # 3.7.2.1: degenerate
                a, b, c = self.arrays[position].astype(float)[three].transpose(1, 0, 2)
                area = np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2
                assert area.min() > 1e-6  # nor any without an area, which cannot be lit
        assert not corners & set(vertices)  # 3.6.1.1: not both in one buffer view
        for view, users in vertices.items():
            assert len(users) == 1 or "byteStride" in views[view]  # 3.6.2.4
            assert views[view]["target"] == 34962  # 3.6.1.1, 5.11.5
        for view in corners:
            assert "byteStride" not in views[view] and views[view]["target"] == 34963  # 3.6.1.1

    def _materials(self) -> None:
        for material in self.all("materials"):
            look = material["pbrMetallicRoughness"]
            factor = look["baseColorFactor"]
            assert len(factor) == 4 and all(0 <= value <= 1 for value in factor)  # 5.22.1
            assert 0 <= look["metallicFactor"] <= 1 and 0 <= look["roughnessFactor"] <= 1  # 5.22

    def _nodes(self) -> None:
        nodes, scenes = self.all("nodes"), self.all("scenes")
        assert 0 <= self.described["scene"] < len(scenes)  # 3.5.1
        children = [child for node in nodes for child in node.get("children", [])]
        assert len(children) == len(set(children)), "3.5.2: at most one parent"
        assert all(0 <= child < len(nodes) for child in children)  # 3.3
        for scene in scenes:
            assert scene["nodes"] and not set(scene["nodes"]) & set(children)  # 3.5.1: roots
        reached: set[int] = set()
        waiting = list(scenes[self.described["scene"]]["nodes"])
        while waiting:  # 3.5.2: no cycles; and here nothing that is never shown
            here = waiting.pop()
            assert here not in reached
            reached.add(here)
            waiting += nodes[here].get("children", [])
        assert reached == set(range(len(nodes)))
        for node in nodes:
            assert isinstance(node["name"], str)  # 3.3
            assert "children" not in node or node["children"]  # 5.25.2: [1-*]
            assert "mesh" not in node or 0 <= node["mesh"] < len(self.all("meshes"))  # 3.3
            assert "matrix" not in node  # 3.5.3: either a matrix or these
            values = [*node.get("translation", []), *node.get("scale", [1, 1, 1])]
            assert np.isfinite(values).all() and all(node.get("scale", [1]))  # 3.5.3, not flat
            turn = node.get("rotation", [0, 0, 0, 1])
            assert len(turn) == 4 and abs(np.linalg.norm(turn) - 1) < 1e-4  # 3.5.3: unit


def _chunks(data: bytes) -> tuple[dict[str, Any], bytes | None]:
    """The JSON and the binary of a file."""
    magic, version, length = struct.unpack_from("<III", data)
    assert (magic, version, length) == (0x46546C67, 2, len(data))  # 4.4.2
    chunks: list[tuple[int, bytes]] = []
    at = 12
    while at < len(data):
        size, kind = struct.unpack_from("<II", data, at)
        assert at % 4 == 0 and size % 4 == 0  # 4.4.3.1: aligned to four bytes
        assert at + 8 + size <= len(data)  # 4.4.3.1
        chunks.append((kind, data[at + 8 : at + 8 + size]))
        at += 8 + size
    kinds = [kind for kind, _ in chunks]
    assert kinds in ([0x4E4F534A], [0x4E4F534A, 0x004E4942])  # 4.4.3.1: JSON, then BIN
    raw = chunks[0][1]
    text = raw.decode("utf-8")  # 2.7.1: UTF-8 ...
    assert text.startswith("{")  # ... without a mark before it, and no other padding in front
    assert text.rstrip(" ").endswith("}")  # 4.4.3.2: padded with spaces
    assert len(raw) - len(raw.rstrip(b" ")) <= 3
    described = json.loads(text, object_pairs_hook=_once, parse_constant=_no_number)
    return described, chunks[1][1] if len(chunks) > 1 else None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    assert len(found) == len(pairs), "2.7.4: keys are unique"
    return found


def _no_number(text: str) -> float:
    raise AssertionError(f"{text} is no JSON (RFC 8259, section 6)")
