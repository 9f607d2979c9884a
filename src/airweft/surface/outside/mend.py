"""Repair: from triangles that lie anyhow to one clean surface, with a finding for each change."""

from __future__ import annotations

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import breadth_first_order
from scipy.spatial import cKDTree

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding, Severity
from airweft.records.arrays import Indices, Points
from airweft.surface.outside.nearest_point import Surface
from airweft.surface.outside.openings import Opening, Wish, with_lids
from airweft.surface.outside.triangles import (
    RawMesh,
    drop_unused,
    edge_table,
    face_normals,
    half_edges,
    is_clean,
    part_of,
    split_fans,
    unit,
)
from airweft.surface.outside.winding import drawn_to, skin, winding

WELD = 1e-6
"""Points nearer than this, as a part of the model's size, are one point."""

BIG = 0.02
"""Parts with at least this share of the whole outside are kept."""

TORN = 0.1
"""Where small parts make up more than this share, the surface is torn, and they belong to it."""

EMPTY = 0.003
"""Volume over area to the power of 3/2 below which lids enclose no room (a ball has 0.094)."""

_SAMPLES = 240  # places on the surface at which crossings are looked for


def mend(
    raw: RawMesh,
    *,
    where: str,
    grid: int,
    most_faces: int,
    loose: bool = False,
    openings: Wish | None = None,
) -> tuple[RawMesh, tuple[Finding, ...], tuple[Opening, ...]]:
    """One clean part, oriented outwards, of about unit size around the origin, and what was done.

    Last the openings that it had, in its own numbers; what is done with them goes by the wish.
    `loose` files list corners anew for each triangle (STL), or wherever a picture on the surface
    breaks off (GLTF): welding them is nothing to speak of.
    `grid` is how fine a new skin is drawn where nothing else helps. Raises CannotMake where no
    surface can be made out.
    """
    said = _Said(where)
    vertices, faces = _plain(raw, said)
    vertices, faces = _weld(vertices, faces, said, quiet=loose)
    redraw, opened = "", False
    if len(faces) > most_faces:
        redraw = f"It has {len(faces):,} triangles, more than the {most_faces:,} that are worked on"
        vertices, faces, opened = _all_closed(vertices, faces)
        vertices, faces = _coarse(vertices, faces, 160)
    vertices, faces, parts = _big_parts(vertices, faces, said)
    if not redraw:
        redraw = _needs_skin(vertices, faces, parts)
    if not redraw:
        faces, twisted = _oriented(faces, said)
        if twisted:
            redraw = "Its inside and outside change places along a strip"
    if not redraw:
        vertices, faces = _fans(vertices, faces, said)
        faces = _outwards(vertices, faces, said)
        if _crosses(vertices, faces):
            redraw = "It runs through itself"
    found: tuple[Opening, ...] = ()
    if not redraw:
        open_faces = faces
        vertices, faces, found = _lids(vertices, faces, openings, said)
        if found and _crosses(vertices, faces):
            faces, found = open_faces, ()
            redraw = "With its openings closed it runs through itself"
    if redraw:
        if opened or (openings == "keep" and (edge_table(faces)[2] == 1).any()):
            redraw += "; its openings could not be kept"
        vertices, faces = _new_skin(vertices, faces, grid, redraw, said)
    if not is_clean(faces) or len(faces) < 4:
        said.refuse(
            "model-not-a-surface",
            "No clean surface could be made of this model.",
            "Open it in a 3D program, close and clean the surface, and save it again.",
        )
    return RawMesh(vertices, faces, raw.up), tuple(said.findings), found


class _Said:
    """Collects findings about one model."""

    def __init__(self, where: str) -> None:
        self.where = where
        self.findings: list[Finding] = []

    def note(self, code: str, message: str, remedy: str = "Nothing to do.") -> None:
        self._add(code, "note", message, remedy)

    def risky(self, code: str, message: str, remedy: str) -> None:
        self._add(code, "risky", message, remedy)

    def refuse(self, code: str, message: str, remedy: str) -> None:
        self._add(code, "cannot", message, remedy)
        raise CannotMake(self.findings)

    def _add(self, code: str, severity: Severity, message: str, remedy: str) -> None:
        self.findings.append(
            Finding(
                code=code,
                severity=severity,
                where=self.where,
                message=message,
                remedy=remedy,
            )
        )


