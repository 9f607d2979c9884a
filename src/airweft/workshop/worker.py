"""The other end of `tasks`: a process that does one piece of long work after another.

Messages to it are ("do", number, kind, text, folder, options), ("stop", number) and ("enough",
number); from it ("at", number, done, total, text), ("done", number, result) and ("failed", number,
findings). It ends when the program that started it does.
"""

from __future__ import annotations

import io
import os
import pickle
import queue
import signal
import threading
import traceback
from collections.abc import Callable
from functools import partial
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

import numpy as np

from airweft.base.errors import AirweftError
from airweft.base.findings import Finding
from airweft.base.progress import Progress, Stopped

_STEPS = 1000  # a bar can show no more


def packed(message: object) -> bytes:
    """A message as bytes; arrays that may not be written to stay so on the other side."""
    made = io.BytesIO()
    _Pickler(made, protocol=pickle.HIGHEST_PROTOCOL).dump(message)
    return made.getvalue()


class _Pickler(pickle.Pickler):
    def reducer_override(self, thing: Any) -> Any:
        if type(thing) is np.ndarray and not thing.flags.writeable:
            return _read_only, (thing.copy(),)
        return NotImplemented


def _read_only(array: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    array.setflags(write=False)
    return array


def work(connection: Connection) -> None:
    """Do what comes over the connection until it ends. The main function of the process."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the program that started it
    _Worker(connection).run()


class _Worker:
    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._sending = threading.Lock()
        self._waiting: queue.SimpleQueue[tuple[Any, ...]] = queue.SimpleQueue()
        self._progress: dict[int, Progress] = {}

    def run(self) -> None:
        threading.Thread(target=self._listen, daemon=True).start()
        # What all work needs is loaded before the first is asked for.
        from airweft.workshop.long_work import KINDS

        while True:
            number, kind, text, folder, options = self._waiting.get()
            self._do(number, partial(KINDS[kind], text, Path(folder), options))

    def _listen(self) -> None:
        while True:
            try:
                what, number, *rest = pickle.loads(self._connection.recv_bytes())
            except (EOFError, OSError):
                os._exit(0)  # nobody waits for the answer any more
            if what == "do":
                self._progress[number] = Progress(_Teller(self, number))
                self._waiting.put((number, *rest))
            elif number in self._progress:
                getattr(self._progress[number], what)()

    def _do(self, number: int, do: Callable[[Progress], object]) -> None:
        try:
            self.send("done", number, do(self._progress[number]))
        except Stopped:
            self.send("failed", number, ())
        except AirweftError as refusal:
            self.send("failed", number, refusal.findings)
        except Exception as error:
            self.send("failed", number, (own_fault(error),))
        finally:
            del self._progress[number]

    def send(self, what: str, number: int, *rest: object) -> None:
        """Tell the other end."""
        data = packed((what, number, *rest))
        with self._sending:
            self._connection.send_bytes(data)


class _Teller:
    """Tells how far the work is, but not so often that telling becomes the work."""

    def __init__(self, worker: _Worker, number: int) -> None:
        self._worker, self._number = worker, number
        self._told: tuple[int, str] = (-1, "")

    def __call__(self, done: int, total: int, text: str) -> None:
        step = _STEPS * done // total if total > 0 else 0
        if (step, text) != self._told:
            self._told = step, text
            self._worker.send("at", self._number, done, total, text)


def own_fault(error: Exception) -> Finding:
    """What to say where airweft itself is at fault."""
    spot = traceback.extract_tb(error.__traceback__)[-1]
    file = "/".join(Path(spot.filename).parts[-3:])
    return Finding(
        code="own-fault",
        severity="cannot",
        where=f"{file}, line {spot.lineno}",
        message=f"airweft came upon a fault of its own: {type(error).__name__}: {error}",
        remedy="Nothing of yours was changed. Please report it with the design file.",
    )
