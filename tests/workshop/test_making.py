"""The making: progress, what a new plan means for it, and the maker's own pace."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from airweft.base.errors import BadInput
from airweft.base.progress import Progress
from airweft.records.plan import Plan
from airweft.workshop.desk import Desk
from airweft.workshop.planning import checked_plan
from airweft.workshop.store.store import Store
from airweft.workshop.worked import worked

LANTERN = Path(__file__).parents[2] / "examples" / "harbour-lantern.toml"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    one = Store(tmp_path)
    yield one
    one.close()


@pytest.fixture
def desk(store: Store) -> Desk:
    one = store.open(store.new(LANTERN.read_text(encoding="utf-8")).key)
    one.keep_plan(plan_of(one))
    return one


MADE: dict[str, Plan] = {}


def plan_of(desk: Desk) -> Plan:
    design, net = desk.design, desk.net
    assert design is not None and net is not None
    if design.fingerprint not in MADE:
        MADE[design.fingerprint] = checked_plan(
            design, net, style="rounds", seed=0, progress=Progress()
        )[0]
    return MADE[design.fingerprint]


def test_nothing_is_made_without_a_plan(store: Store) -> None:
    making = store.open(store.new(LANTERN.read_text(encoding="utf-8")).key).making
    with pytest.raises(BadInput, match="no plan"):
        making.add_copy()
    assert making.copies == () and making.offers() == () and making.factor() is None


def test_several_copies_each_at_their_own_step(desk: Desk, store: Store) -> None:
    heard: list[str] = []
    desk.listen(heard.append)
    first, second = desk.making.add_copy(), desk.making.add_copy(" For \n Mia ")
    assert (first.name, second.name) == ("Copy 1", "For Mia") and not first.done
    assert desk.making.go(second, 5, 0.0).step == 5
    assert desk.making.go(second, 4, 0.0).step == 4
    assert desk.making.go(first, first.steps, 0.0).done
    for step in (-1, first.steps + 1, True):
        with pytest.raises(BadInput):
            desk.making.go(first, step, 0.0)
    desk.making.rename_copy(first, "Window")
    assert [(c.name, c.step) for c in desk.making.copies] == [
        ("Window", first.steps), ("For Mia", 4),
    ]  # fmt: skip
    desk.making.remove_copy(first)
    with pytest.raises(BadInput):
        desk.making.go(first, 1, 0.0)
    assert set(heard) == {"progress"}


def test_steps_are_the_rows_of_the_plan(desk: Desk) -> None:
    plan = desk.plan
    assert plan is not None
    steps = worked(plan)
    assert steps.steps == len({action.row for action in plan.actions})
    assert steps.made[-1] == plan.net.bubble_count and len(set(steps.points)) == steps.steps + 1
    assert sorted(b for row in steps.bubbles for b in row) == sorted(plan.net.bubble_names)


def test_an_edit_undone_needs_no_offer(desk: Desk) -> None:
    copy = desk.making.go(desk.making.add_copy(), 3, 0.0)
    desk.set(("form", "high"), 10, gesture="Height")
    desk.keep_plan(plan_of(desk))
    assert not desk.making.copies[0].fresh
    with pytest.raises(BadInput, match="another window"):
        desk.making.take(replace(desk.making.offer(copy), reached=2))
    desk.undo()
    assert desk.making.copies[0].fresh and desk.making.offers() == ()


def test_the_same_plan_under_other_codes_goes_on_where_it_was(desk: Desk) -> None:
    old = desk.plan
    assert old is not None
    copy = desk.making.go(desk.making.add_copy(), 7, 0.0)
    code = {b.code: f"Z{n}" for n, b in enumerate(old.balloons)}
    renamed = replace(
        old,
        balloons=tuple(replace(b, code=code[b.code]) for b in old.balloons),
        actions=tuple(replace(a, balloons=tuple(code[c] for c in a.balloons)) for a in old.actions),
    )
    desk.keep_plan(renamed)
    (offer,) = desk.making.offers()
    assert offer.exact and offer.step == 7 and offer.undo == ()
    moved = desk.making.take(offer)
    assert moved.fresh and moved.step == 7
    with pytest.raises(BadInput, match="another window"):
        desk.making.go(copy, 8, 0.0)  # a tab that still shows the old plan


def test_a_change_of_late_rows_keeps_the_early_ones(desk: Desk) -> None:
    old = desk.plan
    assert old is not None
    rows = worked(old).steps
    desk.making.go(desk.making.add_copy(), rows, 0.0)
    # The last balloon in another colour: all rows before it is taken up stay as they were.
    last = old.balloons[-1]
    other = next(b.colour for b in old.balloons if b.colour != last.colour)
    desk.keep_plan(replace(old, balloons=(*old.balloons[:-1], replace(last, colour=other))))
    (offer,) = desk.making.offers()
    first = next(a.row for a in old.actions if last.code in a.balloons)
    assert offer.back_to == offer.step == first - 1 and not offer.exact
    made = [b for row in worked(old).bubbles[first:] for b in row]
    assert sorted(offer.undo) == sorted(made) and f"first {first - 1} of the {rows}" in offer.words


def test_times_are_kept_and_breaks_are_not(desk: Desk, store: Store) -> None:
    making = desk.making
    copy = making.add_copy()
    usual = making.worked(copy.plan).usual
    making.start(copy, 100.0)
    at = 100.0
    for step in range(1, 11):
        at += 1.5 * usual[step]
        copy = making.go(copy, step, at)
    making.pause(copy)
    copy = making.go(copy, 11, at + 5_000)  # after a break
    copy = making.go(copy, 13, at + 5_010)  # jumped
    copy = making.go(copy, 14, at + 5_010.01)  # paged through
    times = making.times()
    assert sorted(times) == [*range(1, 11), 14]
    assert times[3] == pytest.approx((1.5 * usual[3],))
    factor = making.factor()
    assert factor is not None and factor.observations == 10 and factor.left_out == 1
    assert factor.low == pytest.approx(1.5) == factor.high and factor.value == pytest.approx(1.5)
    assert sum(usual) / 60 == pytest.approx(25, abs=15)  # as the plan itself claims
    key = desk.key
    store.bin(key)
    store.erase(key)
    other = store.open(store.new(LANTERN.read_text(encoding="utf-8")).key)
    assert other.making.factor() == factor  # what hands have learnt stays
