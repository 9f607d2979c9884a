"""Dirty files: mended with a finding, or refused with a place and a remedy; never a breakdown."""

from __future__ import annotations

import os
import struct
from pathlib import Path

import numpy as np
import pytest
import trimesh

from airweft.base.errors import AirweftError, BadInput, CannotMake
from airweft.surface.outside.form import outside_mesh, woven
from airweft.surface.outside.mend import mend
from airweft.surface.outside.read import ReadLimits, read_model
from airweft.surface.outside.triangles import RawMesh, euler, is_clean
from airweft.surface.outside.winding import winding


def ball() -> trimesh.Trimesh:
    return trimesh.creation.icosphere(2)


def mended(vertices: object, faces: object, *, most_faces: int = 200_000):  # type: ignore[no-untyped-def]
    raw = RawMesh(np.array(vertices, dtype=float), np.array(faces, dtype=np.int64))
    mesh, findings, _ = mend(raw, where="model", grid=24, most_faces=most_faces)
    assert is_clean(mesh.faces) and np.isfinite(mesh.vertices).all()
    assert all(f.message and f.remedy for f in findings)
    return mesh, [f.code for f in findings]


def refused(vertices: object, faces: object) -> str:
    with pytest.raises(CannotMake) as error:
        mended(vertices, faces)
    assert all(f.where and f.message and f.remedy for f in error.value.findings)
    return str(error.value.findings[-1].code)


@pytest.mark.parametrize("kind", ["stl", "obj", "ply", "off", "glb", "stl_ascii"])
def test_every_kind_of_file(tmp_path: Path, kind: str) -> None:
    path = tmp_path / f"ball.{kind.split('_')[0]}"
    ball().export(path, file_type=kind)
    read = read_model(path)
    assert euler(read.mesh.faces) == 2 and len(read.mesh.faces) == 320
    assert read.mesh.up == ("y" if kind == "glb" else "z")
    assert read.findings == ()
    assert read.extents == pytest.approx(tuple(ball().extents), rel=1e-4)


def test_clean_mesh_is_left_alone() -> None:
    mesh, codes = mended(ball().vertices, ball().faces)
    assert codes == [] and len(mesh.faces) == 320


def test_doubled_points_are_welded() -> None:
    loose = ball().triangles.reshape(-1, 3)
    mesh, codes = mended(loose, np.arange(len(loose)).reshape(-1, 3))
    assert codes == ["model-welded"] and len(mesh.vertices) == 162


def test_flipped_faces_are_turned_back() -> None:
    faces = np.array(ball().faces)
    faces[::7] = faces[::7, ::-1]
    mesh, codes = mended(ball().vertices, faces)
    assert codes == ["model-turned"]
    assert winding(mesh.vertices[mesh.faces], np.zeros((1, 3)))[0] == pytest.approx(1)


def test_inside_out_is_turned_back() -> None:
    mesh, codes = mended(ball().vertices, np.array(ball().faces)[:, ::-1])
    assert codes == ["model-inside-out"]
    assert winding(mesh.vertices[mesh.faces], np.zeros((1, 3)))[0] == pytest.approx(1)


def test_a_missing_triangle_is_put_back() -> None:
    solid = trimesh.creation.icosphere(4)
    mesh, codes = mended(solid.vertices, np.delete(solid.faces, 5, axis=0))
    assert codes == ["model-holes-closed"] and len(mesh.faces) == len(solid.faces)
    assert euler(mesh.faces) == 2


def test_crumbs_are_left_out() -> None:
    crumb = trimesh.creation.icosphere(1, radius=0.02)
    crumb.apply_translation([3, 0, 0])
    both = trimesh.util.concatenate([ball(), crumb])
    mesh, codes = mended(both.vertices, both.faces)
    assert codes == ["model-crumbs"] and len(mesh.faces) == 320


