"""What could stand in where the stock is short: other colours, other sizes, each really planned."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

from airweft.balloon.sizes import bubbles_per_balloon, diameter_of
from airweft.balloon.stock import entry_for
from airweft.base.errors import AirweftError
from airweft.base.findings import Finding
from airweft.base.nearest import said_list
from airweft.base.progress import Progress
from airweft.base.refusals import wrong_option
from airweft.costing.shopping import Line
from airweft.design.canonical import write_design
from airweft.records.design import Colour, Design, Joined, NetFile
from airweft.records.net import Net
from airweft.workshop.choosing import wanted
from airweft.workshop.near_colours import Near, near_colours
from airweft.workshop.planned import Planned, from_stock
from airweft.workshop.resized import budget_for, read_again, resized
from airweft.workshop.settled import settle
from airweft.workshop.shape import open_design, painted
from airweft.workshop.starter import write_new
from airweft.workshop.stock_findings import used_colours
from airweft.workshop.stocked import MORE_SEEDS, Plans, Store, fitted

MOST_COLOURS = 5
MOST_SIZES = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How a piece comes out in balloons of one size; all estimates.

    `size_mm` is the outside. `fatness` is how many times as thick as long a bubble is. `openings`
    are (bubbles around a cell, how wide it stays open in hundredths of a mm), 0 where bubbles
    touch. `per_balloon` is how many bubbles one balloon makes at most.
    """

    size: str
    bubble: int
    size_mm: tuple[float, float, float]
    fatness: float
    openings: tuple[tuple[int, int], ...]
    per_balloon: int
    balloons: int
    minutes: tuple[int, int]
    latex_g: float
    shopping: tuple[Line, ...]
    missing: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ColourOption:
    """A colour in stock in place of a short one. `missing` is what that colour then lacks."""

    number: int
    mark: str
    wanted: str
    size: str
    near: Near
    need: int
    missing: int
    design: Design


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeOption:
    """Another size for all balloons of a short one.

    `same_length` keeps the bubbles as long as they are; else they keep their proportions. `risks`
    are what is to be said against it.
    """

    number: int
    old: str
    same_length: bool
    look: Look
    risks: tuple[Finding, ...]
    design: Design


@dataclass(frozen=True, slots=True)
class NotOffered:
    """Something in stock that cannot stand in, and why."""

    what: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Substitutes:
    """Everything that was found; `short` are the lines of the shopping list that lack balloons."""

    design: Design
    now: Look
    short: tuple[Line, ...]
    colours: tuple[ColourOption, ...]
    sizes: tuple[SizeOption, ...]
    not_offered: tuple[NotOffered, ...]


@dataclass(slots=True)
class _Search:
    path: Path
    store: Store
    seed: int | None
    progress: Progress
    kept: Plans | None = None

    def plan(
        self,
        design: Design,
        net: Net,
        size: tuple[float, float, float] | None,
        *,
        more_seeds: int = MORE_SEEDS,
    ) -> Planned:
        """The design planned from stock; answers are kept while only the palette changes."""
        style, seed = wanted(design, None, self.seed)
        fit = fitted(design, net, self.store.stock)
        if self.kept is None or self.kept.net is not net or self.kept.budgets != fit.budgets:
            self.kept = Plans(fit.design, net, fit.budgets, self.progress)
        return from_stock(
            self.kept,
            fit,
            self.store,
            style=style,
            seed=seed,
            size=size,
            more_seeds=more_seeds,
        )

    def look(
        self, design: Design, *, more_seeds: int = MORE_SEEDS
    ) -> tuple[Look, Planned, Net, tuple[Finding, ...]]:
        """How a design comes out, its plan and net, and the risks that its shape has."""
        net, _ = painted(design)
        _, seed = wanted(design, None, self.seed)
        settled = settle(net, design, seed=seed, progress=self.progress)
        made = self.plan(design, settled.net, settled.size_mm, more_seeds=more_seeds)
        plan, size = made.plan, made.design.size
        thick = diameter_of(size)
        lengths = [int(n) for n, s in zip(net.lengths, net.sizes, strict=True) if s == size]
        bubble = max(set(lengths), key=lambda n: (lengths.count(n), -n)) if lengths else 0
        budget = plan.budgets.get(size, made.design.budget)
        look = Look(
            size=size,
            bubble=bubble,
            size_mm=plan.claims.size_mm,
            fatness=thick / bubble if bubble else 0.0,
            openings=openings(net, bubble, thick),
            per_balloon=min(
                design.most_bubbles or 10**6,
                bubbles_per_balloon(budget, bubble, step=design.tail_step, tail=design.tail),
            ),
            balloons=len(plan.balloons),
            minutes=(made.minutes.low, made.minutes.high),
            latex_g=settled.weight.latex_g,
            shopping=made.shopping,
            missing=_missing(made.shopping),
        )
        risks = tuple(f for f in (*design.findings, *settled.findings) if f.severity == "risky")
        return look, made, settled.net, risks