def _plain(raw: RawMesh, said: _Said) -> tuple[Points, Indices]:
    """Triangles of finite, different points, moved and scaled to unit size."""
    vertices, faces = np.asarray(raw.vertices, float), np.asarray(raw.faces, np.int64)
    if not len(faces):
        said.refuse(
            "model-no-triangles",
            "The model holds no surface: not a single triangle.",
            "Save it as a surface (a mesh), not as points, lines or a scene without shapes.",
        )
    outside = (faces < 0) | (faces >= len(vertices))
    faces = faces[~outside.any(axis=1)]
    if outside.any():
        said.risky(
            "model-bad-corners",
            f"{int(outside.any(axis=1).sum()):,} triangles name points that are not in the file; "
            "they were left out.",
            "The file may be cut short: get it once more.",
        )
    finite = np.isfinite(vertices).all(axis=1) & (np.abs(vertices) < 1e150).all(axis=1)
    bad = ~finite[faces].all(axis=1)
    if bad.any():
        said.risky(
            "model-not-numbers",
            f"{int(bad.sum()):,} of {len(faces):,} triangles have places that are not numbers; "
            "they were left out.",
            "Look at the picture: where they were, holes may have been closed.",
        )
    faces = faces[~bad]
    if len(faces):
        vertices, faces = drop_unused(vertices, faces)
        low, high = vertices.min(axis=0), vertices.max(axis=0)
        size = float((high - low).max())
    if not len(faces) or size <= 0 or size < 1e-9 * float(np.abs(vertices).max()):
        said.refuse(
            "model-no-size",
            "The model has no size: all its triangles lie in one point.",
            "Check the file in a 3D program.",
        )
    return (vertices - (low + high) / 2) / size, faces


def _weld(vertices: Points, faces: Indices, said: _Said, *, quiet: bool) -> tuple[Points, Indices]:
    """One point where several lie in one place; no triangle twice."""
    before = len(vertices)
    keys, index = np.unique(np.round(vertices / (WELD / 100)), axis=0, return_inverse=True)
    index = index.reshape(-1)
    first = np.full(len(keys), len(vertices))
    np.minimum.at(first, index, np.arange(len(vertices)))
    vertices, faces = vertices[first], index[faces]
    pairs = cKDTree(vertices).query_pairs(WELD, output_type="ndarray")
    if len(pairs):
        part = part_of(len(vertices), pairs.astype(np.int64))
        _, first = np.unique(part, return_index=True)
        vertices, faces = vertices[first], part[faces]
    if len(vertices) < before and not quiet:
        said.note(
            "model-welded",
            f"{before - len(vertices):,} of {before:,} points lay where another one lies; "
            "they were made one.",
        )
    a, b, c = faces.T
    faces = faces[(a != b) & (b != c) & (c != a)]
    _, first = np.unique(np.sort(faces, axis=1), axis=0, return_index=True)
    if len(first) < len(faces):
        said.note(
            "model-twice",
            f"{len(faces) - len(first):,} triangles were there twice; one of each was kept.",
        )
    faces = faces[np.sort(first)]
    if not len(faces):
        said.refuse(
            "model-no-size",
            "All triangles of the model are without area.",
            "Check the file in a 3D program.",
        )
    return drop_unused(vertices, faces)


def _all_closed(vertices: Points, faces: Indices) -> tuple[Points, Indices, bool]:
    """A surface that is clean as it comes with lids on all openings, and whether it had large ones.

    With them it is plain what lies inside, for a new skin.
    """
    if not is_clean(faces):
        return vertices, faces, False
    vertices, faces, found = with_lids(vertices, faces, "close")
    return vertices, faces, any(not opening.tiny for opening in found)


def _coarse(vertices: Points, faces: Indices, grid: int) -> tuple[Points, Indices]:
    """Points of one little box made one: fewer triangles of about the same place."""
    _, index = np.unique(np.floor(vertices * grid), axis=0, return_inverse=True)
    index = index.reshape(-1)
    count = np.bincount(index)
    spots = np.stack([np.bincount(index, x) / count for x in vertices.T], axis=1)
    faces = index[faces]
    a, b, c = faces.T
    faces = faces[(a != b) & (b != c) & (c != a)]
    _, first = np.unique(np.sort(faces, axis=1), axis=0, return_index=True)
    return drop_unused(spots, faces[np.sort(first)])


def _areas(vertices: Points, faces: Indices) -> Points:
    return np.asarray(np.linalg.norm(face_normals(vertices, faces), axis=1) / 2)


