"""The ways to begin a piece: a form, an example, a file; shown alone or on the empty shelf."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from nicegui import events, run, ui

from airweft.base.errors import AirweftError
from airweft.web.findings import explain
from airweft.web.frame import pages, plain_page
from airweft.web.kit import Dialog, Words, box, button, link, toast
from airweft.workshop.beginnings import Beginning, examples, forms
from airweft.workshop.bring_in import MOST_BYTES, MOST_FILES, bring_in

if TYPE_CHECKING:
    from airweft.workshop.store.drawer import Piece
    from airweft.workshop.store.store import Store


def page(store: Store) -> None:
    """The page on which a new piece is begun."""
    with plain_page("New piece"):
        with box("heading"):
            Words("New piece", "h1")
            link("Back to the shelf", "/", classes="btn", symbol="back")
        beginnings(store, Taker(store))


class Taker:
    """Takes files that are picked, or dropped anywhere on the page, and makes pieces of them."""

    def __init__(self, store: Store) -> None:
        self._store = store
        with box("takes-files"):
            self._upload = ui.upload(
                multiple=True,
                auto_upload=True,
                max_file_size=MOST_BYTES,
                max_files=MOST_FILES,
                on_multi_upload=self._take,
                on_rejected=lambda: toast(
                    f"Not taken: at most {MOST_FILES} files of {MOST_BYTES // 2**20} MB at once."
                ),
            )

    def pick(self) -> None:
        """Let the person choose files."""
        self._upload.run_method("pickFiles")

    async def _take(self, event: events.MultiUploadEventArguments) -> None:
        files = {file.name: await file.read() for file in event.files}
        self._upload.reset()
        await begin(lambda: bring_in(self._store, files), f"Reading {', '.join(files)[:80]}")


def beginnings(store: Store, taker: Taker) -> None:
    """All ways to begin, each a picture to press."""
    with box("begin"):
        with box("", "section", aria_labelledby="begin-form"):
            Words("Begin with a form", "h2").props["id"] = "begin-form"
            _cards(store, forms())
        with box("", "section", aria_labelledby="begin-file"):
            Words("Bring in a file of yours", "h2").props["id"] = "begin-file"
            with box("drop"):
                Words(
                    "Drop it anywhere on this page: a 3D model (OBJ, STL, PLY, GLB, OFF), "
                    "a design (TOML, with the files it names), or a piece that was exported (ZIP).",
                    "p",
                )
                button("Choose files", taker.pick, symbol="import")
        if examples():
            with box("", "section", aria_labelledby="begin-example"):
                Words("Begin with a piece of the harbour festival", "h2").props["id"] = (
                    "begin-example"
                )
                _cards(store, examples())


def _cards(store: Store, offered: tuple[Beginning, ...]) -> None:
    with box("forms", "ul"):
        for one in offered:
            with box("card", "li"):
                with box("card-picture"):
                    box("", "img", src=f"/begin/{one.key}/picture", alt="", loading="lazy")
                with box("card-words"):
                    with box("card-name", "h3"):
                        start = box("", "button", type="button")
                        with start:
                            Words(one.title)
                    if one.words:
                        Words(one.words, "p", "card-facts")
                start.on("click", partial(_start, store, one), [])


async def _start(store: Store, one: Beginning) -> None:
    await begin(lambda: [store.new(one.text, files=one.files)], f"Beginning {one.title}")


async def begin(make: Callable[[], list[Piece]], doing: str) -> None:
    """Make pieces in the background and open the one, or show the shelf; or say why not."""
    busy = Dialog(doing)
    with busy.body:
        Words("A model can take some seconds.", "p", "quiet")
    busy.open()
    try:
        made = await run.io_bound(make)
    except AirweftError as refusal:
        busy.close()
        explain("This cannot be brought in", refusal.findings)
        return
    busy.close()
    ways = pages()
    if made and len(made) == 1 and ways:
        ui.navigate.to(f"/piece/{made[0].key}/{ways[0][0]}")
    else:
        ui.navigate.to("/")
