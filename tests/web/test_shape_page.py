"""The page of the shape: every key of every form can be changed, undone, and is never guessed."""

from __future__ import annotations

import asyncio
import tomllib
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from nicegui import ElementFilter
from nicegui.testing import User

from airweft.base.findings import Finding
from airweft.design.schema import FORMS
from airweft.web.pages import shape
from airweft.web.view.view import PieceView
from airweft.workshop import settling
from airweft.workshop.beginnings import beginning, examples, forms
from airweft.workshop.desk import Desk
from airweft.workshop.inputs import as_kind, form_kinds, inputs_of, new_part, part_kinds, with_parts
from airweft.workshop.reading import read_all
from tests.web.desks import form, labelled, press, put, until, use, wrongs


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


def facts(user: User) -> dict[str, str]:
    """What the page tells of the size and the like."""
    with user:
        said = {kind: [getattr(one, "text", "") for one in ElementFilter() if one.tag == kind]
                for kind in ("dt", "dd")}  # fmt: skip
    return dict(zip(said["dt"], said["dd"], strict=True))


def pressed(user: User, name: str) -> bool:
    """Whether the button with this text is down."""
    with user:
        found = [one for one in ElementFilter() if getattr(one, "text", "") == name]
        slot = found[0].parent_slot
        assert slot is not None
        return bool(slot.parent.props.get("aria-pressed") == "true")


def test_the_shape_that_it_will_take_is_measured_once_it_is_known(
    opened: Callable[[str], Desk],
) -> None:
    desk = opened("form-box")

    async def deed(user: User) -> None:
        await user.should_see("the shape that it will take is being worked out")
        drawn = facts(user)
        assert set(drawn) == {"Width", "Depth", "Height", "Bubbles", "Joints"}
        await until(lambda: desk.settled is not None)
        await until(lambda: "Weighs" in facts(user))
        settled, shape = facts(user), desk.settled
        assert pressed(user, "As it will stand") and not pressed(user, "As drawn")
        assert shape is not None and shape.size_mm is not None
        width = float(settled["Width"].removesuffix(" cm")) * 10
        assert abs(width - shape.size_mm[0]) <= 2.5
        assert settled["Stands"] == "firmly" and settled["Room"] == "for all"
        assert {"Bubble lengths", "Pump", "Bubbles", "Joints"} <= set(settled)
        press(user, "As drawn")
        await until(lambda: facts(user) == drawn)
        press(user, "As it will stand")
        await until(lambda: facts(user) == settled)
        with user:
            view = next(iter(ElementFilter(kind=PieceView)))
        assert view.props["pack"]["sizes"][0] == ["width", settled["Width"]]
        put(user, "High", "6")  # another piece: as drawn, until its shape is known
        await until(lambda: pressed(user, "As drawn"))
        assert "Weighs" not in facts(user)
        put(user, "High", "5")
        await user.should_see("As it last could be woven")

    use(shape.page, desk, deed)


def test_the_shape_that_comes_leaves_what_is_being_typed(opened: Callable[[str], Desk]) -> None:
    desk = opened("form-box")

    async def deed(user: User) -> None:
        put(user, "High", "many")
        await until(lambda: wrongs(user))
        await until(lambda: desk.settled is not None)
        await until(lambda: "Weighs" in facts(user))
        assert "not a whole number" in wrongs(user)[0]
        assert labelled(user, "High").props["value"] == "many"

    use(shape.page, desk, deed)


