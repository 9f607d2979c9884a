"""The page of the plan: what it says by a simulated user."""

from __future__ import annotations

import asyncio
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from nicegui import ElementFilter
from nicegui.testing import User

from airweft.base.findings import Finding
from airweft.design.setting import with_key
from airweft.plan.comfort import WEIGHTS, weights_of
from airweft.web.frame import Frame
from airweft.web.kit import Words
from airweft.web.pages import plan
from airweft.web.pages.plan_words import MEASURES, STYLES, label
from airweft.workshop import tasks
from airweft.workshop.by_hand import fixed_choices
from airweft.workshop.desk import Desk
from airweft.workshop.planner import planner_of
from airweft.workshop.side_by_side import NotFor, Row
from airweft.workshop.starter import starter_text
from airweft.workshop.store.store import Store
from airweft.workshop.weighing import reweighed
from tests.web.test_frame import press, use

# Seconds for the first plan of a process, which may have to compile the loops of a new version.
COMPILED = 300


@pytest.fixture(scope="module", autouse=True)
def processes() -> Iterator[None]:
    """One process does all the work; the next module starts its own pool."""
    yield
    tasks.close()
    tasks._pool = tasks.Pool(1)


@pytest.fixture(scope="module")
def rows(tmp_path_factory: pytest.TempPathFactory) -> tuple[Row | NotFor, ...]:
    """Every style of the smallest box, compared by the real work."""
    desk = desk_of(tmp_path_factory.mktemp("rows"))
    assert planner_of(desk).compare().wait(COMPILED)
    found = until(lambda: planner_of(desk).rows)
    assert len([row for row in found if isinstance(row, Row)]) > 1
    return found  # type: ignore[no-any-return]


def desk_of(home: Path, *keys: tuple[tuple[str, ...], object]) -> Desk:
    text = starter_text("box")
    for path, value in keys:
        text = with_key(text, path, value)
    store = Store(home / "home")
    desk = store.open(store.new(text).key)
    desk_of.kept.append(store)  # type: ignore[attr-defined]
    return desk


desk_of.kept = []  # type: ignore[attr-defined]


def until(what: Callable[[], Any]) -> Any:
    """What comes from another thread a moment later."""
    import time

    for _ in range(200):
        found = what()
        if found:
            return found
        time.sleep(0.05)
    raise AssertionError("it never came")


def planned(desk: Desk) -> None:
    assert planner_of(desk).plan().wait(COMPILED)
    until(lambda: planner_of(desk).doing is None)
    assert desk.plan is not None and not desk.plan_text_changes


def shown(desk: Desk) -> Callable[[], None]:
    def page() -> None:
        frame = Frame(desk, "plan")
        with frame:
            plan.page(desk, frame)

    return page


def test_an_unplanned_piece_says_what_a_plan_is(tmp_path: Path) -> None:
    async def deed(user: User) -> None:
        await user.should_see("There is no plan yet")
        await user.should_see("Compare the ways")
        with user:
            names = [one.text for one in ElementFilter(kind=Words)]
        assert names.count("Compare the ways") == 1
        await user.should_see("CHOKING HAZARD")

    use(shown(desk_of(tmp_path)), deed)


def test_the_words_cover_every_measure_that_can_be_weighed() -> None:
    assert sorted(measure.name for measure in MEASURES) == sorted(WEIGHTS)


def test_the_ways_are_weighed_anew_without_planning(
    tmp_path: Path, rows: tuple[Row | NotFor, ...]
) -> None:
    found = [row for row in rows if isinstance(row, Row)]
    for name in WEIGHTS:
        only = {other: 0 for other in WEIGHTS} | {name: 1}
        desk = desk_of(tmp_path / name, (("plan", "weights"), only))
        assert desk.design is not None
        again = [r for r in reweighed(rows, desk.design) if isinstance(r, Row)]
        measure = next(m for m in MEASURES if m.name == name)
        best = next(row for row in again if row.best)
        assert sum(row.best for row in again) == 1
        assert measure.figure(best) == min(measure.figure(row) for row in found)
    desk = desk_of(tmp_path / "usual")
    assert desk.design is not None and weights_of(desk.design.choices.weights) == WEIGHTS
    # As the comparison itself weighed them.
    assert reweighed(rows, desk.design) == rows


def test_the_page_shows_every_way_and_keeps_the_choice(tmp_path: Path) -> None:
    desk = desk_of(tmp_path)
    planner = planner_of(desk)
    assert planner.compare().wait(COMPILED)
    found = [row for row in until(lambda: planner.rows) if isinstance(row, Row)]
    style = found[0].style

    async def deed(user: User) -> None:
        for row in found:
            await user.should_see(f"Choose {label(row)}")
        await user.should_see("best by your weights")
        await user.should_see("Balloons against minutes")
        press(user, f"Choose {label(found[0])}")
        await user.should_see(f"Chosen: {label(found[0])}")

    use(shown(desk), deed)
    assert tomllib.loads(desk.text)["plan"] == {"style": style}
    until(lambda: planner.doing is None)
    assert desk.plan is not None and desk.plan.style == style and not desk.plan_text_changes
    # The plan that is made is the one that was shown.
    assert len(desk.plan.balloons) == found[0].balloons
    # One press takes choice and plan back, and one brings both again.
    assert desk.undo() == f"Choose {STYLES[style][0]}"
    assert "plan" not in tomllib.loads(desk.text) and desk.plan is None
    desk.redo()
    assert tomllib.loads(desk.text)["plan"] == {"style": style} and not desk.plan_text_changes
    assert desk.plan is not None and desk.plan.style == style


