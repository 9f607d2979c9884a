"""The addresses of the app: which page answers which, and the few files beside the pages."""

from __future__ import annotations

import asyncio
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import quote

from fastapi.responses import PlainTextResponse, RedirectResponse, Response
from nicegui import app, run, ui

from airweft.base.errors import AirweftError
from airweft.booklet.letters import font_folder
from airweft.web import join, share
from airweft.web.frame import FONTS, Frame, pages, plain_page
from airweft.web.icons import svg
from airweft.web.kit import Words, link
from airweft.web.made import add_made
from airweft.web.pages import begin, shelf
from airweft.workshop.beginnings import beginning

if TYPE_CHECKING:
    from airweft.web.sharing import Sharing
    from airweft.workshop.beginning_pictures import Pictures
    from airweft.workshop.store.store import Store

_HERE = Path(__file__).parent
_OPENING = 300.0  # seconds that a piece may take to open: a large model is laid anew, others wait
_WAIT = 0.05  # seconds between two looks for a picture that is being drawn
_PICTURE = {
    "Content-Security-Policy": "default-src 'none'; style-src 'unsafe-inline'; sandbox",
    "X-Content-Type-Options": "nosniff",
}
FAVICON = (
    svg("mark")
    .replace("currentColor", "#14636b")
    .replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ')
)


def add_routes(
    store: Store, pictures: Pictures, sharing: Sharing | None, addresses: list[str]
) -> None:
    """Make every page and file of the app known to the server; once in a process."""
    _add_files()
    _add_pictures(store, pictures)
    add_made(store)
    if sharing is not None:
        join.add_join(sharing)
        share.add_share(sharing, addresses)

    @ui.page("/")
    def _shelf() -> None:
        shelf.page(store, shared=sharing is not None)

    @ui.page("/bin")
    def _bin() -> None:
        shelf.binned_page(store)

    @ui.page("/new")
    def _new() -> None:
        begin.page(store)

    @ui.page("/piece/{key}/{at}", response_timeout=_OPENING)
    async def _piece(key: str, at: str) -> None:
        if at not in dict(pages()):
            nothing_here()
            return
        try:
            desk = await run.io_bound(store.open, key)
        except AirweftError:
            nothing_here()
            return
        if desk is None:  # the app is being closed
            return
        frame = Frame(desk, at)
        with frame:
            import_module(f"airweft.web.pages.{at}").page(desk, frame)

    @app.get("/piece/{key}")
    def _first(key: str) -> Response:
        ways = pages()
        return RedirectResponse(f"/piece/{quote(key, safe='')}/{ways[0][0]}" if ways else "/")


def nothing_here() -> None:
    """The page for every address that is none."""
    ui.context.client.status_code = 404
    with plain_page("Not here"):
        Words("There is no such page", "h1")
        Words("The piece may have been put into the bin, or the address is not whole.", "p")
        link("To the shelf", "/", classes="btn", symbol="back", style="margin-top: 16px")


def _add_files() -> None:
    app.add_static_file(url_path="/airweft/theme.css", local_file=_HERE / "theme.css")
    app.add_static_file(url_path="/airweft/app.js", local_file=_HERE / "app.js")
    for at in FONTS:
        app.add_static_file(url_path=at, local_file=font_folder() / at.rpartition("/")[2])


def _add_pictures(store: Store, pictures: Pictures) -> None:
    @app.get("/piece/{key}/picture")
    def _picture(key: str) -> Response:
        for piece in (*store.pieces(), *store.pieces(binned=True)):
            if piece.key == key and piece.picture:
                return _svg(piece.picture, "private, max-age=31536000")
        return _none()

    @app.get("/piece/{key}/export")
    def _export(key: str) -> Response:
        try:
            data = store.export(key)
        except AirweftError:
            return _none()
        name = quote(f"{key}.airweft.zip", safe="")
        return Response(
            data,
            media_type="application/zip",
            headers={"Content-Disposition": f"attachment; filename*=UTF-8''{name}"},
        )

    @app.get("/begin/{key}/picture")
    async def _beginning(key: str) -> Response:
        one = beginning(key)
        if one is None:
            return _none()
        while (picture := pictures.read(one)) is None and pictures.drawing:
            await asyncio.sleep(_WAIT)
        if picture is None:
            picture = await run.io_bound(pictures.draw, one)
        return _svg(picture, "private, max-age=3600") if picture else _none()


def _svg(text: str, cache: str) -> Response:
    return Response(text, media_type="image/svg+xml", headers={**_PICTURE, "Cache-Control": cache})


def _none() -> Response:
    return PlainTextResponse("There is nothing at this address.", status_code=404)
