"""How the inner loops are compiled: by numba, once for each version of their source.

numba's own cache looks at the one file that a function is written in and misses changes in the
files that it calls into. So the compiled code is kept in a folder named after all of them.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import ParamSpec, TypeVar, cast

import numba
from platformdirs import user_cache_path

P = ParamSpec("P")
R = TypeVar("R")


_COMPILED = (
    "compiled.py",
    "exchange.py",
    "grow.py",
    "move.py",
    "state.py",
    "swap.py",
    "timed.py",
    "trail.py",
)


def _folder() -> Path | None:
    """Where compiled code is kept; None where nothing can be written."""
    digest = hashlib.sha256(numba.__version__.encode())
    for name in _COMPILED:
        digest.update((Path(__file__).parent / name).read_bytes())
    folder = user_cache_path("airweft", appauthor=False) / f"compiled-{digest.hexdigest()[:16]}"
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        return None
    return folder


FOLDER = _folder()
if FOLDER is not None:
    numba.config.CACHE_DIR = str(FOLDER)  # type: ignore[attr-defined]


def compiled(function: Callable[P, R]) -> Callable[P, R]:
    """The same function, compiled on its first call."""
    return cast("Callable[P, R]", numba.njit(cache=FOLDER is not None)(function))
