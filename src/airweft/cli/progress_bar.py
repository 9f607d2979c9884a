"""Progress of long work: a bar on a terminal, nothing elsewhere."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from rich.progress import BarColumn, TaskProgressColumn, TextColumn
from rich.progress import Progress as Bar

from airweft.base.progress import Progress
from airweft.cli.screen import clean, err


@contextmanager
def shown_progress(quiet: bool = False) -> Iterator[Progress]:
    """A progress object whose reports show as a bar while the work goes on; gone afterwards."""
    console = err()
    if quiet or not console.is_terminal:
        yield Progress()
        return
    columns = (TextColumn("{task.description}", markup=False), BarColumn(), TaskProgressColumn())
    with Bar(*columns, console=console, transient=True) as bar:
        task = bar.add_task("", total=None)

        def tell(done: int, total: int, text: str) -> None:
            bar.update(task, completed=done, total=total, description=clean(text))

        yield Progress(tell)
