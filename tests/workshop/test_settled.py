"""The piece brought into its shape: what stands, what hangs, and what the claims say of it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from airweft.base.progress import Progress
from airweft.costing.air import litres, strokes
from airweft.design.read import design_from_text
from airweft.records.design import Box, Design, NetFile, Sheet, Turned
from airweft.records.net import Net
from airweft.workshop import settled as settling
from airweft.workshop.job import run
from airweft.workshop.settled import Settled, settle
from airweft.workshop.shape import painted_net
from tests.booklet.books import make_book
from tests.workshop.pieces import box_text


def made(form: Box | Sheet) -> tuple[Net, Design]:
    book = make_book(form)
    return book.net, book.design


def settled(net: Net, design: Design) -> Settled:
    return settle(net, design, seed=0, progress=Progress())


def spread(net: Net) -> list[float]:
    """How far the joints reach along x, y and z."""
    return [float(side) for side in net.joints.max(axis=0) - net.joints.min(axis=0)]


def test_a_box_stands_and_bulges() -> None:
    net, design = made(Box(across=6, deep=6, high=6))
    found = settled(net, design)
    assert found.shape is not None and found.shape.stand == "table"
    assert found.standing is not None and found.standing.stands
    assert spread(found.net)[0] > spread(net)[0] and spread(found.net)[1] > spread(net)[1]
    assert found.size_mm is not None
    assert all(out > inner for out, inner in zip(found.size_mm, spread(found.net), strict=True))
    assert found.softness is not None and found.softness.modes
    assert found.net.ends is net.ends and found.net.colours == net.colours


def test_a_sheet_hangs() -> None:
    net, design = made(Sheet(columns=6, rows=6))
    found = settled(net, design)
    assert found.shape is not None and found.shape.stand == "hang" and found.shape.held
    assert found.standing is None
    held = found.net.joints[list(found.shape.held)][:, 2]
    assert float(held.min()) > float(np.median(found.net.joints[:, 2]))


def test_the_design_says_what_hangs_and_what_stands() -> None:
    net, design = made(Box(across=4, deep=4, high=4))
    hung = settled(net, replace(design, placed="hanging"))
    assert hung.shape is not None and hung.shape.stand == "hang" and hung.standing is None
    kept = replace(design, form=NetFile(file="star.net.json", net=net), placed="table")
    stood = settled(net, kept)
    assert stood.shape is not None and stood.shape.stand == "table" and stood.standing is not None


def test_what_falls_over_is_said_once() -> None:
    """A tower that leans far out, set on its foot: one finding, which says how it is shown."""
    net, design = made(Box(across=2, deep=2, high=16))
    leaning = net.joints.copy()
    leaning[:, 0] += 0.9 * leaning[:, 2]
    found = settled(replace(net, joints=leaning), design)
    assert found.standing is not None and not found.standing.stands
    told = [f for f in found.findings if f.code in ("falls-over", "will-not-stand", "no-base")]
    (one,) = told
    assert one.code != "falls-over" and "shown upright" in one.message


def test_a_mushroom_whose_underside_is_pushed_out_is_told() -> None:
    """A flat underside becomes steep: the piece is far higher than drawn, and a note says so."""
    profile = ((5, 0), (5, 18), (14, 16), (13, 22), (7, 28), (0, 30))
    mushroom = Turned(profile=tuple((1000 * r, 1000 * h) for r, h in profile), closed=("bottom",))
    text = box_text().replace("bubble = 2.5", "bubble = 4")
    design = replace(design_from_text(text), form=mushroom, size="260")
    net = painted_net(design)
    found = settled(net, design)
    assert found.shape is not None
    (note,) = [f for f in found.findings if f.code == "another-size"]
    high = float(np.ptp(found.shape.positions[:, 2])) / 10
    assert high > 37.5 and f"{high:.0f} cm" in note.message
    box, as_box = made(Box(across=4, deep=4, high=4))
    assert "another-size" not in {f.code for f in settled(box, as_box).findings}


def test_a_net_from_a_file_keeps_its_turn() -> None:
    """Reckoned without weight: turned by any angle it comes out turned by that angle."""
    net, design = made(Box(across=4, deep=4, high=4))
    design = replace(design, form=NetFile(file="star.net.json", net=net))
    c, s = np.cos(0.7), np.sin(0.7)
    turn = np.array([[1, 0, 0], [0, c, -s], [0, s, c]])
    tilted = replace(net, joints=net.joints @ turn.T)
    found = settled(tilted, design)
    assert found.shape is not None and found.shape.stand == "free"
    assert found.standing is None
    # The best turn back onto how it was drawn is no turn (W. Kabsch, Acta Cryst. A32 (1976) 922).
    before = tilted.joints - tilted.joints.mean(axis=0)
    after = found.net.joints - found.net.joints.mean(axis=0)
    u, _, v = np.linalg.svd(after.T @ before)
    assert np.allclose(u @ v, np.eye(3), atol=0.02)


def test_a_piece_too_large_to_settle_is_told_and_kept_as_drawn(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    net, design = made(Box(across=4, deep=4, high=4))
    monkeypatch.setattr(settling, "_MOST_PREDICTED", net.bubble_count - 1)
    found = settled(net, design)
    assert found.net is net
    assert (found.shape, found.standing, found.softness, found.size_mm) == (None,) * 4
    assert [finding.code for finding in found.findings] == ["shape-not-predicted"]
    assert found.weight.latex_g > 0


def test_beyond_a_limit_softness_is_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    net, design = made(Box(across=4, deep=4, high=4))
    monkeypatch.setattr(settling, "_MOST_PRESSED", net.bubble_count - 1)
    found = settled(net, design)
    assert found.shape is not None and found.softness is None


def test_the_claims_are_those_of_the_shape_and_strokes_those_of_the_balloons(
    tmp_path: Path,
) -> None:
    path = tmp_path / "chest.toml"
    path.write_text(box_text(), encoding="utf-8")
    outcome = run(path, tmp_path / "out")
    found, plan = outcome.settled, outcome.plan
    assert plan.claims.size_mm == found.size_mm
    assert found.shape is not None
    assert np.array_equal(plan.net.joints, found.shape.positions)
    air = [litres(b.size, plan.budgets[b.size], b.tail) for b in plan.balloons]
    assert found.weight.strokes == sum(strokes(volume or 0) for volume in air)
    assert found.weight.balloons_g is not None
    assert found.weight.balloons_g > found.weight.latex_g
