from __future__ import annotations

from dataclasses import replace

import pytest

from airweft.records.design import Box
from airweft.words.cautions import CAUTIONS, CHOKING
from tests.booklet.books import make_book
from tests.phone.hands import picture, settle
from tests.phone.pages import folded_book

STEPS = len(folded_book().instructions.steps)

WAKE_HELD = """
window.asked = 0; window.released = 0;
Object.defineProperty(navigator, 'wakeLock', {configurable: true, value: {request: async () => {
  window.asked++;
  const lock = new EventTarget();
  lock.release = async () => { window.released++; lock.dispatchEvent(new Event('release')); };
  window.lock = lock;
  return lock;
}}});
"""
WAKE_REFUSED = """
Object.defineProperty(navigator, 'wakeLock', {value: {request: async () => {
  throw new DOMException('battery', 'NotAllowedError');
}}});
"""
NO_WAKE = "delete Navigator.prototype.wakeLock;"
VOICE = """
window.said = [];
window.SpeechSynthesisUtterance = function (text) { this.text = text; };
Object.defineProperty(window, 'speechSynthesis', {value: {
  speak(u) { window.said.push(u.text); }, cancel() {},
}});
"""
NO_VOICE = "Object.defineProperty(window, 'speechSynthesis', {value: undefined});"


def test_cautions_are_read_first_and_can_be_read_at_every_step(open_page):
    page = open_page()
    assert page.locator("#cautions").is_visible()
    assert CHOKING in page.inner_text("#cautions")
    page.click("#go")
    for _ in range(2):
        page.click("#cautions-open")
        words = page.inner_text("#cautions-sheet")
        assert all(caution.text in words for caution in CAUTIONS)
        page.keyboard.press("Escape")
        page.click("#next")


def test_without_scripts_the_cautions_and_needs_still_stand(open_page):
    page = open_page(java_script_enabled=False)
    assert CHOKING in page.inner_text("#cautions")
    assert "booklet holds the same steps" in page.inner_text("body")
    assert not page.locator("#make").is_visible()


def test_the_screen_is_held_while_making_and_let_go_after(open_page):
    page = open_page(before=WAKE_HELD, width=800, height=1280)
    assert page.evaluate("asked") == 0
    page.click("#go")
    assert page.inner_text("#awake") == "Screen stays on"
    assert page.evaluate("asked") == 1
    page.evaluate("lock.release()")
    assert page.inner_text("#awake") == "May go dark"
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    page.wait_for_function("asked === 2")
    assert page.inner_text("#awake") == "Screen stays on"
    page.keyboard.press("Home")
    page.click("#back")
    assert page.evaluate("released") == 2
    assert page.locator("#start").is_visible()


@pytest.mark.parametrize(
    ("before", "words"),
    [(WAKE_REFUSED, "refused to keep the screen on"), (NO_WAKE, "cannot keep the screen on")],
    ids=["refused", "unsupported"],
)
def test_a_screen_that_may_go_dark_is_said_once_and_shown_always(open_page, before, words):
    page = open_page(before=before)
    page.click("#go")
    assert words in page.inner_text("#awake-note")
    page.click("#awake-note-close")
    page.click("#next")
    assert not page.locator("#awake-note").is_visible()
    assert page.text_content("#awake-text") == "May go dark"
    page.click("#awake")
    assert words in page.inner_text("#awake-hint")


def test_a_step_is_spoken_on_request(open_page):
    page = open_page(before=VOICE)
    page.click("#go")
    assert page.evaluate("said") == []
    page.click("#say")
    said = page.evaluate("said[0]")
    assert said.startswith(f"Step 1 of {STEPS}. Row 1. Take ")
    assert page.get_attribute("#say", "aria-pressed") == "true"
    page.click("#menu-open")
    page.check("#say-all")
    page.keyboard.press("Escape")
    page.click("#next")
    assert page.evaluate("said.length") == 2
    silent = open_page(before=NO_VOICE)
    silent.click("#go")
    assert not silent.locator("#say").is_visible()


