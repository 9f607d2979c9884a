from __future__ import annotations

import re

from airweft.booklet.phone_data import stops_of
from tests.booklet.books import make_book
from tests.phone.hands import COPY, at, count, middle, picture, settle, swipe
from tests.phone.pages import folded_book

STEPS = len(folded_book().instructions.steps)
STOPS = len(stops_of(folded_book()))

NO_STORAGE = """
Object.defineProperty(window, 'localStorage', {
  get() { throw new DOMException('no', 'SecurityError'); },
});
"""


def test_next_leads_through_every_stop_to_the_finished_piece(open_page):
    page = open_page()
    page.click("#go")
    seen = [count(page)]
    for _ in range(STOPS):
        page.click("#next")
        seen.append(count(page))
    assert seen[0] == f"Step 1 of {STEPS}"
    assert [s for s in seen if s == f"Step 3 of {STEPS}"] == [f"Step 3 of {STEPS}"] * 3
    assert seen[-1] == "Finished"
    assert page.is_disabled("#next")
    assert f"All {folded_book().net.bubble_count} bubbles" in page.inner_text("#step-text")


def test_the_page_tells_each_stop_in_full_and_names_what_is_new(open_page):
    book = folded_book()
    page = open_page(book)
    page.click("#go")
    page.click("#twin-title")
    net, codes = book.net, {b: x.code for x in book.plan.balloons for b in x.bubbles}
    for stop in stops_of(book):
        step = book.instructions.steps[stop.step]
        assert page.inner_text("#step-title") == step.title
        text = page.text_content("#step-text")
        assert text == (stop.text or step.text)
        assert page.text_content("#step-check-text").lower() == step.check.lower().removeprefix(
            "check: "
        )
        lines = page.locator("#twin-list li").all_text_contents()
        assert len(lines) == len(stop.bubbles)
        for line, bubble in zip(lines, stop.bubbles, strict=True):
            a, b = net.ends[bubble].tolist()
            assert net.bubble_names[bubble] in line and line.startswith(codes[bubble])
            assert net.joint_names[a] in line and net.joint_names[b] in line
        balloons = page.locator("#take b").all_text_contents()
        assert balloons == list(stop.balloons)
        live = page.text_content("#live")
        assert text.strip(".") in live and step.title in live
        page.click("#next")


def test_keys_and_pedals_step(open_page):
    page = open_page()
    page.click("#go")
    for key, place in (
        (" ", 1),
        ("Enter", 2),
        ("ArrowRight", 3),
        ("PageDown", 4),
        ("ArrowDown", 5),
        ("ArrowLeft", 4),
        ("PageUp", 3),
        ("ArrowUp", 2),
        ("End", STOPS),
        ("Home", 0),
    ):
        page.keyboard.press(key)
        assert at(page) == place, key
    page.keyboard.down("PageDown")
    page.keyboard.down("PageDown")  # held: repeats
    page.keyboard.up("PageDown")
    assert at(page) == 1


def test_space_on_a_focused_button_does_only_what_the_button_says(open_page):
    page = open_page()
    page.click("#go")
    for _ in range(4):
        page.keyboard.press("PageDown")
    page.focus("#back")
    page.keyboard.press(" ")
    assert at(page) == 3
    page.mouse.click(*middle(page, "#back"))
    assert at(page) == 2
    page.keyboard.press(" ")  # after a click the pedal means Next again
    assert at(page) == 3


def test_swiping_the_words_steps_and_swiping_the_picture_turns_it(open_page):
    page = open_page(has_touch=True)
    page.click("#go")
    swipe(page, "#step-text", -120)
    assert at(page) == 1
    swipe(page, "#step-text", -30)
    assert at(page) == 1
    swipe(page, "#step-text", 120)
    assert at(page) == 0
    settle(page)
    before = picture(page)
    swipe(page, "#view", -110, 10)
    settle(page)
    assert at(page) == 0
    assert picture(page) != before
    assert page.is_visible("#view-back")
    x, y = middle(page, "#view")
    page.touchscreen.tap(x, y)
    page.touchscreen.tap(x, y)
    settle(page)
    assert picture(page) == before
    assert not page.is_visible("#view-back")


def test_the_picture_turns_by_drag_keys_wheel_and_buttons(open_page):
    page = open_page(width=1400, height=900)
    page.click("#go")
    settle(page)
    home = picture(page)
    said = page.inner_text("#seen-from")
    x, y = middle(page, "#view")

    def back():
        page.keyboard.press("Shift+Home")
        settle(page)
        assert picture(page) == home

    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 300, y, steps=4)
    page.mouse.up()
    settle(page)
    assert picture(page) != home
    assert page.inner_text("#seen-from") != said
    back()
    page.mouse.wheel(0, -300)
    settle(page)
    assert picture(page) != home
    back()
    for key in ("Shift+ArrowLeft", "Shift+ArrowUp", "Shift+PageUp"):
        page.keyboard.press(key)
        settle(page)
        assert picture(page) != home
        back()
    page.click("#view-open")
    for button in page.locator("#view-strip button").all():
        assert button.get_attribute("aria-label")
    page.click('#view-strip [data-turn="right"]')
    settle(page)
    assert picture(page) != home
    page.click("#view-back")
    settle(page)
    assert picture(page) == home
    assert at(page) == 0


