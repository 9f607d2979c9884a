"""The files that were made of a piece, as downloads; those of an earlier plan are not given out."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING
from urllib.parse import quote

from fastapi.responses import FileResponse, PlainTextResponse, Response
from nicegui import app

from airweft.base.errors import AirweftError

if TYPE_CHECKING:
    from airweft.workshop.store.store import Store

_TYPES = {
    "pdf": "application/pdf",
    "html": "text/html; charset=utf-8",
    "json": "application/json",
    "svg": "image/svg+xml",
    "png": "image/png",
    "csv": "text/csv; charset=utf-8",
    "glb": "model/gltf-binary",
}
# A page or picture of a piece can run its own scripts, but reach nothing of the app.
_ALONE = (
    "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; "
    "img-src data: blob:; font-src data:; media-src data: blob:; "
    "sandbox allow-scripts allow-modals allow-downloads"
)


def add_made(store: Store) -> None:
    """Make the files known to the server; once in a process."""

    @app.get("/piece/{key}/made/{kind}/{name}")
    def _made(key: str, kind: str, name: str, save: str = "") -> Response:
        # Loaded with the first file: planner and printing would hold the first page up.
        from airweft.workshop.printing import made_file

        try:
            desk = store.open(key)
        except AirweftError:
            return _none()
        path = made_file(desk, kind, name)
        if path is None:
            return _none()
        headers = {"X-Content-Type-Options": "nosniff", "Cache-Control": "private, no-store"}
        if not name.endswith(".pdf"):  # browsers show no PDF in a sandbox
            headers["Content-Security-Policy"] = _ALONE
        if save:
            said = quote(f"{_plain(desk.name)} {name}", safe="")
            headers["Content-Disposition"] = f"attachment; filename*=UTF-8''{said}"
        kind_of = _TYPES.get(name.rpartition(".")[2], "application/octet-stream")
        return FileResponse(path, media_type=kind_of, headers=headers)


def _plain(name: str) -> str:
    """A piece's name as a part of a file's name."""
    return re.sub(r"[^\w -]+", "", name).strip()[:60] or "piece"


def _none() -> Response:
    return PlainTextResponse(
        "There is no such file, or it belongs to an earlier plan. Make it again on the page Print.",
        status_code=404,
    )
