"""Meshes for the tests: made here, or read from packages that carry some."""

from __future__ import annotations

import importlib.metadata
import os
import sys
from pathlib import Path

import numpy as np
import trimesh

from airweft.records.arrays import Indices, Points
from airweft.surface.outside.form import woven
from airweft.surface.outside.openings import Wish
from airweft.surface.outside.read import Read
from airweft.surface.outside.remesh import FabricKind
from airweft.surface.outside.triangles import face_normals
from airweft.surface.outside.winding import march

MODELS = "gradio/media_assets/models3d/"
SAMPLES = "pyvista/examples/"
ARM = "skrobot/data/kuka_description/meshes/"
# Real meshes that packages carry: package and file. `.ci/setup test` puts them into .venv/models.
REAL = {
    "rabbit": ("gradio", MODELS + "Bunny.obj"),
    "duck": ("gradio", MODELS + "Duck.glb"),
    "fox": ("gradio", MODELS + "Fox.gltf"),
    "face": ("gradio", MODELS + "face.obj"),
    "ant": ("pyvista", SAMPLES + "ant.ply"),
    "aeroplane": ("pyvista", SAMPLES + "airplane.ply"),
    "nut": ("pyvista", SAMPLES + "nut.ply"),
    "tube frame": ("compas", "compas/data/samples/tubemesh.obj"),
    "arm, base": ("scikit-robot", ARM + "link_0.stl"),
    "arm, elbow": ("scikit-robot", ARM + "link_3.stl"),
    "arm, forearm": ("scikit-robot", ARM + "link_5.stl"),
    "arm, wrist": ("scikit-robot", ARM + "link_6.stl"),
    "arm, finger": ("scikit-robot", ARM + "finger_base_left.stl"),
}
# Only the benchmark has these, so that the tests stay short: the frame is an open shell, the
# base has six handles and takes as long as three others, the wrist is much like the forearm. The
# other ten come out closed.
MEASURED_ONLY = ("tube frame", "arm, base", "arm, wrist")
# Closed because the maker says so: the face is a mask, and comes out as a head with a flat back.
CLOSED_BY_WISH = ("face",)
FOLDER = Path(sys.prefix, "models")


def file_of(name: str) -> Path | None:
    """The file of a real mesh, None where its package was not fetched or carries it no more."""
    package, file = REAL[name]
    for found in importlib.metadata.distributions(name=package, path=[str(FOLDER), *sys.path]):
        path = Path(str(found.locate_file(file)))
        if path.exists():
            return path
    return None


def real(name: str) -> Path:
    """The file of a real mesh; skips the test where there is none, but in CI that is a failure."""
    path = file_of(name)
    if path is not None:
        return path
    import pytest  # the benchmarks use the rest of this file without it

    said = f"the package {REAL[name][0]} is not in .venv/models: bash .ci/setup test fetches it"
    if os.environ.get("CI"):
        pytest.fail(said)
    pytest.skip(said)


def two_rings() -> tuple[Points, Indices]:
    """Two rings melted side by side: two handles."""
    axis = np.linspace(-2.4, 2.4, 49)
    x, y, z = np.meshgrid(axis, axis[10:-10], axis[14:-14], indexing="ij")
    ring = [(np.hypot(np.hypot(x - s, y) - 0.85, z)) for s in (-1, 1)]
    vertices, faces = march(np.pad(np.minimum(*ring) < 0.35, 1))
    return vertices, faces


def made(name: str) -> tuple[Points, Indices]:
    """A mesh made here, by name."""
    if name == "two rings":
        return two_rings()
    solid = {
        "ball": lambda: trimesh.creation.icosphere(3),
        "ring": lambda: trimesh.creation.torus(1, 0.4),
        "thin plate": lambda: trimesh.creation.box((3, 2, 0.25)),
        "cube": lambda: trimesh.creation.box(),
        "disc": lambda: trimesh.creation.cylinder(1, 0.3),
    }[name]()
    return np.array(solid.vertices), np.array(solid.faces, dtype=np.int64)


MADE = ("ball", "ring", "two rings", "thin plate", "cube", "disc")


def sized(vertices: Points, faces: Indices, *, bubbles: int, fabric: FabricKind) -> Points:
    """The vertices scaled so that about so many bubbles of 25 mm cover the surface."""
    area = np.linalg.norm(face_normals(vertices, faces), axis=1).sum() / 2
    each = 25.0**2 / (np.sqrt(3) if fabric == "kagome" else 2)
    return np.asarray(vertices * np.sqrt(bubbles * each / area))


def cover(vertices: Points, faces: Indices, *, bubbles: int, fabric: FabricKind = "kagome"):  # type: ignore[no-untyped-def]
    """The mesh, findings and facts for about so many bubbles."""
    return woven(
        sized(vertices, faces, bubbles=bubbles, fabric=fabric), faces, bubble=2500, fabric=fabric
    )


def opened(name: str) -> Wish | None:
    """What is wished of the model's openings: nothing, but for a few."""
    return "close" if name in CLOSED_BY_WISH else None


def height_for(read: Read, *, bubbles: int, fabric: FabricKind = "kagome") -> float:
    """The height in mm at which about so many bubbles of 25 mm cover the model."""
    spots = sized(read.mesh.vertices, read.mesh.faces, bubbles=bubbles, fabric=fabric)
    return round(float(np.ptp(spots[:, 1 if read.mesh.up == "y" else 2])), 2)


def design_for(
    path: Path,
    read: Read,
    *,
    bubbles: int,
    fabric: FabricKind = "kagome",
    openings: Wish | None = None,
) -> str:
    """A design file for the model in a file, of a height that takes about so many bubbles."""
    wish = f'openings = "{openings}"' if openings else ""
    return f"""
airweft = 1
name = "Model"
units = "mm"
[balloon]
size = "260"
bubble = 25
[form]
kind = "mesh"
file = '{path}'
height = {height_for(read, bubbles=bubbles, fabric=fabric)}
fabric = "{fabric}"
{wish}
[colours]
R = "red"
[pattern]
kind = "plain"
colour = "R"
"""
