"""From an outside 3D model to a mesh that can be woven: the one door of this part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import numpy as np

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.base.limits import MOST_BUBBLES
from airweft.base.progress import Progress
from airweft.records.arrays import Indices, Points, points
from airweft.records.mesh import Face, Mesh
from airweft.surface.outside.even import SLACK, Evenness, even_out, measure
from airweft.surface.outside.nearest_point import Lines, Surface
from airweft.surface.outside.openings import Opening, Wish
from airweft.surface.outside.read import Read, ReadLimits, read_model
from airweft.surface.outside.remesh import MISSED, Cells, FabricKind, cell_normals, missed, remesh
from airweft.surface.outside.triangles import euler, face_normals

Up = Literal["y", "z"]

SPREAD, SHORTEST = 0.10, 0.6
"""What bubbles have to keep: standard deviation over mean, shortest to longest."""

_OTHER_SIZE = 0.25  # a piece so much larger or smaller than asked is hardly what was asked
_FEWEST_BUBBLES = 60
_LISTED = 4  # openings that are told one by one
_SIDES = ("bottom", "front", "right", "back", "left", "top")
_ENDS = (("left", "right"), ("front", "back"), ("bottom", "top"))
_OUT = np.array([(0, 0, -1), (0, -1, 0), (1, 0, 0), (0, 1, 0), (-1, 0, 0), (0, 0, 1)], dtype=float)


@dataclass(frozen=True, slots=True, kw_only=True)
class OutsideFacts:
    """What came out, in numbers.

    size_mm     width, depth and height between the joints
    handles     holes through the closed piece (0 for a ball, 1 for a ring); -1 if it has borders
    borders     open borders
    evenness    of the bubbles, after evening out
    raw_spread  of the bubbles before it
    missed      how far, in bubbles, the place lies that the cells miss most
    four_sided  share of the vertices where just four bubbles ring the opening (diamond fabric)
    """

    size_mm: tuple[float, float, float]
    cells: int
    bubbles: int
    joints: int
    handles: int
    borders: int
    evenness: Evenness
    raw_spread: float
    missed: float
    four_sided: float


def outside_mesh(
    path: Path,
    *,
    bubble: int,
    height_mm: float | None = None,
    width_mm: float | None = None,
    fabric: FabricKind = "kagome",
    up: Up | None = None,
    openings: Wish | None = None,
    seed: int = 0,
    progress: Progress | None = None,
    limits: ReadLimits | None = None,
) -> tuple[Mesh, tuple[Finding, ...], OutsideFacts]:
    """The model in a file as a mesh whose `middles` are joints, bubbles nearly `bubble` long.

    `bubble` is in hundredths of a millimetre. One of `height_mm` and `width_mm` has to be given,
    since files of models hold numbers without a unit. `up` is the file's upward axis ("y" for
    GLB and GLTF, by their standard, else "z"). `openings` says whether they are all kept or all
    closed; without it small ones are closed. Same file, numbers and seed: same mesh.
    Raises BadInput or CannotMake with findings; Stopped when `progress` was stopped.
    """
    progress = progress or Progress()
    grid = _grid(bubble, height_mm, width_mm)
    progress.report(0, 0, "reading the model")
    read = read_model(path, limits=limits, grid=grid, openings=openings)
    axis = up or ("y" if read.mesh.up == "y" else "z")
    vertices, factor, places = _placed(read, axis, height_mm, width_mm, path.name)
    mesh, findings, facts = woven(
        vertices,
        read.mesh.faces,
        bubble=bubble,
        fabric=fabric,
        seed=seed,
        progress=progress,
        where=path.name,
    )
    upward = Finding(
        code="model-up",
        severity="note",
        where=path.name,
        message=f"The model's {axis} axis was taken to point up.",
        remedy=f'Write up = "{"z" if axis == "y" else "y"}" if the piece lies on its side.',
    )
    opened = _opened(read.openings, vertices, factor, places, path.name)
    return mesh, (*read.findings, *opened, *(() if up else (upward,)), *findings), facts


def woven(
    vertices: Points,
    faces: Indices,
    *,
    bubble: int,
    fabric: FabricKind = "kagome",
    seed: int = 0,
    progress: Progress | None = None,
    where: str = "model",
) -> tuple[Mesh, tuple[Finding, ...], OutsideFacts]:
    """The same for a clean triangle mesh in mm, z up, oriented outwards."""
    progress = progress or Progress()
    length = bubble / 100
    _check_count(vertices, faces, length, fabric, where)
    surface = Surface(vertices, faces, step=length / 2)
    lines = Lines(vertices, faces, step=length)
    cells = remesh(
        surface, lines, bubble_mm=length / SLACK, fabric=fabric, seed=seed, progress=progress
    )
    raw = measure(cells.fabric, cells.fabric.middles(cells.vertices), surface)
    joints = even_out(
        cells.fabric,
        cells.fabric.middles(cells.vertices),
        surface,
        lines,
        # Where a shape took no cells of the right size, lengths are met by scaling, not by force.
        goal=min(max(length, raw.mean_mm), 1.1 * raw.mean_mm),
        progress=progress,
    )
    even = measure(cells.fabric, joints, surface)
    scale = length / even.mean_mm
    mesh = _mesh(cells, joints, scale)
    far, place = missed(surface, cells, length)
    facts = _facts(cells, mesh, raw, even, far)
    lost = _lost(vertices, far, place, where)
    return mesh, (*lost, *_said(even, scale, facts, where)), facts


def _grid(bubble: int, height_mm: float | None, width_mm: float | None) -> int:
    """Steps for a new skin: about two to a bubble; what is thinner cannot be made anyhow."""
    size = max(height_mm or 0, width_mm or 0)
    return int(min(72, max(28, 2.5 * size / (bubble / 100))))


def _placed(
    read: Read, up: str, height_mm: float | None, width_mm: float | None, where: str
) -> tuple[Points, float, Points]:
    """Vertices in mm, z up, standing on z = 0 with the axis in the middle.

    With them how long the read mesh's unit became, and the places of its openings.
    """
    vertices = np.array(read.mesh.vertices)
    places = np.array([opening.place for opening in read.openings]).reshape(-1, 3)
    wide, deep, high = read.extents
    if up == "y":
        vertices, places = (
            np.stack((x[:, 0], -x[:, 2], x[:, 1]), axis=1) for x in (vertices, places)
        )
        deep, high = high, deep
    size = np.ptp(vertices, axis=0)
    if (height_mm is None) == (width_mm is None):
        raise CannotMake(
            Finding(
                code="model-needs-size",
                severity="cannot",
                where=where,
                message="Files of models hold numbers without a unit: this one is "
                f"{wide:.4g} wide, {deep:.4g} deep and {high:.4g} high in its own numbers."
                if height_mm is None
                else "Both height and width are given, and they may contradict each other.",
                remedy='Say how large the piece is to be: height = "60 cm", or a width.',
            )
        )
    along = size[2] if height_mm is not None else size[0]
    wanted = height_mm if height_mm is not None else width_mm
    if along <= 1e-6 or wanted is None or wanted <= 0:
        raise CannotMake(
            Finding(
                code="model-flat",
                severity="cannot",
                where=where,
                message="The model has no extent in the direction whose size is given.",
                remedy="Give the width instead of the height (or the other way round), or another "
                "upward axis.",
            )
        )
    factor = wanted / float(along)
    vertices *= factor
    low, high_corner = vertices.min(axis=0), vertices.max(axis=0)
    foot = np.array([(low[0] + high_corner[0]) / 2, (low[1] + high_corner[1]) / 2, low[2]])
    return vertices - foot, factor, places * factor - foot


def _check_count(
    vertices: Points, faces: Indices, length: float, fabric: FabricKind, where: str
) -> None:
    """Raise CannotMake where bubbles are far too long or too many for the surface."""
    area = float(np.linalg.norm(face_normals(vertices, faces), axis=1).sum() / 2)
    if fabric == "kagome":
        each = length**2 / np.sqrt(3)  # a triangle of edge 2 l has three bubbles
    else:
        each = length**2 / 2  # a square of edge l times root two has four
    count = area / each
    if count < _FEWEST_BUBBLES:
        raise CannotMake(
            Finding(
                code="model-too-small",
                severity="cannot",
                where=where,
                message=f"At this size the model holds about {count:.0f} bubbles of {length:g} mm; "
                f"its shape needs at least {_FEWEST_BUBBLES}.",
                remedy="Make the piece larger or the bubbles shorter.",
            )
        )
    if count > MOST_BUBBLES:
        raise CannotMake(
            Finding(
                code="too-many-bubbles",
                severity="cannot",
                where=where,
                message=f"At this size the model takes about {count:,.0f} bubbles; "
                f"the most that is planned is {MOST_BUBBLES:,}.",
                remedy="Make the piece smaller or the bubbles longer; check the unit.",
            )
        )


def _mesh(cells: Cells, joints: Points, scale: float) -> Mesh:
    """The record: cells side by side of the form, from below upwards, joints as middles."""
    side = _sides(cells)
    centres = np.array([cells.vertices[list(face)].mean(axis=0) for face in cells.faces])
    turn = np.arctan2(centres[:, 0], -centres[:, 1])
    level = np.round(centres[:, 2] / max(1e-9, float(np.ptp(centres[:, 2]))) * 1000)
    order = np.lexsort((np.arange(len(side)), turn, level, side))
    faces = tuple(Face(cells.faces[k], _SIDES[side[k]]) for k in order)
    panels = tuple(name for n, name in enumerate(_SIDES) if (side == n).any())
    plain = Mesh(points(cells.vertices * scale), faces, panels)
    _, ends = plain.rings()
    number = {(min(a, b), max(a, b)): k for k, (a, b) in enumerate(cells.fabric.corners.tolist())}
    middles = joints[[number[pair] for pair in ends]] * scale
    low = middles.min(axis=0)
    shift = np.array([0.0, 0.0, low[2]])
    return Mesh(points(cells.vertices * scale - shift), faces, panels, points(middles - shift))


def _sides(cells: Cells) -> Indices:
    """(f,) number of the side that each cell looks to, smoothed so that sides are whole."""
    normals = cell_normals(cells)
    beside = _beside(cells.faces)
    for _ in range(6):
        total = normals.copy()
        for face, near in enumerate(beside):
            total[face] += normals[near].sum(axis=0)
        normals = total / np.maximum(np.linalg.norm(total, axis=1, keepdims=True), 1e-300)
    side = np.argmax(normals @ _OUT.T, axis=1)
    for _ in range(8):
        votes = np.zeros((len(side), 6))
        for face, near in enumerate(beside):
            votes[face] += np.bincount(side[near], minlength=6)
        votes[np.arange(len(side)), side] += 1.1
        side = np.argmax(votes, axis=1)
    return np.asarray(side)


def _beside(faces: Sequence[tuple[int, ...]]) -> list[list[int]]:
    """For each cell the cells across its edges."""
    at: dict[tuple[int, int], int] = {}
    beside: list[list[int]] = [[] for _ in faces]
    for number, face in enumerate(faces):
        for k, a in enumerate(face):
            b = face[(k + 1) % len(face)]
            other = at.pop((b, a), None)
            if other is None:
                at[a, b] = number
            else:
                beside[number].append(other)
                beside[other].append(number)
    return beside


def _facts(cells: Cells, mesh: Mesh, raw: Evenness, even: Evenness, far: float) -> OutsideFacts:
    assert mesh.middles is not None
    triangles = np.array(
        [(f[0], f[k], f[k + 1]) for f in cells.faces for k in range(1, len(f) - 1)], dtype=np.int64
    )
    rim = cells.fabric.corners[cells.fabric.around[:, 2] < 0]
    following = {int(a): int(b) for a, b in rim}
    borders = 0
    while following:
        borders += 1
        spot = next(iter(following))
        while spot in following:
            spot = following.pop(spot)
    valence = np.bincount(cells.fabric.corners.reshape(-1))
    wide, deep, high = np.ptp(mesh.middles, axis=0).tolist()
    return OutsideFacts(
        size_mm=(wide, deep, high),
        cells=len(cells.faces),
        bubbles=len(cells.fabric.bubbles),
        joints=len(mesh.middles),
        handles=-1 if borders else 1 - euler(triangles) // 2,
        borders=borders,
        evenness=even,
        raw_spread=raw.spread,
        missed=far,
        four_sided=float((valence[valence > 0] == 4).mean()),
    )


def _at(vertices: Points, place: Points) -> str:
    """A place in thirds of the piece, for people."""
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    thirds = np.floor(3 * (place - low) / np.maximum(high - low, 1e-300)).astype(int)
    sides = [side[part > 1] for side, part in zip(_ENDS, thirds.tolist(), strict=True) if part != 1]
    return f"at the {' '.join(reversed(sides))}" if sides else "in the middle"


def _opened(
    openings: Sequence[Opening], vertices: Points, factor: float, places: Points, where: str
) -> list[Finding]:
    """The findings on openings that were closed or stay; tiny holes are said with the repairs."""
    found = []
    for closed in (True, False):
        some = sorted(
            (-round(factor * o.width), _at(vertices, place))
            for o, place in zip(openings, places, strict=True)
            if o.closed == closed and not o.tiny
        )
        if not some:
            continue
        listed = [f"{-width} mm wide {at}" for width, at in some[:_LISTED]]
        rest = f", and {len(some) - _LISTED} smaller ones" if len(some) > _LISTED else ""
        many = f"{len(some)} openings" if len(some) > 1 else "An opening"
        done = (
            ("was", "were")[len(some) > 1] + " closed"
            if closed
            else ("stays open", "stay open")[len(some) > 1]
        )
        found.append(
            Finding(
                code="model-openings-closed" if closed else "model-open",
                severity="note",
                where=where,
                message=f"{many} {done}: {', '.join(listed)}{rest}.",
                remedy='Write openings = "keep" if the piece is to stay open there.'
                if closed
                else 'Write openings = "close" if the piece is to be closed there.',
            )
        )
    return found


def _lost(vertices: Points, far: float, place: Points, where: str) -> list[Finding]:
    """The finding on a limb that is thinner than the cells."""
    if far <= MISSED:
        return []
    return [
        Finding(
            code="model-limb-lost",
            severity="risky",
            where=where,
            message=f"A part of the model is too thin for these bubbles and comes out shorter, by "
            f"{far:.1f} bubbles. It lies {_at(vertices, place)} of the piece.",
            remedy="Make the bubbles shorter or the piece larger, or thicken that part.",
        )
    ]


def _said(even: Evenness, scale: float, facts: OutsideFacts, where: str) -> list[Finding]:
    """What the maker should know about the outcome."""
    found = []
    if even.spread > SPREAD or even.shortest_to_longest < SHORTEST:
        found.append(
            Finding(
                code="model-uneven",
                severity="risky",
                where=where,
                message=f"The bubbles could not be made equal: their lengths spread by "
                f"{100 * even.spread:.0f} %, the shortest is {even.shortest_to_longest:.2f} of the "
                "longest. Some part is thinner than a bubble.",
                remedy="Make the bubbles shorter or the piece larger.",
            )
        )
    if even.folded:
        found.append(
            Finding(
                code="model-folded",
                severity="risky",
                where=where,
                message=f"At {len(even.folded)} joints a cell is folded over, since the shape is "
                "too narrow there for these bubbles; it can be made, but looks crumpled.",
                remedy="Make the bubbles shorter or the piece larger.",
            )
        )
    if even.off_most > 1:
        found.append(
            Finding(
                code="model-off-surface",
                severity="note",
                where=where,
                message=f"To keep bubbles equal, joints lie {even.off_mean:.2f} bubble lengths off "
                f"the model on average, {even.off_most:.1f} at most.",
                remedy="Shorter bubbles follow the model more closely.",
            )
        )
    if abs(scale - 1) > 0.05:
        other = abs(scale - 1) > _OTHER_SIZE
        found.append(
            Finding(
                code="model-size-differs",
                severity="risky" if other else "note",
                where=where,
                message=f"With whole bubbles the piece comes out {100 * abs(scale - 1):.0f} % "
                f"{'larger' if scale > 1 else 'smaller'} than asked: "
                f"{facts.size_mm[2] / 10:.1f} cm between lowest and highest joint.",
                remedy="Make the bubbles shorter, or take a model without thin walls."
                if other
                else "Nothing to do, or change the bubble length a little.",
            )
        )
    return found
