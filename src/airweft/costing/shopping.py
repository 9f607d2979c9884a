"""What to buy: net need, spares, packs, what is left over, and how far to inflate.

Every figure can be traced: `Allowance` holds the factors, `Line` one colour and size, and its
`supply` what comes from the maker's stock.
"""

from __future__ import annotations

import csv
import io
import math
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from airweft.costing.air import litres, strokes
from airweft.costing.supply import Supply
from airweft.records.design import Colour, colour_of
from airweft.records.plan import Balloon, Plan

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowance:
    """Spares and packs.

    `spare_percent` of the need is added, rounded up: common practice, no source, 5 to 10 percent
    for practised hands and 20 for beginners. `packs` are the pack sizes on sale, in balloons:
    common practice, no source, 100 and 50.
    """

    spare_percent: int = 10
    packs: tuple[int, ...] = (100, 50)

    def __post_init__(self) -> None:
        if self.spare_percent < 0:
            raise ValueError(f"spare_percent is {self.spare_percent}; give 0 or more")
        if not self.packs or min(self.packs) < 1:
            raise ValueError(f"packs are {self.packs}; give at least one size of 1 or more")


USUAL = Allowance()


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One colour and size to buy. Counts are balloons unless the name says otherwise.

    `packs` holds (balloons in a pack, packs to buy), largest pack first, none that is not bought.
    `tails` holds (flat tail in hundredths of a millimetre, balloons with it), shortest first.
    `litres` and `strokes` are rough: air for the balloons needed and full strokes of a hand pump
    for one of them (the fullest), or None where the size code does not tell the diameter.
    `supply` is what comes from stock, None where no stock was asked. Then `packs` hold what has to
    be bought besides, and `left_over` are whole balloons: those of the stock that are not needed
    and the bought ones that are not. Where there are always enough, nothing is bought or counted.
    """

    mark: str
    name: str
    hex: str
    size: str
    bubbles: int
    need: int
    spare: int
    packs: tuple[tuple[int, int], ...]
    left_over: int
    tails: tuple[tuple[int, int], ...]
    litres: float | None
    strokes: int | None
    supply: Supply | None = None

    @property
    def bought(self) -> int:
        """Balloons in the packs to buy."""
        return sum(size * count for size, count in self.packs)


def shop(
    plan: Plan,
    palette: Sequence[Colour],
    allowance: Allowance = USUAL,
    supplies: Sequence[Supply] = (),
) -> tuple[Line, ...]:
    """One line for each colour and size that `plan` uses, in the palette's order, then by size.

    A mark that the palette does not have keeps its mark as its name. `supplies` are what comes from
    stock, for the same colours and sizes.
    """
    groups: dict[tuple[str, str], list[Balloon]] = {}
    for balloon in plan.balloons:
        groups.setdefault((balloon.colour, balloon.size), []).append(balloon)
    place = {colour.mark: n for n, colour in enumerate(palette)}
    keys = sorted(groups, key=lambda key: (place.get(key[0], len(place)), key))
    given = {(supply.mark, supply.size): supply for supply in supplies}
    return tuple(
        _line(
            colour_of(mark, palette),
            size,
            groups[mark, size],
            plan,
            allowance,
            given.get((mark, size)),
        )
        for mark, size in keys
    )


def packs_for(count: int, sizes: Sequence[int]) -> tuple[tuple[int, int], ...]:
    """Packs holding at least `count` balloons: the fewest left over, then the fewest packs.

    Returns (size, packs) pairs, largest size first. Time grows with `count` times the sizes.
    """
    if count <= 0:
        return ()
    order = sorted(set(sizes), reverse=True)
    # Whole packs of the largest size cover all but the last few hundred: with at most
    # `largest * second` left, every exact mix of the smaller sizes is still within reach.
    largest = order[0]
    aside = max(0, count // largest - largest)
    rest = count - aside * largest
    best: dict[int, tuple[int, tuple[int, ...]]] = {0: (0, (0,) * len(order))}
    for total in range(1, rest + largest):
        options = [
            (best[total - size][0] + 1, _one_more(best[total - size][1], place))
            for place, size in enumerate(order)
            if total - size in best
        ]
        if options:
            # Fewest packs; among equals more of the larger ones.
            best[total] = min(options, key=lambda o: (o[0], [-n for n in o[1]]))
    reached = min(total for total in best if total >= rest)
    counts = list(best[reached][1])
    counts[0] += aside
    return tuple((size, n) for size, n in zip(order, counts, strict=True) if n)


def csv_text(lines: Sequence[Line], show_length: Callable[[int], str]) -> str:
    """The shopping list as comma-separated values (RFC 4180), one line for each colour and size.

    `show_length` writes a length given in hundredths of a millimetre, with its unit. Texts that a
    spreadsheet would take for a formula are written with an apostrophe in front. The columns about
    the stock are there only where a stock was asked.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    stocked = any(line.supply is not None for line in lines)
    writer.writerow(
        [
            "mark",
            "colour",
            "hex",
            "size",
            "bubbles",
            "balloons needed",
            "spare",
            "packs to buy",
            "balloons bought",
            "left over",
            "flat tails",
            "air about (l)",
            "pump strokes each about",
            *(_STOCK_HEADS if stocked else ()),
        ]
    )
    for line in lines:
        writer.writerow(
            [
                _plain(line.mark),
                _plain(line.name),
                _plain(line.hex),
                _plain(line.size),
                line.bubbles,
                line.need,
                line.spare,
                _plain(packs_text(line.packs)),
                line.bought,
                left_text(line).replace(",", ""),
                _plain("; ".join(f"{n} of {show_length(tail)}" for tail, n in line.tails)),
                "" if line.litres is None else f"{line.litres:.1f}",
                "" if line.strokes is None else line.strokes,
                *(_stock_cells(line.supply, show_length) if stocked else ()),
            ]
        )
    return out.getvalue()


