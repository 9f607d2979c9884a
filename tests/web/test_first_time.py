"""Somebody who has never seen the app makes a booklet with it, without reading anything.

Only what stands out is pressed: of all that can be pressed and lies in sight without scrolling,
the largest that is set off from the paper; on the first page, where nothing is, the first picture.
Colour and place count as the browser reckons them, not the names that the pages give their parts.
"""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from airweft.words.cautions import CAUTIONS
from airweft.workshop.store.store import Store
from tests.web.conftest import Running, end, start

Look = Callable[..., Any]

# The largest thing that stands out and can be pressed. What is switched on already, and where one
# is already, leads nowhere. 3:1 is what WCAG 2.2 (1.4.11) asks of parts that have to be seen.
STANDS_OUT = """() => {
  const light = (colour) => {
    const [r, g, b, a = 1] = colour.match(/[0-9.]+/g).map(Number);
    const one = (v) => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
    return a < 0.5 ? null : 0.2126 * one(r) + 0.7152 * one(g) + 0.0722 * one(b);
  };
  const paper = light(getComputedStyle(document.body).backgroundColor);
  const contrast = (l) => (Math.max(l, paper) + 0.05) / (Math.min(l, paper) + 0.05);
  let best = null;
  let size = 0;
  for (const one of document.querySelectorAll('button, a[href], summary')) {
    if (one.disabled || one.closest('[inert]') || one.ariaPressed === 'true') continue;
    if (one.ariaCurrent) continue;
    const box = one.getBoundingClientRect();
    if (box.width < 24 || box.height < 24 || box.left < 0 || box.right > innerWidth) continue;
    if (box.top < 0 || box.bottom > innerHeight) continue;
    const middle = [box.left + box.width / 2, box.top + box.height / 2];
    const seen = document.elementFromPoint(...middle);
    if (!seen || !one.contains(seen)) continue;
    const ground = light(getComputedStyle(one).backgroundColor);
    if (ground === null || contrast(ground) < 3) continue;
    if (box.width * box.height > size) [best, size] = [one, box.width * box.height];
  }
  return best;
}"""
WORKS = ".work"  # the strip of work that is going on: whoever sees it waits


class Newcomer:
    """Presses what stands out."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self.pressed: list[str] = []

    def see(self) -> Any:
        """What stands out once the page has come to rest."""
        self.rest()
        for _ in range(60):
            found = self.page.evaluate_handle(STANDS_OUT).as_element()
            if found is not None:
                return found
            self.page.wait_for_timeout(250)
        raise AssertionError(f"nothing stands out on {self.page.url} after {self.pressed}")

    def rest(self) -> None:
        """Wait while work is seen to go on; the first plan of a version compiles its loops."""
        for _ in range(960):
            if not self.page.locator(WORKS).count():
                return
            self.page.wait_for_timeout(250)

    def press(self) -> str:
        """Press it; its name."""
        found = self.see()
        name = found.get_attribute("aria-label") or found.inner_text()
        self.pressed.append(" ".join(name.split()))
        found.click()
        self.page.wait_for_timeout(400)
        return self.pressed[-1]

    def get_to(self, place: str, most: int) -> None:
        """Press what stands out until another page is there."""
        for _ in range(most):
            self.press()
            for _ in range(400):
                if self.page.url.endswith(f"/{place}"):
                    self.page.locator("main h1, main h2").first.wait_for()
                    return
                if self.page.locator(WORKS).count():
                    break
                self.page.wait_for_timeout(50)
        raise AssertionError(f"not at {place} but {self.page.url}: pressed {self.pressed}")


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Running]:
    """An app that nobody has used yet."""
    running = start(tmp_path / "home")
    yield running
    assert end(running) == 0
    assert "Traceback" not in running.said()


@pytest.mark.parametrize("size", ["desktop", "phone"])
def test_from_an_empty_shelf_to_the_booklet(
    empty: Running, look: Look, tmp_path: Path, size: str
) -> None:
    page = look(empty.address, size, accept_downloads=True, has_touch=size == "phone")
    page.set_default_timeout(30_000)
    newcomer = Newcomer(page)

    # The first picture of the first page begins a piece.
    page.locator("main img").first.wait_for()
    assert page.evaluate_handle(STANDS_OUT).as_element() is None
    _press_middle(page, "main img")
    page.wait_for_url("**/piece/**")

    # A number is changed, and the piece with it.
    number = page.locator("main input[type=text]").first
    number.wait_for()
    store = Store(empty.home)
    before = store.pieces()[0]
    number.fill("8")
    number.press("Enter")
    _until(lambda: store.pieces()[0].bubbles > before.bubbles, page)
    newcomer.get_to("colours", 1)

    # Another colour is taken and the piece pressed in its middle.
    page.locator("canvas").first.wait_for()
    chosen = page.locator(".swatches button[aria-pressed=false], .swatches label").first
    chosen.click()
    page.wait_for_timeout(800)
    _press_middle(page, "canvas")
    key = store.pieces()[0].key
    _until(lambda: "[pattern.bubbles]" in _text(empty, key), page)
    newcomer.get_to("plan", 1)

    # The plan: as often as something stands out, until the bench is there.
    newcomer.get_to("make", 3)
    piece = store.pieces()[0]
    assert piece.balloons > 0

    newcomer.press()
    page.locator(".mk-step").wait_for()
    for _ in range(2):
        newcomer.press()
    making = store.open(key).making
    _until(lambda: [copy.step for copy in making.copies] == [2], page)

    # Away from the bench by its first button, and on by the arrow of every page.
    page.locator("button:visible").first.click()
    onward = page.get_by_role("link", name=re.compile("^Next")).first
    onward.wait_for()
    onward.click()
    page.wait_for_url("**/print")

    newcomer.press()  # makes it
    page.get_by_role("heading", name="To take away").wait_for(timeout=240_000)
    with page.expect_download() as coming:
        newcomer.press()
    file = tmp_path / "booklet.pdf"
    coming.value.save_as(file)
    text = _pdf_text(file)
    cover = text.split("\f")[0].split()
    assert piece.name in " ".join(cover)
    assert {str(piece.bubbles), "bubbles", str(piece.balloons)} <= set(cover)
    plan = store.open(key).plan
    assert plan is not None and len(plan.balloons) == piece.balloons
    for balloon in plan.balloons:
        assert re.search(rf"\b{balloon.code}\b", text), balloon.code
    for caution in CAUTIONS:
        assert _flat(caution.text) in _flat(text), caution.title
    # Nothing of what was done is lost.
    assert [copy.step for copy in making.copies] == [2]
    assert list((empty.home / "made").rglob("booklet.pdf"))


def _press_middle(page: Any, what: str) -> None:
    """Press the middle of the first of these, whatever lies there."""
    box = page.locator(what).first.bounding_box()
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)


def _text(app: Running, key: str) -> str:
    return (app.home / "designs" / f"{key}.toml").read_text(encoding="utf-8")


def _until(true: Callable[[], object], page: Any) -> None:
    for _ in range(120):
        if true():
            return
        page.wait_for_timeout(100)
    raise AssertionError("it did not come about")


def _flat(text: str) -> str:
    """Without the places where lines end."""
    return re.sub(r"\s+", "", text)


def _pdf_text(file: Path) -> str:
    done = subprocess.run(["pdftotext", str(file), "-"], capture_output=True, check=True, text=True)
    return done.stdout