def test_theme_and_type_size_are_kept(open_page):
    page = open_page(color_scheme="light")
    light = page.evaluate("getComputedStyle(document.body).backgroundColor")
    page.click("#go")
    small = page.evaluate(
        "parseFloat(getComputedStyle(document.getElementById('step-text')).fontSize)"
    )
    page.click("#menu-open")
    page.select_option("#theme", "dark")
    page.check("#big-type")
    dark = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert light != dark
    page.reload()
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == dark
    page.click("#go")
    size = "parseFloat(getComputedStyle(document.getElementById('step-text')).fontSize)"
    assert page.evaluate(size) > 1.4 * small


def test_the_device_decides_between_dark_and_light(open_page):
    colours = {
        scheme: open_page(color_scheme=scheme).evaluate(
            "getComputedStyle(document.body).backgroundColor"
        )
        for scheme in ("light", "dark")
    }
    assert colours["light"] != colours["dark"]


def test_reduced_motion_shows_the_step_at_once(open_page):
    page = open_page(reduced_motion="reduce")
    page.click("#go")
    page.evaluate("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    page.click("#next")
    page.evaluate("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    first = picture(page)
    settle(page)
    assert picture(page) == first


@pytest.mark.parametrize(
    ("width", "height"),
    [(320, 568), (360, 740), (740, 360), (800, 1280), (1400, 900), (700, 450)],
    ids=lambda v: str(v),
)
def test_it_fits_the_screen(open_page, width, height):
    page = open_page(width=width, height=height)
    wide = "document.documentElement.scrollWidth"
    assert page.evaluate(wide) <= width
    page.click("#go")
    for big in (False, True):
        if big:
            page.click("#menu-open")
            page.check("#big-type")
            page.keyboard.press("Escape")
        for _ in range(3):
            page.click("#next")
            assert page.evaluate(wide) <= width
            assert page.evaluate("document.documentElement.scrollHeight") <= height
            view = page.locator("#view").bounding_box()
            assert view["width"] >= 150 and view["height"] >= 100
            words = page.locator("#words").bounding_box()
            assert words["height"] >= 80
            for button in ("#back", "#next", "#jump-open", "#cautions-open", "#menu-open"):
                box = page.locator(button).bounding_box()
                assert box["height"] >= 44 and box["width"] >= 44, button
                assert box["x"] >= 0 and box["x"] + box["width"] <= width + 0.5, button
                assert box["y"] >= 0 and box["y"] + box["height"] <= height + 0.5, button
        for opener in ("#jump-open", "#menu-open", "#cautions-open"):
            page.click(opener)
            sheet = page.locator("dialog[open]")
            assert sheet.evaluate("(d) => d.scrollWidth <= d.clientWidth")
            assert sheet.bounding_box()["height"] <= height
            page.keyboard.press("Escape")


def test_every_control_has_a_name_and_shows_its_focus(open_page):
    page = open_page(before=VOICE)
    page.click("#go")
    nameless = page.evaluate(
        "[...document.querySelectorAll('button, input, select, canvas, dialog, summary')].filter("
        "(e) => e.checkVisibility() && !(e.getAttribute('aria-label') ||"
        " e.getAttribute('aria-labelledby') ||"
        " e.textContent.trim() || (e.labels && e.labels.length))).map((e) => e.outerHTML)"
    )
    assert nameless == []
    page.keyboard.press("Tab")
    outline = page.evaluate("getComputedStyle(document.activeElement).outlineWidth")
    assert outline == "3px"
    label = page.get_attribute("#view", "aria-label")
    assert label.startswith("Picture of step 1. New: 12 red (R).")


def test_names_in_the_page_do_nothing(open_page):
    name = '</script><img src=x onerror="window.hit = 1"><script>window.hit = 1</script>'
    book = make_book(Box(across=2, deep=2, high=2), name=name)
    book = replace(book, plan=replace(book.plan, net=replace(book.net, joint_names=(name,) * 12)))
    page = open_page(book)
    assert page.inner_text("h1 >> nth=0") == name
    page.click("#go")
    page.click("#twin-title")
    page.wait_for_selector("#twin-list li")  # the browser tells of opening a little later
    assert name in page.inner_text("#twin-list")
    assert page.evaluate("window.hit") is None


def test_twenty_thousand_bubbles_open_and_turn(open_page):
    page = open_page(make_book(Box(across=58, deep=58, high=58)), width=800, height=1280)
    page.click("#go")
    page.keyboard.press("End")
    settle(page)
    assert len(set(picture(page).split(","))) > 20
    assert page.evaluate("airweft.timeFrames(2, true)") < 3000