def test_a_large_piece_is_worked_out_when_asked_for(
    opened: Callable[[str], Desk], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(settling, "AT_ONCE", 50)
    desk = opened("form-box")

    async def deed(user: User) -> None:
        await user.should_see("For so many bubbles working it out takes a while.")
        await asyncio.sleep(1.2)
        assert settling.settling_of(desk).state == "wanted"
        press(user, "Work it out")
        await user.should_see("is being worked out")
        await until(lambda: "Weighs" in facts(user))

    use(shape.page, desk, deed)


def test_why_no_shape_could_be_worked_out_is_said(
    opened: Callable[[str], Desk], monkeypatch: pytest.MonkeyPatch
) -> None:
    desk = opened("form-box")

    monkeypatch.setattr("airweft.workshop.tasks.start", lambda *_: _Failing())

    async def deed(user: User) -> None:
        await until(lambda: settling.settling_of(desk).state == "failed")
        await user.should_see("What comes out could not be worked out: Too tired. Rest.")
        monkeypatch.undo()
        press(user, "Work it out")
        await until(lambda: "Weighs" in facts(user))

    use(shape.page, desk, deed)


class _Failing:
    """A task that cannot be done."""

    at = (0, 0, "")

    def on(self, _progress: object, _done: object, failed: Callable[..., None]) -> None:
        failed((Finding(code="tired", severity="cannot", where="work", message="Too tired",
                        remedy="Rest."),))  # fmt: skip

    def stop(self) -> None:
        pass


def test_another_unit_says_the_same_lengths(opened: Callable[[str], Desk]) -> None:
    desk = opened("form-turned")
    before, text = desk.net, desk.text

    async def deed(user: User) -> None:
        press(user, "Millimetres")
        await until(lambda: tomllib.loads(desk.text)["units"] == "mm")
        assert form(desk)["profile"][0] == [90, 0]
        assert labelled(user, "Bubble").props["value"] == "25"
        assert desk.can_undo == "Lengths in millimetres"
        assert facts(user)["Width"].endswith(" mm")
        press(user, "Inches")
        await until(lambda: tomllib.loads(desk.text)["units"] == "in")
        assert labelled(user, "Bubble").props["value"] == "25 mm"
        await user.should_see("about 1 in")
        await user.should_see("stay in another unit, so that the piece keeps its exact size")
        press(user, "Bubble: more")
        await until(lambda: tomllib.loads(desk.text)["balloon"]["bubble"] == 1)
        press(user, "Bubble: more")
        await until(lambda: tomllib.loads(desk.text)["balloon"]["bubble"] == "1 1/8")
        desk.undo()
        desk.undo()
        assert before is not None and desk.net is not None
        assert bool((desk.net.joints == before.joints).all())
        assert bool((desk.net.lengths == before.lengths).all())
        desk.undo()
        desk.undo()
        assert desk.text == text  # each unit was one gesture
        desk.replace("units = ", gesture="x")
        await until(lambda: desk.design is None)
        press(user, "Inches")
        await until(lambda: wrongs(user))
        assert desk.text == "units = "

    use(shape.page, desk, deed)


def test_a_part_is_painted_on_its_own(opened: Callable[[str], Desk]) -> None:
    desk = opened("form-joined")

    async def deed(user: User) -> None:
        put(user, "Pattern of its own", "panels", place=1)
        await until(lambda: form(desk)["part"][1].get("pattern") == {"kind": "panels", "rest": "W"})
        await until(lambda: desk.net is not None and "hat top" in desk.net.panels)
        put(user, "Top", "R", place=1)  # the first is whether that end is closed
        await until(lambda: form(desk)["part"][1]["pattern"].get("top") == "R")
        assert desk.is_woven, desk.findings
        put(user, "Pattern of its own", "rows", place=2)
        await until(
            lambda: form(desk)["part"][2].get("pattern") == {"kind": "rows", "repeat": "RW"}
        )
        assert desk.net is not None
        chain = [desk.net.bubble_names.index(f"left feeler {k}") for k in (1, 2, 3)]
        assert [desk.net.colours[at] for at in chain] == ["R", "W", "R"]
        put(user, "Repeat", "RQ")
        await user.should_see("no such mark")
        put(user, "Pattern of its own", "", place=2)
        await until(lambda: "pattern" not in form(desk)["part"][2])
        put(user, "Bubble", "3,5", place=2)  # of the feeler, after those of body and hat
        await until(lambda: form(desk)["part"][2].get("bubble") == 3.5)

    use(shape.page, desk, deed)
