"""The frame and the shelf by NiceGUI's simulated user: what they do, without a browser."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from pathlib import Path
from types import SimpleNamespace

import pytest
from nicegui import ui
from nicegui.testing import User
from nicegui.testing.user_interaction import UserInteraction
from nicegui.testing.user_simulation import user_simulation

from airweft.base.findings import Finding
from airweft.web.frame import Frame, pages
from airweft.web.pages import begin, shelf
from airweft.workshop.starter import starter_text
from airweft.workshop.store.store import Store

Deed = Callable[[User], Awaitable[None]]


def use(page: Callable[[], None], deed: Deed) -> None:
    """Open the page as a simulated user and do something with it."""

    async def whole() -> None:
        async with user_simulation(page) as user:
            await user.open("/")
            await deed(user)

    # Not asyncio.run: it waits for ever for tasks of the page builder after a failed test.
    loop = asyncio.new_event_loop()
    loop.run_until_complete(whole())
    loop.close()


def press(user: User, text: str) -> None:
    """Press the button with this text in it, or that is called so."""
    assert user.client is not None
    found = next(
        one
        for one in user.client.elements.values()
        if getattr(one, "text", "") == text or one.props.get("aria-label") == text
    )
    while found.tag not in ("button", "a"):
        assert found.parent_slot is not None
        found = found.parent_slot.parent
    UserInteraction(user, {found}, text).click()


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "home")


def test_the_empty_shelf_offers_every_beginning(store: Store) -> None:
    async def deed(user: User) -> None:
        await user.should_see("Your shelf is empty")
        for title in ("Box", "Ball", "Joined", "Lighthouse", "Choose files"):
            await user.should_see(title)

    use(lambda: shelf.page(store), deed)


def test_a_card_tells_of_the_piece(store: Store) -> None:
    piece = store.new(starter_text("box"))

    async def deed(user: User) -> None:
        await user.should_see(piece.name)
        await user.should_see(f"{piece.bubbles} bubbles")
        await user.should_not_see("Tablets")

    use(lambda: shelf.page(store), deed)
    use(lambda: shelf.page(store, shared=True), lambda user: user.should_see("Tablets"))


def test_the_bin_is_empty_or_gives_back(store: Store) -> None:
    use(lambda: shelf.binned_page(store), lambda user: user.should_see("The bin is empty."))
    piece = store.new(starter_text("ring"))
    store.bin(piece.key)

    async def deed(user: User) -> None:
        press(user, "Restore")
        await user.should_see(f"{piece.name} is on the shelf again")

    use(lambda: shelf.binned_page(store), deed)
    assert [one.key for one in store.pieces()] == [piece.key]


def test_a_beginning_makes_a_piece(store: Store) -> None:
    async def deed(user: User) -> None:
        press(user, "Tube")
        for _ in range(200):
            if store.pieces():
                return
            await asyncio.sleep(0.05)

    use(lambda: begin.page(store), deed)
    assert len(store.pieces()) == 1


def test_undo_redo_and_findings_follow_the_desk(store: Store) -> None:
    desk = store.open(store.new(starter_text("box")).key)
    told: list[str] = []

    def page() -> None:
        with Frame(desk, "shape") as frame:
            frame.listen(told.append)
            ui.label("the work")

    async def deed(user: User) -> None:
        await user.should_see("the work")
        await user.should_see("CHOKING HAZARD")
        desk.set(("form", "across"), 8, gesture="across 6 to 8")
        await asyncio.sleep(0.1)
        press(user, "Undo: across 6 to 8")
        await user.should_see("Undone: across 6 to 8")
        await asyncio.sleep(0.5)  # the buttons follow the desk a moment later
        press(user, "Redo: across 6 to 8")
        await user.should_see("Done again: across 6 to 8")
        desk.set(("form", "across"), 7, gesture="across 8 to 7")
        await asyncio.sleep(0.1)
        press(user, "Findings: 1 not makeable")
        await user.should_see("Cannot be made")
        assert desk.can_undo == "across 8 to 7"

    use(page, deed)
    assert "design" in told and "history" in told


def test_a_plan_out_of_date_names_what_changed(store: Store) -> None:
    changes = ("form: across 6 -> 8", "balloon: bubble 2.5 -> 3", "a", "b")
    desk = SimpleNamespace(
        key="x", name="Buoy", can_undo=None, can_redo=None, plan=object(), notices=(),
        plan_text_changes=changes, listen=lambda call: lambda: None,
        findings=(Finding(code="x", severity="risky", where="seam", message="soft", joints=(1,)),),
    )  # fmt: skip
    lit: list[Finding] = []

    def page() -> None:
        with Frame(desk, "plan") as frame:  # type: ignore[arg-type]
            frame.on_finding(lit.append)

    async def deed(user: User) -> None:
        await user.should_see("The plan is out of date. Changed since: form: across 6 -> 8")
        await user.should_see("and 1 more")
        press(user, "Findings: 1 risky")
        await user.should_see("Risky · seam")
        press(user, "soft")
        await asyncio.sleep(0.1)
        assert lit == list(desk.findings)

    use(page, deed)


def test_only_pages_that_are_there_are_shown() -> None:
    from importlib.util import find_spec

    assert all(find_spec(f"airweft.web.pages.{at}") for at, _ in pages())
