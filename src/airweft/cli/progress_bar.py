"""Progress of long work: a bar on a terminal, nothing elsewhere."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

from rich.progress import BarColumn, TaskProgressColumn, TextColumn
from rich.progress import Progress as Bar

from airweft.base.progress import Progress
from airweft.cli.screen import clean, err


@contextmanager
def shown_progress(quiet: bool = False) -> Iterator[Progress]:
    """A progress object whose reports show as a bar while the work goes on; gone afterwards.

    The first Ctrl-C asks a search for the best it has so far, the second ends everything.
    """
    console = err()
    if quiet or not console.is_terminal:
        progress = Progress()
        with _asking_first(progress):
            yield progress
        return
    columns = (TextColumn("{task.description}", markup=False), BarColumn(), TaskProgressColumn())
    with Bar(*columns, console=console, transient=True) as bar:
        task = bar.add_task("", total=None)

        def tell(done: int, total: int, text: str) -> None:
            bar.update(task, completed=done, total=total, description=clean(text))

        progress = Progress(tell)
        with _asking_first(progress):
            yield progress


@contextmanager
def _asking_first(progress: Progress) -> Iterator[None]:
    """Let the first Ctrl-C be a wish, not an end."""

    def ask(_signal: int, _frame: FrameType | None) -> None:
        signal.signal(signal.SIGINT, signal.default_int_handler)
        progress.enough()

    try:
        before = signal.signal(signal.SIGINT, ask)
    except ValueError:  # not in the main thread: the caller minds the signals
        yield
        return
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
