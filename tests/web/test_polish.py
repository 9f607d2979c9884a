"""Every page with larger letters, at 200 % zoom, on tablets both ways; and with nothing moving."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import httpx
import pytest

from airweft.workshop.beginnings import examples, forms
from airweft.workshop.starter import starter_text
from airweft.workshop.store.store import Store
from tests.web.conftest import Running, end, start
from tests.web.test_make_page import planned
from tests.web.test_shelf import audit

Look = Callable[..., Any]
LONG = 240_000  # ms; the first plan of a version compiles its loops


@dataclass(frozen=True)
class Screen:
    """A screen, and how large its letters are: by the browser's setting, or forced on pages."""

    width: int
    height: int
    scale: int = 1
    letters: int = 16
    forced: bool = False


SCREENS = {
    "200 % zoom": Screen(640, 400, scale=2),
    "letters of 32": Screen(1280, 800, letters=32),
    "letters forced to 32": Screen(1280, 800, letters=32, forced=True),
    "phone with letters of 32": Screen(360, 740, letters=32),
    "tablet on its side": Screen(1024, 768),
    "tablet upright": Screen(768, 1024),
}
# Beyond an edge of the screen, if nothing there scrolls by itself; and texts cut off in buttons.
CUT = """() => {
  const told = [];
  const scrolls = (one) => {
    for (let e = one; e && e !== document.body; e = e.parentElement) {
      if (/auto|scroll|hidden/.test(getComputedStyle(e).overflowX)) return true;
    }
    return false;
  };
  const name = (e) => `${e.tagName} ${e.className} ${(e.innerText || '').slice(0, 30)}`;
  for (const one of document.querySelectorAll('main *, header *, footer *, .mk *')) {
    const box = one.getBoundingClientRect();
    if (!one.checkVisibility() || !box.width || !box.height) continue;
    if (getComputedStyle(one).clipPath !== 'none') continue;
    if ((box.right > innerWidth + 1 || box.left < -1) && !scrolls(one)) told.push(name(one));
    const cut = one.matches('.btn') && one.scrollWidth > one.clientWidth + 1;
    if (cut && !scrolls(one.parentElement)) told.push(`cut: ${name(one)}`);
  }
  return told.slice(0, 5);
}"""


@pytest.fixture(scope="module")
def stocked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Running, str, str]]:
    """An app with a piece that has a plan and one that has none, and their keys."""
    running = start(tmp_path_factory.mktemp("polish") / "home", "--share")
    store = Store(running.home)
    bare = store.new(starter_text("turned")).key
    store.bin(store.new(starter_text("sheet")).key)
    yield running, planned(store).key, bare
    assert end(running) == 0
    assert "Traceback" not in running.said()


def seen(look: Look, url: str, screen: Screen) -> Any:
    """The page on this screen."""
    page = look(url, device_scale_factor=screen.scale, reduced_motion="reduce")
    page.set_viewport_size({"width": screen.width, "height": screen.height})
    if screen.letters != 16 and screen.forced:
        page.add_init_script(
            "addEventListener('DOMContentLoaded', () => document.documentElement.style"
            f".setProperty('font-size', '{screen.letters}px', 'important'))"
        )
    elif screen.letters != 16:
        sizes = {"standard": screen.letters, "fixed": screen.letters}
        page.context.new_cdp_session(page).send("Page.setFontSizes", {"fontSizes": sizes})
    page.goto(url)
    return page


def fits(page: Any, what: str, *, leads_on: bool = False) -> None:
    """Nothing is wider than the screen or cut off, and the way on is in sight."""
    page.wait_for_timeout(300)
    wide = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    assert wide[0] <= wide[1], (what, wide)
    assert page.evaluate(CUT) == [], what
    if leads_on:
        box = page.locator(".top .onward").bounding_box()
        size = page.viewport_size
        assert box["x"] >= 0 and box["x"] + box["width"] <= size["width"], what
        assert box["y"] >= 0 and box["y"] + box["height"] <= size["height"], what
        assert box["width"] >= 44 and box["height"] >= 44, what


