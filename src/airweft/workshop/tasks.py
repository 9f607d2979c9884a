"""Long work beside the program: in processes of its own, with progress, and stopped at once.

    task = tasks.start("plan", desk.text, desk.folder, {"style": "rounds"})
    task.on(progress, done, failed)

The answers come in another thread than the caller's.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import pickle
import queue
import threading
from collections import deque
from collections.abc import Callable
from pathlib import Path
from typing import Any, Literal

from airweft.base.findings import Finding
from airweft.workshop.worker import packed, work

Kind = Literal["settle", "plan", "compare", "make", "print"]
State = Literal["waiting", "running", "done", "failed", "stopped"]
OnProgress = Callable[[int, int, str], None]
OnDone = Callable[[Any], None]
OnFailed = Callable[[tuple[Finding, ...]], None]

GRACE_SECONDS = 0.35
"""How long work may take to mind a wish to stop before its process is ended."""
_MOST_PROCESSES = 3
_STOPPED = Finding(
    code="stopped",
    severity="note",
    where="work",
    message="This was stopped before it was done",
    remedy="Start it again whenever you like.",
)
_DIED = Finding(
    code="work-ended",
    severity="cannot",
    where="work",
    message="The process that did this was ended from outside, perhaps for want of memory",
    remedy="Close other programs and start it again.",
)


class Task:
    """One piece of long work. `result` is there once `state` is "done", `findings` otherwise."""

    def __init__(self, pool: Pool, message: tuple[Any, ...]) -> None:
        self.state: State = "waiting"
        self.at: tuple[int, int, str] = (0, 0, "")
        self.result: Any = None
        self.findings: tuple[Finding, ...] = ()
        self.message = message
        self._pool = pool
        self._calls: list[tuple[OnProgress, OnDone, OnFailed]] = []
        self._ended = threading.Event()
        self._unwanted = False
        self._lock = threading.Lock()

    def on(self, progress: OnProgress, done: OnDone, failed: OnFailed) -> None:
        """Call these from now on, at once where there is something to tell already.

        `done` gets the result; `failed` the findings: what is wrong, or one of the code "stopped".
        """
        with self._lock:
            ended = self._ended.is_set()
            if not ended:
                self._calls.append((progress, done, failed))
        if self.at[1]:
            _call(progress, *self.at)
        if ended:
            self._answer(done, failed)

    def stop(self) -> None:
        """End it; what it has found is lost. `failed` is told within half a second."""
        self._unwanted = True
        self._pool.stop(self)

    def enough(self) -> None:
        """Let a search give the best it has found so far; other work ends as by `stop`."""
        self._pool.enough(self)

    def wait(self, seconds: float | None = None) -> bool:
        """Wait for the end; True if it came."""
        return self._ended.wait(seconds)

    def tell(self, done: int, total: int, text: str) -> None:
        """For the pool: how far it is."""
        self.at = done, total, text
        for progress, _, _ in tuple(self._calls):
            _call(progress, done, total, text)

    def end(self, state: State, result: Any, findings: tuple[Finding, ...]) -> None:
        """For the pool: it has ended; only the first time counts."""
        with self._lock:
            if self._ended.is_set():
                return
            if self._unwanted and state == "done":  # a search gives what it has when it is stopped
                state, result, findings = "stopped", None, (_STOPPED,)
            self.state, self.result, self.findings = state, result, findings
            self._ended.set()
            calls, self._calls = self._calls, []
        for _, done, failed in calls:
            self._answer(done, failed)

    def _answer(self, done: OnDone, failed: OnFailed) -> None:
        if self.state == "done":
            _call(done, self.result)
        else:
            _call(failed, self.findings)


class _Process:
    """One process and the thread that listens to it."""

    def __init__(self, pool: Pool) -> None:
        context = multiprocessing.get_context("spawn")
        self._here, there = context.Pipe()
        self._pool = pool
        self.task: Task | None = None
        self.process = context.Process(target=work, args=(there,), daemon=True)
        self.process.start()
        there.close()
        self._out: queue.SimpleQueue[tuple[object, ...]] = queue.SimpleQueue()
        for target in (self._listen, self._send):
            threading.Thread(target=target, daemon=True).start()

    def send(self, *message: object) -> None:
        """Tell the process, in its turn; one that has just died is noticed by the listener."""
        self._out.put(message)

    def _send(self) -> None:
        # In a thread of its own: a long message waits until a process that starts can read it.
        while True:
            message = self._out.get()
            if not message:
                return
            with contextlib.suppress(OSError):
                self._here.send_bytes(packed(message))

    def kill(self) -> None:
        """End it at once."""
        self.process.kill()

    def _listen(self) -> None:
        while True:
            try:
                what, number, *rest = pickle.loads(self._here.recv_bytes())
            except (EOFError, OSError):
                self._out.put(())  # the end of the other thread
                self.process.join()
                self._pool.lost(self)
                return
            self._pool.heard(self, what, number, rest)


class Pool:
    """The processes, started when they are needed and kept. Safe for threads."""

    def __init__(self, size: int) -> None:
        self._size = size
        self._lock = threading.RLock()
        self._processes: list[_Process] = []
        self._queue: deque[Task] = deque()
        self._number = 0
        self._closed = False

    def start(self, kind: Kind, text: str, folder: Path, options: Any) -> Task:
        """Begin, or wait for a free process."""
        with self._lock:
            self._number += 1
            task = Task(self, (self._number, kind, text, str(folder), options))
            self._queue.append(task)
            self._fill()
        return task

    def warm(self) -> None:
        """Start a process before it is needed: loading all that it needs takes some seconds."""
        with self._lock:
            if not self._processes and not self._closed:
                self._processes.append(_Process(self))

    def close(self) -> None:
        """End everything."""
        with self._lock:
            self._closed = True
            tasks = [*self._queue, *(p.task for p in self._processes if p.task is not None)]
            self._queue.clear()
            for process in self._processes:
                process.kill()
        for task in tasks:
            task.end("stopped", None, (_STOPPED,))

    def stop(self, task: Task) -> None:
        """See `Task.stop`."""
        with self._lock:
            if task in self._queue:
                self._queue.remove(task)
                process = None
            else:
                process = self._doing(task)
                if process is None:
                    return
        if process is None:
            task.end("stopped", None, (_STOPPED,))
            return
        process.send("stop", task.message[0])
        timer = threading.Timer(GRACE_SECONDS, self._kill_if_still, (process, task))
        timer.daemon = True
        timer.start()

    def enough(self, task: Task) -> None:
        """See `Task.enough`."""
        with self._lock:
            process = self._doing(task)
        if process is None:
            self.stop(task)
        else:
            process.send("enough", task.message[0])

    def heard(self, process: _Process, what: str, number: int, rest: list[Any]) -> None:
        """What a process said."""
        with self._lock:
            task = process.task
            if task is None or task.message[0] != number:
                return
            if what != "at":
                process.task = None
        if what == "at":
            task.tell(*rest)
        elif what == "done":
            task.end("done", rest[0], ())
        elif rest[0]:
            task.end("failed", None, rest[0])
        else:
            task.end("stopped", None, (_STOPPED,))
        with self._lock:
            self._fill()

    def lost(self, process: _Process) -> None:
        """A process has ended."""
        with self._lock:
            if process in self._processes:
                self._processes.remove(process)
            task, process.task = process.task, None
            self._fill()
        if task is not None:
            task.end("failed", None, (_DIED,))

    def _kill_if_still(self, process: _Process, task: Task) -> None:
        with self._lock:
            if process.task is not task:
                return
            process.task = None
            self._processes.remove(process)
        process.kill()
        task.end("stopped", None, (_STOPPED,))
        with self._lock:
            self._fill()

    def _doing(self, task: Task) -> _Process | None:
        return next((one for one in self._processes if one.task is task), None)

    def _fill(self) -> None:
        """Give waiting tasks to free processes, and start some while there may be more."""
        while self._queue and not self._closed:
            free = next((one for one in self._processes if one.task is None), None)
            if free is None:
                if len(self._processes) >= self._size:
                    return
                free = _Process(self)
                self._processes.append(free)
            free.task = task = self._queue.popleft()
            task.state = "running"
            free.send("do", *task.message)


def _call(call: Callable[..., None], *given: Any) -> None:
    """A listener's own fault is reported as such, and stops nobody else."""
    try:
        call(*given)
    except Exception as error:
        threading.excepthook(
            threading.ExceptHookArgs((type(error), error, error.__traceback__, None))
        )


_pool = Pool(max(1, min(_MOST_PROCESSES, (os.cpu_count() or 2) - 1)))


def start(kind: Kind, text: str, folder: Path, options: Any = None) -> Task:
    """Begin long work on a design's text; the files that it names are in `folder`.

    "settle" gives a Settled, "plan" a (Planned, Settled), "compare" the rows of all styles,
    "make" an Outcome and "print" a Printed; `options` are those of `long_work.Options`.
    """
    return _pool.start(kind, text, folder, options or {})


def warm() -> None:
    """Start a process before it is needed."""
    _pool.warm()


def close() -> None:
    """End all work and all processes; nothing can be started afterwards."""
    _pool.close()