def test_a_stale_plan_names_what_changed(tmp_path: Path) -> None:
    desk = desk_of(tmp_path)
    planned(desk)
    use(shown(desk), lambda user: user.should_see("The plan is ready"))
    across = tomllib.loads(desk.text)["form"]["across"]
    desk.set(("form", "across"), across + 2, gesture="Wider")

    async def deed(user: User) -> None:
        await user.should_see("The plan is out of date")
        await user.should_see(f"form: across {across} -> {across + 2}")
        await user.should_see("Plan again")

    use(shown(desk), deed)


def test_rows_go_out_of_date_with_the_form_but_not_with_weights(tmp_path: Path) -> None:
    desk = desk_of(tmp_path)
    planner = planner_of(desk)
    assert planner.compare().wait(COMPILED)
    until(lambda: planner.rows)
    desk.set(("plan", "weights", "lines"), 7, gesture="Weight")
    desk.set(("plan", "style"), "rounds", gesture="Choose")
    desk.set(("plan", "weights", "lines"), 8, gesture="Weight")
    assert not planner.rows_changes
    across = tomllib.loads(desk.text)["form"]["across"]
    desk.set(("form", "across"), across + 2, gesture="Wider")
    assert planner.rows_changes == (f"form: across {across} -> {across + 2}",)


def test_fixed_choices_say_whether_they_are_kept(tmp_path: Path) -> None:
    net = desk_of(tmp_path / "look").net
    assert net is not None
    there = net.joint_names[0]
    kept = {"toward": [there, net.joint_names[-1]]}
    desk = desk_of(
        tmp_path,
        (("plan", "start"), there),
        (("plan", "keep"), [{"trail": ["nowhere 1", "nowhere 2"]}, kept]),
    )
    assert desk.design is not None
    before = fixed_choices(desk.text, desk.design, desk.net, None)
    assert [choice.place for choice in before] == [None, 0, 1]
    # What the piece cannot keep is known before there is a plan.
    assert [choice.impossible for choice in before] == [False, True, False]
    planned(desk)
    found = fixed_choices(desk.text, desk.design, desk.net, desk.plan)
    assert found[1].impossible and found[0].finding is None

    async def deed(user: User) -> None:
        await user.should_see("One balloon makes nowhere 1 and straight after it nowhere 2")
        await user.should_see("cannot be kept")
        await user.should_see(f"The first knot is at {there}")
        press(user, "Remove: trail nowhere 1, nowhere 2")
        for _ in range(100):
            await asyncio.sleep(0.05)
            if tomllib.loads(desk.text)["plan"]["keep"] == [kept]:
                break

    use(shown(desk), deed)
    assert tomllib.loads(desk.text)["plan"]["keep"] == [kept]


def test_a_search_ended_early_says_so_and_goes_on(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, (("plan", "style"), "rounds"))
    planned(desk)
    done = desk.plan
    assert done is not None
    desk.keep_plan(replace(done, ended_early=True))

    async def deed(user: User) -> None:
        await user.should_see("The search was ended early")
        await user.should_not_see("Search longer")
        press(user, "Go on searching")
        for _ in range(200):
            await asyncio.sleep(0.05)
            if desk.plan is not None and not desk.plan.ended_early:
                break

    use(shown(desk), deed)
    assert desk.plan is not None and not desk.plan.ended_early
    assert len(desk.plan.balloons) <= len(done.balloons)
    use(shown(desk), lambda user: user.should_not_see("The search was ended early"))


def test_choices_that_are_not_kept_are_named_beside_the_plan(tmp_path: Path) -> None:
    desk = desk_of(tmp_path, (("plan", "style"), "rounds"))
    planned(desk)
    plan, net = desk.plan, desk.net
    assert plan is not None and net is not None
    first = next(a.joint for a in plan.actions if a.do in ("tie", "start"))
    other = next(name for j, name in enumerate(net.joint_names) if j != first)
    desk.set(("plan", "start"), other, gesture="Start")

    async def before(user: User) -> None:
        await user.should_see("the style rounds does not work by fixed choices")
        await user.should_see("The plan is out of date")
        await user.should_see(f"plan: start none -> {other}")

    use(shown(desk), before)
    planned(desk)

    async def after(user: User) -> None:
        await user.should_see(f"Not kept of your fixed choices: start {other}.")
        await user.should_see("not kept")

    use(shown(desk), after)


def test_a_style_left_out_is_named_among_the_ways(
    tmp_path: Path, rows: tuple[Row | NotFor, ...]
) -> None:
    desk = desk_of(tmp_path)
    planner = planner_of(desk)
    bad = Finding(
        code="plan-style-failed", severity="cannot", where="style pairs",
        message="airweft came upon a fault of its own", remedy="Report it.",
    )  # fmt: skip
    planner._rows = (*rows, NotFor("pairs", (bad,), fault=True), NotFor("parts", (), ended=True))
    planner._text, planner._net = desk.text, desk.net

    async def deed(user: User) -> None:
        await user.should_see("left out: a fault of airweft")
        await user.should_see("airweft came upon a fault of its own")
        await user.should_see("not reached")

    use(shown(desk), deed)


def test_a_design_that_cannot_be_read_cannot_be_planned(tmp_path: Path) -> None:
    desk = desk_of(tmp_path)
    desk.replace("airweft = 1\n[form", gesture="Break")

    async def deed(user: User) -> None:
        await user.should_see("There is no plan yet")

    use(shown(desk), deed)
