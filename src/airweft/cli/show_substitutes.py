"""What could stand in for what is short, on the screen: colours in a table, sizes one by one."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

from rich import box
from rich.console import Console
from rich.padding import Padding
from rich.table import Table

from airweft.base.nearest import said_list
from airweft.base.units import Unit, show_length
from airweft.cli.screen import clean, say, say_wrapped
from airweft.cli.show_made import show_facts, size_text
from airweft.costing.shopping import packs_text
from airweft.words.stance import rough
from airweft.workshop.substitutes import ColourOption, Look, SizeOption, Substitutes


def show_substitutes(
    console: Console, found: Substitutes, file: str, stock: str, written: Path | None
) -> None:
    """Write what is short, what could stand in, and how to take it; or what was written."""
    say(console, found.design.name, style="bold")
    if not found.short:
        say(console, f"Nothing is short: {stock} suffices for it.", style="bold green")
        return
    for line in found.short:
        lacks = len(line.supply.missing) if line.supply else 0
        say_wrapped(
            console,
            f"{line.name} ({line.mark}), {line.size}: {line.need} needed, {lacks} missing.",
            2,
        )
    say(console)
    for key in dict.fromkeys((one.mark, one.wanted, one.size) for one in found.colours):
        options = [one for one in found.colours if (one.mark, one.wanted, one.size) == key]
        _show_colours(console, key, options)
    if found.sizes:
        _show_sizes(console, found)
    for refused in found.not_offered:
        say_wrapped(console, f"Not offered: {refused.what}: {refused.why}.", 2)
    options_left = found.colours or found.sizes
    if not options_left:
        say_wrapped(console, "Nothing in the stock can stand in.", style="bold")
    elif written is not None:
        say(console, f"Wrote {written}. Your own design is as it was.", style="bold")
    else:
        say_wrapped(
            console,
            f"Nothing was changed. Take one: airweft substitutes {file} --stock {stock} --take "
            "NUMBER --write NEW.toml",
            style="bold",
        )


def _show_colours(
    console: Console, key: tuple[str, str, str], options: Sequence[ColourOption]
) -> None:
    mark, wanted, size = key
    say(console, f"In place of {wanted} ({mark}), {size}: the nearest colours", style="bold")
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False, padding=(0, 2, 0, 0))
    table.add_column("Number", justify="right")
    table.add_column("colour")
    table.add_column("difference", justify="right")
    table.add_column("nearest in the piece")
    for name in ("in stock", "needed", "missing"):
        table.add_column(name, justify="right")
    for one in options:
        near = one.near
        beside = "" if math.isinf(near.apart) else f"{near.beside}, {near.apart:.0f} apart"
        there = "enough" if near.entry.state == "unlimited" else f"{near.entry.count}"
        if near.entry.part_used:
            there += f" + {len(near.entry.part_used)} part-used"
        table.add_row(
            str(one.number),
            clean(f"{near.entry.name} {near.entry.hex}"),
            f"{near.difference:.1f}",
            clean(beside),
            there,
            str(one.need),
            str(one.missing) if one.missing else "none",
        )
    console.print(Padding(table, (0, 0, 0, 2), expand=False))
    say_wrapped(
        console,
        "Differences are CIEDE2000: about 1 is just visible, below 10 is easily mixed up at arm's "
        "length. Screens differ from latex: hold the balloons side by side.",
        2,
    )
    say(console)


def _show_sizes(console: Console, found: Substitutes) -> None:
    say(console, "Other sizes, planned anew; now and with each", style="bold")
    units = found.design.units
    say(console, f"  Now: size {found.now.size}", style="bold")
    show_facts(console, _look(found.now, units))
    for one in found.sizes:
        how = "as long as now" if one.same_length else "with the same proportions"
        say(
            console,
            f"  {one.number}: size {one.look.size} for {one.old}, bubbles {how}",
            style="bold",
        )
        show_facts(console, [*_look(one.look, units), *_against(one)])
    say(console)


def _look(look: Look, units: Unit) -> list[tuple[str, str]]:
    cells = [
        f"of {count} {'closed' if not wide else f'open by {show_length(wide, units)}'}"
        for count, wide in look.openings
    ]
    bubbles = (
        f"{show_length(look.bubble, units)} long, {look.fatness:.1f} times as thick as long"
        + (f"; cells {said_list(cells)}" if cells else "")
    )
    buy = [f"{packs_text(line.packs)} of {line.name}" for line in look.shopping if line.packs]
    missing = f"{look.missing} missing" if look.missing else "all of them in stock"
    return [
        ("Piece", f"about {size_text(look.size_mm, units)}"),
        ("Bubbles", bubbles),
        (
            "Balloons",
            f"{look.balloons}, {missing}; one makes {look.per_balloon} bubbles at most",
        ),
        ("To buy", f"{said_list(buy)}, spares included" if buy else "nothing"),
        ("Time", f"{look.minutes[0]} to {look.minutes[1]} minutes"),
        ("Latex", f"roughly {rough(look.latex_g)} g in the piece"),
    ]


def _against(one: SizeOption) -> list[tuple[str, str]]:
    return [("Risky", risk.message) for risk in one.risks]
