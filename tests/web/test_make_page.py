"""The page of the making: its logic by a simulated user, its hands by a real browser."""

from __future__ import annotations

import signal
import time
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

import pytest
from nicegui.testing import User

from airweft.base.progress import Progress
from airweft.web.frame import Frame
from airweft.web.pages import make
from airweft.words.cautions import CAUTIONS, CHOKING
from airweft.workshop.at_work import at_work
from airweft.workshop.desk import Desk
from airweft.workshop.options import Style
from airweft.workshop.planning import checked_plan
from airweft.workshop.starter import starter_text
from airweft.workshop.store.store import Store
from tests.web.conftest import Running, start
from tests.web.desks import until
from tests.web.test_frame import press, use
from tests.web.test_shelf import audit

Look = Callable[..., Any]


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "home")


def planned(store: Store, style: Style = "pairs", kind: str = "box") -> Desk:
    """A piece with a plan, open."""
    desk = store.open(store.new(starter_text(kind)).key)
    plan_anew(desk, style)
    return desk


def plan_anew(desk: Desk, style: Style) -> None:
    assert desk.design is not None and desk.net is not None
    plan, *_ = checked_plan(desk.design, desk.net, style=style, seed=0, progress=Progress())
    desk.keep_plan(plan)


def show(desk: Desk, deed: Callable[[User], Awaitable[None]]) -> None:
    def page() -> None:
        with Frame(desk, "make") as frame:
            make.page(desk, frame)

    use(page, deed)


def test_without_a_plan_the_page_leads_to_one(store: Store) -> None:
    desk = store.open(store.new(starter_text("box")).key)

    async def deed(user: User) -> None:
        await user.should_see("There is no plan yet")
        await user.should_see("Go to the plan")
        plan_anew(desk, "pairs")
        await user.should_see("Start making", retries=60)

    show(desk, deed)


def test_the_start_shows_every_caution_and_what_there_is(store: Store) -> None:
    desk = planned(store)

    async def deed(user: User) -> None:
        await user.should_see("Start making", retries=60)
        for caution in CAUTIONS[1:]:
            await user.should_see(caution.text)
        await user.should_see(CHOKING)
        await user.should_see("104 bubbles")
        await user.should_see("After 8 of them your pace stands here")
        press(user, "Start making")
        await until(lambda: desk.making.copies)

    show(desk, deed)
    assert [copy.step for copy in desk.making.copies] == [0]


@pytest.mark.parametrize("style", ["pairs", "rounds", "fewest"])
def test_every_stop_ends_where_rows_end(store: Store, style: Style) -> None:
    desk = planned(store, style)
    assert desk.plan is not None
    work = at_work(desk, desk.plan)
    desk.making.add_copy()
    rows = {action.row for action in desk.plan.actions}
    assert work.rows[0] == 0 and work.rows[-1] == len(rows) == desk.making.copies[0].steps
    assert all(work.stop_at(row) == n for n, row in enumerate(work.rows))
    # A row within a stop is not yet that stop.
    for row in range(len(rows) + 1):
        assert work.rows[work.stop_at(row)] <= row


def test_a_new_plan_is_offered_and_taken(store: Store) -> None:
    desk = planned(store)
    copy = desk.making.add_copy("For the pier")
    desk.making.go(copy, 3, 0.0)
    plan_anew(desk, "rounds")
    offer = desk.making.offers()[0]

    async def deed(user: User) -> None:
        await user.should_see("There is a new plan", retries=60)
        await user.should_see(offer.words)
        await user.should_see("by an earlier plan")
        press(user, f"{'Go on' if offer.step else 'Start anew'} by the new plan")
        await until(lambda: desk.making.copies[0].fresh)
        await user.should_not_see("There is a new plan", retries=60)

    show(desk, deed)
    assert desk.making.copies[0].step == offer.step


