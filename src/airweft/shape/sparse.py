"""The few sparse-matrix tools of SciPy that the prediction needs, behind plain types."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import sparse
from scipy.sparse import csgraph
from scipy.sparse.linalg import LinearOperator, eigsh, splu
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


def close_to(few: Floats, reach: Floats, spots: Floats) -> Whole:
    """Pairs (index in few, index in spots) no farther apart than `reach` (few,), in order."""
    found = cKDTree(spots).query_ball_point(few, reach, return_sorted=True)
    first = np.repeat(np.arange(len(few)), [len(near) for near in found])
    second = np.array([k for near in found for k in near], dtype=np.int64)
    return np.stack([first, second], axis=1)


def part_count(ends: Whole, count: int) -> int:
    """How many connected parts `count` points make with links `ends` (m, 2)."""
    if count == 0:
        return 0
    links = sparse.csr_matrix((np.ones(len(ends)), (ends[:, 0], ends[:, 1])), shape=(count, count))
    return int(csgraph.connected_components(links, directed=False)[0])


def part_of(ends: Whole, count: int) -> Whole:
    """For each of `count` points the number of its connected part, by links `ends` (m, 2)."""
    links = sparse.csr_matrix((np.ones(len(ends)), (ends[:, 0], ends[:, 1])), shape=(count, count))
    found: Whole = csgraph.connected_components(links, directed=False)[1].astype(np.int64)
    return found


def threefold(matrix: Matrix) -> Matrix:
    """The (3n, 3n) matrix that does to x, y and z each what `matrix` (n, n) does to a number."""
    return sparse.kron(matrix, sparse.identity(3), format="csr")


def gram(rows: Matrix, weights: Floats) -> Matrix:
    """rows^T diag(weights) rows."""
    return turned(rows) @ sparse.diags(weights) @ rows


def factored(matrix: Matrix) -> Any:
    """A symmetric matrix taken apart (SuperLU with pivots on the diagonal), for solving."""
    options = {"SymmetricMode": True}
    return splu(matrix.tocsc(), permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options=options)


def count_below(matrix: Matrix, limit: float) -> int | None:
    """How many eigenvalues of a symmetric matrix lie below `limit`; None if that cannot be told.

    Sylvester's law of inertia: as many as pivots of matrix - limit are negative, as long as the
    pivots lie on the diagonal.
    """
    try:
        parts = factored(matrix - limit * sparse.identity(matrix.shape[0]))
    except RuntimeError:  # exactly singular
        return None
    if not np.array_equal(parts.perm_r, parts.perm_c):
        return None
    return int((parts.U.diagonal() < 0).sum())


def lowest(
    matrix: Matrix, barred: Floats, count: int, *, start: Floats, lift: float
) -> tuple[Floats, Floats]:
    """The `count` lowest eigenvalues and vectors (columns) of a symmetric matrix (N, N).

    Vectors are kept at right angles to the orthonormal columns of `barred` (N, k). `lift` is added
    to the diagonal where the matrix is solved with, to keep it from being singular. Inverse
    iteration (Lanczos, ARPACK) with one factorization.
    """
    size = matrix.shape[0]
    solve = factored(matrix + lift * sparse.identity(size)).solve
    back = solve(np.ascontiguousarray(barred))
    small = np.linalg.inv(barred.T @ back)

    def straight(x: Floats) -> Floats:
        kept: Floats = x - barred @ (barred.T @ x)
        return kept

    def inverse(x: Floats) -> Floats:
        # The solution at right angles to what is barred, by its own small system.
        y = solve(straight(x.ravel()))
        return straight(y - back @ (small @ (barred.T @ y)))

    def forward(x: Floats) -> Floats:
        return straight(matrix @ straight(x.ravel()))

    plain = LinearOperator((size, size), matvec=forward, dtype=np.float64)
    inverted = LinearOperator((size, size), matvec=inverse, dtype=np.float64)
    values, vectors = eigsh(
        plain, k=count, sigma=0.0, which="LM", OPinv=inverted, v0=straight(start), tol=1e-8
    )
    order = np.argsort(values, kind="stable")
    return values[order] - lift, vectors[:, order]
