"""The findings of a predicted shape: what did not come out, where, and what may help."""

from __future__ import annotations

import numpy as np

from airweft.base.findings import Finding
from airweft.records.arrays import points
from airweft.records.net import Net
from airweft.records.shape import Shape, Stand
from airweft.shape.settings import LENGTH_ALLOWED, OVERLAP_ALLOWED
from airweft.shape.sparse import Floats, Whole

_MOST_NAMED = 5
_BUBBLE_OFF = 0.05  # a single bubble this far off its length is named


def nothing(net: Net, stand: Stand) -> Shape:
    """The shape of a net without bubbles."""
    finding = Finding(
        code="no-shape",
        severity="risky",
        where="net",
        message="The net has no bubbles, so it has no shape.",
        remedy="Give it joints and bubbles.",
    )
    return Shape(
        positions=points(np.nan_to_num(net.joints, nan=0.0, posinf=0.0, neginf=0.0)),
        diameters=(0.0,) * net.bubble_count,
        length_error=(0.0, 0.0),
        overlaps=(),
        worst_overlap=0.0,
        width=0.0,
        depth=0.0,
        height=0.0,
        stand=stand,
        held=(),
        iterations=0,
        converged=True,
        findings=(finding,),
    )


def length_findings(net: Net, bars: Whole, errors: Floats) -> list[Finding]:
    """Bubbles that cannot keep their length."""
    off = bars[errors > _BUBBLE_OFF]
    if not len(off) and float(errors.mean() if len(errors) else 0.0) <= LENGTH_ALLOWED:
        return []
    worst = off[np.argsort(-np.round(errors[errors > _BUBBLE_OFF], 6), kind="stable")]
    return [
        Finding(
            code="length-strained",
            severity="risky",
            where=_named(net, worst) if len(worst) else "net",
            message=f"{_lacking(len(off))} in this shape: the worst is "
            f"{float(errors.max()):.0%} off, the mean {float(errors.mean()):.1%}.",
            remedy="Use a shorter bubble or a bigger piece, or widen what is thinner than a "
            "bubble there.",
            bubbles=tuple(worst.tolist()),
        )
    ]


def overlap_findings(net: Net, worst: float, pairs: list[tuple[int, int]]) -> list[Finding]:
    """Bubbles that lie in each other."""
    if worst <= OVERLAP_ALLOWED or not pairs:
        return []
    first = list(dict.fromkeys(b for pair in pairs for b in pair))
    return [
        Finding(
            code="bubbles-crowded",
            severity="risky",
            where=_named(net, np.array(first, dtype=np.int64)),
            message=f"{_pressing(len(pairs))} {worst:.0%} of their diameter: there is not room "
            "enough for them.",
            remedy="Use a thinner balloon or a longer bubble there, or widen what is thinner than "
            "a bubble.",
            bubbles=tuple(first),
        )
    ]


def rest_findings(stand: Stand, converged: bool, steps: int) -> list[Finding]:
    """A shape that had not come to rest."""
    if converged:
        return []
    settled = {"table": " on the table", "hang": " hanging", "free": ""}[stand]
    return [
        Finding(
            code="shape-not-settled",
            severity="note",
            where="net",
            message=f"The shape had not quite come to rest{settled} after {steps} steps; real "
            "fabric may sag a little further.",
            remedy="Take sizes from it with some room.",
        )
    ]


def falls() -> Finding:
    """A piece that would not stay as it is put on the table."""
    return Finding(
        code="falls-over",
        severity="risky",
        where="net",
        message="Put on a table as it is drawn, the piece falls over; it is shown upright and "
        "without its weight.",
        remedy="Give it a wider foot, hold it up, or hang it.",
    )


def strange(what: str) -> Finding:
    """A prediction that broke down."""
    return Finding(
        code="no-shape",
        severity="risky",
        where="net",
        message=f"No shape could be found: {what}. The net is shown as it was drawn.",
        remedy="Check lengths and positions of the net.",
    )


def separate(count: int) -> Finding:
    """A net of several parts."""
    return Finding(
        code="shape-in-parts",
        severity="note",
        where="net",
        message=f"The net has {count} parts that nothing joins; each takes its own shape, and how "
        "they lie to each other is only as drawn.",
        remedy="Join them, or make them as pieces of their own.",
    )


def _lacking(count: int) -> str:
    if count == 1:
        return "1 bubble cannot keep its length"
    return f"{count or 'Many'} bubbles cannot keep their length"


def _pressing(count: int) -> str:
    if count == 1:
        return "Two bubbles press into each other by"
    return f"{count} pairs of bubbles press into each other, the worst by"


def _named(net: Net, bubbles: Whole) -> str:
    names = [net.bubble_names[b] for b in bubbles[:_MOST_NAMED].tolist()]
    more = len(bubbles) - len(names)
    return "bubbles " + ", ".join(names) + (f" and {more} more" if more > 0 else "")
