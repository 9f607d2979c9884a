"""Read-only arrays for the frozen records."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
Indices = NDArray[np.int64]


def points(values: Sequence[Any] | NDArray[Any]) -> Points:
    """A read-only float64 array of shape (n, 3)."""
    array = np.array(values, dtype=np.float64).reshape(-1, 3)
    array.setflags(write=False)
    return array


def pairs(values: Sequence[Any] | NDArray[Any]) -> Indices:
    """A read-only int64 array of shape (m, 2)."""
    array = np.array(values, dtype=np.int64).reshape(-1, 2)
    array.setflags(write=False)
    return array


def whole(values: Sequence[Any] | NDArray[Any]) -> Indices:
    """A read-only int64 array of shape (m,)."""
    array = np.array(values, dtype=np.int64).reshape(-1)
    array.setflags(write=False)
    return array
