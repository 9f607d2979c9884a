"""A browser for the tests of the phone page: Debian's Chromium without a screen."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from airweft.booklet.book import Book
from airweft.booklet.phone import make_page
from tests.phone.pages import folded_book

ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-sync",
    "--no-first-run",
]

Open = Callable[..., Any]


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """Chromium, or a skip that says what is missing."""
    api = pytest.importorskip(
        "playwright.sync_api", reason="playwright is not installed: pip install -e .[dev]"
    )
    where = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("google-chrome")
    if where is None:
        pytest.skip("no chromium on this machine: apt-get install chromium, or set CHROMIUM")
    with api.sync_playwright() as play:
        found = play.chromium.launch(executable_path=where, args=ARGUMENTS)
        yield found
        found.close()


@pytest.fixture
def open_page(browser: Any, tmp_path: Path) -> Iterator[Open]:
    """Opens a book's page from a file with the network cut; fails on any error of the page."""
    contexts: list[Any] = []
    errors: list[str] = []
    folder = tmp_path

    def opened(
        book: Book | None = None,
        *,
        width: int = 360,
        height: int = 740,
        before: str = "",
        context: Any = None,
        name: str = "steps.html",
        **wishes: Any,
    ) -> Any:
        file = folder / name
        file.write_text(make_page(book or folded_book()), encoding="utf-8")
        if context is None:
            context = browser.new_context(
                viewport={"width": width, "height": height}, offline=True, **wishes
            )
            contexts.append(context)
            context.on("request", lambda r: _check(r.url, errors))
        page = context.new_page()
        page.set_default_timeout(30_000)
        page.on("pageerror", lambda e: errors.append(f"error: {e}"))
        page.on(
            "console",
            lambda m: errors.append(m.text) if _counts(m) else None,
        )
        if before:
            page.add_init_script(before)
        page.goto(file.as_uri())
        return page

    yield opened
    for context in contexts:
        context.close()
    assert not errors


def _counts(message: Any) -> bool:
    # Chromium advises on reading pixels back, which only the measuring of frames does.
    return message.type in ("error", "warning") and "readback" not in message.text


def _check(url: str, errors: list[str]) -> None:
    if not url.startswith(("file:", "data:")):
        errors.append(f"asked for {url}")