_STOCK_HEADS = ("whole from stock", "from part-used", "not in stock", "made from part-used")


def _stock_cells(supply: Supply | None, show_length: Callable[[int], str]) -> list[int | str]:
    if supply is None:
        return [""] * len(_STOCK_HEADS)
    made = "; ".join(f"{one.code} from {show_length(one.length)}" for one in supply.part_used)
    return [len(supply.whole), len(supply.part_used), len(supply.missing), _plain(made)]


def packs_text(packs: Sequence[tuple[int, int]]) -> str:
    """Packs in words: `1 pack of 100 and 1 pack of 50`; `nothing` where there are none."""
    if not packs:
        return "nothing"
    return " and ".join(f"{n} pack{'s' if n > 1 else ''} of {size}" for size, n in packs)


def left_text(line: Line) -> str:
    """How many whole balloons are left over afterwards; `enough` where they are not counted."""
    unlimited = line.supply is not None and line.supply.state == "unlimited"
    return "enough" if unlimited else f"{line.left_over:,}"


def stock_text(supply: Supply | None) -> str:
    """What comes from stock, in words: `12`, `10 + 2 part-used`; empty without a stock."""
    if supply is None:
        return ""
    used = f" + {len(supply.part_used)} part-used" if supply.part_used else ""
    return f"{len(supply.whole):,}{used}"


def _line(
    colour: Colour,
    size: str,
    balloons: list[Balloon],
    plan: Plan,
    allowance: Allowance,
    supply: Supply | None,
) -> Line:
    need = len(balloons)
    spare = math.ceil(need * allowance.spare_percent / 100)
    lacking, had = (need, 0) if supply is None else (len(supply.missing), supply.had)
    over = 0 if supply is None else had - len(supply.whole)
    sold = allowance.packs if supply is None or supply.pack is None else (supply.pack,)
    packs = packs_for(lacking + spare - over, sold)
    whole = need if supply is None else len(supply.whole) + lacking
    bought = sum(pack * n for pack, n in packs)
    left_over = had + bought - whole
    if supply is not None and supply.state == "unlimited":
        packs, left_over = (), 0
    budget = plan.budgets[size]
    flats = {} if supply is None else supply.flats
    air = [litres(size, budget, b.tail, flats.get(b.code)) for b in balloons]
    known = [volume for volume in air if volume is not None]
    return Line(
        mark=colour.mark,
        name=colour.name,
        hex=colour.hex,
        size=size,
        bubbles=sum(len(balloon.bubbles) for balloon in balloons),
        need=need,
        spare=spare,
        packs=packs,
        left_over=left_over,
        tails=tuple(sorted(Counter(balloon.tail for balloon in balloons).items())),
        litres=sum(known) if known else None,
        strokes=strokes(max(known)) if known else None,
        supply=supply,
    )


def _one_more(counts: tuple[int, ...], place: int) -> tuple[int, ...]:
    return tuple(n + (k == place) for k, n in enumerate(counts))


def _plain(text: str) -> str:
    return "'" + text if text.startswith(_FORMULA_STARTS) else text
