"""The 3D model: by the rules of glTF 2.0, and as a general library loads it."""

from __future__ import annotations

import io
import json
import os
import struct
import subprocess
import sys
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import trimesh

from airweft.draw.body import bodies_of, outlines
from airweft.draw.camera import Camera, project
from airweft.draw.glb import AROUND, model
from airweft.net.seams import add_loops
from airweft.records.arrays import points
from airweft.records.design import Ball, Box, Colour, Sheet
from airweft.records.net import Net
from airweft.shape.predict import predict
from tests.draw.gltf_rules import Gltf
from tests.draw.pieces import PALETTE, PIECES, ROUND, cube, loose, painted_round, star, woven

# A body of so many sides lies within the round one, by this share of its radius at most; and
# rounded ends may be 1.1 % longer or shorter.
WITHIN = 1 - np.cos(np.pi / AROUND)
ENDS = 2 ** (1 / 64) - 1


def mixed() -> Net:
    """Several balloon sizes, bubbles beside each other, loops, a stalk, a joint on a joint."""
    net = loose(
        [(0, 0, 0), (120, 0, 0), (120, 90, 30), (0, 0, 0), (40, -60, 200)],
        [(0, 1), (0, 1), (1, 2), (2, 2), (0, 3), (2, 4), (4, 4), (4, 4)],
        lengths=[12000, 12000, 9500, 3000, 2500, 21000, 4000, 4000],
        colours="RWYBK?R",
    )
    return replace(net, sizes=("160", "260", "350", "646", "260", "160", "350", "nothing"))


NETS: dict[str, Any] = {
    **PIECES,
    **{name: lambda form=form: painted_round(form) for name, form in ROUND.items()},
    "loops": lambda: add_loops(cube()),
    "mixed": mixed,
    "one": lambda: loose([(0, 0, 0), (0, 0, 50)], [(0, 1)]),
    "one of no length": lambda: loose([(1, 2, 3)] * 2, [(0, 1)], lengths=[0]),
}


def loaded(data: bytes) -> Any:
    scene = trimesh.load(io.BytesIO(data), file_type="glb")
    assert isinstance(scene, trimesh.Scene)
    return scene


def bubbles(scene: Any, net: Net) -> list[Any]:
    """The body of each bubble as the library puts it into the world."""
    found = []
    for name in net.bubble_names:
        matrix, mesh = scene.graph[name]
        found.append(scene.geometry[mesh].copy().apply_transform(matrix))
    return found


def in_net(scene: Any, mesh: Any) -> np.ndarray[Any, Any]:
    """Corners of a body in the net's own frame, mm: z up, and not yet set on the ground."""
    x, y, z = mesh.vertices.T
    return np.stack([x, -z, y - scene.graph["piece"][0][1, 3]], axis=1) * 1000


@pytest.mark.parametrize("name", NETS)
def test_it_keeps_the_rules_of_the_format(name: str) -> None:
    net = NETS[name]()
    file = Gltf(model(net, PALETTE, name="Piece", extras={"cautions": "Watch."}))
    whole, *nodes = file.all("nodes")
    assert [node["name"] for node in nodes] == list(net.bubble_names)
    assert whole["name"] == "Piece" and whole["extras"] == {"cautions": "Watch."}
    assert whole["children"] == list(range(1, len(nodes) + 1))
    assert len(file.all("materials")) == len(set(net.colours))


@pytest.mark.parametrize("name", NETS)
def test_the_bodies_are_those_of_the_pictures(name: str) -> None:
    """From three cameras each body takes the place in the picture that the painter gives it."""
    net = NETS[name]()
    bodies = bodies_of(net)
    scene = loaded(model(net, PALETTE))
    assert len(scene.graph.nodes_geometry) == net.bubble_count
    for turn, tilt in ((0.44, 0.42), (2.0, -0.5), (0.0, 0.0)):
        camera = Camera(turn=turn, tilt=tilt, reach=0.0)
        shape = outlines(bodies, camera)
        half = shape.extents()
        for i, mesh in enumerate(bubbles(scene, net)):
            flat, _, _ = project(camera, bodies.scene, in_net(scene, mesh))
            low, high = flat.min(axis=0), flat.max(axis=0)
            slack = (WITHIN + ENDS) * half[i].max() + 0.03
            assert np.abs((low + high) / 2 - shape.centres[i]).max() < slack
            assert np.abs((high - low) / 2 - half[i]).max() < slack


