"""Pictures of what a new piece can begin with: drawn once for each version, beside the program."""

from __future__ import annotations

import contextlib
import hashlib
import multiprocessing
import os
import signal
import tempfile
import threading
from pathlib import Path

from airweft import __version__
from airweft.base.errors import AirweftError
from airweft.workshop.beginnings import SUFFIX, Beginning, examples, forms

_LOWER = 10  # how far the drawing stands back behind pages that are wanted now


class Pictures:
    """The pictures kept in a folder. Where some are missing, a process of its own draws them all,
    so that no page waits for it."""

    def __init__(self, kept: Path) -> None:
        self._kept = kept
        self._process: multiprocessing.process.BaseProcess | None = None
        self._one_at_a_time = threading.Lock()

    def start(self) -> None:
        """Have what is missing drawn in the background; what earlier versions drew is removed."""
        if all(_file(one, self._kept).exists() for one in (*forms(), *examples())):
            return
        context = multiprocessing.get_context("spawn")
        self._process = context.Process(target=draw_all, args=(self._kept,), daemon=True)
        # Where no process can be had, each picture is drawn when it is asked for.
        with contextlib.suppress(OSError):
            self._process.start()

    @property
    def drawing(self) -> bool:
        """True while the process is at it: a picture that is not there yet will come."""
        return self._process is not None and self._process.is_alive()

    def stop(self) -> None:
        """End the process at once; the next start goes on."""
        if self.drawing and self._process is not None:
            self._process.kill()

    def read(self, one: Beginning) -> str | None:
        """The picture as SVG; "" for a beginning that has none, None if it is not drawn yet."""
        try:
            return _file(one, self._kept).read_text(encoding="utf-8")
        except OSError:
            return None

    def draw(self, one: Beginning) -> str:
        """The picture, drawn now and kept; two of them are not drawn at once."""
        with self._one_at_a_time:
            svg = self.read(one)
            if svg is None:
                svg = _drawn(one)
                _keep(svg, _file(one, self._kept))
        return svg


def draw_all(kept: Path) -> None:
    """Draw all that is missing, in the order in which it is offered. A process's main function."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the program that started it
    if hasattr(os, "nice"):
        os.nice(_LOWER)
    wanted = {one.key: _file(one, kept) for one in (*forms(), *examples())}
    for old in kept.glob("*.svg*"):
        if old not in wanted.values():
            with contextlib.suppress(OSError):
                old.unlink()
    for one in (*forms(), *examples()):
        if not wanted[one.key].exists():
            _keep(_drawn(one), wanted[one.key])


def _file(one: Beginning, kept: Path) -> Path:
    mark = hashlib.sha256(f"{__version__}\n{one.key}\n{one.text}".encode()).hexdigest()[:16]
    return kept / f"{one.key}-{mark}.svg"


def _keep(svg: str, file: Path) -> None:
    beside = file.with_name(f"{file.name}.{os.getpid()}-{threading.get_ident()}")
    # What cannot be kept is drawn again next time.
    with contextlib.suppress(OSError):
        file.parent.mkdir(parents=True, exist_ok=True)
        beside.write_text(svg, encoding="utf-8")
        beside.replace(file)


def _drawn(one: Beginning) -> str:
    # Loaded where something is drawn: the first page needs nothing of it.
    from airweft.workshop.shape import open_design, painted_net
    from airweft.workshop.sheets import card_svg

    with tempfile.TemporaryDirectory(prefix="airweft-") as folder:
        design_file = Path(folder, f"design{SUFFIX}")
        design_file.write_text(one.text, encoding="utf-8", newline="\n")
        for name, data in one.files.items():
            Path(folder, name).write_bytes(data)
        try:
            design = open_design(design_file)
            return card_svg(painted_net(design), design)
        except AirweftError:
            return ""
