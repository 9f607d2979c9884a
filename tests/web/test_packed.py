"""Answers are packed for other devices, and not for this computer."""

from __future__ import annotations

import asyncio
from concurrent.futures import ThreadPoolExecutor

import httpx
import pytest
from fastapi import FastAPI
from fastapi.responses import PlainTextResponse

from airweft.web.packed import Packed


@pytest.mark.parametrize(
    ("client", "packed"),
    [("127.0.0.1", False), ("::1", False), ("192.0.2.7", True), ("not an address", True)],
)
def test_only_other_devices_get_less(client: str, packed: bool) -> None:
    app = FastAPI()
    app.add_middleware(Packed)

    @app.get("/")
    def _long() -> PlainTextResponse:
        return PlainTextResponse("bubble " * 1000)

    async def asked() -> httpx.Response:
        way = httpx.ASGITransport(app, client=(client, 1234))
        async with httpx.AsyncClient(transport=way, base_url="http://127.0.0.1") as browser:
            return await browser.get("/", headers={"accept-encoding": "gzip"})

    # In a thread of its own: a browser of other tests may hold this one's event loop.
    with ThreadPoolExecutor(1) as thread:
        answer = thread.submit(asyncio.run, asked()).result()
    assert answer.text == "bubble " * 1000
    assert answer.headers.get("content-encoding") == ("gzip" if packed else None)
