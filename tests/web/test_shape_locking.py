"""The page of the shape: parts of a joined form locked at named joints, by a simulated user."""

from __future__ import annotations

from collections.abc import Callable

from nicegui import ElementFilter
from nicegui.testing import User
from nicegui.testing.user_interaction import UserInteraction

from airweft.web.pages import shape
from airweft.web.view.view import PieceView
from airweft.workshop.desk import Desk
from tests.web.desks import form, labelled, press, put, until, use


def pick(user: User, joint: str = "", bubble: str = "") -> None:
    """Press a joint or a bubble in the picture, as the canvas tells of it."""
    with user:
        view = next(iter(ElementFilter(kind=PieceView)))
    assert view.pack is not None
    told = {
        "serial": view._serial,
        "bubbles": [view.pack.bubbles.index(bubble)] if bubble else [],
        "joint": view.pack.joints.index(joint) if joint else None,
    }
    UserInteraction(user, {view}, "view").trigger("pick", told)


def test_joints_are_locked_from_lists_and_from_the_picture(opened: Callable[[str], Desk]) -> None:
    desk = opened("form-joined")
    text = desk.text

    def sewn() -> dict[str, str]:
        found: dict[str, str] = form(desk)["part"][1].get("sew", {})
        return found

    async def deed(user: User) -> None:
        assert desk.net is not None
        net = desk.net
        press(user, "Lock a joint")
        await until(lambda: labelled(user, "Joint of hat"))
        put(user, "Joint of hat", "side (9, 9)")
        await user.should_see("hat has no joint “side (9, 9)”")
        assert not sewn()
        put(user, "Joint of hat", "bottom")
        await until(lambda: sewn() == {"bottom": "body"})
        assert form(desk)["part"][1]["on"] == "top of body"
        there = next(j for j in net.joint_names if j.startswith("body "))
        press(user, "Press in the picture")
        pick(user, there)
        await until(lambda: sewn() == {"bottom": f"body: {there.removeprefix('body ')}"})
        assert "on" not in form(desk)["part"][1]  # it goes to where it is locked
        assert labelled(user, "Goes on", 0).props["value"] == "locked"
        desk.undo()
        await until(lambda: sewn() == {"bottom": "body"})
        press(user, "Lock a joint")  # a second pair, half chosen, stays while the first changes
        await until(lambda: labelled(user, "Joint of hat", 1))
        put(user, "Joint of hat", "top")
        await until(lambda: sewn() == {"top": "body"})
        put(user, "Joint of hat", "top", place=1)
        await user.should_see("top is locked already, onto body.")
        put(user, "Joint of hat", "bottom", place=1)
        await until(lambda: sewn() == {"top": "body", "bottom": "body"})
        press(user, "Take the pair of top out")
        await until(lambda: sewn() == {"bottom": "body"})
        press(user, "Take the pair of bottom out")
        await until(lambda: not sewn())
        assert desk.text == text

    use(shape.page, desk, deed)


def test_a_bubble_that_is_pressed_offers_its_ends(opened: Callable[[str], Desk]) -> None:
    desk = opened("form-joined")

    async def deed(user: User) -> None:
        assert desk.net is not None
        net = desk.net
        text = desk.text
        bubble = next(b for b in net.bubble_names if b.startswith("body "))
        ends = [net.joint_names[j] for j in net.ends[net.bubble_names.index(bubble)]]
        press(user, "Lock a joint")
        await until(lambda: labelled(user, "Joint of hat"))
        press(user, "Press in the picture")
        mine = next(j for j in net.joint_names if j.startswith("hat "))
        pick(user, mine)
        await until(lambda: form(desk)["part"][1].get("sew"))
        await user.should_see("Now the joint that")
        pick(user, bubble=bubble)
        await user.should_see("Which end of the bubble?")
        press(user, ends[0])
        name, other = mine.removeprefix("hat "), ends[0].removeprefix("body ")
        await until(lambda: form(desk)["part"][1].get("sew") == {name: f"body: {other}"})
        desk.undo()
        assert desk.text == text  # both were one gesture

    use(shape.page, desk, deed)


def test_joints_are_pressed_in_either_order_and_only_of_parts_before(
    opened: Callable[[str], Desk],
) -> None:
    desk = opened("form-joined")

    async def deed(user: User) -> None:
        assert desk.net is not None
        first = {
            part: next(j for j in desk.net.joint_names if j.startswith(f"{part} "))
            for part in ("body", "hat", "left feeler")
        }
        press(user, "Lock a joint")
        await until(lambda: labelled(user, "Joint of hat"))
        press(user, "Press in the picture")
        pick(user, first["left feeler"])
        await user.should_see("belongs to a part that is built later")
        pick(user, first["body"])
        await user.should_see("Now the joint of hat that goes onto")
        pick(user, first["hat"])
        name, other = first["hat"].removeprefix("hat "), first["body"].removeprefix("body ")
        await until(lambda: form(desk)["part"][1].get("sew") == {name: f"body: {other}"})
        desk.undo()  # the pair that waits for the picture is gone, and nothing waits any more
        await until(lambda: "sew" not in form(desk)["part"][1])
        pick(user, first["body"])
        await until(lambda: desk.can_undo is None)

    use(shape.page, desk, deed)


def test_a_renamed_part_stays_open_and_names_stay_apart(opened: Callable[[str], Desk]) -> None:
    desk = opened("form-joined")

    async def deed(user: User) -> None:
        put(user, "Name", "hat", place=0)
        await user.should_see("There is another part called hat.")
        put(user, "Goes on", "locked")
        await user.should_see("Lock a joint of it first")
        assert form(desk)["part"][1]["on"] == "top of body"

    use(shape.page, desk, deed)
