"""The real app in a process of its own, and Debian's Chromium to use it with."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from airweft.workshop.beginnings import beginning
from airweft.workshop.desk import Desk
from airweft.workshop.store.store import Store

ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-sync",
    "--no-first-run",
]
# Pictures of the beginnings that earlier apps drew: each would draw them anew in its empty folder.
PICTURES = Path(__file__).parents[2] / ".pytest_cache" / "pictures"
SIZES = {"phone": (360, 740), "tablet": (820, 1180), "desktop": (1280, 800)}


@dataclass
class Running:
    """An app that is running: its address, its folder, and what it printed so far."""

    address: str
    home: Path
    log: Path
    process: subprocess.Popen[bytes]

    def said(self) -> str:
        """What it printed so far."""
        return self.log.read_text(encoding="utf-8")


def free_port() -> int:
    """A port that nobody uses just now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def start(home: Path, *options: str) -> Running:
    """Start `airweft app` as a person does and wait for its first page."""
    _copy_pictures(PICTURES, home / "cache")
    port = free_port()
    command = [sys.executable, "-m", "airweft", "app", "--no-open", f"--port={port}"]
    command += [f"--home={home}", *options]
    log = home.with_name(f"{home.name}-{port}.log")
    with log.open("wb") as out:
        process = subprocess.Popen(
            command,
            stdout=out,
            stderr=out,
            cwd=home.parent,
        )
    address = f"http://127.0.0.1:{port}"
    for _ in range(600):
        try:
            urllib.request.urlopen(f"{address}/new", timeout=5).close()
            return Running(address, home, log, process)
        except (urllib.error.URLError, ConnectionError):
            assert process.poll() is None, log.read_text(encoding="utf-8")
            time.sleep(0.05)
    raise AssertionError("the app did not start")


def _copy_pictures(there: Path, here: Path) -> None:
    """Copy what is missing here. Each is whole at once: other test processes may read them now."""
    for picture in there.glob("*.svg"):
        wanted = here / picture.name
        if not wanted.exists():
            here.mkdir(parents=True, exist_ok=True)
            beside = here / f".{picture.name}.{os.getpid()}"
            beside.write_bytes(picture.read_bytes())
            beside.replace(wanted)


def end(running: Running) -> int:
    """End it as Ctrl-C does; its exit code."""
    _copy_pictures(running.home / "cache", PICTURES)
    running.process.send_signal(signal.SIGINT)
    try:
        return running.process.wait(15)
    except subprocess.TimeoutExpired:
        running.process.kill()
        raise


@pytest.fixture(scope="session")
def app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """One app for all tests; each test has pieces of its own."""
    running = start(tmp_path_factory.mktemp("app") / "home")
    yield running
    assert end(running) == 0, running.said()
    assert "Traceback" not in running.said()


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
def look(browser: Any) -> Iterator[Callable[..., Any]]:
    """Opens a page; any error on it, and any request that leaves this computer, fails the test."""
    contexts: list[Any] = []
    errors: list[str] = []

    def opened(url: str, size: str = "desktop", **wishes: Any) -> Any:
        width, height = SIZES[size]
        context = browser.new_context(viewport={"width": width, "height": height}, **wishes)
        contexts.append(context)
        context.on("request", lambda r: _check(r.url, errors))
        page = context.new_page()
        page.set_default_timeout(30_000)
        page.set_default_navigation_timeout(60_000)
        page.on("pageerror", lambda e: errors.append(f"error: {e}"))
        page.on("console", lambda m: errors.append(m.text) if _counts(m, page.url) else None)
        page.goto(url)
        return page

    yield opened
    for context in contexts:
        context.close()
    assert not errors


def _counts(message: Any, own: str) -> bool:
    # A page that says itself that there is nothing here is told of by Chromium too.
    missing = "status of 404" in message.text and message.location["url"] == own
    return message.type == "error" and not missing


def _check(url: str, errors: list[str]) -> None:
    if not url.startswith(("http://127.0.0.1:", "ws://127.0.0.1:", "data:", "blob:")):
        errors.append(f"asked for {url}")


@pytest.fixture
def opened(tmp_path: Path) -> Callable[[str], Desk]:
    """Opens a piece that was begun with the beginning of this key."""
    store = Store(tmp_path / "home")

    def open_(key: str) -> Desk:
        one = beginning(key)
        assert one is not None
        return store.open(store.new(one.text, files=one.files).key)

    return open_
