"""The page of the colours: strokes with every reach, mirrors, palette, pattern, other eyes."""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from nicegui import ElementFilter
from nicegui.testing import User
from nicegui.testing.user_interaction import UserInteraction

from airweft.web.chart.chart import Chart
from airweft.web.pages import colours
from airweft.web.view.canvas import Canvas
from airweft.web.view.view import PieceView
from airweft.workshop.beginnings import beginning
from airweft.workshop.brush import Brush
from airweft.workshop.desk import Desk
from airweft.workshop.store.store import Store
from tests.web.conftest import SIZES, Running
from tests.web.desks import labelled, press, put, until, use
from tests.web.test_shape_clicks import begin
from tests.web.test_shelf import audit, no_wider_than_the_screen


@pytest.fixture
def box(tmp_path: Path) -> Desk:
    store = Store(tmp_path / "home")
    one = beginning("form-box")
    assert one is not None
    return store.open(store.new(one.text).key)


def counts(desk: Desk) -> Counter[str]:
    assert desk.net is not None
    return Counter(desk.net.colours)


def stroke(user: User, desk: Desk, *names: str, on: type[Canvas] = PieceView, number: int = 1,
           done: bool = True) -> None:  # fmt: skip
    """A part of a stroke, as the canvas tells of it."""
    assert desk.net is not None
    with user:
        canvas = next(iter(ElementFilter(kind=on)))
    found = [desk.net.bubble_names.index(name) for name in names]
    told = {"serial": canvas._serial, "bubbles": found, "number": number, "done": done}
    UserInteraction(user, {canvas}, "canvas").trigger("stroke", told)


def test_view_and_chart_take_paint_and_one_stroke_is_one_gesture(box: Desk) -> None:
    async def deed(user: User) -> None:
        press(user, "khaki (Y), key 2")
        stroke(user, box, "right 1.1", "right 2.1", done=False)
        stroke(user, box, "right 3.1")
        await until(lambda: counts(box)["Y"] == 27)
        assert box.can_undo == "Paint khaki"
        stroke(user, box, "left 1.1", on=Chart, number=2)
        await until(lambda: counts(box)["Y"] == 28)
        box.undo()
        assert counts(box)["Y"] == 27
        box.undo()
        assert counts(box)["Y"] == 24

    use(colours.page, box, deed, "colours")


@pytest.mark.parametrize(
    ("reach", "painted"),
    [("Row", 4), ("Row all round", 20), ("Column", 4), ("Panel", 16), ("All that touch", 80)],
)
def test_every_reach_paints_what_it_says(reach: str, painted: int, box: Desk) -> None:
    """Of a box of 6 x 4 x 4 with an open top: a right side of 16, 80 bubbles in teal."""

    async def deed(user: User) -> None:
        press(user, "Another colour")
        await until(lambda: len(tomllib.loads(box.text)["colours"]) == 3)
        press(user, "red (R), key 1")
        press(user, reach)
        stroke(user, box, "right 2.2")
        await until(lambda: counts(box)["R"])
        assert counts(box)["R"] == painted
        assert str(box.can_undo).startswith("Paint ")

    use(colours.page, box, deed, "colours")


def test_mirrors_paint_alike(box: Desk) -> None:
    async def deed(user: User) -> None:
        put(user, "Left and right", True)
        put(user, "Front and back", True)
        press(user, "khaki (Y), key 2")
        stroke(user, box, "right 1.1")
        await until(lambda: counts(box)["Y"] > 24)
        assert box.net is not None
        assert {n for n, c in zip(box.net.bubble_names, box.net.colours, strict=True)
                if c == "Y" and not n.startswith("front")} == {
            "right 1.1", "right 4.1", "left 1.1", "left 4.1"}  # fmt: skip

    use(colours.page, box, deed, "colours")


@pytest.mark.parametrize("key", ["form-tube", "form-solid", "form-box"])
def test_mirrored_bubbles_lie_where_the_mirror_shows_them(key: str, tmp_path: Path) -> None:
    """By the places of their ends, not by the search that the brush makes."""
    store = Store(tmp_path / "home")
    one = beginning(key)
    assert one is not None
    net = store.open(store.new(one.text).key).net
    assert net is not None
    brush = Brush(net)
    middles = net.joints[net.ends].mean(axis=1)
    centre = (middles.min(axis=0) + middles.max(axis=0)) / 2
    for number in range(0, net.bubble_count, 7):
        met = brush.reached([net.bubble_names[number]], "bubble", ["width"])
        for name in met:
            there = middles[net.bubble_names.index(name)] - centre
            here = middles[number] - centre
            apart = min(np.abs(there - here).max(), np.abs(there * [-1, 1, 1] - here).max())
            assert apart < 0.3 * float(np.median(net.lengths)) / 100


def test_the_eyedropper_takes_a_colour_and_goes_back_to_painting(box: Desk) -> None:
    async def deed(user: User) -> None:
        press(user, "Take a colour up")
        assert box.net is not None
        with user:
            view = next(iter(ElementFilter(kind=PieceView)))
        at = box.net.bubble_names.index("front 3.2")
        told = {"serial": view._serial, "bubbles": [at], "joint": None}
        UserInteraction(user, {view}, "view").trigger("pick", told)
        await user.should_see("In the brush: khaki")
        assert view.props["state"]["mode"] == "paint"
        assert view.props["state"]["brush"] == "Y"

    use(colours.page, box, deed, "colours")
    assert box.can_undo is None