@pytest.mark.parametrize("name", SCREENS)
def test_every_page_fits(stocked: tuple[Running, str, str], look: Look, name: str) -> None:
    app, key, bare = stocked
    screen = SCREENS[name]
    page = seen(look, app.address, screen)
    letters = page.evaluate("getComputedStyle(document.documentElement).fontSize")
    assert letters == f"{screen.letters}px"
    for path, there in {
        "": ".card",
        "new": ".forms .card",
        "bin": ".card",
        "share": ".share",
        "none": "main a",
        f"piece/{bare}/plan": ".plan-now",
        f"piece/{bare}/make": ".welcome",
        f"piece/{bare}/print": ".plan-now",
    }.items():
        page.goto(f"{app.address}/{path}")
        page.locator(there).first.wait_for()
        fits(page, path)
    page.goto(app.address)
    page.locator(".card summary").first.click()
    fits(page, "menu")
    for at, there in {"shape": ".pv canvas", "colours": ".pv canvas", "plan": ".plan-now"}.items():
        page.goto(f"{app.address}/piece/{key}/{at}")
        page.locator(there).first.wait_for()
        fits(page, at, leads_on=True)
    if not page.locator(".way").count():
        page.get_by_role("button", name="Compare the ways").click()
        page.locator(".work").first.wait_for()
        fits(page, "comparing")
    page.locator(".way").first.wait_for(timeout=LONG)
    fits(page, "compared", leads_on=True)
    page.goto(f"{app.address}/piece/{key}/print")
    made = page.get_by_role("button", name="Make booklet and files")
    again = page.get_by_role("link", name="Download the booklet")
    made.or_(again).first.wait_for()
    fits(page, "print")
    if made.count():
        made.click()
    again.wait_for(timeout=LONG)
    fits(page, "printed")
    at_the_bench(page, f"{app.address}/piece/{key}/make")


def at_the_bench(page: Any, url: str) -> None:
    page.goto(url)
    page.locator(".mk-go .btn-main").wait_for()
    fits(page, "make", leads_on=True)
    page.locator(".mk-go .btn-main").click()
    page.locator(".mk-text").first.wait_for()
    for key in ("Home", "PageDown", "PageDown", "PageDown", "End", "Home"):
        page.keyboard.press(key)
        fits(page, f"bench, {key}")
        for part in (".mk-next", ".mk-back", ".mk-step", ".mk-picture", ".mk-words"):
            box = page.locator(part).bounding_box()
            least = 40 if part in (".mk-picture", ".mk-words") else 44
            assert box["height"] >= least and box["width"] >= 44, (part, box)
            assert box["y"] + box["height"] <= page.viewport_size["height"] + 1, (part, box)
    for opens in (".mk-step", ".mk-caution", ".mk-chip"):
        page.locator(opens).click()
        sheet = page.locator("dialog[open]")
        sheet.wait_for()
        fits(page, opens)
        close = sheet.get_by_role("button", name="Close").bounding_box()
        assert 0 <= close["y"] <= page.viewport_size["height"] - 44
        page.keyboard.press("Escape")
    page.get_by_role("button", name="Pause").click()
    fits(page, "paused")
    page.get_by_role("button", name="Go on").click()
    page.get_by_role("button", name="Leave the bench").click()


def test_the_paused_bench_is_audited_while_something_is_fetched(
    stocked: tuple[Running, str, str], look: Look
) -> None:
    app, key, _ = stocked
    page = look(f"{app.address}/piece/{key}/make", reduced_motion="reduce")
    page.locator(".mk-go .btn-main").click()
    page.locator(".mk-step").wait_for()
    page.get_by_role("button", name="Pause").click()
    # The page builder's own bar, which has no name, comes with whatever a page fetches.
    page.evaluate("Quasar.LoadingBar.start()")
    page.wait_for_timeout(300)
    assert page.locator(".q-loading-bar[role=progressbar]").count() == 1
    audit(page)
    page.get_by_role("button", name="Go on").click()
    page.evaluate("Quasar.LoadingBar.start()")
    audit(page)
    page.get_by_role("button", name="Leave the bench").click()


