"""A page of one piece with a simulated user: press, put values in, and wait for what follows."""

from __future__ import annotations

import asyncio
import tomllib
from collections.abc import Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

from nicegui import ElementFilter, ui
from nicegui.testing import User
from nicegui.testing.user_interaction import UserInteraction
from nicegui.testing.user_simulation import user_simulation

from airweft.web.frame import Frame
from airweft.workshop.desk import Desk

Deed = Callable[[User], Awaitable[None]]


def use(page: Callable[[Desk, Frame], None], desk: Desk, deed: Deed, at: str = "shape") -> None:
    """Open the page of a desk as a simulated user and do something with it."""

    def whole() -> None:
        frame = Frame(desk, at)
        with frame:
            page(desk, frame)

    async def run() -> None:
        async with user_simulation(whole) as user:
            await user.open("/")
            await deed(user)

    # In a thread of its own: a browser of other tests may hold this one's event loop.
    with ThreadPoolExecutor(1) as thread:
        thread.submit(asyncio.run, run()).result()


def press(user: User, name: str) -> None:
    """Press the button of this name or text."""
    with user:
        found = [
            one
            for one in ElementFilter()
            if one.props.get("aria-label") == name or getattr(one, "text", "") == name
        ]
    assert found, name
    for one in found:
        while one.tag not in ("button", "a") and one.parent_slot is not None:
            one = one.parent_slot.parent
        if one.tag in ("button", "a"):
            UserInteraction(user, {one}, name).click()
            return
    raise AssertionError(f"{name} is no button")


def labelled(user: User, name: str, place: int = 0) -> ui.element:
    """The input, list or switch of this name."""
    with user:
        all_ = list(ElementFilter())
        by_id = {one.props.get("id"): one for one in all_}
        found = [one for one in all_ if one.props.get("aria-label") == name]
        for one in all_:
            if one.tag == "label" and getattr(one, "text", "") == name:
                found.append(by_id[one.props["for"]])
            elif one.tag == "label" and any(getattr(d, "text", "") == name
                                            for d in one.descendants()):  # fmt: skip
                found += [d for d in one.descendants() if d.tag == "input"]
    assert len(found) > place, name
    return found[place]


def put(user: User, name: str, value: Any, *, event: str = "change", place: int = 0) -> None:
    """Put a value into the input of this name, as the browser tells of it."""
    one = labelled(user, name, place)
    UserInteraction(user, {one}, name).trigger(event, value)


async def until(true: Callable[[], object], what: str = "") -> None:
    """Wait until something is true."""
    for _ in range(400):
        if true():
            await asyncio.sleep(0.05)  # what follows from it reaches the page
            return
        await asyncio.sleep(0.02)
    raise AssertionError(f"never true: {what}")


def wrongs(user: User) -> list[str]:
    """What is said to be wrong, under any input."""
    with user:
        return [
            text
            for one in ElementFilter()
            if "wrong" in one.classes and (text := getattr(one, "text", ""))
        ]


def form(desk: Desk) -> dict[str, Any]:
    """The table of the form in the text of the desk."""
    found: dict[str, Any] = tomllib.loads(desk.text)["form"]
    return found