def test_the_palette_is_edited(box: Desk) -> None:
    async def deed(user: User) -> None:
        put(user, "Tone of teal (T)", "#ff7f50")
        await until(lambda: tomllib.loads(box.text)["colours"]["T"] == "coral")
        put(user, "Name of Y", "sand")
        await until(lambda: isinstance(tomllib.loads(box.text)["colours"]["Y"], dict))
        assert tomllib.loads(box.text)["colours"]["Y"] == {"name": "sand", "colour": "#f0e68c"}
        press(user, "Another colour")
        await until(lambda: len(tomllib.loads(box.text)["colours"]) == 3)
        press(user, "Take red out")
        await until(lambda: len(tomllib.loads(box.text)["colours"]) == 2)
        assert box.can_undo == "Colour out: red"

    use(colours.page, box, deed, "colours")


def test_the_pattern_is_changed_under_what_is_painted_by_hand(box: Desk) -> None:
    async def deed(user: User) -> None:
        stroke(user, box, "front 3.2")
        await until(lambda: counts(box)["Y"] == 23)
        put(user, "Pattern", "rows")
        await until(lambda: tomllib.loads(box.text)["pattern"]["base"]["kind"] == "rows")
        put(user, "Repeat", "TYQ")
        await user.should_see("no such mark")
        put(user, "Repeat", "TYY")
        await until(lambda: tomllib.loads(box.text)["pattern"]["base"]["repeat"] == "TYY")
        assert tomllib.loads(box.text)["pattern"]["bubbles"] == {"front 3.2": "T"}
        press(user, "Take all painting by hand away")
        await until(lambda: tomllib.loads(box.text)["pattern"]["kind"] == "rows")
        assert "bubbles" not in tomllib.loads(box.text)["pattern"]

    use(colours.page, box, deed, "colours")


def test_other_eyes_change_the_picture_and_not_the_piece(box: Desk) -> None:
    text = box.text

    async def deed(user: User) -> None:
        with user:
            view = next(iter(ElementFilter(kind=PieceView)))
        before = view.props["pack"]["palette"]
        put(user, "Seen", "grey")
        await until(lambda: view.props["pack"]["palette"] != before)
        await user.should_see("All colours can be told apart.")

    use(colours.page, box, deed, "colours")
    assert box.text == text


def test_a_colour_takes_another_mark_everywhere(box: Desk) -> None:
    text = box.text

    async def deed(user: User) -> None:
        press(user, "khaki (Y), key 2")
        stroke(user, box, "right 1.1")
        await until(lambda: counts(box)["Y"] == 25)
        painted = box.text
        put(user, "Mark of khaki", "t")
        await user.should_see("T is the mark of teal already")
        put(user, "Mark of khaki", "YY")
        await user.should_see("no mark for a colour")
        assert box.text == painted
        put(user, "Mark of khaki", "k")
        await until(lambda: "K" in tomllib.loads(box.text)["colours"])
        assert counts(box) == {"T": 79, "K": 25}
        assert box.can_undo == "khaki: mark K"
        with user:
            view = next(iter(ElementFilter(kind=PieceView)))
        await until(lambda: view.props["state"]["brush"] == "K")  # the brush keeps its colour
        press(user, "khaki (K), key 1")
        box.undo()
        assert box.text == painted
        await until(lambda: labelled(user, "Mark of khaki").props["value"] == "Y")
        box.undo()
        assert box.text == text

    use(colours.page, box, deed, "colours")


def test_a_part_is_painted_beside_the_whole(tmp_path: Path) -> None:
    store = Store(tmp_path / "home")
    one = beginning("form-joined")
    assert one is not None
    desk = store.open(store.new(one.text).key)

    async def deed(user: User) -> None:
        put(user, "Pattern of its own", "plain")
        await until(lambda: "pattern" in tomllib.loads(desk.text)["form"]["part"][0])
        assert desk.can_undo == "Pattern: one colour"
        put(user, "Colour", "W", place=1)
        await until(lambda: counts(desk)["R"] == 3)  # only the feeler is left

    use(colours.page, desk, deed, "colours")


@pytest.mark.parametrize("size", SIZES)
def test_the_page_is_sound_at_every_size(app: Running, look: Callable[..., Any], size: str) -> None:
    page = look(app.address, size, color_scheme="dark" if size == "phone" else "light")
    begin(page, app.address, "Box", "colours")
    no_wider_than_the_screen(page)
    audit(page)


def test_the_chart_is_painted_by_keys_and_undone(app: Running, look: Callable[..., Any]) -> None:
    page = look(app.address)
    begin(page, app.address, "Box", "colours")
    chart = page.locator(".bench canvas[tabindex='0']").last
    chart.focus()
    page.keyboard.press("2")
    page.locator(".swatch[aria-pressed=true]", has_text="khaki").wait_for()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    page.locator(".tone-count", has_text="25 bubbles").wait_for()
    page.keyboard.press("Control+z")
    page.locator(".tone-count", has_text="24 bubbles").wait_for()


def test_a_mark_is_changed_by_keys_and_undone_at_once(
    app: Running, look: Callable[..., Any]
) -> None:
    page = look(app.address)
    begin(page, app.address, "Box", "colours")
    mark = page.get_by_label("Mark of teal")
    mark.focus()
    page.keyboard.type("y")
    page.keyboard.press("Enter")
    row = page.locator(".tone").first
    row.locator(".wrong", has_text="Y is the mark of khaki already").wait_for()
    assert mark.get_attribute("aria-invalid") == "true"
    mark.fill("q")
    page.keyboard.press("Enter")
    page.locator(".swatch-mark", has_text="Q").wait_for()
    # The hand stays in the input, and what was wrong is no longer said.
    page.wait_for_function("e => document.activeElement === e", arg=mark.element_handle())
    assert row.locator(".wrong").first.inner_text() == ""
    assert mark.input_value() == "Q"
    page.locator("h2").first.click()
    page.keyboard.press("Control+z")
    page.locator(".swatch-mark", has_text="T").wait_for()
    assert page.get_by_label("Mark of teal").input_value() == "T"
