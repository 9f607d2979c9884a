"""What `check` found, in words."""

from __future__ import annotations

from collections import Counter

from rich.console import Console

from airweft.cli.screen import say
from airweft.cli.show_findings import show_findings
from airweft.cli.show_made import plan_facts, show_facts
from airweft.workshop.examine import Examined


def show_examined(out: Console, err: Console, examined: Examined, file: str) -> None:
    """Write the findings, then one line that says whether the piece can be made."""
    console = out if examined.makeable else err
    show_findings(console, examined.findings, file)
    if not examined.makeable:
        say(console, _verdict(examined, file), style="bold red")
        return
    say(console, _verdict(examined, file), style="bold green")
    if examined.plan is not None:
        show_facts(console, plan_facts(examined.plan, "cm"))


def _verdict(examined: Examined, file: str) -> str:
    if examined.makeable:
        return f"{file}: “{examined.name}” can be made."
    counts = Counter(finding.severity for finding in examined.findings)
    number = f"{counts['cannot']} finding{'s' if counts['cannot'] != 1 else ''}"
    if not examined.readable:
        return f"{file} cannot be used as it is: {number}."
    return f"{file} cannot be made: {number}."
