"""A net as a frame of stiff bars on ball joints: in how many ways can it move, and be tense.

J. C. Maxwell, Phil. Mag. 27 (1864) 294, counted bars against joints; C. R. Calladine, Int. J.
Solids Structures 14 (1978) 161, gave the exact m - s = 3j - 6 - b. Lock twists are no ideal ball
joints and bubbles resist some bending, so these counts point to risk, not to failure.
"""

from __future__ import annotations

import numpy as np

from airweft.base.findings import Finding
from airweft.records.net import Net
from airweft.records.shape import Rigidity
from airweft.shape.sparse import Floats, Matrix, Whole, count_below, rows_of, turned

_DENSE = 150  # frames with at most so many bars are reckoned by singular values
_SMALL = 1e-9  # singular values below this share of the greatest are zero
_SMALL_SQUARED = 1e-9  # and for large frames, their squares, the greatest being about 10


def count_frame(spots: Floats, ends: Whole, *, dimensions: int = 3) -> Rigidity:
    """Rank, mechanisms and self-stresses of bars `ends` (e, 2) between `spots` (j, dimensions).

    Bars without length or with both ends in one joint are left out. Up to 150 bars by singular
    values; above, by the signs of the pivots of a sparse matrix, which tells from zero only what
    is above 3e-5.
    """
    joints = len(spots)
    chord = spots[ends[:, 1]] - spots[ends[:, 0]]
    far = np.sqrt((chord * chord).sum(axis=1))
    reach = float(np.abs(spots).max(initial=0.0))
    real = far > 1e-12 * max(1.0, reach)
    ends, unit = ends[real], chord[real] / far[real, None]
    bars = len(ends)
    rows = _rows(ends, unit, joints)
    rank = _rank(rows, bars, joints * dimensions)
    fixed = _rigid_motions(spots)
    return Rigidity(
        joints=joints,
        bars=bars,
        rank=rank,
        mechanisms=joints * dimensions - rank - fixed,
        self_stresses=bars - rank,
        rigid_motions=fixed,
    )


def rigidity(net: Net, spots: Floats | None = None) -> Rigidity:
    """The counts of `net`, its joints at `spots` (n, 3) or where the net has them.

    Fabric of joints of four always has many mechanisms (joints - 6 if it is closed): what keeps
    its shape is how bubbles press against each other, see `softest`.
    """
    return count_frame(np.asarray(net.joints if spots is None else spots), net.ends)


def rigidity_findings(net: Net, found: Rigidity) -> tuple[Finding, ...]:
    """What the counts mean for a net of frame bubbles; nothing for fabric."""
    if "fabric" in net.kinds or found.mechanisms == 0:
        return ()
    ways = "one way" if found.mechanisms == 1 else f"{found.mechanisms} ways"
    return (
        Finding(
            code="frame-loose",
            severity="risky" if found.self_stresses == 0 else "note",
            where="net",
            message=f"If its bubbles were rods with hinges for joints, this frame could move in "
            f"{ways}: only tight locks hold it.",
            remedy="Cut open rings of four and more into triangles with a brace across, or lock "
            "its joints very tightly.",
        ),
    )


def _rows(ends: Whole, unit: Floats, joints: int) -> Matrix:
    """The rigidity matrix (e, d j): row i holds minus and plus the bar's direction."""
    d = unit.shape[1]
    columns = np.concatenate(
        [ends[:, :1] * d + np.arange(d), ends[:, 1:] * d + np.arange(d)], axis=1
    )
    return rows_of(columns, np.concatenate([-unit, unit], axis=1), joints * d)


def _rank(rows: Matrix, bars: int, free: int) -> int:
    if bars == 0:
        return 0
    if bars > _DENSE:
        across = turned(rows)
        square, size = (rows @ across, bars) if bars <= free else (across @ rows, free)
        below = count_below(square, _SMALL_SQUARED)
        if below is not None:
            return size - below
    values = np.linalg.svd(rows.toarray(), compute_uv=False)
    return int(np.count_nonzero(values > _SMALL * values[0]))


def _rigid_motions(spots: Floats) -> int:
    """How many independent ways there are of moving all joints as one."""
    joints, d = spots.shape
    if joints == 0:
        return 0
    about = spots - spots.mean(axis=0)
    reach = float(np.abs(about).max())
    if reach > 0:
        about = about / reach
    # Turns are d (d - 1) / 2 less those that move no joint: the rank of the spread decides.
    values = np.linalg.svd(about, compute_uv=False)
    spread = int((values > _SMALL * max(float(values[0]), 1e-300)).sum()) if reach > 0 else 0
    still = d - spread  # directions square to all joints; turns among these do nothing
    return int(d + d * (d - 1) // 2 - still * (still - 1) // 2)
