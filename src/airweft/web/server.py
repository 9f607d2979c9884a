"""Starting the app: the socket, the guard before it, the pages behind it, and its end."""

from __future__ import annotations

import asyncio
import contextlib
import gc
import logging
import os
import socket
import threading
import webbrowser
from collections.abc import Callable
from pathlib import Path

from airweft.base.errors import BadInput
from airweft.base.findings import Finding
from airweft.web.sharing import Sharing
from airweft.web.single import Single
from airweft.workshop.beginning_pictures import Pictures

PORT = 7420
RECONNECT_SECONDS = 1800.0
"""A tablet that slept so long finds its page as it was; after that the page is built anew."""
_PING_SECONDS = 20

Say = Callable[[str], None]


def serve(folder: Path, *, port: int | None, shared: bool, open_browser: bool, say: Say) -> None:
    """Serve the app from `folder` until it is stopped from the keyboard.

    Without a `port` the usual one is taken, or any that is free. Raises BadInput where the folder
    or the port cannot be used.
    """
    single = Single(folder)
    running = single.take()
    if running is not None:
        say(f"airweft is open already: {running}")
        if open_browser:
            webbrowser.open(running)
        return
    try:
        with _bound(port, "0.0.0.0" if shared else "127.0.0.1", chosen=port is not None) as bound:
            found = bound.getsockname()[1]
            here = f"http://127.0.0.1:{found}/"
            single.tell(here)
            _run(folder, bound, here, shared=shared, open_browser=open_browser, say=say)
    finally:
        single.leave()


def _run(
    folder: Path, bound: socket.socket, here: str, *, shared: bool, open_browser: bool, say: Say
) -> None:
    # Read when the library is imported; it keeps nothing there, but would make a folder.
    os.environ["NICEGUI_STORAGE_PATH"] = str(folder / "cache" / "pages")
    pictures = Pictures(folder / "cache")
    pictures.start()  # before all else that takes time: they are drawn meanwhile
    import uvicorn
    from fastapi import FastAPI
    from nicegui import app, core, ui

    from airweft.web.guard import Guard
    from airweft.web.packed import Packed
    from airweft.web.routes import FAVICON, add_routes, nothing_here
    from airweft.workshop import tasks
    from airweft.workshop.store.store import Store

    sharing = Sharing() if shared else None
    port = bound.getsockname()[1]
    addresses = [f"http://{one}:{port}/" for one in own_addresses()] if shared else []
    store = Store(folder)
    add_routes(store, pictures, sharing, addresses)
    outer = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
    ui.run_with(
        outer,
        root=nothing_here,
        title="airweft",
        favicon=FAVICON,
        language="en-US",
        reconnect_timeout=RECONNECT_SECONDS,
        tailwind=False,
        gzip_middleware_factory=Packed,
        show_welcome_message=False,
    )

    @app.on_startup
    def _started() -> None:
        # Else a lost connection would be noticed only after most of the reconnect time.
        core.sio.eio.ping_interval = core.sio.eio.ping_timeout = _PING_SECONDS
        say(f"airweft is open at {here} (Ctrl-C ends it)")
        if sharing is not None:
            say(f"Tablets join with the code shown at {here}share")
        if open_browser:
            threading.Thread(target=webbrowser.open, args=(here,), daemon=True).start()

    # Access logs would hold nothing that helps, and errors are told without what was sent.
    logging.getLogger("uvicorn.error").setLevel(logging.ERROR)
    config = uvicorn.Config(
        Guard(outer, sharing, own_names()),
        ws="wsproto",
        access_log=False,
        log_level="error",
        server_header=False,
        proxy_headers=False,
        timeout_graceful_shutdown=1,
        h11_max_incomplete_event_size=32 * 1024,
    )
    logging.getLogger("uvicorn.error").addFilter(_is_worth_telling)
    with contextlib.suppress(KeyboardInterrupt):
        uvicorn.Server(config).run(sockets=[bound])
    store.close()
    tasks.close()
    pictures.stop()
    say("airweft is closed. Everything is saved.")
    # Else all pages of the day are looked through for rubbish once more: seconds for nothing.
    gc.freeze()


def _is_worth_telling(record: logging.LogRecord) -> bool:
    """Whether a line of the log is; that pages were still being sent at the end is not."""
    error = record.exc_info[1] if record.exc_info else None
    return not isinstance(error, asyncio.CancelledError) and "timeout graceful" not in str(
        record.msg
    )


def _bound(port: int | None, host: str, *, chosen: bool) -> socket.socket:
    """A socket on the wanted port; where none was wanted, on the usual one or any free one."""
    for wanted in (port if port is not None else PORT, *(() if chosen else (0,))):
        made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        try:
            if os.name == "posix":  # elsewhere it would let two servers share a port
                made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            made.bind((host, wanted))
            return made
        except OSError as error:
            made.close()
            reason = error.strerror or str(error)
    raise BadInput(
        Finding(
            code="port-taken",
            severity="cannot",
            where="--port",
            message=f"The port {port} cannot be used: {reason}.",
            remedy="Leave --port out, and a free one is found.",
        )
    )


def own_names() -> list[str]:
    """The names by which others in the network may call this computer."""
    name = socket.gethostname().lower()
    return [name, f"{name.split('.')[0]}.local"]


def own_addresses() -> list[str]:
    """The addresses of this computer in its networks, the likeliest first."""
    found: list[str] = []
    with contextlib.suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        # Sends nothing: the system only says by which way it would go.
        probe.connect(("192.0.2.1", 9))
        found.append(probe.getsockname()[0])
    with contextlib.suppress(OSError):
        found += socket.gethostbyname_ex(socket.gethostname())[2]
    return [one for one in dict.fromkeys(found) if not one.startswith(("127.", "0."))]