def test_the_pace_says_factor_spread_and_how_many(store: Store) -> None:
    desk = planned(store)
    copy = desk.making.add_copy()
    usual = desk.making.worked(copy.plan).usual
    desk.making.start(copy, 0.0)
    at = 0.0
    for step in range(1, 13):
        at += usual[step] * (1.0 + 0.1 * (step % 5))
        desk.making.go(copy.id, step, at)

    async def deed(user: User) -> None:
        # Of 1.0 to 1.4 in turn over twelve steps the median is 1.2, the quarters 1.1 and 1.3.
        await user.should_see("Proposed factor 1.20", retries=60)
        await user.should_see("From 12 timed steps")
        await user.should_see("between 1.10 and 1.30")

    show(desk, deed)


def test_copies_are_added_taken_up_and_removed(store: Store) -> None:
    desk = planned(store)
    first = desk.making.add_copy()

    async def deed(user: User) -> None:
        await user.should_see("Another copy", retries=60)
        press(user, "Another copy")
        await user.should_see("Copy 2 is on the bench", retries=60)
        press(user, "Take up Copy 1")
        await until(lambda: desk.making.copies)
        desk.making.remove_copy(first.id)
        await user.should_not_see("Take up Copy 1", retries=60)

    show(desk, deed)
    assert [copy.name for copy in desk.making.copies] == ["Copy 2"]


# In a browser


def piece(app: Running) -> Desk:
    """A piece with a plan in the running app's own store."""
    return planned(Store(app.home))


def at_bench(look: Look, app: Running, desk: Desk, size: str = "desktop", **wishes: Any) -> Any:
    page = look(f"{app.address}/piece/{desk.key}/make", size, reduced_motion="reduce", **wishes)
    page.locator(".mk-go .btn-main").click()
    page.locator(".mk-text").first.wait_for()
    page.locator(".mk-step", has_text="Step 1").wait_for()
    return page


def saved(desk: Desk, step: int) -> None:
    """Wait until the store says so, as another program sees it."""
    for _ in range(100):
        if desk.making.copies and desk.making.copies[0].step == step:
            return
        time.sleep(0.05)
    raise AssertionError(f"{desk.making.copies}: not at step {step}")


def test_keys_and_pedals(app: Running, look: Look) -> None:
    desk = piece(app)
    page = at_bench(look, app, desk)
    for count, key in enumerate([" ", "PageDown", "ArrowRight", "ArrowDown", "Enter"], start=1):
        page.keyboard.press(key)
        saved(desk, count)
    for count, key in [(4, "PageUp"), (3, "ArrowLeft"), (2, "ArrowUp")]:
        page.keyboard.press(key)
        saved(desk, count)
    # A pedal held down goes one step, not through all of them.
    page.keyboard.down("PageDown")
    page.keyboard.down("PageDown")
    page.keyboard.up("PageDown")
    saved(desk, 3)
    page.keyboard.press("End")
    saved(desk, 22)
    assert page.locator(".mk-head h1").inner_text() == "The piece is finished"
    page.keyboard.press("Home")
    saved(desk, 0)
    # After a tap the space bar means Next, not the button that was touched.
    page.locator(".mk-next").click()
    saved(desk, 1)
    page.locator(".mk-back").click()
    saved(desk, 0)
    page.keyboard.press(" ")
    saved(desk, 1)
    assert page.locator(".mk > [aria-live]").inner_text().startswith("Step 2 of 10.")


def test_jump_to_a_step_by_number(app: Running, look: Look) -> None:
    desk = piece(app)
    page = at_bench(look, app, desk)
    page.locator(".mk-step").click()
    page.keyboard.type("5")
    page.keyboard.press("Enter")
    page.locator(".mk-step", has_text="Step 5").wait_for()
    saved(desk, 15)


SWIPE = """([from, to]) => {
  const words = document.querySelector('.mk-words');
  const at = (kind, x) => words.dispatchEvent(new PointerEvent(kind, {
    bubbles: true, isPrimary: true, pointerType: 'touch', pointerId: 5, clientX: x,
    clientY: 500 }));
  at('pointerdown', from);
  at('pointerup', to);
}"""


