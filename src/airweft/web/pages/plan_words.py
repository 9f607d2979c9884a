"""What is said of a plan: styles and measures in a maker's words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from airweft.base.units import Unit, show_length
from airweft.records.plan import Plan
from airweft.workshop.side_by_side import Row

STYLES: dict[str, tuple[str, str]] = {
    "pairs": (
        "Pairs",
        "Two balloons knotted together, and the same few movements again and again.",
    ),
    "rounds": ("Rounds", "Round after round from one end to the other, steady and easy to follow."),
    "painted": (
        "Painted",
        "Balloons shared out for the colours first, ordered for the hands then: often the fewest.",
    ),
    "parts": ("Parts", "A part for each person at a table of their own, joined at the end."),
    "best": ("The best by your weights", "Whichever style that is."),
    "fewest": ("The fewest balloons", "Whichever style that is."),
}
"""What each style is called, and what it is like."""


@dataclass(frozen=True, slots=True)
class Measure:
    """How one measure is told: `name` in the design file, `title`, the `unit` of its weight,
    the figure compared, and what is said."""

    name: str
    title: str
    unit: str
    figure: Callable[[Row], float]
    said: Callable[[Row, Unit], str]


def minutes_said(low: int, high: int) -> str:
    """A range of minutes, in hours where it is long.

    >>> minutes_said(40, 55), minutes_said(150, 200)
    ('40 to 55 min', '2 h 30 to 3 h 20')
    """
    if high < 120:
        return f"{low} min" if low == high else f"{low} to {high} min"
    return f"{_hours(low)} to {_hours(high)}"


def _hours(minutes: int) -> str:
    hours, rest = divmod(minutes, 60)
    return f"{hours} h {rest:02}" if hours else f"{rest} min"


def far_said(mm: float, unit: Unit) -> str:
    """A long length, as one says it across a room.

    >>> far_said(3240, "cm"), far_said(3240, "in"), far_said(240, "cm")
    ('3.2 m', '10.6 ft', '24 cm')
    """
    if unit == "in":
        return f"{mm / 304.8:.1f} ft"
    return f"{mm / 1000:.1f} m" if mm >= 1000 else show_length(round(mm / 10) * 1000, "cm")


def times(count: int, one: str, many: str = "") -> str:
    """A count with its noun.

    >>> times(1, "twist"), times(0, "lock"), times(1200, "line")
    ('1 twist', 'none', '1 200 lines')
    """
    if not count:
        return "none"
    return f"{count:,} {one if count == 1 else many or one + 's'}".replace(",", "\u202f")


def balloons_said(row: Row) -> str:
    """How many, and what is known of fewer."""
    if row.proven:
        return f"{row.balloons}, the fewest (proven)"
    return f"{row.balloons} (at least {row.bound})"


MEASURES: tuple[Measure, ...] = (
    Measure(
        "balloons", "Balloons", "each balloon", lambda r: r.balloons,
        lambda r, _: balloons_said(r),
    ),
    Measure(
        "minutes", "Time", "each minute", lambda r: sum(r.minutes) / 2,
        lambda r, _: minutes_said(*r.minutes),
    ),
    Measure(
        "waste", "Cut off", "each metre cut off", lambda r: r.waste_mm,
        lambda r, u: f"{far_said(r.waste_mm, u)} of balloon ({r.waste_percent:.0f}\u00a0%)",
    ),
    Measure(
        "loose", "To hold at once", "each loose twist", lambda r: r.peak_loose,
        lambda r, _: times(r.peak_loose, "loose twist") + " at most",
    ),
    Measure(
        "lines", "To read", "each line", lambda r: r.lines,
        lambda r, _: times(r.lines, "line"),
    ),
    Measure(
        "colour_changes", "Colour changes", "each change", lambda r: r.colour_changes,
        lambda r, _: times(r.colour_changes, "time") if r.colour_changes else "never",
    ),
    Measure(
        "travel", "Hands travel", "each metre", lambda r: r.travel_mm,
        lambda r, u: far_said(r.travel_mm, u),
    ),
    Measure(
        "turning", "Turns of the piece", "each turn", lambda r: r.turning,
        lambda r, _: times(r.turning, "time") if r.turning else "never",
    ),
    Measure(
        "awkward", "Hard to reach", "each lock or knot", lambda r: r.awkward,
        lambda r, _: times(r.awkward, "lock or knot", "locks and knots"),
    ),
)  # fmt: skip
"""All nine, as docs/comfort.md counts them."""


def least(rows: Sequence[Row]) -> dict[str, float]:
    """The least figure of each measure in which the rows differ."""
    found = {m.name: [m.figure(row) for row in rows] for m in MEASURES}
    return {name: min(all_) for name, all_ in found.items() if len(set(all_)) > 1}


def label(row: Row) -> str:
    """A row's name, with its seed where it has one."""
    return STYLES.get(row.style, (row.style, ""))[0] + row.label.removeprefix(row.style)


def picture_said(rows: Sequence[Row]) -> str:
    """The picture of balloons against minutes, for those who do not see it."""
    return "Balloons against minutes. " + "; ".join(
        f"{label(row)}: {row.balloons} balloons, {minutes_said(*row.minutes)}"
        + (", best by your weights" if row.best else "")
        + (", another is better all round" if row.beaten_by else "")
        for row in rows
    )


def plan_figures(plan: Plan) -> tuple[tuple[str, str], ...]:
    """The chief figures of a plan."""
    claims = plan.claims
    return (
        ("Style", STYLES.get(plan.style, (plan.style, ""))[0]),
        ("Balloons", f"{claims.balloons}"),
        ("Time", minutes_said(claims.minutes_low, claims.minutes_high)),
        ("To hold at once", times(claims.peak_loose, "loose twist")),
    )
