"""Views: kept while they show the work, turned when they do not, with an inset for the rest."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import numpy as np
import pytest

from airweft.draw.body import bodies_of, draw_order, outlines
from airweft.draw.camera import Camera
from airweft.draw.cover import cover
from airweft.draw.picture import piece
from airweft.draw.view import CAMERAS, FRONT, LEAST, Sight, Viewer, best_view, said, step_views
from airweft.draw.visible import visible_shares
from airweft.records.arrays import points
from airweft.records.net import Net
from tests.draw.pieces import PALETTE, PIECES, cube, loose, sheet, tube

ROW = 12


def by_panels(net: Net) -> list[list[int]]:
    """Steps of one panel row after the other."""
    order = sorted(
        range(net.bubble_count),
        key=lambda i: (
            net.panels.index(net.bubble_panels[i]) if net.panels else 0,
            net.places[i, 1],
            i,
        ),
    )
    return [order[k : k + ROW] for k in range(0, len(order), ROW)]


def by_height(net: Net) -> list[list[int]]:
    """Steps from the table upwards, right round the piece."""
    height = net.joints[net.ends].mean(axis=1)[:, 2]
    order = np.argsort(np.round(height, 6), kind="stable").tolist()
    return [order[k : k + ROW] for k in range(0, len(order), ROW)]


@pytest.mark.parametrize("name", PIECES)
@pytest.mark.parametrize("order", [by_panels, by_height])
def test_every_new_bubble_shows_in_view_or_inset(name: str, order) -> None:  # type: ignore[no-untyped-def]
    net = PIECES[name]()
    steps = order(net)
    views = step_views(net, steps)
    assert len(views) == len(steps)
    body = bodies_of(net)
    present: list[int] = []
    for new, view in zip(steps, views, strict=True):
        present += new
        shares = [
            visible_shares(outlines(body, camera), present, new)
            for camera in (view.camera, view.inset)
            if camera is not None
        ]
        best = np.max(shares, axis=0)
        assert view.least_visible == pytest.approx(float(best.min()))
        assert view.share_visible == pytest.approx(float(shares[0].mean()))
        assert best.min() >= 0.1
        assert (best >= LEAST).mean() >= 0.75
        assert (view.inset is None) == (view.inset_words == "")


def test_few_turns() -> None:
    for make in (cube, tube):
        net = make()
        steps = by_panels(net)
        turns = sum(view.turned for view in step_views(net, steps))
        assert turns <= len(steps) // 2


def test_a_camera_is_kept_while_it_shows_the_work() -> None:
    net = sheet()
    own = Camera(turn=0.1, tilt=0.3)
    view = best_view(net, range(20), range(12, 20), own)
    assert view.camera == own
    assert not view.turned
    assert view.inset is None
    assert view.share_visible > 0.6


def test_the_piece_is_turned_for_work_on_its_back() -> None:
    net = cube()
    new = [i for i, panel in enumerate(net.bubble_panels) if panel == "back"][6:18]
    view = best_view(net, range(net.bubble_count), new, FRONT)
    assert view.turned
    assert view.words.startswith("from the back")
    assert view.least_visible >= LEAST
    # The first picture of all is not announced as a turn.
    assert not best_view(net, range(net.bubble_count), new).turned


def test_work_on_both_sides_asks_for_an_inset() -> None:
    net = cube()
    new = [
        i
        for i, panel in enumerate(net.bubble_panels)
        if panel in ("front", "back") and net.places[i].tolist() in ([2, 2], [3, 3])
    ]
    assert len(new) == 4
    view = best_view(net, range(net.bubble_count), new, FRONT)
    assert view.inset is not None
    assert view.inset_words
    assert view.least_visible >= LEAST
    sides = {view.words.split(",")[0], view.inset_words.split(",")[0]}
    assert sides == {"from the front", "from the back"}


def test_sample_points_agree_with_the_filled_grid() -> None:
    net = tube()
    shape = outlines(bodies_of(net), CAMERAS[0])
    found = cover(shape, draw_order(shape))
    every = list(range(net.bubble_count))
    shares = visible_shares(shape, every, every)
    weight = np.where((shape.facing != 0) & (shape.facing < 0.08), 0.5, 1.0)
    error = np.abs(shares / weight - found.share)
    assert error.mean() < 0.05
    assert error.max() < 0.25


def test_nothing_new_and_nothing_at_all() -> None:
    view = best_view(cube(), range(9), ())
    assert view.camera == FRONT and view.share_visible == 1.0
    assert step_views(cube(), []) == ()
    empty = loose([], [])
    assert step_views(empty, [[]])[0].camera == FRONT


@pytest.mark.parametrize(
    ("turn", "tilt", "words"),
    [
        (0, 0, "from the front"),
        (25, 24, "from the front, a little from the right and above"),
        (-25, 24, "from the front, a little from the left and above"),
        (65, 24, "from the right, a little from the front and above"),
        (115, -24, "from the right, a little from the back and below"),
        (-65, 50, "from the left, a little from the front, from above"),
        (180, 0, "from the back"),
        (45, 24, "from the front right corner, a little above"),
        (135, 0, "from the back right corner"),
        (-135, 0, "from the back left corner"),
        (0, 20, "from the front, a little above"),
        (12, 90, "from straight above"),
        (12, -90, "from straight below"),
        (365, 0, "from the front"),
    ],
)
def test_words(turn: float, tilt: float, words: str) -> None:
    assert said(Camera(turn=radians(turn), tilt=radians(tilt))) == words


def test_every_camera_has_its_own_words() -> None:
    words = [said(camera) for camera in CAMERAS]
    assert len(set(words)) == len(words)


@pytest.mark.parametrize("name", ["cube", "tube", "letter"])
def test_views_and_pictures_do_not_hang_on_the_last_bit(name: str) -> None:
    """Positions that differ by rounding, as between machines, give the same choices and bytes."""
    net = PIECES[name]()
    net = replace(net, joints=points(np.round(np.asarray(net.joints), 3)))
    steps = by_height(net)
    for seed in (1, 2):
        wind = np.random.default_rng(seed).uniform(-1e-9, 1e-9, net.joints.shape)
        other = replace(net, joints=points(np.asarray(net.joints) + wind))
        assert step_views(other, steps) == step_views(net, steps)
        assert piece(other, PALETTE, FRONT) == piece(net, PALETTE, FRONT)


def test_all_steps_at_once_turn_no_oftener_than_one_by_one() -> None:
    for make in (cube, tube):
        net = make()
        steps = by_panels(net)
        present: list[int] = []
        camera, turns = None, 0
        for new in steps:
            present += new
            view = best_view(net, present, new, camera)
            turns, camera = turns + view.turned, view.camera
        assert sum(view.turned for view in step_views(net, steps)) <= turns


def test_work_out_of_sight_of_what_stood_before_is_no_turn() -> None:
    net = cube()
    sides = [
        [i for i, p in enumerate(net.bubble_panels) if p == side] for side in ("front", "back")
    ]
    seen = Viewer(net).views([Sight(sides[0], sides[0]), Sight(sides[1], sides[1], True)])
    assert not seen[1].turned and seen[1].camera != seen[0].camera
    seen = Viewer(net).views([Sight(sides[0], sides[0]), Sight(range(216), sides[1])])
    assert seen[1].turned
