"""The command line: thin, over the workshop. `main` is the console command `airweft`."""

from __future__ import annotations

from collections.abc import Sequence


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command `airweft` and return its exit code; without `arguments`, those given to it.

    0 done, 1 cannot be made, 2 wrong use or unreadable file, 3 a fault of airweft's own,
    130 stopped from the keyboard.
    """
    from airweft.cli.run import run  # here, so that importing the package stays cheap

    return run(arguments)