def find_substitutes(
    path: Path, store: Store, *, seed: int | None = None, progress: Progress | None = None
) -> Substitutes:
    """Colours and sizes in stock for what the stock lacks of the design at `path`.

    Raises BadInput or CannotMake like the whole job. Nothing is written.
    """
    search = _Search(path, store, seed, progress or Progress())
    design = open_design(path, progress=search.progress)
    now, made, net, _ = search.look(design)
    short = tuple(line for line in made.shopping if line.supply and line.supply.missing)
    not_offered: list[NotOffered] = []
    colours: list[ColourOption] = []
    for line in short:
        colours += _colours(search, design, net, made, line, len(colours) + 1, not_offered)
    sizes: list[SizeOption] = []
    for old in dict.fromkeys(line.size for line in short):
        first = len(colours) + len(sizes) + 1
        sizes += _sizes(search, design, net, old, first, not_offered)
    return Substitutes(
        design=design,
        now=now,
        short=short,
        colours=tuple(colours),
        sizes=tuple(sizes),
        not_offered=tuple(not_offered),
    )


def write_substitute(found: Substitutes, take: Sequence[int], source: Path, new: Path) -> None:
    """Write the design with the options of these numbers to a new file.

    Raises BadInput for numbers that there are not or that exclude each other, for a file that is
    there already, and for a design that could not be read from there.
    """
    offered: list[ColourOption | SizeOption] = [*found.colours, *found.sizes]
    options = {option.number: option for option in offered}
    for number in take:
        if number not in options:
            listed = said_list([str(n) for n in options], last="or") or "none at all"
            raise wrong_option("--take", f"there is no number {number}", f"Take {listed}.")
    chosen = [options[number] for number in dict.fromkeys(take)]
    places = [one.mark if isinstance(one, ColourOption) else "" for one in chosen]
    if len(set(places)) < len(places):
        raise wrong_option(
            "--take",
            "two of the numbers stand in for the same thing",
            "Take one number for each colour, and one for the size.",
        )
    design, said = found.design, []
    for one in sorted(chosen, key=lambda option: isinstance(option, ColourOption)):
        if isinstance(one, ColourOption):
            design = with_colour(design, one.mark, one.near)
            said.append(f"{one.near.entry.name} for {one.wanted} ({one.mark})")
        else:
            design = one.design
            said.append(f"size {one.look.size} for {one.old}")
    text = write_design(design)
    if "\nfile = " in text and source.absolute().parent != new.absolute().parent:
        raise wrong_option(
            "--write",
            "this design names a file of its own folder",
            "Write the new design beside it, into the same folder.",
        )
    read_again(design, new, progress=Progress())
    head = "".join(c if c.isprintable() else " " for c in f"{source.name} with {said_list(said)}.")
    write_new(new, f"# {head}\n{text}", option="--write")


def openings(net: Net, bubble: int, thick: int) -> tuple[tuple[int, int], ...]:
    """How wide cells of so many equal bubbles stay open, fewest bubbles first.

    A cell is taken as a flat regular polygon of sides `bubble` with round bodies of diameter
    `thick` along them: the opening is the circle inside it less a body's radius all round.
    """
    counts = sorted({len(cell.bubbles) for cell in net.cells if len(cell.bubbles) > 2})
    return tuple(
        (count, max(0, round(bubble / math.tan(math.pi / count) - thick))) for count in counts
    )