def test_a_torn_surface_is_drawn_anew_with_all_its_pieces() -> None:
    solid = trimesh.creation.icosphere(3)
    kept = solid.faces[np.random.default_rng(1).random(len(solid.faces)) > 0.3]
    mesh, codes = mended(solid.vertices, kept)
    assert codes == ["model-redrawn"] and euler(mesh.faces) == 2
    size = np.ptp(solid.vertices, axis=0).max()
    volume = trimesh.Trimesh(mesh.vertices, mesh.faces).volume
    assert volume == pytest.approx(4 / 3 * np.pi / size**3, rel=0.15)


def test_parts_that_overlap_become_one_skin() -> None:
    ear = trimesh.creation.icosphere(2, radius=0.5)
    ear.apply_translation([0.9, 0, 0.6])
    both = trimesh.util.concatenate([ball(), ear])
    mesh, codes = mended(both.vertices, both.faces)
    assert codes == ["model-redrawn"] and euler(mesh.faces) == 2
    # The volume of the union of two balls: both, less their lens (in units of the model's size).
    size = float(np.ptp(both.vertices, axis=0).max())
    d, r, s = np.hypot(0.9, 0.6), 1.0, 0.5
    lens = np.pi * (r + s - d) ** 2 * (d**2 + 2 * d * (r + s) - 3 * (r - s) ** 2) / (12 * d)
    union = (4 / 3 * np.pi * (r**3 + s**3) - lens) / size**3
    assert trimesh.Trimesh(mesh.vertices, mesh.faces).volume == pytest.approx(union, rel=0.08)


def test_parts_that_do_not_touch_are_said() -> None:
    other = ball()
    other.apply_translation([4, 0, 0])
    both = trimesh.util.concatenate([ball(), other])
    mesh, codes = mended(both.vertices, both.faces)
    assert codes == ["model-redrawn", "model-parts-apart"] and euler(mesh.faces) == 2


def test_a_fin_with_three_faces_at_an_edge() -> None:
    vertices = np.vstack([ball().vertices, [[0, 0, 2.0]]])
    a, b, _ = ball().faces[0]
    mesh, codes = mended(vertices, [*ball().faces.tolist(), [a, b, len(vertices) - 1]])
    assert "model-redrawn" in codes and euler(mesh.faces) == 2


def test_a_surface_through_itself_is_drawn_anew() -> None:
    # A closed tube along a figure of eight, which crosses itself in the middle.
    t, around = np.meshgrid(np.arange(60) * np.pi / 30, np.arange(16) * np.pi / 8, indexing="ij")
    along = np.stack((-np.sin(t), 2 * np.cos(2 * t)), axis=-1)
    along /= np.linalg.norm(along, axis=-1, keepdims=True)
    x = np.cos(t) + 0.3 * np.cos(around) * along[..., 1]
    y = np.sin(2 * t) - 0.3 * np.cos(around) * along[..., 0]
    vertices = np.stack((x, y, 0.3 * np.sin(around)), axis=-1).reshape(-1, 3)
    k = np.arange(960).reshape(60, 16)
    a, b = k, np.roll(k, -1, axis=0)
    c, d = np.roll(b, -1, axis=1), np.roll(a, -1, axis=1)
    faces = np.concatenate([np.stack(f, axis=-1).reshape(-1, 3) for f in ((a, b, c), (a, c, d))])
    mesh, codes = mended(vertices, faces)
    assert euler(mesh.faces) == -2  # the crossing is one place now: two handles
    assert "model-redrawn" in codes


def test_places_that_are_not_numbers() -> None:
    vertices = np.array(ball().vertices)
    vertices[3] = np.nan
    vertices[9, 1] = np.inf
    mesh, codes = mended(vertices, ball().faces)
    assert codes[0] == "model-not-numbers" and euler(mesh.faces) <= 2


def test_corners_that_are_not_there() -> None:
    _, codes = mended(ball().vertices, [*ball().faces.tolist(), [0, 1, 99_999], [-4, 1, 2]])
    assert codes == ["model-bad-corners"]


@pytest.mark.parametrize("scale", [1e-9, 1e12])
def test_any_scale(scale: float) -> None:
    mesh, codes = mended(np.array(ball().vertices) * scale, ball().faces)
    assert codes == [] and np.ptp(mesh.vertices, axis=0).max() == pytest.approx(1)