@pytest.mark.parametrize("name", ["cube", "star", "ball", "mixed", "loops"])
def test_each_body_is_closed_and_holds_what_it_should(name: str) -> None:
    """Outside is outside, and the volume is that of an ellipsoid and a cylinder (Archimedes)."""
    net = NETS[name]()
    bodies = bodies_of(net)
    for i, mesh in enumerate(bubbles(loaded(model(net, PALETTE)), net)):
        assert mesh.is_watertight and mesh.is_winding_consistent
        wide, cap = bodies.waists[i], bodies.caps[i]
        long = max(float(np.linalg.norm(bodies.halves[i])), wide)
        wanted = np.pi * wide**2 * (4 / 3 * cap + 2 * (long - cap))
        # The area of a regular polygon in a circle, and flat steps instead of round ends.
        assert 0.93 < mesh.volume * 1e9 / wanted < 1.0
        outward = np.einsum(
            "ij,ij->i", mesh.vertex_normals, mesh.vertices - mesh.vertices.mean(axis=0)
        )
        assert (outward > 0).all()


def test_normals_are_square_to_the_skin() -> None:
    """Those that are stored agree with what the library makes of the triangles."""
    file = Gltf(model(star(), PALETTE))
    for mesh in file.all("meshes"):
        (primitive,) = mesh["primitives"]
        at, stored, faces = (
            file.arrays[n] for n in (*primitive["attributes"].values(), primitive["indices"])
        )
        reckoned = trimesh.Trimesh(at, faces.reshape(-1, 3), process=False).vertex_normals
        assert np.einsum("ij,ij->i", stored, reckoned).min() > 0.97


def test_colours_are_light_and_not_screen_values() -> None:
    """Published: sRGB 128 of 255 is 21.6 % of the light (IEC 61966-2-1, its two-part curve)."""
    grey = Colour("R", "grey", "#808080")
    (material,) = Gltf(model(star_of("R"), [grey])).all("materials")
    look = material["pbrMetallicRoughness"]
    assert look["baseColorFactor"] == pytest.approx([0.215861] * 3 + [1], abs=1e-6)
    assert material["name"] == "R grey" and look["metallicFactor"] == 0
    assert "alphaMode" not in material  # no palette knows clear balloons yet


def star_of(mark: str) -> Net:
    net = star()
    return replace(net, colours=(mark,) * net.bubble_count)


@pytest.mark.parametrize("hexes", [("#d11f3a", "#000", "#ffffff"), ("#010203", "#fefdfc", "#0a0")])
def test_every_colour_comes_back(hexes: tuple[str, ...]) -> None:
    palette = [Colour(m, m, h) for m, h in zip("RWB", hexes, strict=True)]
    net = cube()
    file = Gltf(model(net, palette))
    nodes = file.all("nodes")[1:]
    for node, mark in zip(nodes, net.colours, strict=True):
        (primitive,) = file.all("meshes")[node["mesh"]]["primitives"]
        factor = file.all("materials")[primitive["material"]]["pbrMetallicRoughness"]
        back = [
            12.92 * v if v <= 0.0031308 else 1.055 * v ** (1 / 2.4) - 0.055
            for v in factor["baseColorFactor"][:3]
        ]
        digits = hexes["RWB".index(mark)].lstrip("#")
        digits = "".join(d * 2 for d in digits) if len(digits) == 3 else digits
        assert "".join(f"{round(v * 255):02x}" for v in back) == digits
    scene = loaded(model(net, palette))
    for name, mark in zip(net.bubble_names, net.colours, strict=True):
        material = scene.geometry[scene.graph[name][1]].visual.material
        assert material.name == f"{mark}" and material.metallicFactor == 0


