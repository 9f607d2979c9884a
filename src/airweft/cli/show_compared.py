"""The plans side by side, as a table: a line for each thing counted, a column for each plan."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rich import box
from rich.console import Console
from rich.table import Table

from airweft.base.nearest import said_list
from airweft.cli.screen import clean, say, say_wrapped
from airweft.cli.show_findings import show_findings
from airweft.records.design import Design
from airweft.workshop.side_by_side import NotFor, Row

_ABREAST = 4  # plans beside each other, so that a table fits 80 columns

_LINES: tuple[tuple[str, Callable[[Row], str]], ...] = (
    ("balloons", lambda row: str(row.balloons)),
    ("  at least", lambda row: f"{row.bound}{' (met)' if row.proven else ''}"),
    ("cut off", lambda row: f"{row.waste_mm / 1000:.1f} m"),
    ("  of all", lambda row: f"{row.waste_percent:.0f} %"),
    ("minutes", lambda row: f"{row.minutes[0]} to {row.minutes[1]}"),
    ("loose twists", lambda row: str(row.peak_loose)),
    ("lines to read", lambda row: str(row.lines)),
    ("colour changes", lambda row: str(row.colour_changes)),
    ("hands travel", lambda row: f"{row.travel_mm / 1000:.1f} m"),
    ("turns of the piece", lambda row: str(row.turning)),
    ("locked from outside", lambda row: str(row.awkward)),
)


def show_compared(
    console: Console, design: Design, rows: Sequence[Row | NotFor], file: str, stock: str = ""
) -> None:
    """Write a column for each plan, what to make of them, and why other styles do not suit.

    `stock` is the file of the stock that was asked, if any.
    """
    say(console, design.name, style="bold")
    suited = [row for row in rows if isinstance(row, Row)]
    for first in range(0, len(suited), _ABREAST):
        if first:
            say(console)
        console.print(_table(suited[first : first + _ABREAST], stock=bool(stock)))
    _remarks(console, suited)
    if any(row.ended_early for row in suited):
        say_wrapped(console, "The comparison was ended early: these are the best until then.")
    say(console)
    for other in rows:
        if isinstance(other, NotFor):
            say(console, f"The style {other.style} {_why(other)}:", style="bold")
            show_findings(console, other.findings, file)
    best = next((row for row in suited if row.best), None)
    if best is not None:
        from_stock = f" --stock {stock}" if stock else ""
        seed = f" --seed {best.seed}" if best.label != best.style else ""
        say(
            console,
            f"Make one: airweft make {file} --style {best.style}{seed}{from_stock} --out FOLDER",
        )
        say(console, f"Keep one in the design: airweft compare {file}{seed} --choose {best.style}")
        if best.missing:
            say(console, f"See others: airweft substitutes {file}{from_stock}")


def _why(other: NotFor) -> str:
    if other.fault:
        return "was left out by a fault of airweft"
    return "was not reached" if other.ended else "does not suit this design"


def _table(rows: Sequence[Row], *, stock: bool) -> Table:
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False, padding=(0, 2, 0, 0))
    table.add_column("", no_wrap=True)
    for row in rows:
        table.add_column(
            clean(row.label.replace(" (", "\n(")) + (" *" if row.best else ""), justify="right"
        )
    for name, said in _LINES:
        table.add_row(name, *map(said, rows))
    if stock:
        table.add_row("not in stock", *(str(row.missing) for row in rows))
    if any(row.unkept for row in rows):
        table.add_row("choices not kept", *(str(len(row.unkept)) for row in rows))
    table.add_section()
    table.add_row("all by weight", *(f"{row.score:.1f}" for row in rows))
    return table


def _remarks(console: Console, rows: Sequence[Row]) -> None:
    """Which plan is best by the weights, which ones others beat, and what is traded for what."""
    for row in rows:
        if row.best and len(rows) > 1:
            say_wrapped(console, f"* {row.label} is best by what counts in this design.")
    for row in rows:
        if row.beaten_by:
            first, *more = row.beaten_by
            also = f" (and by {len(more)} more)" if more else ""
            say_wrapped(
                console,
                f"{row.label} is beaten by {first}{also}: no worse in anything that is traded, and "
                "better.",
            )
    for row in rows:
        if row.unkept:
            say_wrapped(console, f"{row.label} does not keep: {'; '.join(row.unkept)}.")
    open_ones = [row for row in rows if not row.beaten_by]
    if len(open_ones) > 1:
        said = "; ".join(f"{row.label} has {_strength(row, open_ones)}" for row in open_ones)
        say_wrapped(console, f"Traded for one another: {said}.")


def _strength(row: Row, others: Sequence[Row]) -> str:
    """What a plan has less of than any other that is not beaten."""
    told: tuple[tuple[str, Callable[[Row], float]], ...] = (
        ("the fewest balloons", lambda r: r.balloons),
        ("the least time", lambda r: sum(r.minutes)),
        ("the least cut off", lambda r: round(r.waste_mm)),
        ("the fewest loose twists", lambda r: r.peak_loose),
        ("the fewest lines to read", lambda r: r.lines),
        ("the shortest way", lambda r: round(r.travel_mm)),
        ("the fewest turns", lambda r: r.turning),
    )
    found = [
        name
        for name, of in told
        if of(row) == min(map(of, others)) and any(of(row) < of(other) for other in others)
    ]
    return said_list(found) or "the middle of everything"