def test_too_many_triangles_are_drawn_coarser() -> None:
    solid = trimesh.creation.icosphere(4)
    mesh, codes = mended(solid.vertices, solid.faces, most_faces=1000)
    assert codes == ["model-redrawn"] and euler(mesh.faces) == 2
    # A bowl of too many triangles is filled; without lids it would become a skin of two walls.
    bowl = solid.faces[solid.triangles_center[:, 2] < 0.3]
    mesh, codes = mended(solid.vertices, bowl, most_faces=1000)
    assert codes == ["model-redrawn"] and euler(mesh.faces) == 2
    filled = np.pi * 1.3**2 * (3 - 1.3) / 3 / 2**3  # a ball's part up to height 1.3
    assert trimesh.Trimesh(mesh.vertices, mesh.faces).volume == pytest.approx(filled, rel=0.08)


def test_hopeless_models_are_refused() -> None:
    assert refused(np.zeros((0, 3)), np.zeros((0, 3))) == "model-no-triangles"
    assert refused(np.ones((3, 3)), [[0, 1, 2]]) == "model-no-size"
    assert refused(np.full((3, 3), np.nan), [[0, 1, 2]]) == "model-no-size"
    assert refused(np.eye(3), [[0, 1, 1]]) == "model-no-size"
    assert refused(np.eye(3), [[0, 1, 2]]) == "model-not-a-surface"


def test_a_twisted_band_is_refused() -> None:
    strip = []
    for k in range(12):
        angle = np.pi * k / 6
        for side in (-0.3, 0.3):
            r = 1 + side * np.cos(angle / 2)
            strip.append((r * np.cos(angle), r * np.sin(angle), side * np.sin(angle / 2)))
    faces = []
    for k in range(12):
        a, b = 2 * k, 2 * k + 1
        c, d = ((2 * k + 2) % 24, (2 * k + 3) % 24) if k < 11 else (1, 0)
        faces += [[a, b, c], [b, d, c]]
    assert refused(strip, faces) == "model-not-closed"


BAD_FILES: dict[str, tuple[str, bytes, str]] = {
    "empty": ("a.stl", b"", "file-empty"),
    "picture": ("a.obj", b"\x89PNG\r\n\x1a\n" + bytes(range(256)), "model-"),
    "words": ("a.ply", b"dear harbour master,\n", "model-unreadable"),
    "words as off": ("a.off", b"OFFER of the week\n", "model-unreadable"),
    "words as glb": ("a.glb", b"glTF is nice", "model-unreadable"),
    "huge count in stl": ("a.stl", b" " * 80 + struct.pack("<I", 2**32 - 1) + b"x" * 99, "model-"),
    "no faces": ("a.obj", b"v 0 0 0\nv 1 0 0\nv 0 1 0\n", "model-no-triangles"),
    "gltf without parts": ("a.gltf", b'{"asset": {"version": "2.0"}}', "model-"),
    "gltf with far parts": (
        "a.gltf",
        b'{"asset": {"version": "2.0"}, "buffers": [{"uri": "/etc/passwd", "byteLength": 9}]}',
        "model-",
    ),
    "unknown ending": ("a.blend", b"BLENDER", "model-kind"),
}


@pytest.mark.parametrize("name", BAD_FILES)
def test_bad_files(tmp_path: Path, name: str) -> None:
    file, content, code = BAD_FILES[name]
    (tmp_path / file).write_bytes(content)
    with pytest.raises(AirweftError) as error:
        read_model(tmp_path / file)
    found = error.value.findings
    assert found[-1].code.startswith(code), found
    assert all(f.where == file and f.message and f.remedy for f in found)
    assert not any("Traceback" in f.message or str(tmp_path) in f.message for f in found)


@pytest.mark.parametrize("kind", ["stl", "ply", "glb"])
def test_truncated_files(tmp_path: Path, kind: str) -> None:
    path = tmp_path / f"cut.{kind}"
    ball().export(path)
    path.write_bytes(path.read_bytes()[:-700])
    try:
        read = read_model(path)
    except AirweftError as error:
        assert error.findings[0].code in ("model-unreadable", "model-broke-reader")
    else:
        assert read.findings, "what was mended has to be said"