def with_colour(design: Design, mark: str, near: Near) -> Design:
    """The design with another colour behind a mark; the mark stays, since patterns name it."""
    entry = near.entry
    return replace(
        design,
        palette=tuple(
            Colour(mark, entry.name, entry.hex) if colour.mark == mark else colour
            for colour in design.palette
        ),
    )


def _colours(
    search: _Search,
    design: Design,
    net: Net,
    made: Planned,
    line: Line,
    first: int,
    not_offered: list[NotOffered],
) -> list[ColourOption]:
    """The nearest colours that stay apart from the others; those that suffice come first."""
    wish = next((colour for colour in design.palette if colour.mark == line.mark), None)
    if wish is None:
        return []
    used = used_colours(design, sorted(set(net.colours)))
    found: list[ColourOption] = []
    for near in near_colours(wish, line.size, used, search.store.stock):
        if not near.distinct:
            not_offered.append(
                NotOffered(
                    f"{near.entry.name} for {line.name} ({line.mark})",
                    f"it is easily taken for {near.beside} (difference {near.apart:.1f}; 10 or "
                    "more is easy to tell apart)",
                )
            )
            continue
        if len(found) == MOST_COLOURS:
            break
        changed = with_colour(design, line.mark, near)
        again = search.plan(changed, net, made.plan.claims.size_mm)
        other = next(
            one for one in again.shopping if (one.mark, one.size) == (line.mark, line.size)
        )
        found.append(
            ColourOption(
                number=0,
                mark=line.mark,
                wanted=line.name,
                size=line.size,
                near=near,
                need=other.need,
                missing=len(other.supply.missing) if other.supply else 0,
                design=changed,
            )
        )
    found.sort(key=lambda option: (option.missing > 0, option.near.difference))
    return [replace(option, number=n) for n, option in enumerate(found, start=first)]


def _sizes(
    search: _Search,
    design: Design,
    net: Net,
    old: str,
    first: int,
    not_offered: list[NotOffered],
) -> list[SizeOption]:
    """Sizes that the stock has some colour of the piece in, each with both bubble lengths."""
    marks = {m for m, size in zip(net.colours, net.sizes, strict=True) if size == old}
    used = used_colours(design, sorted(marks))
    stock = search.store.stock
    there = {
        entry.size
        for entry in stock.entries
        if entry.size != old
        and entry.usable
        and any(entry_for(stock, colour, entry.size) == entry for colour in used)
    }
    thick = diameter_of(old)
    found: list[SizeOption] = []
    for new in sorted(there, key=lambda size: (abs(diameter_of(size) - thick), size))[:MOST_SIZES]:
        known = budget_for(new, stock)
        if known is None:
            not_offered.append(
                NotOffered(
                    f"size {new}",
                    "there is no length budget for it: give six figures in the stock",
                )
            )
            continue
        # One part alone scaled would not meet the others; lengths in net files are not ours.
        scales: list[Fraction | None] = [None]
        if set(net.sizes) == {old} and not _has_nets(design):
            scales.insert(0, Fraction(diameter_of(new), thick))
        for scale in scales:
            try:
                changed = read_again(
                    resized(design, old, new, scale=scale, budget=known[0], assumed=known[1]),
                    search.path,
                    progress=search.progress,
                )
                look, _, _, risks = search.look(changed, more_seeds=0)
            except AirweftError as refusal:
                kept = "of the same length" if scale is None else "of the same proportions"
                why = refusal.findings[0].message
                not_offered.append(NotOffered(f"size {new}, bubbles {kept}", why))
                continue
            found.append(
                SizeOption(
                    number=0,
                    old=old,
                    same_length=scale is None,
                    look=look,
                    risks=risks,
                    design=changed,
                )
            )
    return [replace(option, number=n) for n, option in enumerate(found, start=first)]


def _has_nets(design: Design) -> bool:
    if isinstance(design.form, Joined):
        return any(isinstance(part.form, NetFile) for part in design.form.parts)
    return isinstance(design.form, NetFile)


def _missing(shopping: Sequence[Line]) -> int:
    return sum(len(line.supply.missing) for line in shopping if line.supply)
