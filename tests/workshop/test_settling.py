"""The shape that a piece will take, worked out while its design is being changed."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from airweft.workshop.desk import Desk
from airweft.workshop.settled import stand_of
from airweft.workshop.settling import Settling, settling_of
from airweft.workshop.store.store import Store
from tests.workshop.pieces import SMALL, box_text


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    store = Store(tmp_path / "home")
    return store.open(store.new(box_text(4)).key)


def state(of: Settling) -> str:
    return of.state


def until(true: Callable[[], object]) -> None:
    end = time.monotonic() + 60
    while not true():
        assert time.monotonic() < end
        time.sleep(0.02)


def test_it_is_worked_out_and_kept_at_the_desk(desk: Desk) -> None:
    told: list[str] = []
    desk.listen(told.append)
    settling = settling_of(desk)
    assert settling is settling_of(desk)
    assert state(settling) == "wanted" and settling.at_once
    settling.start()
    assert state(settling) == "working"
    settling.start()  # once is enough
    until(lambda: state(settling) == "known")
    assert told == ["design"]
    settled = desk.settled
    assert settled is not None and settled.shape is not None and settled.standing is not None
    assert settled.standing.stands
    # A colour makes no other shape, a bubble more does.
    desk.set(("colours", "W"), "white", gesture="x")
    desk.paint({"front 1.1": "W"}, gesture="x")
    assert state(settling) == "known"
    again = desk.settled
    assert again is not None and "W" in again.net.colours
    desk.set(("form", "high"), 6, gesture="x")
    assert state(settling) == "wanted" and desk.settled is None
    desk.undo()
    assert state(settling) == "known"


def test_hanging_is_another_shape_than_standing(desk: Desk) -> None:
    settling = settling_of(desk)
    settling.start()
    until(lambda: state(settling) == "known")
    desk.set(("placed",), "hanging", gesture="x")
    assert state(settling) == "wanted" and desk.settled is None
    settling.start()
    until(lambda: state(settling) == "known")
    assert desk.settled is not None and desk.settled.shape is not None
    assert desk.settled.shape.stand == "hang" and desk.design is not None
    assert stand_of(desk.design) == "hang"


def test_work_on_an_earlier_state_is_left(desk: Desk) -> None:
    settling = settling_of(desk)
    settling.start()
    desk.set(("form", "high"), 6, gesture="x")
    assert state(settling) == "wanted"
    settling.start()
    until(lambda: state(settling) == "known")
    assert desk.settled is not None and desk.net is not None
    assert desk.settled.net.joint_names == desk.net.joint_names
    assert not np.array_equal(desk.settled.net.joints, desk.net.joints)


def test_what_cannot_be_woven_has_no_shape(desk: Desk) -> None:
    settling = settling_of(desk)
    desk.set(("form", "high"), 5, gesture="x")
    assert not desk.is_woven and state(settling) == "nothing"
    settling.start()
    assert state(settling) == "nothing"
    desk.replace("not a design", gesture="x")
    assert state(settling) == "nothing"


def test_nobody_looking_stops_the_work(desk: Desk) -> None:
    settling = settling_of(desk)
    leave, other = settling.watch(), settling.watch()
    settling.start()
    leave()
    leave()  # told twice is told once
    assert state(settling) == "working"
    other()
    assert state(settling) == "wanted"


def test_a_failure_is_told_until_the_piece_changes(desk: Desk) -> None:
    settling: Settling = settling_of(desk)
    desk.folder.mkdir(exist_ok=True)
    text = SMALL.replace('"sheet"\ncolumns = 4              # an even number\nrows    = 4',
                         '"mesh"\nfile = "gone.obj"\nheight = 20')  # fmt: skip
    desk.replace(text, gesture="x")
    assert state(settling) == "nothing"  # no file, no net
    desk.replace(box_text(4), gesture="x")
    net, design = desk.net, desk.design
    assert net is not None and design is not None
    settling._failed = (net, stand_of(design), desk.notices)
    assert state(settling) == "failed" and settling.findings == ()
    desk.set(("form", "high"), 6, gesture="x")
    assert state(settling) == "wanted"
