"""Measures the way from outside models to even nets, and prints a table.

    python benchmarks/remesh.py [--planned]

Meshes made here and, where their packages are installed, real ones, at two bubble lengths, in both
fabrics. `raw` is the spread of the bubble lengths after remeshing, `spread` after evening out;
`off` are distances of joints from the model in bubble lengths (mean, most); `folded` joints where a
cell is folded over. With --planned each kagome net is planned (rounds) and checked too, which takes
long. Where the package gpytoolbox is installed, its remesher (remesh_botsch) is measured as well.
"""

from __future__ import annotations

import importlib.metadata
import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent))

from airweft.base.errors import AirweftError
from airweft.check.replay import replay
from airweft.net.fabric import weave
from airweft.plan.make import make_plan
from airweft.surface.outside.form import woven
from airweft.surface.outside.medial import bubble_lengths, fabric_of
from airweft.surface.outside.read import read_model
from tests.outside.models import MADE, REAL, made, sized
from tests.outside.test_nets import DESIGN

COLUMNS = (
    f"{'mesh':22}{'method':9}{'bubbles':>8}{'joints':>8}{'seconds':>9}{'raw':>7}{'spread':>8}"
    f"{'short/long':>11}{'off':>11}{'folded':>7}  {'planned':8}"
)


def main() -> None:
    planned = "--planned" in sys.argv
    print(COLUMNS)
    for name in (*MADE, *REAL):
        try:
            vertices, faces = made(name) if name in MADE else _real(name)
        except AirweftError as error:
            print(f"{name:22}{error.findings[-1].message}")
            continue
        except FileNotFoundError:
            print(f"{name:22}skipped: the package {REAL[name][0]} is not installed")
            continue
        for bubbles in (600, 1800):
            for fabric in ("kagome", "diamond"):
                _row(name, vertices, faces, bubbles, fabric, planned and fabric == "kagome")
            _native(name, vertices, faces, bubbles)


def _real(name: str) -> tuple[np.ndarray, np.ndarray]:
    package, file = REAL[name]
    try:
        path = Path(str(importlib.metadata.distribution(package).locate_file(file)))
    except importlib.metadata.PackageNotFoundError as error:
        raise FileNotFoundError(file) from error
    read = read_model(path)
    return read.mesh.vertices, read.mesh.faces


def _row(name, vertices, faces, bubbles, fabric, planned) -> None:  # type: ignore[no-untyped-def]
    spots = sized(vertices, faces, bubbles=bubbles, fabric=fabric)
    start = time.perf_counter()
    mesh, _, facts = woven(spots, faces, bubble=2500, fabric=fabric)
    seconds, even, said = time.perf_counter() - start, facts.evenness, ""
    if planned:
        net = weave(mesh, bubble=2500, size="260")
        plan = make_plan(DESIGN, replace(net, colours=("R",) * net.bubble_count), style="rounds")
        found = replay(plan)
        fewest = plan.bound.balloons
        said = f"{len(plan.balloons)} of {fewest}, loose {found.peak_loose}"
        said += "" if found.keeps_rules else " BROKEN"
    print(
        f"{name:22}{fabric:9}{facts.bubbles:8}{facts.joints:8}{seconds:9.1f}{facts.raw_spread:7.3f}"
        f"{even.spread:8.4f}{even.shortest_to_longest:11.2f}"
        f"{even.off_mean:6.2f}{even.off_most:5.1f}{len(even.folded):7}  {said}",
        flush=True,
    )


def _native(name, vertices, faces, bubbles) -> None:  # type: ignore[no-untyped-def]
    try:
        from gpytoolbox import remesh_botsch
    except ImportError:
        return
    spots = sized(vertices, faces, bubbles=bubbles, fabric="kagome")
    start = time.perf_counter()
    new, triangles = remesh_botsch(spots, faces.astype(np.int32), 10, 50.0, True)
    fabric = fabric_of([tuple(f) for f in triangles.tolist()])
    length = bubble_lengths(fabric, fabric.middles(new))
    print(
        f"{name:22}{'botsch':9}{len(fabric.bubbles):8}{len(fabric.corners):8}"
        f"{time.perf_counter() - start:9.1f}{length.std() / length.mean():7.3f}"
        f"{'':8}{length.min() / length.max():11.2f}"
    )


if __name__ == "__main__":
    main()
