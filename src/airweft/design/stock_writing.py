"""The one canonical writing of a stock, and the starter to fill in."""

from __future__ import annotations

from airweft.balloon.stock import KEEP_FROM, Entry, Stock
from airweft.base.units import exact_length
from airweft.design.canonical import _text as quoted
from airweft.design.css import CSS_COLOURS
from airweft.design.stock_schema import VERSION

_ON_A_LINE = 6

STARTER = """\
# The balloons you have, for airweft: count them and keep this file; it is yours.
# Plan from it:  airweft make DESIGN.toml --stock stock.toml --out FOLDER
# Everything after a # is a remark.

airweft-stock = 1             # version of this file format
units     = "cm"              # plain numbers are in this unit: mm, cm or in
keep_from = 30                # rests that inflate to this length or more are kept

# One heading [[balloons]] for each colour and size.

[[balloons]]
size   = "260"
colour = "red"                # the CSS colour name or "#rrggbb" that your designs use
count  = 40                   # whole balloons
pack   = 100                  # optional: how many are sold together
part_used = [45, 31]          # optional: what is left of cut ones, inflated to the tip
# part_used_flat = [8, 5.5]   # the same, measured as they lie empty

[[balloons]]
size   = "260"
colour = "white"
state  = "unlimited"          # always enough of them

[[balloons]]
size   = "260"
name   = "sand"               # your own name for it, if your designs use that
colour = "#d8c090"
state  = "do not use"         # set aside: too old, or kept for another job
count  = 25

[[balloons]]
size   = "160"
colour = "gold"
count  = 60

# Your own figures, where you measured these balloons; the others are those of the design:
# budget = { flat = 26.5, full = 150 }
"""
"""A stock to fill in."""


def write_stock(stock: Stock) -> str:
    """The canonical text of a stock; ends with a line end. Reading it gives the same stock."""
    lines = [f"airweft-stock = {VERSION}", f"units = {quoted(stock.units)}"]
    if stock.keep_from != KEEP_FROM:
        lines.append(f"keep_from = {quoted(exact_length(stock.keep_from, stock.units))}")
    for entry in stock.entries:
        lines += ["", "[[balloons]]", *_entry(entry, stock)]
    if not stock.entries:
        lines.append("balloons = []")
    return "\n".join(lines) + "\n"


def _list(key: str, texts: list[str]) -> list[str]:
    """A list on one line, or on several where it is long."""
    if len(texts) <= _ON_A_LINE:
        return [f"{key} = [{', '.join(texts)}]"]
    rows = (texts[n : n + _ON_A_LINE] for n in range(0, len(texts), _ON_A_LINE))
    return [f"{key} = [", *(f"    {', '.join(row)}," for row in rows), "]"]


def _entry(entry: Entry, stock: Stock) -> list[str]:
    lines = [f"size = {quoted(entry.size)}"]
    plain = entry.name.replace(" ", "").replace("_", "").replace("-", "")
    if entry.name == entry.hex or CSS_COLOURS.get(plain) == entry.hex:
        lines.append(f"colour = {quoted(entry.name)}")
    else:
        lines += [f"name = {quoted(entry.name)}", f"colour = {quoted(entry.hex)}"]
    if entry.state != "limited":
        lines.append(f"state = {quoted(entry.state)}")
    if entry.state != "unlimited":
        lines.append(f"count = {entry.count}")
    for key, flat in (("part_used", False), ("part_used_flat", True)):
        lengths = [rest.length for rest in entry.part_used if rest.flat == flat]
        if lengths:
            lines += _list(key, [quoted(exact_length(length, stock.units)) for length in lengths])
    if entry.pack is not None:
        lines.append(f"pack = {entry.pack}")
    if entry.budget is not None:
        figures = (
            f"{figure} = {quoted(exact_length(getattr(entry.budget, figure), stock.units))}"
            for figure in entry.own
        )
        lines.append(f"budget = {{ {', '.join(figures)} }}")
    return lines
