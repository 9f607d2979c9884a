"""Profiles that cannot be turned, and why."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.records.arrays import Points
from airweft.records.design import Turned

MOST_POINTS = 400
"""Most points of a profile."""

_HINT = "Write it as [[radius, height], ...] from one end to the other."


def check_profile(form: Turned, *, kind: str = "turned") -> None:
    """Raise CannotMake, with every finding, for a profile that gives no surface."""
    findings = profile_findings(form.profile, kind=kind)
    if findings:
        raise CannotMake(findings)


def profile_findings(profile: tuple[tuple[int, int], ...], *, kind: str) -> list[Finding]:
    """Everything that is wrong with a profile of (radius, height) points."""

    def finding(code: str, message: str, remedy: str) -> Finding:
        return Finding(
            code=code, severity="cannot", where=f"{kind}, profile", message=message, remedy=remedy
        )

    if not 2 <= len(profile) <= MOST_POINTS:
        return [
            finding(
                "profile-points",
                f"The profile has {len(profile)} point{'' if len(profile) == 1 else 's'}; "
                f"it takes 2 to {MOST_POINTS}.",
                _HINT,
            )
        ]
    found = [
        finding(
            "radius-below-zero",
            f"Point {k + 1} of the profile has the radius {_said(radius)}.",
            "A radius is the distance from the axis: 0 or more.",
        )
        for k, (radius, _) in enumerate(profile)
        if radius < 0
    ]
    if found:
        return found[:12]
    for k, ((r0, h0), (r1, h1)) in enumerate(pairwise(profile)):
        if (r0, h0) == (r1, h1):
            found.append(
                finding(
                    "profile-point-twice",
                    f"Points {k + 1} and {k + 2} of the profile are the same.",
                    "Take one of them out.",
                )
            )
        elif r0 == r1 == 0:
            found.append(
                finding(
                    "profile-on-axis",
                    f"From point {k + 1} to point {k + 2} the profile runs along the axis, where "
                    "there is no surface.",
                    "Give one of the points a radius above 0.",
                )
            )
    for k, (radius, _) in enumerate(profile[1:-1], start=2):
        if radius == 0:
            found.append(
                finding(
                    "profile-on-axis",
                    f"Point {k} of the profile lies on the axis, so that only a point would hold "
                    "both halves together.",
                    "Give it a radius above 0; only the first and the last point may have 0.",
                )
            )
    for one, other in crossings(np.array(profile, dtype=np.float64)):
        found.append(
            finding(
                "profile-crosses",
                f"The profile crosses itself: the stretch from point {one + 1} to {one + 2} meets "
                f"the one from point {other + 1} to {other + 2}.",
                "Move a point, so that the line keeps clear of itself.",
            )
        )
    return found[:12]


def crossings(corners: Points) -> list[tuple[int, int]]:
    """Pairs of stretches, of a line through these (n, 2) corners, that meet; at most twelve.

    Neighbouring stretches share a point and count only where one runs back over the other.
    """
    start, end = corners[:-1], corners[1:]
    way = end - start

    def side(k: int, spots: Points) -> Points:
        off = spots - start[k]
        return np.asarray(np.sign(way[k, 0] * off[..., 1] - way[k, 1] * off[..., 0]))

    found: list[tuple[int, int]] = []
    for k in range(len(way) - 1):
        back = way[k] @ way[k + 1]
        if side(k, end[k + 1]) == 0 and back < 0:
            found.append((k, k + 1))
        later = np.arange(k + 2, len(way))
        if not len(later):
            continue
        mine = side(k, start[later]) * side(k, end[later])
        for other in later[mine <= 0].tolist():
            theirs = side(other, start[k]) * side(other, end[k])
            if theirs <= 0 and _boxes_meet(corners, k, other):
                found.append((k, other))
        if len(found) >= 12:
            break
    return found[:12]


def _boxes_meet(corners: Points, one: int, other: int) -> bool:
    """True if the bounding boxes of two stretches touch."""
    a, b = corners[one : one + 2], corners[other : other + 2]
    apart = (a.min(axis=0) > b.max(axis=0)) | (b.min(axis=0) > a.max(axis=0))
    return not bool(apart.any())


def _said(length: int) -> str:
    return f"{length / 1000:g} cm"
