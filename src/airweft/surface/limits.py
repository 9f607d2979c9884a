"""What every form has to keep: counts that close, and a size that can be handled."""

from __future__ import annotations

import math

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.base.limits import MOST_BUBBLES


def cell_edge_mm(bubble: int) -> float:
    """Edge of a square cell in mm, for bubbles of `bubble` hundredths of a millimetre.

    A bubble joins the middles of two edges that meet at a right angle, so the edge is as long as
    the bubble times the square root of two, and a cell is two bubbles wide on the chart.
    """
    return bubble / 100 * math.sqrt(2)


def check_counts(
    counts: dict[str, int], *, form: str, bubble: int, least: dict[str, int] | None = None
) -> None:
    """Raise CannotMake, with every finding, unless each count is even and large enough."""
    findings: list[Finding] = []
    for key, count in counts.items():
        fewest = (least or {}).get(key, 2)
        if count < fewest:
            findings.append(
                Finding(
                    code="count-too-small",
                    severity="cannot",
                    where=f"{form}, {key}",
                    message=f"{key} = {count} is too few: "
                    f"a {form} needs at least {fewest} bubbles {_along(key)}.",
                    remedy=f"Write {key} = {fewest} or more.",
                )
            )
        elif count % 2:
            nearest = f"{count - 1} or {count + 1}" if count > fewest else f"{count + 1}"
            findings.append(
                Finding(
                    code="odd-count",
                    severity="cannot",
                    where=f"{form}, {key}",
                    message=f"{key} = {count} is odd, and the fabric closes only on even counts: "
                    "every cell is two bubbles wide and two high.",
                    remedy=f"Write {key} = {nearest}.",
                )
            )
    if bubble <= 0:
        findings.append(
            Finding(
                code="bubble-length",
                severity="cannot",
                where=f"{form}, bubble",
                message="The bubble length is not above zero.",
                remedy="Give the length of a bubble, such as 2.5 cm.",
            )
        )
    if findings:
        raise CannotMake(findings)


def check_lengths(lengths: dict[str, int], *, form: str, least: int) -> None:
    """Raise CannotMake unless each length is `least` or more, all in hundredths of a mm."""
    if least <= 0:
        check_counts({}, form=form, bubble=0)
    findings = [
        Finding(
            code="too-small",
            severity="cannot",
            where=f"{form}, {key}",
            message=f"{key} = {length / 1000:g} cm is too small: a {form} of these bubbles needs "
            f"{least / 1000:g} cm or more. This is a length, not a number of bubbles.",
            remedy=f"Make {key} larger or the bubbles shorter.",
        )
        for key, length in lengths.items()
        if length < least
    ]
    if findings:
        raise CannotMake(findings)


def check_total(bubbles: int, *, form: str) -> None:
    """Raise CannotMake if a form asks for more bubbles than can be handled."""
    if bubbles > MOST_BUBBLES:
        raise CannotMake(
            Finding(
                code="too-many-bubbles",
                severity="cannot",
                where=form,
                message=f"This {form} asks for {bubbles:,} bubbles; "
                f"the most that is planned is {MOST_BUBBLES:,}.",
                remedy="Make the counts smaller.",
            )
        )


def _along(key: str) -> str:
    """Words for the direction that a count runs in."""
    return {
        "columns": "from left to right",
        "rows": "from bottom to top",
        "around": "around",
        "across": "from left to right",
        "deep": "from front to back",
        "high": "from bottom to top",
        "cell": "along the edge of a cube",
    }.get(key, "there")