MOVING = """() => {
  const long = (text) => text.split(',').some((one) => parseFloat(one) > 0);
  const told = document.getAnimations().map((one) => String(one.effect.target.className));
  for (const one of document.querySelectorAll('*')) {
    for (const part of [null, '::before', '::after', '::backdrop']) {
      const style = getComputedStyle(one, part);
      const moves =
        (style.animationName !== 'none' && long(style.animationDuration)) ||
        (style.transitionProperty !== 'none' && long(style.transitionDuration)) ||
        style.scrollBehavior === 'smooth';
      if (moves) told.push(`${one.tagName} ${one.className} ${part || ''}`);
    }
  }
  return told.slice(0, 5);
}"""
# How often the eye's pose changes within a second after the view is told to look from elsewhere.
POSES = """async ([around, above]) => {
  const stage = getElement(Number(document.querySelector('.pv').id.slice(1))).shown;
  const poses = [String(stage.last.eye.matrix)];
  stage.camera([around, above]);
  const start = performance.now();
  while (performance.now() - start < 1000) {
    await new Promise(requestAnimationFrame);
    const pose = String(stage.last.eye.matrix);
    if (pose !== poses.at(-1)) poses.push(pose);
  }
  return poses.length - 1;
}"""


def test_nothing_moves_for_whoever_wishes_so(stocked: tuple[Running, str, str], look: Look) -> None:
    app, key, _ = stocked
    page = look(app.address, reduced_motion="reduce")
    page.locator(".card").first.wait_for()
    page.locator(".card summary").first.click()
    assert page.evaluate(MOVING) == []
    page.get_by_text("Rename", exact=True).first.click()  # a sheet comes up
    page.locator(".sheet").wait_for()
    assert page.evaluate(MOVING) == []
    page.keyboard.press("Escape")

    page.goto(f"{app.address}/piece/{key}/shape")
    page.wait_for_function(f"{VIEW}?.shown?.last")
    page.wait_for_timeout(500)
    assert page.evaluate(POSES, [120, 30]) == 1
    assert page.evaluate(MOVING) == []

    page.goto(f"{app.address}/piece/{key}/make")
    page.locator(".mk-go .btn-main").click()
    page.locator(".mk-step").wait_for()
    for count in range(4):
        page.keyboard.press("PageDown")
        assert page.evaluate(MOVING) == [], count
    page.wait_for_timeout(500)
    assert page.evaluate(POSES, [-100, 20]) == 1
    page.locator(".mk-step").click()
    assert page.evaluate(MOVING) == []
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Leave the bench").click()


VIEW = "getElement(Number(document.querySelector('.pv')?.id.slice(1) || 0))"


def test_the_view_glides_where_nobody_minds(stocked: tuple[Running, str, str], look: Look) -> None:
    """What the test above counts is there to be counted."""
    app, key, _ = stocked
    page = look(f"{app.address}/piece/{key}/shape", reduced_motion="no-preference")
    page.wait_for_function(f"{VIEW}?.shown?.last")
    page.wait_for_timeout(500)
    assert page.evaluate(POSES, [120, 30]) > 2


def test_pictures_of_the_beginnings_come_and_are_kept(tmp_path: Path) -> None:
    times: list[dict[str, int]] = []
    for _ in range(2):
        running = start(tmp_path / "home")
        try:
            for one in (*forms(), *examples()):
                answer = httpx.get(f"{running.address}/begin/{one.key}/picture", timeout=60)
                assert answer.status_code == 200, one.key
                assert answer.headers["content-type"] == "image/svg+xml"
                assert "sandbox" in answer.headers["content-security-policy"]
            assert httpx.get(f"{running.address}/begin/none/picture").status_code == 404
        finally:
            assert end(running) == 0, running.said()
        assert "Traceback" not in running.said()
        kept = sorted((running.home / "cache").glob("*.svg"))
        times.append({file.name: file.stat().st_mtime_ns for file in kept})
    assert len(times[0]) == len((*forms(), *examples()))
    assert times[0] == times[1]