def _parts(faces: Indices) -> Indices:
    """(f,) part of each face; faces hang together over edges."""
    _, of_half, _ = edge_table(faces)
    order = np.argsort(of_half, kind="stable")
    same = of_half[order][1:] == of_half[order][:-1]
    links = np.stack((order[:-1][same] // 3, order[1:][same] // 3), axis=1)
    return part_of(len(faces), links)


def _big_parts(vertices: Points, faces: Indices, said: _Said) -> tuple[Points, Indices, int]:
    """Without the parts that are too small to matter, and how many are left."""
    part = _parts(faces)
    count = int(part.max()) + 1
    if count == 1:
        return vertices, faces, 1
    area = np.bincount(part, _areas(vertices, faces), count)
    big = area >= BIG * area.sum()
    big[np.argmax(area)] = True
    if area[~big].sum() > TORN * area.sum():
        return vertices, faces, count
    if not big.all():
        share = 100 * area[~big].sum() / max(area.sum(), 1e-300)
        said.risky(
            "model-crumbs",
            f"The model has {count} separate parts; {int((~big).sum())} of them are small, "
            f"together {share:.1f} % of the surface. They were left out.",
            "If one of them matters, join it to the rest in a 3D program.",
        )
    keep = big[part]
    vertices, faces = drop_unused(vertices, faces[keep])
    return vertices, faces, int(big.sum())


def _needs_skin(vertices: Points, faces: Indices, parts: int) -> str:
    """Why the surface has to be drawn anew, or nothing."""
    if parts > 1:
        return f"It is made of {parts} separate parts"
    ends, _, uses = edge_table(faces)
    crowded = np.flatnonzero(uses > 2)
    if len(crowded):
        place = vertices[ends[crowded[0]]].mean(axis=0)
        return (
            f"At {len(crowded):,} edges more than two triangles meet, the first at "
            f"{_percent(place, vertices)}"
        )
    return ""


def _percent(place: Points, vertices: Points) -> str:
    """A place as parts of the model's box, for people."""
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    share = 100 * (place - low) / np.maximum(high - low, 1e-300)
    x, y, z = (round(float(s)) for s in share)
    return f"{x} % of x, {y} % of y, {z} % of z"


def _oriented(faces: Indices, said: _Said) -> tuple[Indices, bool]:
    """Triangles turned to run the same way, and True if that cannot be."""
    _, of_half, _ = edge_table(faces)
    halves = half_edges(faces)
    order = np.argsort(of_half, kind="stable")
    same = np.flatnonzero(of_half[order][1:] == of_half[order][:-1])
    one, other = order[same], order[same + 1]
    against = halves[one, 0] == halves[other, 0]  # both run the same way: one is turned over
    a, b = one // 3, other // 3
    count = len(faces)
    graph = csr_array(
        (
            np.ones(2 * len(a)),
            (np.concatenate((a, b)), np.concatenate((b, a))),
        ),
        shape=(count, count),
    )
    sign = {}
    for x, y, turned in zip(a.tolist(), b.tolist(), against.tolist(), strict=True):
        sign[x, y] = sign[y, x] = turned
    reached, before = breadth_first_order(graph, 0, directed=False)
    turn = np.zeros(count, dtype=bool)
    for face in reached[1:].tolist():
        back = int(before[face])
        turn[face] = turn[back] ^ sign[back, face]
    if (turn[a] ^ turn[b] != against).any():
        return faces, True
    if turn.sum() > count / 2:  # go by the majority
        turn = ~turn
    flipped = int(turn.sum())
    if flipped:
        said.note(
            "model-turned",
            f"{flipped:,} of {count:,} triangles were turned inside out; they were turned back.",
        )
    return np.where(turn[:, None], faces[:, ::-1], faces), False


def _fans(vertices: Points, faces: Indices, said: _Said) -> tuple[Points, Indices]:
    """A point of its own for each stretch of surface that meets others in a bare point only."""
    count = len(vertices)
    vertices, faces = split_fans(vertices, faces)
    if len(vertices) > count:
        said.note(
            "model-pinched",
            f"In {len(vertices) - count:,} places the surface met itself in a bare point; "
            "it was parted there.",
        )
    return vertices, faces


def _outwards(vertices: Points, faces: Indices, said: _Said) -> Indices:
    """Turned as a whole if its inside is out (closed surfaces; open ones by their bulge)."""
    corners = vertices[faces] - vertices.mean(axis=0)
    volume = np.einsum("ij,ij->", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])) / 6
    _, _, uses = edge_table(faces)
    flat = 0.01 if uses.min() < 2 else 0.0  # an open sheet may bulge to either side
    if volume >= -flat:
        return faces
    said.note("model-inside-out", "The whole surface was turned inside out; it was turned back.")
    return np.ascontiguousarray(faces[:, ::-1])


