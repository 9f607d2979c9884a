"""The styles side by side, as a table."""

from __future__ import annotations

from collections.abc import Sequence

from rich import box
from rich.console import Console
from rich.table import Table

from airweft.cli.screen import clean, say
from airweft.cli.show_findings import show_findings
from airweft.records.design import Design
from airweft.workshop.side_by_side import NotFor, Row


def show_compared(
    console: Console, design: Design, rows: Sequence[Row | NotFor], file: str
) -> None:
    """Write a line for each style that suits the design, and for the others why they do not."""
    say(console, design.name, style="bold")
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False, padding=(0, 2, 0, 0))
    table.add_column("Style")
    for name in ("balloons", "at least", "cut off", "minutes", "loose", "lines", "hands travel"):
        table.add_column(name, justify="right")
    suited = [row for row in rows if isinstance(row, Row)]
    for row in suited:
        table.add_row(
            clean(row.style),
            str(row.balloons),
            f"{row.bound}{' (met)' if row.proven else ''}",
            f"{row.waste_percent:.0f} %",
            f"{row.minutes[0]} to {row.minutes[1]}",
            str(row.peak_loose),
            str(row.lines),
            f"{row.travel_mm / 1000:.1f} m",
        )
    if suited:
        console.print(table)
    say(console)
    for other in rows:
        if isinstance(other, NotFor):
            say(console, f"The style {other.style} does not suit this design:", style="bold")
            show_findings(console, other.findings, file)
    if suited:
        best = min(suited, key=lambda row: row.balloons)
        say(console, f"Make one: airweft make {file} --style {best.style} --out FOLDER")
