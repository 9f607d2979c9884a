"""The few sparse-matrix tools of SciPy that the prediction needs, behind plain types."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import sparse
from scipy.sparse import csgraph
from scipy.spatial import cKDTree

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Matrix = Any
"""A sparse matrix by rows; `matrix @ x` multiplies."""


def rows_of(columns: Whole, values: Floats, width: int) -> Matrix:
    """A matrix whose row i holds values[i, k] in column columns[i, k]; both (rows, k).

    Values in the same column of one row are added up.
    """
    count, each = columns.shape
    starts = np.arange(0, count * each + 1, each, dtype=np.int64)
    matrix = sparse.csr_matrix(
        (values.ravel().astype(np.float64), columns.ravel(), starts), shape=(count, width)
    )
    return matrix


def turned(matrix: Matrix) -> Matrix:
    """The transpose, by rows, with entries in order."""
    result = matrix.T.tocsr()
    result.sort_indices()
    return result


def close_pairs(spots: Floats, reach: float) -> Whole:
    """All pairs i < j of spots (k, 3) within `reach`, shape (pairs, 2), in order."""
    if len(spots) < 2:
        return np.zeros((0, 2), dtype=np.int64)
    found: Whole = cKDTree(spots).query_pairs(reach, output_type="ndarray").astype(np.int64)
    return found[np.lexsort((found[:, 1], found[:, 0]))]


def part_count(ends: Whole, count: int) -> int:
    """How many connected parts `count` points make with links `ends` (m, 2)."""
    if count == 0:
        return 0
    links = sparse.csr_matrix((np.ones(len(ends)), (ends[:, 0], ends[:, 1])), shape=(count, count))
    return int(csgraph.connected_components(links, directed=False)[0])
