"""A sound start for the prediction, whatever the net holds: what was made good is a finding."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airweft.base.findings import Finding
from airweft.records.net import Net
from airweft.shape.sparse import Floats, Whole

_LOOP_REACH = 0.57  # from a loop's joint to its far side, as a share of the loop's length
_LOOP_ROUND = 0.3  # radius of a loop's body as a share of its length
_TINY = 0.05  # bubbles shorter than this share of the mean are reckoned that long
_HUGE = 30.0  # and longer than this, this long
_BROADEST = 3.0  # no body is reckoned broader than this, in mean bubble lengths
_FAR_OFF = 3.0  # starts this much too large or too small are scaled first


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """Where the prediction begins, in mean bubble lengths.

    spots (n + loops, 3): joints, then the far tip of each loop; links (m, 2) points of every
    bubble; lengths, radii (m,); unit_mm is the mean bubble length.
    """

    spots: Floats
    links: Whole
    lengths: Floats
    radii: Floats
    unit_mm: float
    findings: tuple[Finding, ...]


def start_of(net: Net, diameters_mm: Floats, *, plump: float, jitter: float, seed: int) -> Start:
    """The start for `net` with balloons of these diameters (m,); never fails."""
    findings: list[Finding] = []
    mm = net.lengths.astype(np.float64) / 100
    long = mm[mm > 0]
    unit = float(np.median(long)) if len(long) else 25.0
    lengths = mm / unit
    _odd_lengths(net, lengths, findings)
    lengths = np.clip(lengths, _TINY, _HUGE) if len(long) else np.ones(len(mm))
    loops = np.flatnonzero(net.ends[:, 0] == net.ends[:, 1])
    n = net.joint_count
    links = net.ends.copy()
    links[loops, 1] = n + np.arange(len(loops))
    pressed = np.full(len(lengths), plump / 2)
    wide = np.nan_to_num(diameters_mm / unit / 2, nan=1.0, posinf=1e6, neginf=0.0)
    wide = np.minimum(wide, _BROADEST)
    radii = np.minimum(np.clip(wide, 1e-3, None), pressed * lengths)
    radii[loops] = np.minimum(np.clip(wide[loops], 1e-3, None), _LOOP_ROUND * lengths[loops])
    lengths[loops] *= _LOOP_REACH
    chance = np.random.default_rng(seed)
    spots = _sound_spots(net, lengths, unit, chance, findings)
    tips = _tips(net, spots, loops, lengths)
    spots = np.concatenate([spots, tips])
    spots = spots + chance.uniform(-jitter, jitter, spots.shape)
    return Start(
        spots=spots,
        links=links,
        lengths=lengths,
        radii=radii,
        unit_mm=unit,
        findings=tuple(findings),
    )


def _odd_lengths(net: Net, lengths: Floats, findings: list[Finding]) -> None:
    short = np.flatnonzero(lengths < _TINY)
    huge = np.flatnonzero(lengths > _HUGE)
    for found, what in ((short, "hardly any length"), (huge, "a length far beyond the others'")):
        if len(found):
            first = int(found[0])
            findings.append(
                Finding(
                    code="odd-length",
                    severity="risky",
                    where=f"bubble {net.bubble_names[first]}",
                    message=f"Bubble {net.bubble_names[first]} has {what} "
                    f"({net.lengths[first] / 100:g} mm)"
                    + (f"; so have {len(found) - 1} more." if len(found) > 1 else ".")
                    + " The shape is reckoned with a length nearer the others'.",
                    remedy="Check the bubble lengths.",
                    bubbles=tuple(found.tolist()),
                )
            )


def _sound_spots(
    net: Net, lengths: Floats, unit: float, chance: np.random.Generator, findings: list[Finding]
) -> Floats:
    """The net's joints in mean bubble lengths: finite, apart, and of about the right scale."""
    given = net.joints
    bad = ~np.isfinite(given).all(axis=1)
    bad |= np.abs(np.where(np.isfinite(given), given, 0.0)).max(axis=1, initial=0.0) > 1e9
    middle = np.median(given[~bad], axis=0) if (~bad).any() else np.zeros(3)
    spots: Floats = (given - middle) / unit
    reach = max(1.0, float(len(spots)) ** 0.5 / 2)
    if bad.any():
        spots[bad] = chance.uniform(-reach, reach, (int(bad.sum()), 3))
        findings.append(
            Finding(
                code="odd-positions",
                severity="risky",
                where=f"joint {net.joint_names[int(np.flatnonzero(bad)[0])]}",
                message=f"{int(bad.sum())} joints have positions that are no usable numbers; "
                "they start anywhere near the piece.",
                remedy="Give all positions in millimetres.",
                joints=tuple(np.flatnonzero(bad).tolist()),
            )
        )
    bars = np.flatnonzero(net.ends[:, 0] != net.ends[:, 1])
    if len(bars):
        d = spots[net.ends[bars, 1]] - spots[net.ends[bars, 0]]
        far = np.sqrt((d * d).sum(axis=1))
        ratio = float(np.median(far / lengths[bars]))
        if ratio > _FAR_OFF or 1e-6 < ratio < 1 / _FAR_OFF:
            spots = spots / ratio
        if ratio <= 1e-6:
            spots = spots + chance.uniform(-reach, reach, spots.shape) * 0.5
            findings.append(
                Finding(
                    code="joints-coincide",
                    severity="risky",
                    where="net",
                    message="Most bubbles have both joints at the same spot, so the net says "
                    "nothing about its shape; the shape found is one of many.",
                    remedy="Give the joints positions about a bubble length apart.",
                )
            )
    # A single stray joint must not need thousands of steps to come home.
    most = 4 * reach + 50
    return np.clip(spots, -most * 25, most * 25)


def _tips(net: Net, spots: Floats, loops: Whole, lengths: Floats) -> Floats:
    """Far tips of loops, on the outer side of their joint, fanned out where there are several."""
    if not len(loops):
        return np.zeros((0, 3))
    out = outward(net, spots)
    tips = np.zeros((len(loops), 3))
    seen: dict[int, int] = {}
    for row, bubble in enumerate(loops.tolist()):
        joint = int(net.ends[bubble, 0])
        turn = seen.get(joint, 0)
        seen[joint] = turn + 1
        side = np.roll(out[joint], 1) * (0.5 * ((turn + 1) // 2) * (-1) ** turn)
        tips[row] = spots[joint] + (out[joint] + side) * lengths[bubble]
    return tips


def outward(net: Net, spots: Floats) -> Floats:
    """Unit vectors (n, 3) out of the fabric at each joint; away from the middle without cells."""
    total = np.zeros((net.joint_count, 3))
    for cell in net.cells:
        ring = spots[list(cell.joints)]
        normal = np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0)
        total[list(cell.joints)] += normal
    size = np.sqrt((total * total).sum(axis=1))
    away = spots[: net.joint_count] - spots[: net.joint_count].mean(axis=0)
    total = np.where(size[:, None] > 1e-9, total, away)
    size = np.sqrt((total * total).sum(axis=1))
    up = np.array([0.0, 0.0, 1.0])
    return np.where(size[:, None] > 1e-9, total / np.maximum(size, 1e-9)[:, None], up)
