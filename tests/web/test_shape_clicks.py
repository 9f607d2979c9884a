"""The page of the shape in a real browser: clicks, keys, and what they do to the design."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.web.conftest import SIZES, Running
from tests.web.test_shelf import audit, no_wider_than_the_screen


def begin(page: Any, address: str, title: str, at: str = "shape") -> None:
    """Begin a piece and go to one of its pages."""
    page.goto(f"{address}/new")
    page.get_by_role("button", name=title, exact=True).click()
    page.wait_for_url("**/piece/**")
    if at != "shape":
        page.goto(page.url.rsplit("/", 1)[0] + f"/{at}")
    page.locator(".bench canvas").first.wait_for()


def fact(page: Any, name: str) -> str:
    return str(page.locator(f".facts div:has(dt:text-is('{name}')) dd").inner_text())


@pytest.mark.parametrize("size", SIZES)
def test_the_page_is_sound_at_every_size(app: Running, look: Callable[..., Any], size: str) -> None:
    page = look(app.address, size, color_scheme="dark" if size == "tablet" else "light")
    begin(page, app.address, "Joined")
    page.locator(".part summary").first.click()
    page.get_by_label("Goes on").first.wait_for(state="attached")
    no_wider_than_the_screen(page)
    audit(page)


def test_keys_and_clicks_change_the_piece(app: Running, look: Callable[..., Any]) -> None:
    page = look(app.address)
    begin(page, app.address, "Box")
    before = fact(page, "Bubbles")
    page.get_by_role("button", name="Across: more").click()
    page.wait_for_function(
        "b => !document.querySelector('.facts').innerText.includes(b)", arg=before
    )
    high = page.get_by_label("High", exact=True)
    wider = fact(page, "Bubbles")
    high.focus()
    high.press("ArrowUp")
    page.wait_for_function("e => e.value === '6'", arg=high.element_handle())
    page.wait_for_function(
        "b => !document.querySelector('.facts').innerText.includes(b)", arg=wider
    )
    high.fill("7")
    high.press("Enter")
    page.locator(".piece-findings .finding", has_text="odd").wait_for()
    page.locator(".piece-findings button.finding").first.click()
    page.wait_for_function("document.activeElement.labels?.[0]?.textContent === 'High'")
    page.locator("h2").first.click()
    page.keyboard.press("Control+z")  # changes of one number in a row are one gesture
    page.wait_for_function("e => e.value === '4'", arg=high.element_handle())
    page.keyboard.press("Control+z")
    page.wait_for_function(
        "b => document.querySelector('.facts').innerText.includes(b)", arg=before
    )


def test_what_comes_out_is_measured_beside_what_is_drawn(
    app: Running, look: Callable[..., Any]
) -> None:
    page = look(app.address)
    begin(page, app.address, "Box")
    status = page.locator(".measures [role=status]")
    page.get_by_role("button", name="As it will stand", pressed=True).wait_for(timeout=60_000)
    assert "Estimates" in status.inner_text()
    assert fact(page, "Stands") == "firmly" and fact(page, "Weighs").endswith(" g")
    expected = fact(page, "Height")
    page.get_by_role("button", name="As drawn", exact=True).click()
    page.locator(".facts:not(:has(dt:text-is('Weighs')))").wait_for()
    assert fact(page, "Height") != expected
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")  # the other of the two
    page.locator(".facts dt", has_text="Weighs").wait_for()
    assert fact(page, "Height") == expected


def test_inches_by_a_click_and_back_by_a_key(app: Running, look: Callable[..., Any]) -> None:
    page = look(app.address)
    begin(page, app.address, "Ball")
    bubble = page.get_by_label("Bubble", exact=True)
    assert bubble.input_value() == "2.5"
    page.get_by_role("button", name="Inches", exact=True).click()
    page.get_by_role("button", name="Inches", exact=True, pressed=True).wait_for()
    page.wait_for_function("document.querySelector('.facts').innerText.includes(' in')")
    bubble = page.get_by_label("Bubble", exact=True)
    assert bubble.input_value() == "2.5 cm"
    bubble.fill("1 1/8")
    bubble.press("Enter")
    page.get_by_role("button", name="Undo: Bubble 1 1/8").wait_for()
    assert page.locator(".field", has=bubble).locator(".wrong").inner_text() == ""
    page.locator("h2").first.click()
    page.keyboard.press("Control+z")
    page.get_by_role("button", name="Undo: Lengths in inches").wait_for()
    page.keyboard.press("Control+z")
    page.get_by_role("button", name="Centimetres", exact=True, pressed=True).wait_for()
    assert page.get_by_label("Bubble", exact=True).input_value() == "2.5"


def test_a_joint_is_locked_by_keys_and_by_a_click_on_the_picture(
    app: Running, look: Callable[..., Any]
) -> None:
    page = look(app.address)
    begin(page, app.address, "Joined")
    part = page.locator(".part").nth(1)
    part.locator("summary").focus()
    page.keyboard.press("Enter")
    part.get_by_role("button", name="Lock a joint").click()
    mine = part.get_by_label("Joint of hat")
    mine.wait_for()
    page.wait_for_function("document.activeElement.labels?.[0]?.textContent === 'Joint of hat'")
    page.keyboard.type("bottom")
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Undo: hat: bottom locked onto body").wait_for()
    part.get_by_role("button", name="Press in the picture").click()
    canvas = page.locator(".bench canvas").first
    place = canvas.bounding_box()
    assert place is not None
    canvas.click(position={"x": place["width"] / 2, "y": place["height"] * 0.62})
    joint = part.get_by_label("Its joint")
    # On a joint it is taken at once; on a bubble one of its two ends is asked for.
    end = part.get_by_role("group", name="Ends of the bubble").get_by_role("button")
    page.wait_for_function(
        "() => document.querySelector('.pair-of-joints [role=group] button')"
        " || [...document.querySelectorAll('.pair-of-joints input')].at(-1).value"
    )
    if end.count():
        end.first.click()
    page.wait_for_function("e => e.value !== ''", arg=joint.element_handle())
    page.get_by_role("button", name="Undo: hat: bottom locked onto body: ").wait_for()
    part.get_by_role("button", name="Take the pair of bottom out").click()
    part.locator(".pair-of-joints").wait_for(state="detached")


def test_what_is_being_typed_stays_when_the_page_changes(
    app: Running, look: Callable[..., Any]
) -> None:
    page = look(app.address)
    begin(page, app.address, "Ball")
    page.get_by_role("button", name="Bubble: more").click()
    page.get_by_role("button", name="Undo: Bubble 2.6").wait_for()
    across = page.get_by_label("Across", exact=True)
    across.fill("17,5")  # and no key or click that settles it yet
    page.get_by_role("button", name="As it will stand", pressed=True).wait_for(timeout=60_000)
    assert across.input_value() == "17,5"
    across.press("Enter")
    page.get_by_role("button", name="Undo: Across 17,5").wait_for()