def test_swipes_and_the_phone(app: Running, look: Look) -> None:
    desk = piece(app)
    page = at_bench(look, app, desk, "phone", has_touch=True)
    page.evaluate(SWIPE, [300, 120])
    saved(desk, 1)
    page.evaluate(SWIPE, [300, 120])
    saved(desk, 2)
    page.evaluate(SWIPE, [120, 300])
    saved(desk, 1)
    page.evaluate(SWIPE, [200, 180])  # too short to be meant
    page.wait_for_timeout(300)
    saved(desk, 1)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    small = page.evaluate(
        "[...document.querySelectorAll('.mk-on button, .mk-on summary')]"
        ".filter(e => e.offsetParent && e.closest('dialog') === null)"
        ".map(e => [e.innerText || e.ariaLabel, e.getBoundingClientRect()])"
        ".filter(([, b]) => b.width && (b.width < 44 || b.height < 44)).map(([n]) => n)"
    )
    assert small == []
    audit(page)
    assert page.locator(".mk-next").bounding_box()["height"] >= 60


def test_a_reload_goes_on_at_the_step(app: Running, look: Look) -> None:
    desk = piece(app)
    page = at_bench(look, app, desk)
    for _ in range(4):
        page.keyboard.press("PageDown")
    saved(desk, 4)
    words = page.locator(".mk-words .mk-text").first.inner_text()
    page.reload()
    page.locator(".mk-step").wait_for()
    page.wait_for_function("document.querySelector('.mk-words .mk-part')")
    assert page.locator(".mk-words .mk-text").first.inner_text() == words


def test_two_devices_show_the_same_place(app: Running, look: Look) -> None:
    desk = piece(app)
    page = at_bench(look, app, desk)
    other = look(f"{app.address}/piece/{desk.key}/make", "tablet", reduced_motion="reduce")
    other.locator(".mk-go .btn-main").click()
    page.keyboard.press("PageDown")
    page.keyboard.press("PageDown")
    saved(desk, 2)
    other.locator(".mk-step", has_text="Step 3").wait_for()
    other.keyboard.press("PageDown")
    saved(desk, 3)