def test_new_work_is_strong_finished_work_pale_and_the_rest_not_there(open_page):
    page = open_page(width=800, height=1280)
    page.click("#go")
    settle(page)

    def red_pixels():
        return page.evaluate(
            f"(() => {{ {COPY} const d = copy(400, 400);"
            "let strong = 0, pale = 0, any = 0; for (let i = 0; i < d.length; i += 4) {"
            "if (d[i] > 170 && d[i + 1] < 60 && d[i + 2] < 80) strong++;"
            "if (d[i] > 230 && d[i + 1] > 180 && d[i + 1] < 215 && d[i + 2] > 180) pale++;"
            "if (d[i] < 250) any++; } return [strong, pale, any / d.length * 4]; })()"
        )

    strong, pale, _ = red_pixels()
    assert strong > 300
    page.click("#next")  # white: the red of step 1 is finished
    settle(page)
    later_strong, later_pale, _ = red_pixels()
    assert later_strong < strong / 20 and later_pale > 300 + 2 * pale
    page.keyboard.press("End")
    settle(page)
    assert red_pixels()[0] > strong and red_pixels()[1] < later_pale / 2


def test_the_place_is_remembered_and_offered(open_page):
    page = open_page()
    page.click("#go")
    for _ in range(3):
        page.click("#next")
    page.reload()
    assert page.inner_text("#go") == f"Go on at step 3 of {STEPS}"
    page.click("#go")
    assert page.inner_text("#part") == "Row 4 · 2 of 3 rows in this step"
    page.reload()
    page.click("#from-one")
    assert count(page) == f"Step 1 of {STEPS}"
    page.click("#jump-open")
    assert "farthest so far" in page.inner_text("#jump-list")


def test_the_page_works_when_storage_is_refused(open_page):
    page = open_page(before=NO_STORAGE)
    page.click("#go")
    page.click("#next")
    assert count(page) == f"Step 2 of {STEPS}"
    page.click("#menu-open")
    assert "does not let the page keep your place" in page.inner_text("#place-hint")


def test_work_on_another_plan_of_the_same_name_is_offered_by_bubbles_made(open_page):
    page = open_page(make_book(each=12))
    page.click("#go")
    for _ in range(4):
        page.click("#next")
    other = open_page(make_book(each=6), context=page.context, name="other.html")
    assert "You made 48 bubbles" in other.inner_text("#transfer")
    other.click("#transfer button")
    assert count(other).startswith("Step 9 of")


def test_a_code_carries_the_place_and_wrong_codes_are_explained(open_page):
    page = open_page()
    page.click("#go")
    for _ in range(3):
        page.click("#next")
    page.click("#menu-open")
    code = page.inner_text("#place-code")
    assert re.fullmatch(r"[0-9a-f]{4}-3\.2", code)
    for wrong, words in (
        ("", "Type the code first"),
        ("<b>x</b>", "is not a code of this page"),
        ("0000-3" if code[:4] != "0000" else "1111-3", "belongs to another plan"),
        (f"{code[:4]}-999", f"only {STEPS} steps"),
    ):
        page.fill("#code-in", wrong)
        page.click("#code-use")
        assert words in page.inner_text("#code-answer")
    page.keyboard.press("Escape")
    page.keyboard.press("Home")
    page.click("#menu-open")
    page.fill("#code-in", f" {code.upper()} ")
    page.keyboard.press("Enter")
    assert at(page) == 3


def test_jumping_by_number_word_slider_and_list(open_page):
    page = open_page()
    page.click("#go")
    page.click("#jump-open")
    page.fill("#jump-find", "7")
    page.keyboard.press("Enter")
    assert count(page) == f"Step 7 of {STEPS}"
    page.click("#jump-open")
    page.fill("#jump-find", "three times")
    assert page.locator("#jump-list li").count() == 1
    page.click("#jump-list button")
    assert count(page) == f"Step 3 of {STEPS}"
    page.click("#jump-open")
    page.focus("#jump-slide")
    page.keyboard.press("End")
    assert page.inner_text("#jump-go") == f"Go to step {STEPS}"
    page.click("#jump-go")
    assert count(page) == f"Step {STEPS} of {STEPS}"
    page.click("#jump-open")
    page.fill("#jump-find", "no such word")
    assert "No step has this" in page.inner_text("#jump-more")
    page.keyboard.press("Escape")
    page.keyboard.press("Escape")
    assert count(page) == f"Step {STEPS} of {STEPS}"