def test_marks_that_the_palette_lacks_are_grey() -> None:
    net = replace(star_of("?"), colours=("?", "") * 10)
    unknown, none = Gltf(model(net, PALETTE)).all("materials")
    assert {unknown["name"], none["name"]} == {"?", "no colour yet"}
    light = unknown["pbrMetallicRoughness"]["baseColorFactor"]
    assert light == none["pbrMetallicRoughness"]["baseColorFactor"]
    assert max(light[:3]) - min(light[:3]) < 0.1


@pytest.mark.parametrize(
    "net",
    [cube, lambda: woven(Box(across=4, deep=6, high=8, open=("top",)), "RW"),
     lambda: painted_round(Ball(across=22000)), lambda: woven(Sheet(columns=8, rows=6), "R")],
    ids=["cube", "open box", "ball", "sheet"],
)  # fmt: skip
def test_its_size_is_that_of_the_settled_shape_in_metres(net: Any) -> None:
    """3.4: metres. No smaller than from joint to joint, no larger than the outside predicted."""
    made = net()
    shape = predict(made, diameter_mm=[50.8] * made.bubble_count, stand="table", seed=0)
    scene = loaded(model(replace(made, joints=shape.positions), PALETTE))
    wide, high, deep = scene.extents.tolist()
    joints = np.ptp(shape.positions, axis=0) / 1000
    outside = (shape.width, shape.depth, shape.height)
    for found, least, most in zip((wide, deep, high), joints, outside, strict=True):
        assert 0.97 * least - 1e-5 <= found <= most / 1000 + 1e-5
    assert scene.bounds[0][1] == pytest.approx(0.0, abs=2e-4), "it stands on the ground"
    for mesh, middle in zip(
        bubbles(scene, made), shape.positions[made.ends].mean(axis=1), strict=True
    ):
        # 0.3 mm: the corners of a body do not lie evenly in all directions.
        assert np.abs(in_net(scene, mesh).mean(axis=0) - middle).max() < 0.3


def test_up_front_and_left_are_as_the_format_wants_them() -> None:
    """3.4: y is up, the front faces +z, and the left side of the piece itself faces +x."""
    net = cube()
    scene = loaded(model(net, PALETTE))
    low, high = scene.bounds
    at = {
        side: np.mean(
            [
                mesh.bounds.mean(axis=0)
                for mesh, panel in zip(bubbles(scene, net), net.bubble_panels, strict=True)
                if panel == side
            ],
            axis=0,
        )
        for side in net.panels
    }
    assert at["top"][1] > 0.9 * high[1] and at["bottom"][1] < low[1] + 0.1 * high[1]
    assert at["front"][2] > 0.8 * high[2] and at["back"][2] < 0.8 * low[2]
    # Our "right" is the viewer's, who stands before the piece: its own left.
    assert at["right"][0] > at["top"][0] > at["left"][0]


HOSTILE = (
    '"}],"nodes":[]', "\\", "\x00\x01\x1b[2J", "\ud800 half", "\u202eright to left", "</script>",
    "<img src=x onerror=alert(1)>", "ｆｕｌｌ 幅 💡 Röhre", "", " ", "=1+1", "../../x", "a" * 5000,
    "b1", "b1", "world", "piece", "{}", "%s%n", "two\nlines",
)  # fmt: skip


def test_hostile_names_are_only_names() -> None:
    net = replace(star(), bubble_names=HOSTILE)
    palette = [Colour("Y", HOSTILE[0], "#ff0"), Colour("R", HOSTILE[3], "no colour")]
    data = model(net, palette, name=HOSTILE[2], extras={"name": HOSTILE[0], "cautions": "a\nb"})
    file = Gltf(data)
    whole, *nodes = file.all("nodes")
    assert whole["extras"] == {"name": HOSTILE[0], "cautions": "a\nb"}
    assert len(nodes) == 20 and nodes[0]["name"] == HOSTILE[0]
    assert nodes[7]["name"] == HOSTILE[7] and nodes[12]["name"] == HOSTILE[12]
    for node in (whole, *nodes, *file.all("materials"), *file.all("meshes")):
        assert node["name"] == "" or node["name"].isprintable()
        node["name"].encode("utf-8")
    assert len(loaded(data).graph.nodes_geometry) == 20