def test_a_killed_server_loses_nothing(
    tmp_path: Path, browser: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    running = start(tmp_path / "home")
    desk = piece(running)
    context = browser.new_context(reduced_motion="reduce")
    page = context.new_page()
    page.set_default_timeout(15_000)
    try:
        page.goto(f"{running.address}/piece/{desk.key}/make")
        page.locator(".mk-go .btn-main").click()
        page.locator(".mk-step", has_text="Step 1").wait_for()
        for _ in range(3):
            page.keyboard.press("PageDown")
        saved(desk, 3)
        page.keyboard.press("PageDown")
        running.process.send_signal(signal.SIGKILL)
        running.process.wait(15)
        # The line is broken, and the maker goes on.
        page.keyboard.press("PageDown")
        page.keyboard.press("PageDown")
        port = int(running.address.rsplit(":", 1)[1])
        monkeypatch.setattr("tests.web.conftest.free_port", lambda: port)
        assert desk.making.copies[0].step in (3, 4)
        running = start(tmp_path / "home")
        saved_late(desk, page, 6)
    finally:
        context.close()
        running.process.kill()
        running.process.wait(15)


def saved_late(desk: Desk, page: Any, step: int) -> None:
    """The page finds the server again by itself and brings what it kept."""
    for _ in range(60):
        if desk.making.copies[0].step == step:
            return
        page.wait_for_timeout(500)
    raise AssertionError(desk.making.copies[0])


def test_pause_and_leave_let_the_screen_go(app: Running, look: Look) -> None:
    desk = piece(app)
    page = at_bench(look, app, desk)
    chip = page.locator(".mk-chip")
    page.wait_for_function("document.querySelector('.mk-chip').dataset.state === 'held'")
    assert chip.inner_text() == "Screen stays on"
    page.get_by_role("button", name="Pause").click()
    assert page.locator(".mk-paused").is_visible()
    assert chip.get_attribute("data-state") == "off"
    page.keyboard.press("PageDown")  # a pedal wakes it, and does not step
    page.locator(".mk-paused").wait_for(state="detached")
    saved(desk, 0)
    page.get_by_role("button", name="Leave the bench").click()
    page.locator(".mk-go").wait_for()
    assert not page.locator(".mk-bar").count()


def test_a_screen_that_may_go_dark_says_why(app: Running, look: Look) -> None:
    desk = piece(app)
    page = look("about:blank", reduced_motion="reduce")
    page.add_init_script("delete Navigator.prototype.wakeLock")
    page.goto(f"{app.address}/piece/{desk.key}/make")
    page.locator(".mk-go .btn-main").click()
    page.locator(".mk-note").wait_for()
    assert "longer time before the screen sleeps" in page.locator(".mk-note").inner_text()
    page.get_by_role("button", name="Understood").click()
    assert not page.locator(".mk-note").count()
    assert page.locator(".mk-chip").inner_text() == "May go dark"


VOICE = """
window.said = [];
window.SpeechSynthesisUtterance = function (text) { this.text = text; };
Object.defineProperty(window, 'speechSynthesis', { value: {
  speak: (one) => window.said.push(one.text), cancel() {} } });
"""


def test_steps_are_spoken_on_request_only(app: Running, look: Look) -> None:
    desk = piece(app)
    page = look("about:blank", reduced_motion="reduce")
    page.add_init_script(VOICE)
    page.goto(f"{app.address}/piece/{desk.key}/make")
    page.locator(".mk-go .btn-main").click()
    page.locator(".mk-step", has_text="Step 1").wait_for()
    page.keyboard.press("PageDown")
    assert page.evaluate("said") == []
    page.locator(".mk-say").click()
    words = page.locator(".mk-words .mk-text").first.inner_text()
    assert words.rstrip(".") in page.evaluate("said[0]")
    page.get_by_role("button", name="Wishes and copies").click()
    page.get_by_label("Say every step aloud").check()
    page.keyboard.press("Escape")
    page.keyboard.press("PageDown")
    page.wait_for_function("said.length === 2")
    assert "Step 3" in page.evaluate("said[1]")


def test_a_section_has_a_place_of_its_own(app: Running, look: Look) -> None:
    store = Store(app.home)
    desk = store.open(store.new(starter_text("box") + "\n[plan]\ncrew = 2\n").key)
    plan_anew(desk, "parts")
    whole = desk.making.add_copy("The whole")
    page = look(f"{app.address}/piece/{desk.key}/make", "tablet", reduced_motion="reduce")
    page.get_by_role("button", name="Make Part B: second person on this device").click()
    page.locator(".mk-lead").wait_for()
    assert page.locator(".mk-copy").inner_text() == "Part B: second person"
    page.keyboard.press("PageDown")
    assert desk.plan is not None
    work = at_work(desk, desk.plan)
    first = work.book.instructions.chapters[1].first_step
    stop = work.steps.index(first)
    for _ in range(100):
        if desk.making.copies[-1].step == work.rows[stop + 1]:
            break
        page.wait_for_timeout(50)
    assert [copy.step for copy in desk.making.copies] == [0, work.rows[stop + 1]]
    # From the bench the other copy is one choice away, and keeps its own place.
    page.get_by_role("button", name="Wishes and copies").click()
    page.locator(".mk-list button", has_text="The whole").click()
    page.locator(".mk-step", has_text="Step 1 ").wait_for()
    page.keyboard.press("PageDown")
    for _ in range(100):
        if desk.making.copy(whole).step:
            break
        page.wait_for_timeout(50)
    assert [copy.step for copy in desk.making.copies] == [1, work.rows[stop + 1]]


def test_the_picture_may_stay_on_the_makers_side(app: Running, look: Look) -> None:
    desk = piece(app)
    page = at_bench(look, app, desk)
    seen = page.locator(".pv-seen")
    page.keyboard.press("Shift+ArrowLeft")
    page.wait_for_timeout(400)
    own = seen.inner_text()
    page.get_by_role("button", name="Wishes and copies").click()
    page.get_by_label("The picture follows the work").uncheck()
    page.keyboard.press("Escape")
    for _ in range(4):
        page.keyboard.press("PageDown")
    page.wait_for_timeout(400)
    assert seen.inner_text() == own
    page.get_by_role("button", name="Wishes and copies").click()
    page.get_by_label("The picture follows the work").check()
    page.keyboard.press("Escape")
    page.keyboard.press("PageUp")
    page.wait_for_timeout(400)
    assert seen.inner_text() != own
