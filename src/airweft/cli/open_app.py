"""The command `airweft app`: opens the workshop in the browser."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from airweft.cli.screen import out, say


def open_app(
    port: Annotated[
        int | None,
        typer.Option(
            min=1,
            max=65535,
            metavar="NUMBER",
            help="The port to use; without it the usual one, or any that is free.",
            show_default=False,
        ),
    ] = None,
    share: Annotated[
        bool,
        typer.Option(
            "--share",
            metavar="",
            help="Let tablets in the same network in, each with a one-time code.",
        ),
    ] = False,
    no_open: Annotated[
        bool, typer.Option("--no-open", metavar="", help="Do not open the browser.")
    ] = False,
    home: Annotated[
        Path | None,
        typer.Option(metavar="FOLDER", help="Where your pieces are kept.", show_default=False),
    ] = None,
) -> int:
    """Open the workshop in your browser: shape, colours, plan, making, printing."""
    from airweft.start_app import start_app

    start_app(
        folder=home,
        port=port,
        shared=share,
        open_browser=not no_open,
        say=lambda text: say(out(), text),
    )
    return 0
