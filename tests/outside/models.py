"""Meshes for the tests: made here, or read from packages where these are installed."""

from __future__ import annotations

import importlib.metadata
from pathlib import Path

import numpy as np
import pytest
import trimesh

from airweft.records.arrays import Indices, Points
from airweft.surface.outside.form import OutsideFacts, woven
from airweft.surface.outside.remesh import FabricKind
from airweft.surface.outside.triangles import face_normals
from airweft.surface.outside.winding import march

DOG = "dm_control/suite/dog_assets/"
ARM = "dm_control/third_party/kinova/meshes_decimated/"
# Real meshes that packages carry: package and file. Only read where they are installed.
REAL = {
    "dog, skin": ("dm-control", DOG + "SKINbody.stl"),
    "dog, pelvis": ("dm-control", DOG + "BONEPelvis.stl"),
    "dog, thigh": ("dm-control", DOG + "BONEFemoris_L.stl"),
    "dog, shoulder blade": ("dm-control", DOG + "BONEScapula_L.stl"),
    "dog, first neck bone": ("dm-control", DOG + "BONEC_1.stl"),
    "dog, upper arm": ("dm-control", DOG + "BONEhumerus_L.stl"),
    "dog, sacrum": ("dm-control", DOG + "BONESacrum.stl"),
    "arm, hand": ("dm-control", ARM + "hand_3finger.stl"),
    "arm, base": ("dm-control", ARM + "base.stl"),
    "arm, finger": ("dm-control", ARM + "finger_distal.stl"),
    "arm, wrist": ("dm-control", ARM + "wrist.stl"),
    "arm, shoulder": ("dm-control", ARM + "shoulder.stl"),
    "tube frame": ("compas", "compas/data/samples/tubemesh.obj"),
    "ant": ("pyvista", "pyvista/examples/ant.ply"),
    "nut": ("pyvista", "pyvista/examples/nut.ply"),
    "aeroplane": ("pyvista", "pyvista/examples/airplane.ply"),
}


def real(name: str) -> Path:
    """The file of a real mesh; skips the test where its package is not installed."""
    package, file = REAL[name]
    try:
        path = Path(str(importlib.metadata.distribution(package).locate_file(file)))
    except importlib.metadata.PackageNotFoundError:
        pytest.skip(f"the package {package} is not installed")
    if not path.exists():
        pytest.skip(f"{package} does not carry {file}")
    return path


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


__all__ = ["MADE", "REAL", "OutsideFacts", "cover", "made", "real", "sized", "two_rings"]