def test_a_stl_file_cut_short_says_so(tmp_path: Path) -> None:
    path = tmp_path / "cut.stl"
    ball().export(path)
    path.write_bytes(path.read_bytes()[:8000])
    with pytest.raises(BadInput) as error:
        read_model(path)
    assert "16,084 bytes and has 8,000" in error.value.findings[0].message  # 84 + 50 * 320


def test_remarks_in_another_writing_are_no_matter(tmp_path: Path) -> None:
    path = tmp_path / "ball.obj"
    ball().export(path)
    path.write_bytes("# Café, größer\n".encode("latin-1") + path.read_bytes())
    assert len(read_model(path).mesh.faces) == 320


def test_readers_do_not_speak_of_arrays(tmp_path: Path) -> None:
    path = tmp_path / "ball.obj"
    path.write_text("v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\nf 0 1 2\nf 1 2 9\n")
    with pytest.raises(BadInput) as error:
        read_model(path)
    assert "index" not in error.value.findings[0].message


def test_gltf_with_its_buffer_beside_it(tmp_path: Path) -> None:
    for name, content in trimesh.exchange.gltf.export_gltf(trimesh.Scene([ball()])).items():
        (tmp_path / name.replace("model", "ball")).write_bytes(content)
    assert len(read_model(tmp_path / "ball.gltf").mesh.faces) == 320


def test_no_such_file_and_folders(tmp_path: Path) -> None:
    for path, code in ((tmp_path / "no.stl", "file-not-found"), (tmp_path, "file-is-folder")):
        with pytest.raises(BadInput) as error:
            read_model(path)
        assert error.value.findings[0].code == code


def test_too_slow_and_too_large(tmp_path: Path) -> None:
    path = tmp_path / "ball.stl"
    ball().export(path)
    with pytest.raises(CannotMake) as slow:
        read_model(path, limits=ReadLimits(seconds=0.05))
    assert slow.value.findings[0].code == "model-too-slow"
    with pytest.raises(BadInput) as large:
        read_model(path, limits=ReadLimits(file_mb=0))
    assert large.value.findings[0].code == "file-too-large"


@pytest.mark.skipif(not os.path.exists("/proc"), reason="memory is limited on Linux only")
def test_too_little_memory_takes_nothing_down(tmp_path: Path) -> None:
    path = tmp_path / "ball.stl"
    ball().export(path)
    with pytest.raises(CannotMake) as error:
        read_model(path, limits=ReadLimits(memory_mb=60))
    assert error.value.findings[0].code in ("model-too-large", "model-broke-reader")


def test_size_has_to_be_given(tmp_path: Path) -> None:
    path = tmp_path / "ball.stl"
    ball().export(path)
    with pytest.raises(CannotMake) as error:
        outside_mesh(path, bubble=2500)
    (finding,) = error.value.findings
    assert finding.code == "model-needs-size" and "without a unit" in finding.message
    for size, code in ((20.0, "model-too-small"), (90_000.0, "too-many-bubbles")):
        with pytest.raises(CannotMake) as error:
            woven(ball().vertices * size / 2, np.array(ball().faces), bubble=2500)
        assert error.value.findings[0].code == code


def test_height_and_up(tmp_path: Path) -> None:
    path = tmp_path / "post.glb"
    trimesh.creation.box((1, 2, 1)).export(path)  # two high along y, as GLB has it
    mesh, findings, facts = outside_mesh(path, bubble=2500, height_mm=400)
    assert facts.size_mm[2] > 1.6 * facts.size_mm[0]
    assert 0.85 * 400 < facts.size_mm[2] < 1.1 * 400
    assert [f.code for f in findings] == ["model-up"]
    lying, findings, facts = outside_mesh(path, bubble=2500, height_mm=200, up="z")
    assert facts.size_mm[1] > 1.6 * facts.size_mm[2] and findings == ()
    assert len(mesh.faces) > 50 and len(lying.faces) > 50
