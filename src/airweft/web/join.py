"""The page on which a tablet gives the code: plain HTML, before anything of the app is shown."""

from __future__ import annotations

import html
import secrets
from pathlib import Path
from string import Template

from fastapi import Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from nicegui import app

from airweft.web.sharing import COOKIE, Sharing

_MONTH = 30 * 24 * 3600
_PAGE = Template((Path(__file__).parent / "join.html").read_text(encoding="utf-8"))


def add_join(sharing: Sharing) -> None:
    """The address /join: shows the form, and takes the code."""

    @app.get("/join")
    def _show() -> Response:
        return _page("")

    @app.post("/join")
    async def _take(request: Request) -> Response:
        code = (await request.form(max_files=0, max_fields=4)).get("code")
        address = request.client.host if request.client is not None else ""
        let = sharing.try_code(code if isinstance(code, str) else "", address)
        if not let.cookie:
            return _page(let.said, status=403)
        answer = RedirectResponse("/", status_code=303)
        answer.set_cookie(
            COOKIE, let.cookie, max_age=_MONTH, httponly=True, samesite="strict", path="/"
        )
        return answer


def _page(said: str, status: int = 200) -> Response:
    nonce = secrets.token_urlsafe(16)
    wrong = f'<p class="wrong" role="alert">{html.escape(said)}</p>' if said else ""
    return HTMLResponse(
        _PAGE.substitute(nonce=nonce, said=wrong),
        status_code=status,
        headers={
            "Cache-Control": "no-store",
            "Content-Security-Policy": f"default-src 'none'; style-src 'nonce-{nonce}'; "
            f"script-src 'nonce-{nonce}'; form-action 'self'; base-uri 'none'; "
            "frame-ancestors 'none'",
        },
    )
