"""The page of the plan: what it says by a simulated user, and real clicks on it."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from nicegui import ElementFilter
from nicegui.testing import User

from airweft.design.setting import with_key
from airweft.plan.comfort import WEIGHTS, weights_of
from airweft.web.frame import Frame
from airweft.web.kit import Words
from airweft.web.pages import plan
from airweft.web.pages.plan_words import MEASURES, STYLES, label
from airweft.workshop import tasks
from airweft.workshop.desk import Desk
from airweft.workshop.planner import planner_of
from airweft.workshop.side_by_side import NotFor, Row
from airweft.workshop.starter import starter_text
from airweft.workshop.store.store import Store
from airweft.workshop.weighing import fixed_choices, reweighed
from tests.web.conftest import Running
from tests.web.test_frame import press, use
from tests.web.test_shelf import audit, no_wider_than_the_screen

CORNER = "bottom (1, 1)"


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
    assert planner_of(desk).compare().wait(60)
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
    assert planner_of(desk).plan().wait(60)
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
    assert planner.compare().wait(60)
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
    assert planner.compare().wait(60)
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
    before = fixed_choices(desk.text, desk.design, None)
    assert [choice.place for choice in before] == [None, 0, 1]
    assert all(choice.finding is None for choice in before)
    planned(desk)
    found = fixed_choices(desk.text, desk.design, desk.plan)
    assert found[1].finding is not None and found[0].finding is None

    async def deed(user: User) -> None:
        await user.should_see("Trail nowhere 1, nowhere 2")
        await user.should_see("not kept")
        await user.should_see(f"Start {there}")
        press(user, "Remove: trail nowhere 1, nowhere 2")

    use(shown(desk), deed)
    assert tomllib.loads(desk.text)["plan"]["keep"] == [kept]


def test_a_design_that_cannot_be_read_cannot_be_planned(tmp_path: Path) -> None:
    desk = desk_of(tmp_path)
    desk.replace("airweft = 1\n[form", gesture="Break")

    async def deed(user: User) -> None:
        await user.should_see("There is no plan yet")

    use(shown(desk), deed)


def new_piece(app: Running, look: Callable[..., Any], title: str, size: str = "desktop") -> Any:
    """A page with the plan of a new piece."""
    page = look(f"{app.address}/new", size)
    with page.expect_navigation(url="**/piece/**"):
        page.get_by_role("button", name=title, exact=True).click()
    key = page.url.split("/piece/")[1].split("/")[0]
    page.goto(f"{app.address}/piece/{key}/plan")
    page.set_default_timeout(60_000)
    return page


def test_real_clicks_compare_choose_undo_and_plan_again(
    app: Running, look: Callable[..., Any]
) -> None:
    page = new_piece(app, look, "Box")
    audit(page)
    page.get_by_role("button", name="Compare the ways").first.press("Enter")
    page.locator(".way").first.wait_for()
    audit(page)
    choose = page.locator(".way button:not([disabled])").first
    choose.focus()
    assert choose.evaluate("e => getComputedStyle(e).outlineStyle") != "none"
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="The plan is ready").wait_for()
    assert page.locator(".way.is-chosen").count() == 1
    page.locator(".toast").get_by_role("button", name="Undo").click()
    page.get_by_role("heading", name="There is no plan yet").wait_for()
    assert page.locator(".way.is-chosen").count() == 0
    page.get_by_role("button", name="Plan it at once").click()
    page.get_by_role("heading", name="The plan is ready").wait_for()
    weight = page.get_by_role("textbox", name="To read")
    weight.fill("2,5")
    weight.press("Tab")
    page.get_by_role("heading", name="The plan is out of date").wait_for()
    weight.fill("much")
    weight.press("Tab")
    page.get_by_text("A number such as 2").wait_for()
    for size in ((360, 740), (820, 1180)):
        page.set_viewport_size({"width": size[0], "height": size[1]})
        no_wider_than_the_screen(page)
    audit(page)


def test_work_goes_on_while_the_page_is_left_and_stops_on_request(
    app: Running, look: Callable[..., Any]
) -> None:
    page = new_piece(app, look, "Harbour lantern", "phone")
    page.get_by_role("button", name="Compare the ways").first.click()
    page.get_by_role("group", name="Comparing the ways to make it").wait_for()
    page.reload()
    strip = page.get_by_role("group", name="Comparing the ways to make it")
    strip.wait_for()
    no_wider_than_the_screen(page)
    strip.get_by_role("button", name="Stop").click()
    strip.wait_for(state="detached")
    assert page.locator(".way").count() == 0
