"""Openings: small ones are closed and said, those that belong to the shape stay."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh

from airweft.design.canonical import write_design
from airweft.design.read import design_from_text
from airweft.records.arrays import Indices, Points
from airweft.surface.outside.form import outside_mesh
from airweft.surface.outside.mend import mend
from airweft.surface.outside.openings import Opening, Wish, rims, with_lids
from airweft.surface.outside.triangles import RawMesh, euler, is_clean


def figure() -> trimesh.Trimesh:
    """A ball on a flat foot, in triangles of one size."""
    solid = trimesh.creation.icosphere(4)
    solid.vertices[:, 2] = np.maximum(solid.vertices[:, 2], -0.8)
    return solid


def without(solid: trimesh.Trimesh, spot: tuple[float, float, float], radius: float) -> Indices:
    """The triangles of a solid farther than `radius` from a spot."""
    far = np.linalg.norm(solid.triangles_center - np.array(spot), axis=1) > radius
    return np.array(solid.faces[far], dtype=np.int64)


def pipe(*, bend: float, thick: float = 0.12) -> tuple[Points, Indices]:
    """An open pipe bent by so many degrees, one long."""
    along, around = 40, 24
    t, a = np.meshgrid(
        np.linspace(0, 1, along), np.arange(around) * 2 * np.pi / around, indexing="ij"
    )
    turn = np.radians(bend) * t
    radius = 1 / max(np.radians(bend), 1e-6)
    out = radius + thick * np.cos(a)
    spots = np.stack((out * np.cos(turn), out * np.sin(turn), thick * np.sin(a)), axis=-1)
    number = np.arange(along * around).reshape(along, around)
    p, q = number[:-1], number[1:]
    r, s = np.roll(q, -1, axis=1), np.roll(p, -1, axis=1)
    faces = [np.stack(f, axis=-1).reshape(-1, 3) for f in ((p, r, q), (p, s, r))]
    return spots.reshape(-1, 3), np.concatenate(faces)


def lidded(
    vertices: Points, faces: Indices, wish: Wish | None = None
) -> tuple[Indices, tuple[Opening, ...]]:
    _, closed, found = with_lids(np.array(vertices, dtype=float), faces, wish)
    assert is_clean(closed)
    return closed, found


def test_an_opening_under_a_figure_is_closed() -> None:
    solid = figure()
    faces, (opening,) = lidded(solid.vertices, without(solid, (0, 0, -0.8), 0.2))
    assert euler(faces) == 2 and opening.closed and not opening.tiny
    assert opening.width == pytest.approx(0.4, abs=0.1)
    # The lid is flat, so that the volume is the old one.
    assert trimesh.Trimesh(solid.vertices, faces).volume == pytest.approx(solid.volume, rel=1e-3)


def test_a_bowl_a_mask_and_pipes_keep_their_openings() -> None:
    bowl = trimesh.creation.icosphere(4)
    faces, (opening,) = lidded(bowl.vertices, without(bowl, (0, 0, 1), 0.9))
    assert not opening.closed and euler(faces) == 1
    # A mask: half a ball, with two eyes that alone would be closed.
    eyes = without(bowl, (0.3, -0.9, 0.3), 0.2)
    assert lidded(bowl.vertices, eyes)[1][0].closed
    half = bowl.vertices[bowl.faces][:, :, 1].mean(axis=1) < 0.1
    both = [without(bowl, (x, -0.9, 0.3), 0.2) for x in (0.3, -0.3)]
    eyed = {tuple(f) for f in both[0].tolist()} & {tuple(f) for f in both[1].tolist()}
    mask = np.array([f for f in bowl.faces[half].tolist() if tuple(f) in eyed])
    _, found = lidded(bowl.vertices, mask)
    assert len(found) == 3 and not any(opening.closed for opening in found)
    for bend in (0, 90, 200):
        _, found = lidded(*pipe(bend=bend))
        assert len(found) == 2 and not any(opening.closed for opening in found)


def test_what_the_maker_wishes_goes_first() -> None:
    solid = figure()
    open_below = without(solid, (0, 0, -0.8), 0.2)
    faces, (opening,) = lidded(solid.vertices, open_below, "keep")
    assert not opening.closed and len(faces) == len(open_below)
    faces, found = lidded(*pipe(bend=200), wish="close")
    assert euler(faces) == 2 and all(opening.closed for opening in found)


def test_lids_take_no_more_area_than_they_need() -> None:
    # A rim like an L: a fan from its middle would lie outside of it. Its area is 3 of 4 squares.
    solid = trimesh.creation.box((8, 8, 1)).subdivide_to_size(0.3)
    middle = solid.triangles_center
    hole = (middle[:, 2] > 0.49) & (np.abs(middle[:, :2]) < 2).all(axis=1)
    hole &= ~((middle[:, 0] > 0) & (middle[:, 1] > 0))
    faces = np.array(solid.faces[~hole], dtype=np.int64)
    closed, _ = lidded(solid.vertices, faces, "close")
    assert trimesh.Trimesh(solid.vertices, closed).area == pytest.approx(solid.area, rel=1e-9)


def test_a_rim_of_thousands_of_corners() -> None:
    angle = np.arange(5000) * 2 * np.pi / 5000
    ring = np.stack((np.cos(angle), np.sin(angle), 0.01 * np.sin(30 * angle)), axis=1)
    vertices = np.concatenate((ring, [[0, 0, -1.0]]))
    faces = np.stack((np.arange(5000), np.full(5000, 5000), np.roll(np.arange(5000), -1)), axis=1)
    closed, (opening,) = lidded(vertices, faces, "close")
    assert euler(closed) == 2 and opening.width == pytest.approx(2)
    assert trimesh.Trimesh(vertices, closed).volume == pytest.approx(np.pi / 3, rel=0.01)
    assert len(rims(faces)) == 1 and not rims(closed)


def test_a_flat_sheet_cannot_be_closed() -> None:
    sheet = trimesh.creation.box((3, 2, 0.5)).subdivide_to_size(0.3)
    top = np.array(sheet.faces[sheet.triangles_center[:, 2] > 0.24], dtype=np.int64)
    raw = RawMesh(np.array(sheet.vertices), top)
    mesh, findings, (opening,) = mend(
        raw, where="model", grid=24, most_faces=200_000, openings="close"
    )
    assert [f.code for f in findings] == ["model-not-closed"]
    assert not opening.closed and euler(mesh.faces) == 1


def test_where_and_how_large_is_said(tmp_path: Path) -> None:
    path = tmp_path / "figure.obj"
    solid = figure()
    trimesh.Trimesh(solid.vertices, without(solid, (0, 0, -0.8), 0.2)).export(path)
    for wish, code, borders in ((None, "closed", 0), ("keep", "open", 1)):
        _, findings, facts = outside_mesh(
            path,
            bubble=2500,
            height_mm=180,
            up="z",
            openings=wish,  # type: ignore[arg-type]
        )
        (finding,) = [f for f in findings if "open" in f.code]
        assert code in finding.code and finding.where == "figure.obj"
        assert "mm wide at the bottom" in finding.message and "openings =" in finding.remedy
        width = float(finding.message.split(" mm")[0].split()[-1])
        assert 30 < width < 50  # 0.4 of 1.8 high
        assert facts.borders == borders


def test_the_design_file_holds_the_wish() -> None:
    text = (
        'airweft = 1\nname = "Seal"\nunits = "cm"\n[balloon]\nsize = "260"\nbubble = 2.5\n'
        '[form]\nkind = "mesh"\nfile = "seal.obj"\nheight = 40\nopenings = "close"\n'
        '[colours]\nS = "gray"\n[pattern]\nkind = "plain"\ncolour = "S"\n'
    )
    written = write_design(design_from_text(text))
    assert 'openings = "close"\n' in written
    assert write_design(design_from_text(written)) == written
    without_it = text.replace('openings = "close"\n', "")
    assert "openings" not in write_design(design_from_text(without_it))
