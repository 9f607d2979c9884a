"""The page of the shape: every key of every form can be changed, undone, and is never guessed."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from nicegui import ElementFilter
from nicegui.testing import User

from airweft.design.schema import FORMS
from airweft.web.pages import shape
from airweft.web.view.view import PieceView
from airweft.workshop.beginnings import beginning, examples, forms
from airweft.workshop.desk import Desk
from airweft.workshop.inputs import as_kind, form_kinds, inputs_of, new_part, part_kinds, with_parts
from airweft.workshop.reading import read_all
from airweft.workshop.store.store import Store
from tests.web.conftest import SIZES, Running
from tests.web.desks import labelled, press, put, until, use, wrongs
from tests.web.test_shelf import audit, no_wider_than_the_screen


def form(desk: Desk) -> dict[str, Any]:
    found: dict[str, Any] = tomllib.loads(desk.text)["form"]
    return found


@pytest.fixture
def opened(tmp_path: Path) -> Callable[[str], Desk]:
    store = Store(tmp_path / "home")

    def open_(key: str) -> Desk:
        one = beginning(key)
        assert one is not None
        return store.open(store.new(one.text, files=one.files).key)

    return open_


@pytest.mark.parametrize("kind", FORMS)
def test_every_key_of_every_form_has_an_input(kind: str) -> None:
    """Whatever the schema has, but for what is asked in another way: kind, file, parts."""
    keys = {one.key for one in inputs_of(kind)}
    assert keys == set(FORMS[kind].model_fields) - {"kind", "file", "part"}


def test_every_form_becomes_every_other_one() -> None:
    for one in forms():
        for kind in form_kinds():
            read = read_all(as_kind(one.text, kind, name="x"), name="x", folder=Path())
            assert read.net is not None, (one.key, kind, read.findings)


def test_every_kind_of_part_can_be_added() -> None:
    one = beginning("form-joined")
    assert one is not None
    for kind in part_kinds():
        added = new_part(one.text, kind)
        text = with_parts(one.text, partial(_and, added))
        read = read_all(text, name="x", folder=Path())
        # It may not fit on the hat: then the form says so, but the file can be read.
        assert read.design is not None, (kind, read.findings)


def _and(added: dict[str, Any], parts: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [*parts, added]


@pytest.mark.parametrize("key", [one.key for one in (*forms(), *examples())])
def test_every_beginning_opens_and_shows_what_the_file_says(
    key: str, opened: Callable[[str], Desk]
) -> None:
    desk = opened(key)
    text = desk.text

    async def deed(user: User) -> None:
        await user.should_see("Balloons")
        assert not wrongs(user)
        told = form(desk)
        for one in inputs_of(str(told["kind"])):
            if one.sort == "count" and one.key in told:
                assert labelled(user, one.name).props["value"] == str(told[one.key])

    use(shape.page, desk, deed)
    assert desk.text == text  # looking changes nothing


def test_counts_step_and_undo(opened: Callable[[str], Desk]) -> None:
    desk = opened("form-box")

    async def deed(user: User) -> None:
        press(user, "Across: more")
        await until(lambda: form(desk)["across"] == 8)
        press(user, "Across: more")
        await until(lambda: form(desk)["across"] == 10)
        assert desk.can_undo == "Across 10"
        assert labelled(user, "Across").props["value"] == "10"
        press(user, "Undo: Across 10")  # both steps were one gesture
        await until(lambda: form(desk)["across"] == 6)
        assert labelled(user, "Across").props["value"] == "6"
        put(user, "Top", False)
        await until(lambda: form(desk)["open"] == [])
        put(user, "Seams", "extra")
        await until(lambda: form(desk)["seams"] == "extra")
        assert desk.can_undo == "Seams extra"

    use(shape.page, desk, deed)
    assert "# bubbles from left to right, an even number" in desk.text


def test_an_odd_count_is_said_beside_the_input(opened: Callable[[str], Desk]) -> None:
    desk = opened("form-box")

    async def deed(user: User) -> None:
        put(user, "High", "5")
        await until(lambda: form(desk)["high"] == 5)
        await until(lambda: wrongs(user))
        assert any("even" in one for one in wrongs(user))
        assert desk.net is not None  # the last good piece is still there
        put(user, "High", "x")
        await until(lambda: any("not a whole number" in one for one in wrongs(user)))
        assert form(desk)["high"] == 5

    use(shape.page, desk, deed)


@pytest.mark.parametrize(
    ("typed", "written"),
    [("18", 18), ("18,5", 18.5), ("18.5", 18.5), ("7 1/2 in", "7 1/2 in"), ("200 mm", "200 mm")],
)
def test_lengths_are_read_as_people_write_them(
    typed: str, written: object, opened: Callable[[str], Desk]
) -> None:
    desk = opened("form-ball")

    async def deed(user: User) -> None:
        put(user, "Across", typed)
        await until(lambda: form(desk)["across"] == written)

    use(shape.page, desk, deed)


def test_a_length_of_two_readings_is_refused(opened: Callable[[str], Desk]) -> None:
    desk = opened("form-ball")

    async def deed(user: User) -> None:
        put(user, "Across", "1,234")
        await until(lambda: wrongs(user))
        assert "two ways" in wrongs(user)[0]

    use(shape.page, desk, deed)
    assert form(desk)["across"] == 16


def test_a_profile_is_changed_point_by_point(opened: Callable[[str], Desk]) -> None:
    desk = opened("form-turned")

    async def deed(user: User) -> None:
        press(user, "Put a point in after point 1")
        await until(lambda: len(form(desk)["profile"]) == 3)
        assert form(desk)["profile"][1] == [8, 12.5]
        put(user, "Point 2: radius", "10")
        await until(lambda: form(desk)["profile"][1][0] == 10)
        press(user, "Take point 2 out")
        await until(lambda: len(form(desk)["profile"]) == 2)
        assert desk.can_undo == "Profile point 2 taken out"

    use(shape.page, desk, deed)


def test_cubes_are_put_in_and_taken_out(opened: Callable[[str], Desk]) -> None:
    desk = opened("form-blocks")

    async def deed(user: User) -> None:
        press(user, "Cube, layer 2, column 1, at the front")
        await until(lambda: form(desk)["layers"][1].split() == ["##", "#."])
        press(user, "Layer on top")
        await until(lambda: len(form(desk)["layers"]) == 3)
        assert desk.design is not None

    use(shape.page, desk, deed)


def test_parts_are_added_renamed_moved_and_taken_out(opened: Callable[[str], Desk]) -> None:
    desk = opened("form-joined")

    async def deed(user: User) -> None:
        press(user, "Add it")
        await until(lambda: len(form(desk)["part"]) == 4)
        assert form(desk)["part"][3]["on"] == "top of hat"
        put(user, "Name", "cap", place=1)
        await until(lambda: form(desk)["part"][1]["name"] == "cap")
        assert form(desk)["part"][3]["on"] == "top of cap"
        await until(lambda: desk.net is not None and "cap side" in desk.net.panels)
        put(user, "Goes on", "bottom of body", place=1)
        await until(lambda: form(desk)["part"][3]["on"] == "bottom of body")
        press(user, "Take out")  # the first: all others hung on it
        await until(lambda: len(form(desk)["part"]) == 3)
        desk.undo()
        await until(lambda: desk.net is not None and len(form(desk)["part"]) == 4)

    use(shape.page, desk, deed)


def test_another_form_keeps_the_rest(opened: Callable[[str], Desk]) -> None:
    desk = opened("form-box")

    async def deed(user: User) -> None:
        press(user, "Ring")
        await until(lambda: form(desk)["kind"] == "ring")
        await user.should_see("Thick")
        assert desk.net is not None and desk.name == "Bait box"
        assert desk.can_undo == "Form ring"

    use(shape.page, desk, deed)


def test_a_finding_lights_its_joints(opened: Callable[[str], Desk]) -> None:
    desk = opened("form-joined")
    seam = next(f for f in desk.findings if f.joints)

    async def deed(user: User) -> None:
        press(user, seam.message)
        with user:
            view = next(iter(ElementFilter(kind=PieceView)))
        marks = view.props["state"]["marks"]
        assert [m["joints"] for m in marks] == [list(seam.joints)]

    use(shape.page, desk, deed)


# In a real browser


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
    high.focus()
    high.press("ArrowUp")
    page.wait_for_function("e => e.value === '6'", arg=high.element_handle())
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
