"""The short summary after `make` and `model`: what the piece is, what to buy, the cautions."""

from __future__ import annotations

from pathlib import Path

from rich import box
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from airweft.base.units import Unit, show_length
from airweft.cli.screen import clean, say, say_wrapped
from airweft.cli.show_findings import show_findings
from airweft.costing.shopping import Line, left_text, packs_text, stock_text
from airweft.records.plan import Bound, Plan
from airweft.words.cautions import SHORT
from airweft.words.stance import rough, stance
from airweft.workshop.as_model import Modelled
from airweft.workshop.job import Outcome
from airweft.workshop.settled import Settled

WHAT_FOR = {
    "booklet.pdf": "print this at 100 % and check its squares",
    "steps.html": "the same steps on a phone or tablet, no network needed",
    "plan.json": "the plan for other programs; airweft check reads it",
    "chart.svg": "the flat chart of every panel",
    "picture.svg": "the finished piece",
    "picture.png": "the same, for a message or a poster",
    "shopping.csv": "what to buy, for a spreadsheet",
}


def show_made(console: Console, outcome: Outcome, folder: Path) -> None:
    """Write the summary of a made design; `folder` as the maker gave it."""
    plan = outcome.plan
    say(console, outcome.design.name, style="bold")
    facts = [
        *plan_facts(plan, outcome.design.units),
        *shape_facts(outcome.settled),
        ("Words", f"{len(outcome.instructions.steps)} lines of instruction"),
    ]
    show_facts(console, facts)
    say(console)
    _show_balloons(console, outcome.shopping, outcome.design.units)
    say(console)
    if outcome.findings:
        show_findings(console, outcome.findings)
    _show_files(console, outcome, folder)
    say(console)
    say_wrapped(console, SHORT, style="bold")


def show_modelled(console: Console, modelled: Modelled, design: str) -> None:
    """Write the summary of a model; `design` is the file that findings with a line belong to."""
    settled = modelled.settled
    net = settled.net
    say(console, modelled.design.name, style="bold")
    facts = [("Piece", f"{net.bubble_count} bubbles, {net.joint_count} joints")]
    if settled.size_mm is not None:
        facts.append(("Size", f"about {size_text(settled.size_mm, modelled.design.units)}"))
    show_facts(console, [*facts, *shape_facts(settled)])
    say(console)
    if modelled.findings:
        show_findings(console, modelled.findings, design)
    say(console, f"Wrote {modelled.file}, {-(-modelled.size // 1000):,} KB.", style="bold")
    say(console)
    say_wrapped(console, SHORT, style="bold")


def plan_facts(plan: Plan, units: Unit) -> list[tuple[str, str]]:
    """What is to be said of any plan in a few lines, as (what, words)."""
    claims = plan.claims
    facts = [
        ("Piece", f"{claims.bubbles} bubbles, {claims.joints} joints"),
        ("Balloons", f"{claims.balloons}, {against_bound(claims.balloons, plan.bound)}"),
        ("Bound", plan.bound.reason),
        ("Style", plan.style),
        ("Loose twists", f"{claims.peak_loose} at most at once, of {plan.hands} allowed"),
    ]
    if claims.minutes_high > 0:
        people = sum(section.person > 0 for section in plan.sections)
        whose = f"{people} practised makers at once" if people else "practised hands"
        facts.append(("Time", f"{_span(claims.minutes_low, claims.minutes_high)}, {whose}"))
    if any(claims.size_mm):
        facts.append(("Size", f"about {size_text(claims.size_mm, units)}"))
    return facts


def size_text(size_mm: tuple[float, float, float], units: Unit) -> str:
    """Width, depth and height to the nearest 5 mm or 1/4 in: no balloons are truer than that."""
    sides = [show_length(round(side / 5) * 500, units, fraction=4) for side in size_mm]
    return f"{sides[0]} wide, {sides[1]} deep, {sides[2]} high"