@pytest.mark.parametrize("joints", [[], [(0.0, 0.0, 0.0)], [(1.0, 2.0, 3.0), (4.0, 5.0, 6.0)]])
def test_a_net_without_bubbles_gives_an_empty_piece(joints: list[Any]) -> None:
    file = Gltf(model(loose(joints, []), PALETTE, extras={"name": "nothing"}))
    (whole,) = file.all("nodes")
    assert whole == {"name": "piece", "extras": {"name": "nothing"}} and file.binary is None
    assert loaded(model(loose(joints, []), [])).is_empty


@pytest.mark.parametrize("where", [np.nan, np.inf, -np.inf, 1e9])
def test_joints_that_lie_nowhere_do_no_harm(where: float) -> None:
    net = loose([(0, 0, 0)] * 3, [(0, 1), (1, 2)], lengths=[2500, 0])
    Gltf(model(replace(net, joints=points([(0, 0, 0), (where, 0, 0), (0, where, 9)])), PALETTE))


def test_same_net_same_bytes_and_dust_does_not_count() -> None:
    net = cube()
    data = model(net, PALETTE, name="Cube")
    assert data == model(cube(), PALETTE, name="Cube")
    rng = np.random.default_rng(7)
    dust = net.joints + rng.uniform(-1, 1, net.joints.shape) * 1e-9
    assert data == model(replace(net, joints=points(dust)), PALETTE, name="Cube")
    assert data != model(net, PALETTE, name="Other")


def test_the_same_bytes_in_another_process() -> None:
    code = (
        "import hashlib; from airweft.draw.glb import model;"
        "from tests.draw.pieces import PALETTE, cube;"
        "print(hashlib.sha256(model(cube(), PALETTE)).hexdigest())"
    )
    said = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(said) == 1


def test_a_large_piece_stays_a_small_file() -> None:
    """A cube of 216 bubbles has some 40 KB; each further bubble costs a node of some 150 bytes."""
    small = len(model(cube(), PALETTE))
    assert small < 45_000
    net = woven(Box(across=28, deep=28, high=30), "RWB")
    assert net.bubble_count == 4928
    data = model(net, PALETTE)
    assert (len(data) - small) / (4928 - 216) < 165
    assert len(Gltf(data).all("nodes")) == 4929


# Each fault breaks one rule; a reader of the rules that took it would be worth nothing.
def _moved(described: dict[str, Any]) -> None:
    described["accessors"][-2]["min"][0] += 0.001


def _past_the_end(described: dict[str, Any]) -> None:
    described["accessors"][-1]["count"] += 1


def _uneven(described: dict[str, Any]) -> None:
    described["accessors"][-1]["byteOffset"] = 2


def _both(described: dict[str, Any]) -> None:
    described["accessors"][0]["bufferView"] = 0


def _twice(described: dict[str, Any]) -> None:
    described["nodes"][0]["children"].append(1)


def _skewed(described: dict[str, Any]) -> None:
    described["nodes"][1]["rotation"][3] += 0.1


def _short(described: dict[str, Any]) -> None:
    described["buffers"][0]["byteLength"] -= 4


def _empty(described: dict[str, Any]) -> None:
    described["meshes"] = []


@pytest.mark.parametrize(
    "fault", [_moved, _past_the_end, _uneven, _both, _twice, _skewed, _short, _empty]
)
def test_broken_files_are_seen(fault: Any) -> None:
    data = model(star(), PALETTE)
    size = struct.unpack_from("<I", data, 12)[0]
    described = json.loads(data[20 : 20 + size])
    for broken in (False, True):
        if broken:
            fault(described)
        text = json.dumps(described).encode()
        text += b" " * (-len(text) % 4)
        rest = data[20 + size :]
        whole = struct.pack("<III", 0x46546C67, 2, 20 + len(text) + len(rest))
        again = whole + struct.pack("<II", len(text), 0x4E4F534A) + text + rest
        if not broken:
            Gltf(again)
            continue
        with pytest.raises((AssertionError, TypeError, IndexError)):
            Gltf(again)
