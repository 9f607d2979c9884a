"""Between the command line and the app, which do not know each other: this starts the one for the
other, and loads it only then."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from platformdirs import user_data_path


def start_app(
    *,
    folder: Path | None,
    port: int | None,
    shared: bool,
    open_browser: bool,
    say: Callable[[str], None],
) -> None:
    """Run the app until it is stopped; `say` tells the person at the command line a line of text.

    `folder` is where the maker's pieces are; without it AIRWEFT_HOME, or the usual place of the
    system. Raises BadInput where folder or port cannot be used.
    """
    from airweft.web.server import serve

    serve(
        folder or data_folder(),
        port=port,
        shared=shared,
        open_browser=open_browser,
        say=say,
    )


def data_folder() -> Path:
    """Where the maker's own things are kept if nothing else was said."""
    own = os.environ.get("AIRWEFT_HOME")
    return Path(own) if own else user_data_path("airweft", appauthor=False)
