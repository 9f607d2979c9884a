"""The shelf: every piece as a card with its picture, and what can be done with it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from nicegui import run, ui

from airweft.base.errors import AirweftError
from airweft.web.frame import pages, plain_page
from airweft.web.kit import Dialog, Field, Words, box, button, icon, link, menu, toast
from airweft.web.pages.begin import Taker, beginnings

if TYPE_CHECKING:
    from airweft.workshop.store.drawer import Piece
    from airweft.workshop.store.store import Store


def page(store: Store, *, shared: bool = False) -> None:
    """The shelf with all pieces; where there are none yet, the ways to begin."""
    with plain_page("Shelf"):
        _Shelf(store, shared)


def binned_page(store: Store) -> None:
    """What was put into the bin, to be taken out again."""
    with plain_page("Bin"):
        with box("heading"):
            Words("Bin", "h1")
            link("Back to the shelf", "/", classes="btn", symbol="back")
        _Bin(store)


class _Shelf:
    """The shelf of one browser tab, built anew whenever something on it changed."""

    def __init__(self, store: Store, shared: bool) -> None:
        self._store, self._shared = store, shared
        self._take = Taker(store)
        self._whole = box()
        self.show()
        # Another tab may have changed the shelf while this one was not looked at.
        ui.on("airweft-seen", self.show)
        ui.add_body_html(
            "<script>document.addEventListener('visibilitychange', () => "
            "{ if (!document.hidden) emitEvent('airweft-seen'); });</script>"
        )

    def show(self) -> None:
        """Show the pieces as the store has them now. What else a button does, it does before:
        its card is gone afterwards."""
        pieces, binned = self._store.pieces(), self._store.pieces(binned=True)
        self._whole.clear()
        with self._whole:
            if pieces:
                self._heading()
                with box("cards", "ul", aria_label="Pieces"):
                    for piece in pieces:
                        with box("card", "li"):
                            _card(piece, partial(self._menu, piece))
            else:
                _welcome()
                beginnings(self._store, self._take)
            if binned:
                with box("", "p", style="margin-top: 28px"):
                    link(f"Bin ({len(binned)})", "/bin", classes="btn btn-quiet", symbol="bin")

    def _heading(self) -> None:
        with box("heading"):
            Words("Shelf", "h1")
            with box("sheet-actions"):
                if self._shared:
                    link("Tablets", "/share", classes="btn btn-quiet", symbol="tablet")
                button("Bring in a file", self._take.pick, symbol="import")
                link("New piece", "/new", classes="btn btn-main", symbol="plus")

    def _menu(self, piece: Piece) -> None:
        with menu(f"More about {piece.name}"):
            button("Rename", partial(self._rename, piece), kind="quiet", symbol="rename")
            button("Duplicate", partial(self._duplicate, piece), kind="quiet", symbol="copy")
            link("Export", f"/piece/{piece.key}/export", classes="btn btn-quiet", symbol="export")
            button("Put in the bin", partial(self._bin, piece), kind="quiet", symbol="bin")

    async def _duplicate(self, piece: Piece) -> None:
        made = await run.io_bound(self._store.duplicate, piece.key)
        if made is not None:
            toast(f"Duplicated as {made.name}")
        self.show()

    async def _bin(self, piece: Piece) -> None:
        await run.io_bound(self._store.bin, piece.key)
        toast(f"{piece.name} is in the bin", do=partial(self._restore, piece), do_text="Undo")
        self.show()

    async def _restore(self, piece: Piece) -> None:
        await run.io_bound(self._store.restore, piece.key)
        self.show()

    def _rename(self, piece: Piece) -> None:
        asking = Dialog(f"Rename {piece.name}")

        async def rename() -> None:
            name = " ".join(field.value.split())
            if not name:
                field.wrong("A piece needs a name.")
                return
            try:
                await run.io_bound(self._store.rename, piece.key, name)
            except AirweftError as refusal:
                field.wrong(said(refusal))
                return
            asking.close()
            self.show()

        with asking.body:
            field = Field("Name", piece.name, most=120)
            field.on_enter(rename)
            field.input.props["autofocus"] = "autofocus"
        with asking.actions:
            button("Cancel", asking.close, kind="quiet")
            button("Rename", rename, kind="main")
        asking.open()


class _Bin:
    def __init__(self, store: Store) -> None:
        self._store = store
        self._whole = box()
        self._show()

    def _show(self) -> None:
        pieces = self._store.pieces(binned=True)
        self._whole.clear()
        with self._whole:
            if not pieces:
                Words("The bin is empty.", "p", "quiet")
                return
            with box("cards", "ul", aria_label="Pieces in the bin"):
                for piece in pieces:
                    with box("card", "li"):
                        _card(piece, None)

                        with box("card-words"), box("card-actions"):
                            button("Restore", partial(self._restore, piece), symbol="restore")

    async def _restore(self, piece: Piece) -> None:
        await run.io_bound(self._store.restore, piece.key)
        toast(f"{piece.name} is on the shelf again")
        self._show()


def _card(piece: Piece, more: Callable[[], None] | None) -> None:
    with box("card-picture"):
        picture(piece)
    with box("card-words"):
        with box("card-name", "h2"):
            ways = pages()
            if more is not None and ways:
                link(piece.name, f"/piece/{piece.key}/{ways[0][0]}")
            else:
                Words(piece.name)
        if more is not None:
            more()
        with box("card-facts", "p"):
            if piece.bubbles:
                Words(f"{piece.bubbles:,} bubbles".replace(",", " "))
            if piece.balloons:
                Words(f"{piece.balloons:,} balloons".replace(",", " "))
            Words(when(piece.changed))
            if piece.stale:
                Words("plan out of date", classes="tag")


def picture(piece: Piece) -> None:
    """The picture of a piece, or a sign that there is none while its design cannot be read."""
    if piece.picture:
        # As a picture of its own, so that nothing in it can act on the page.
        box("", "img", src=f"/piece/{piece.key}/picture?{piece.changed}", alt="", loading="lazy")
    else:
        icon("mark")


def when(changed: str, now: datetime | None = None) -> str:
    """When something was changed, as people say it: "today 14:03", "3 May", "3 May 2025".

    >>> when("2026-05-03T14:03:00", datetime(2026, 5, 3, 18, 0))
    'today 14:03'
    """
    try:
        then = datetime.fromisoformat(changed)
    except ValueError:
        return ""
    if then.tzinfo is not None:
        then = then.astimezone().replace(tzinfo=None)
    today = now or datetime.now()
    if then.date() == today.date():
        return f"today {then:%H:%M}"
    months = ["Jan", "Feb", "Mar", "Apr", "May", "June", "July", "Aug", "Sep", "Oct", "Nov", "Dec"]
    day = f"{then.day} {months[then.month - 1]}"
    return day if then.year == today.year else f"{day} {then.year}"


def said(refusal: AirweftError) -> str:
    """A refusal in one paragraph: what, and what to do."""
    return " ".join(f"{f.message}. {f.remedy}" for f in refusal.findings[:1])


def _welcome() -> None:
    with box("welcome"):
        Words("Your shelf is empty", "h1")
        Words(
            "Every piece that you begin stands here, with its picture. Begin with a form, with one "
            "of the harbour festival's pieces, or with a file of your own.",
            "p",
        )
