"""The predicted shape: lengths kept, bodies apart, any start, same result; exact solids."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as examples
from hypothesis import strategies as st

from airweft.base.progress import Progress, Stopped
from airweft.net.fabric import weave
from airweft.net.seams import add_loops
from airweft.records.arrays import points, whole
from airweft.records.design import Box, Sheet, Tube
from airweft.records.net import Net
from airweft.records.shape import Shape
from airweft.shape.joints import wants_of
from airweft.shape.model import contacts_near, springs_of
from airweft.shape.predict import predict
from airweft.shape.rigidity import rigidity
from airweft.shape.settings import Settings
from tests.shape.nets import bars, disturbed, woven
from tests.solids import SOLIDS, Solid, solid_mesh

BOX = Box(across=6, deep=6, high=6)
FORMS = [
    BOX,
    Box(across=6, deep=4, high=8, open=("top",)),
    Tube(around=12, rows=12),
    Sheet(columns=8, rows=6),
]


def facing_pairs(shape: Shape, net: Net) -> float:
    """Deepest overlap by comparing every ball with every other: a plain twin."""
    spots, worst = shape.positions, 0.0
    for i, k in combinations(range(net.bubble_count), 2):
        if set(net.ends[i].tolist()) & set(net.ends[k].tolist()):
            continue
        for s, g in ((0.25, 0.5**0.5), (0.5, 1.0), (0.75, 0.5**0.5)):
            for t, h in ((0.25, 0.5**0.5), (0.5, 1.0), (0.75, 0.5**0.5)):
                p = (1 - s) * spots[net.ends[i, 0]] + s * spots[net.ends[i, 1]]
                q = (1 - t) * spots[net.ends[k, 0]] + t * spots[net.ends[k, 1]]
                touch = (shape.diameters[i] * g + shape.diameters[k] * h) / 2
                broad = (shape.diameters[i] + shape.diameters[k]) / 2
                worst = max(worst, float(touch - np.linalg.norm(p - q)) / broad)
    return worst


def lengths_of(shape: Shape, net: Net) -> np.ndarray:
    d = shape.positions[net.ends[:, 0]] - shape.positions[net.ends[:, 1]]
    return np.sqrt((d**2).sum(axis=1))


@pytest.mark.parametrize("stand", ["table", "hang", "free"])
@pytest.mark.parametrize("form", FORMS, ids=lambda form: type(form).__name__)
@pytest.mark.parametrize("noise", [0.0, 0.3])
def test_fabric_keeps_lengths_and_bodies_apart(form: Any, noise: float, stand: Any) -> None:
    net = disturbed(woven(form), noise, 3)
    shape = predict(net, diameter_mm=50.8, stand=stand)
    off = np.abs(lengths_of(shape, net) / 25 - 1)
    assert off.mean() < 0.01 and off.max() < 0.02
    assert shape.length_error == pytest.approx((off.max(), off.mean()), abs=1e-3)
    assert shape.worst_overlap < 0.05 and not shape.overlaps
    assert not shape.positions.flags.writeable
    assert not [f for f in shape.findings if f.severity == "cannot"]


def test_overlap_is_what_comparing_all_with_all_gives() -> None:
    # Two squares of bubbles, one a fifth of a bubble length over the other, held by nothing else:
    # with a single step they stay where they are.
    square = np.array([(0, 0, 0), (1, 0, 0), (1, 1, 0), (0, 1, 0)], dtype=float)
    net = bars(
        np.concatenate([square, square + np.array([0.2, 0.1, 0.3])]),
        [(0, 1), (1, 2), (2, 3), (3, 0), (4, 5), (5, 6), (6, 7), (7, 4)],
    )
    quick = Settings(steps=1, corrections=0, jitter=0)
    shape = predict(net, diameter_mm=15, stand="free", settings=quick)
    assert shape.worst_overlap == pytest.approx(facing_pairs(shape, net), abs=2e-3)
    assert shape.overlaps and "bubbles-crowded" in {f.code for f in shape.findings}
    settled = predict(net, diameter_mm=15, stand="free")
    assert facing_pairs(settled, net) < 0.05 and not settled.overlaps


def test_contacts_of_many_lengths_are_all_found() -> None:
    chance = np.random.default_rng(2)
    spots = chance.uniform(0, 4, (60, 3))
    ends = np.arange(60).reshape(-1, 2)
    lengths = np.where(np.arange(30) % 9 == 0, 4.0, 1.0)
    radii = np.where(np.arange(30) % 7 == 0, 1.2, 0.3)
    net = bars(spots, [(int(a), int(b)) for a, b in ends])
    settings = Settings()
    springs = springs_of(ends, lengths, radii, wants_of(net, spots, ends), 60, settings)
    near = contacts_near(springs, spots, settings)
    found = {tuple(pair) for pair in near.bubbles.tolist()}
    balls, sizes = springs.balls @ spots, springs.ball_radii
    for i, k in combinations(range(90), 2):
        if i // 3 != k // 3 and np.linalg.norm(balls[i] - balls[k]) < sizes[i] + sizes[k]:
            assert (i // 3, k // 3) in found


def test_the_box_bulges() -> None:
    # Six bubbles lie 6 / sqrt 2 = 4.24 lengths wide while flat.
    shape = predict(woven(BOX), diameter_mm=50.8, stand="free")
    assert np.ptp(shape.positions, axis=0) / 25 == pytest.approx(np.full(3, 5.2), abs=0.2)
    assert shape.width == pytest.approx(shape.depth, rel=0.01)


def test_disturbed_starts_come_to_one_shape() -> None:
    net = woven(BOX)
    apart = []
    for seed in range(3):
        shape = predict(disturbed(net, 0.25, seed), diameter_mm=50.8, stand="free", seed=seed)
        across = shape.positions[:, None] - shape.positions[None]
        apart.append(np.sqrt((across**2).sum(axis=2)) / 25)
    assert max(float(np.abs(a - apart[0]).mean()) for a in apart[1:]) < 0.01


def test_a_sheet_lies_flat_and_does_not_explode() -> None:
    shape = predict(woven(Sheet(columns=10, rows=10)), diameter_mm=50.8, stand="free")
    assert np.ptp(shape.positions, axis=0) / 25 == pytest.approx([50**0.5, 0, 50**0.5], abs=0.1)


def test_same_start_same_numbers() -> None:
    net = disturbed(woven(BOX), 0.2, 1)
    one, two = (predict(net, diameter_mm=50.8, seed=4) for _ in range(2))
    assert one.positions.tobytes() == two.positions.tobytes() and one == replace(
        two, positions=one.positions
    )


def test_on_a_table_the_lowest_bubble_touches_it_and_a_hung_piece_hangs() -> None:
    net = woven(BOX)
    table = predict(net, diameter_mm=50.8)
    hung = predict(net, diameter_mm=50.8, stand="hang")
    assert hung.held and table.height < hung.height
    assert set(hung.held) <= set(np.flatnonzero(net.joints[:, 2] > 80).tolist())


def test_loops_sit_outside_as_round_bubbles() -> None:
    net = add_loops(woven(Box(across=6, deep=6, high=6, open=("top",))))
    shape = predict(net, diameter_mm=50.8)
    assert len(shape.positions) == net.joint_count
    assert shape.worst_overlap < 0.05
    plain = predict(woven(Box(across=6, deep=6, high=6, open=("top",))), diameter_mm=50.8)
    assert shape.width > plain.width * 0.9


def test_a_free_bubble_stands_off() -> None:
    box = SOLIDS["octahedron"]
    spots = np.concatenate([box.positions, box.positions[:1] * 2.4])
    net = bars(spots, [*box.edges, (0, 6)])
    net = replace(net, kinds=(*net.kinds[:-1], "free"))
    shape = predict(net, diameter_mm=10, stand="free")
    out = shape.positions[6] - shape.positions[0]
    away = shape.positions[0] - shape.positions[:6].mean(axis=0)
    assert out @ away / np.linalg.norm(out) / np.linalg.norm(away) > 0.99


ALL_TRIANGLES = ["tetrahedron", "octahedron", "icosahedron"]
EXACT = Settings(bend=0, rest=1e-9, steps=20000, corrections=0)
# Circumradius and dihedral angle at edge 1: CRC Standard Mathematical Tables, by the closed forms
# sqrt 6 / 4, sqrt 2 / 2, sqrt(phi sqrt 5) / 2; acos 1/3, acos -1/3, acos -sqrt 5/3.
RADII = {"tetrahedron": 6**0.5 / 4, "octahedron": 2**0.5 / 2, "icosahedron": 0.9510565162951535}
COSINES = {"tetrahedron": 1 / 3, "octahedron": -1 / 3, "icosahedron": -(5**0.5) / 3}


def unrounded(net: Net, *, seed: int, settings: Settings) -> np.ndarray:
    """Positions at edge 1, not rounded to thousandths of a mm: bubbles of 10 m do that."""
    big = replace(
        net,
        joints=points(net.joints * 400),
        lengths=whole(net.lengths * 400),
    )
    return (
        predict(big, diameter_mm=1, stand="free", seed=seed, settings=settings).positions / 10_000
    )


def dihedral_cosines(spots: np.ndarray, solid: Solid) -> np.ndarray:
    normal = {}
    for face in solid.faces:
        ring = spots[list(face)]
        up = np.cross(ring[1] - ring[0], ring[2] - ring[0])
        for a, b in zip(face, (*face[1:], face[0]), strict=True):
            normal[a, b] = up / np.linalg.norm(up)
    return np.array([-float(normal[e] @ normal[e[1], e[0]]) for e in solid.edges])


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("name", ALL_TRIANGLES)
def test_all_triangle_solids_come_out_exactly(name: str, seed: int) -> None:
    solid = SOLIDS[name]
    net = disturbed(bars(solid.positions, solid.edges), 0.12, seed)
    spots = unrounded(net, seed=seed, settings=EXACT)
    radii = np.linalg.norm(spots - spots.mean(axis=0), axis=1)
    assert radii == pytest.approx(np.full(len(radii), RADII[name]), abs=1e-6)
    assert dihedral_cosines(spots, solid) == pytest.approx(
        np.full(len(solid.edges), COSINES[name]), abs=1e-6
    )


@pytest.mark.parametrize("name", SOLIDS)
def test_every_solid_keeps_its_lengths_from_a_disturbed_start(name: str) -> None:
    # Only the all-triangle solids are fixed by their lengths: for the others compare lengths only.
    solid = SOLIDS[name]
    net = disturbed(bars(solid.positions, solid.edges), 0.1, 7)
    fine = Settings(bend=0, rest=1e-8, steps=20000, corrections=0)
    shape = predict(net, diameter_mm=1, stand="free", settings=fine)
    assert lengths_of(shape, net) == pytest.approx(np.full(len(solid.edges), 25.0), abs=2e-3)


@pytest.mark.parametrize("name", ["tetrahedron", "cube", "icosahedron", "truncated icosahedron"])
def test_frames_stay_as_drawn_and_keep_descartes(name: str) -> None:
    solid = SOLIDS[name]
    net = bars(solid.positions, solid.edges)
    spots = predict(net, diameter_mm=5, stand="free").positions
    lack = 0.0  # Descartes: the angles lack 720 degrees around all corners together
    for corner in range(len(spots)):
        lack += 360
        for face in solid.faces:
            if corner in face:
                at = face.index(corner)
                u = spots[face[at - 1]] - spots[corner]
                v = spots[face[(at + 1) % len(face)]] - spots[corner]
                lack -= np.degrees(np.arccos(u @ v / np.linalg.norm(u) / np.linalg.norm(v)))
    assert lack == pytest.approx(720, abs=0.5)


@pytest.mark.parametrize("name", SOLIDS)
def test_fabric_on_every_solid_settles(name: str) -> None:
    net = weave(solid_mesh(SOLIDS[name], edge_mm=30), bubble=2500, size="260")
    shape = predict(net, diameter_mm=50.8, stand="free")
    assert shape.converged and not shape.findings
    assert shape.length_error[0] < 0.01 and shape.worst_overlap < 0.05
    counted = rigidity(net, shape.positions)
    assert (counted.mechanisms, counted.self_stresses) == (net.joint_count - 6, 0)


def test_same_numbers_whatever_the_hash_seed() -> None:
    code = (
        "import hashlib\n"
        "from tests.shape.nets import woven\n"
        "from airweft.records.design import Box\n"
        "from airweft.shape.predict import predict\n"
        "shape = predict(woven(Box(across=4, deep=4, high=6, open=('top',))), diameter_mm=50.8)\n"
        "text = repr((shape.width, shape.length_error, shape.findings, shape.overlaps))\n"
        "print(hashlib.sha256(shape.positions.tobytes() + text.encode()).hexdigest())\n"
    )
    root = Path(__file__).parents[2]
    done = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(root)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(done) == 1


def absurd() -> dict[str, Net]:
    net = woven(BOX)
    n = net.joint_count
    nowhere = np.full((n, 3), np.nan)
    mixed = net.joints.copy()
    mixed[::5] = np.inf
    mixed[1::7] = 1e300
    lengths = net.lengths.copy()
    lengths[::3] = 0
    long = net.lengths.copy()
    long[5] = 10_000_000
    two = bars(
        [(0, 0, 0), (1, 0, 0), (0, 1, 0), (9, 0, 0), (10, 0, 0), (9, 1, 0)],
        [(0, 1), (1, 2), (2, 0), (3, 4), (4, 5), (5, 3)],
    )
    return {
        "all at one spot": replace(net, joints=points(np.zeros((n, 3)))),
        "no numbers": replace(net, joints=points(nowhere)),
        "some no numbers": replace(net, joints=points(mixed)),
        "no lengths": replace(net, lengths=whole([0] * net.bubble_count)),
        "some no lengths": replace(net, lengths=whole(lengths)),
        "one very long": replace(net, lengths=whole(long)),
        "a thousand times too large": replace(net, joints=points(net.joints * 1000)),
        "a thousand times too small": replace(net, joints=points(net.joints / 1000)),
        "two parts": two,
        "one bubble": bars([(0, 0, 0), (1, 0, 0)], [(0, 1)]),
        "one loop": bars([(0, 0, 0)], [(0, 0)], kind="loop"),
        "a joint alone": bars([(0, 0, 0)], []),
        "nothing": bars(np.zeros((0, 3)), []),
        "ten bubbles between two joints": bars([(0, 0, 0), (1, 0, 0)], [(0, 1)] * 10),
        "forty at one joint": bars([(0, 0, 0)] * 41, [(0, k) for k in range(1, 41)]),
        "all in a line": bars([(k, 0, 0) for k in range(9)], [(k, k + 1) for k in range(8)]),
    }


@pytest.mark.parametrize("name", list(absurd()))
@pytest.mark.parametrize("stand", ["table", "hang"])
def test_absurd_nets_get_a_shape_and_findings(name: str, stand: Any) -> None:
    net = absurd()[name]
    few = Settings(steps=120, corrections=1)
    shape = predict(net, diameter_mm=50.8, stand=stand, settings=few)
    assert shape.positions.shape == (net.joint_count, 3)
    assert np.isfinite(shape.positions).all()
    assert all(np.isfinite(x) for x in (shape.width, shape.depth, shape.height))
    assert shape.findings or name in {
        "one bubble",
        "one loop",
        "all in a line",
        "a thousand times too large",
        "a thousand times too small",
        "forty at one joint",
        "ten bubbles between two joints",
    }
    for finding in shape.findings:
        assert finding.where and finding.message and finding.remedy


@pytest.mark.parametrize("broad", [0.0, -5.0, 1e9, float("nan"), float("inf")])
def test_absurd_diameters_do_no_harm(broad: float) -> None:
    shape = predict(woven(BOX), diameter_mm=broad, settings=Settings(steps=300))
    assert np.isfinite(shape.positions).all() and np.isfinite(shape.width)


@examples(max_examples=25, deadline=None)
@given(
    spots=st.lists(
        st.tuples(*[st.floats(-1e4, 1e4, allow_nan=False)] * 3), min_size=2, max_size=12
    ),
    data=st.data(),
)
def test_any_net_gets_a_finite_shape(spots: list[Any], data: st.DataObject) -> None:
    index = st.integers(0, len(spots) - 1)
    ends = data.draw(st.lists(st.tuples(index, index), min_size=1, max_size=20))
    net = bars(spots, ends)
    net = replace(net, kinds=tuple("loop" if a == b else "frame" for a, b in ends))
    shape = predict(net, diameter_mm=50.8, settings=Settings(steps=150))
    assert np.isfinite(shape.positions).all()


def test_it_can_be_stopped() -> None:
    progress = Progress()
    progress.stop()
    with pytest.raises(Stopped):
        predict(woven(BOX), diameter_mm=50.8, progress=progress)


@pytest.mark.parametrize(
    "wrong", [{"bend": -1}, {"contact": 0}, {"steps": 0}, {"plump": float("nan")}]
)
def test_settings_out_of_range_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match=next(iter(wrong))):
        Settings(**wrong)
