"""Running the command: every way it can end becomes words for people and an exit code."""

from __future__ import annotations

import os
import signal
import sys
import traceback
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

import typer

from airweft import __version__
from airweft.base.errors import AirweftError, CannotMake
from airweft.base.progress import Stopped
from airweft.cli.app import app
from airweft.cli.screen import err, prepare_streams, say, say_wrapped
from airweft.cli.show_findings import show_findings
from airweft.cli.wrong_use import explain

DONE, CANNOT, WRONG, FAULT, STOPPED = 0, 1, 2, 3, 130

# The base of all wrong-use errors of the command-line library, which names it in no public place.
_UsageError: type[Exception] = typer.BadParameter.__mro__[1]


def run(arguments: Sequence[str] | None = None) -> int:
    """Run the command with `arguments` (those of the process if None) and return the exit code."""
    prepare_streams()
    given = list(sys.argv[1:] if arguments is None else arguments)
    try:
        with _stopping_kindly():
            return _run(given)
    except (BrokenPipeError, SystemExit):
        # Whoever read our output has enough (`airweft check x | head`): not worth a word. The
        # libraries that write for us leave by SystemExit then, and never otherwise.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except (KeyboardInterrupt, Stopped, typer.Abort):
        say(err(), "Stopped. Nothing was written.", style="bold")
        return STOPPED
    except AirweftError as error:
        show_findings(err(), error.findings)
        return CANNOT if isinstance(error, CannotMake) else WRONG
    except _UsageError as error:
        explain(err(), error, given)
        return WRONG
    except Exception as error:
        _own_fault(error)
        return FAULT


def _run(arguments: list[str]) -> int:
    result = app(args=arguments, prog_name="airweft", standalone_mode=False)
    sys.stdout.flush()
    if result == STOPPED:  # the command-line library turns Ctrl-C into this answer
        raise KeyboardInterrupt
    return result if isinstance(result, int) else DONE


def _own_fault(error: Exception) -> None:
    """The last resort: say that the fault is airweft's own, and what to report."""
    console = err()
    spot = traceback.extract_tb(error.__traceback__)[-1]
    file = "/".join(Path(spot.filename).parts[-3:])
    say(console, "airweft came upon a fault of its own.", style="bold red")
    say_wrapped(console, f"{type(error).__name__} at {file}, line {spot.lineno}: {error}", 4)
    say_wrapped(
        console,
        f"Nothing of yours was changed. Please report it with these two lines, the command you "
        f"gave, the design file, and the version: airweft {__version__}.",
        4,
    )


@contextmanager
def _stopping_kindly() -> Iterator[None]:
    """Let a request to end (as from a system shutting down) clean up like Ctrl-C does."""

    def stop(_signal: int, _frame: FrameType | None) -> None:
        raise KeyboardInterrupt

    try:
        before = signal.signal(signal.SIGTERM, stop)
    except ValueError:  # not in the main thread: the caller minds the signals
        yield
        return
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)