def shape_facts(settled: Settled) -> list[tuple[str, str]]:
    """How the piece stands or hangs and what it weighs, as (what, words): all estimates."""
    facts = []
    if settled.shape is not None and (settled.standing or settled.shape.stand == "hang"):
        does, figure, words = stance(settled.shape, settled.standing)
        hangs = settled.shape.stand == "hang"
        facts.append((does, figure if hangs else f"{figure}; {words[0].lower()}{words[1:-1]}"))
    weight = settled.weight
    pumped = "1 stroke" if weight.strokes == 1 else f"{rough(weight.strokes)} strokes"
    facts.append(
        (
            "Weighs",
            f"roughly {rough(weight.latex_g)} g of latex and {rough(weight.air_l)} litres of air, "
            f"{pumped} of a hand pump",
        )
    )
    return facts


def _span(low: int, high: int) -> str:
    """A range of minutes in words; from two hours on in hours and minutes."""
    if high < 120:
        return f"{low} to {high} minutes"
    return " to ".join(f"{minutes // 60} h {minutes % 60:02} min" for minutes in (low, high))


def against_bound(balloons: int, bound: Bound) -> str:
    """How the number of balloons stands to the least that could do; "fewest" only if proven."""
    if bound.proven:
        return "the fewest there can be"
    more = balloons - bound.balloons
    return f"{more} more than the least conceivable, {bound.balloons}"


def show_facts(console: Console, facts: list[tuple[str, str]]) -> None:
    """Write facts one to a line, their words lined up and wrapped beside what they are about."""
    widest = max(len(what) for what, _ in facts) + 2
    for what, words in facts:
        text = Text(clean(words))
        for n, line in enumerate(text.wrap(console, max(20, console.width - widest - 2))):
            line.rstrip()
            start = f"  {what:<{widest}}" if n == 0 else " " * (widest + 2)
            say(console, Text(start, style="dim") + line)


def _show_balloons(console: Console, lines: tuple[Line, ...], units: Unit) -> None:
    stocked = any(line.supply is not None for line in lines)
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False, padding=(0, 2, 0, 0))
    table.add_column("Balloons")
    for name in ("bubbles", "need", "spare", *(("from stock", "missing") if stocked else ())):
        table.add_column(name, justify="right")
    table.add_column("to buy")
    table.add_column("left over", justify="right")
    for line in lines:
        what = Text()
        what.append("\u25cf " if _takes(console, "\u25cf") else "", style=line.hex or "none")
        what.append(clean(f"{line.mark} {line.name}, {line.size}"))
        supply = line.supply
        missing = "" if supply is None or not supply.missing else str(len(supply.missing))
        table.add_row(
            what,
            str(line.bubbles),
            str(line.need),
            str(line.spare),
            *((stock_text(supply), Text(missing, style="bold red")) if stocked else ()),
            packs_text(line.packs),
            left_text(line),
        )
    console.print(Padding(table, (0, 0, 0, 2), expand=False))
    for line in lines:
        for made in line.supply.part_used if line.supply is not None else ():
            say_wrapped(
                console,
                f"{made.code} is made from the part-used {line.name} {line.size} that inflates to "
                f"{show_length(made.length, units)} ({show_length(made.flat, units)} when empty).",
                2,
            )


def _show_files(console: Console, outcome: Outcome, folder: Path) -> None:
    say(console, f"All of it is in {folder}:", style="bold")
    for name in outcome.files:
        say(console, Text(f"  {name:<14}") + Text(WHAT_FOR.get(name, ""), style="dim"))
    for old, new in outcome.kept:
        say(console, f"  Your own {old} was in the way and is kept as {new}.", style="yellow")
    if outcome.returned is not None:
        say(console, f"  The stock as it is afterwards: {outcome.returned}")
    if outcome.kept_stock is not None:
        say(
            console, f"  The file that stood there is kept as {outcome.kept_stock}.", style="yellow"
        )


def _takes(console: Console, character: str) -> bool:
    try:
        character.encode(console.encoding)
    except (UnicodeEncodeError, LookupError):
        return False
    return True