def _crosses(vertices: Points, faces: Indices) -> bool:
    """True if places just inside a closed surface are not simply inside, as where it crosses.

    Looked at in a few hundred places, spread evenly over the area; small crossings are missed.
    """
    _, _, uses = edge_table(faces)
    if uses.min() < 2:
        return False
    area = np.cumsum(_areas(vertices, faces))
    rows = np.searchsorted(area, (np.arange(_SAMPLES) + 0.5) / _SAMPLES * area[-1])
    corners = vertices[faces]
    inwards = unit(face_normals(vertices, faces[rows]))
    number = winding(corners, corners[rows].mean(axis=1) - 1e-5 * inwards)
    return bool((np.abs(number - 1) > 0.5).mean() > 0.01)


def _new_skin(
    vertices: Points, faces: Indices, grid: int, why: str, said: _Said
) -> tuple[Points, Indices]:
    """A closed surface drawn anew around everything inside, drawn to the old one."""
    if len(faces) > 30_000:
        source, triangles = _coarse(vertices, faces, 2 * grid)
    else:
        source, triangles = vertices, faces
    spots, fresh = skin(source, triangles, grid=grid) if len(triangles) else (vertices, faces[:0])
    if len(fresh):
        part = _parts(fresh)
        area = np.bincount(part, _areas(spots, fresh))
        solid = _outer(spots, fresh, part)
        best = int(np.argmax(np.where(solid, area, -1)))
        rest = solid.copy()
        rest[best] = False
        lost = area[rest].sum() / area[solid].sum()
        spots, fresh = drop_unused(spots, fresh[part == best])
    if len(fresh) < 20:
        said.refuse(
            "model-not-closed",
            f"{why}, and it encloses no room, so that no skin could be drawn around it.",
            "Give it thickness or close it in a 3D program, and save it again.",
        )
    step = float((vertices.max(axis=0) - vertices.min(axis=0)).max()) / grid
    surface = Surface(source, triangles, step=step)
    for _ in range(3):
        near, _ = surface.nearest(spots)
        spots = drawn_to(spots, fresh, near, np.linalg.norm(near - spots, axis=1) < 0.9 * step)
    said.risky(
        "model-redrawn",
        f"{why}. A new skin was drawn around it, fine to a {grid}th of its size; "
        "thinner details and narrow gaps are lost.",
        "Look at the picture. A model that is one closed surface keeps all its details.",
    )
    if lost > BIG:
        said.risky(
            "model-parts-apart",
            f"Some parts do not touch the largest one and were left out: {100 * lost:.0f} % of "
            "the surface.",
            "Move them together in a 3D program, so that they overlap.",
        )
    return spots, fresh


def _outer(vertices: Points, faces: Indices, part: Indices) -> np.ndarray:
    """(p,) True for each part that is an outside and not the wall of a hollow."""
    corners = vertices[faces]
    each = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2]))
    return np.asarray(np.bincount(part, each) > 0)


def _lids(
    vertices: Points, faces: Indices, wish: Wish | None, said: _Said
) -> tuple[Points, Indices, tuple[Opening, ...]]:
    """Openings closed that are to be; said here are only the tiny ones, in parts of the size."""
    spots, closed, found = with_lids(vertices, faces, wish)
    if wish == "close" and any(not opening.tiny for opening in found):
        corners = spots[closed]
        room = np.einsum("ij,ij->", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])) / 6
        if abs(room) < EMPTY * float(_areas(spots, closed).sum()) ** 1.5:
            said.risky(
                "model-not-closed",
                "Closed at its openings the model would enclose no room; they were kept.",
                "Give it thickness in a 3D program, or leave the openings as they are.",
            )
            spots, closed, found = with_lids(vertices, faces, "keep")
    tiny = [opening.width for opening in found if opening.tiny]
    if tiny:
        said.note(
            "model-holes-closed",
            f"{len(tiny)} small {'hole was' if len(tiny) == 1 else 'holes were'} closed, the "
            f"largest {100 * max(tiny):.1g} % of the model's size.",
        )
    return spots, closed, found
