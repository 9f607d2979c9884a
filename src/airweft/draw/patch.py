"""Flat pieces of a net that has no columns and rows: what lies where on the chart, and its cuts.

A patch is counted in units like a panel: a bubble is about the square root of two long, y up. A
joint that the cut divides lies in it at several places, or in several patches; all of them carry
the same number.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from math import sqrt

from airweft.draw.facets import Laid, Spot, facets
from airweft.draw.pressed import faces_one_way, pressed
from airweft.draw.rounds import Ring, base_name, rounds
from airweft.draw.unfold import Sheet, sheets_of
from airweft.records.net import Net

LENGTH = sqrt(2.0)
"""How long a bubble is on the chart, in columns."""

_MOST_CUT = 0.42  # share of the joints on a cut from which cells are pressed flat instead
_ASIDE = 0.32  # columns that a bubble along a level is set aside
_INWARDS = 0.24  # columns that a number is set into its cell, so that both sides of a cut fit
_FEW = 100  # cells; so few, as a solid has, are unfolded however much is cut


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """One flat piece, its lower left at (0, 0).

    bubbles   each bubble with the two places of its ends, in building order
    joints    every place at which a joint lies
    plates    the same, where its number is to stand
    rows      numbers at the edge, with their places: the rows of a turned form
    threes    most of its cells are rings of three bubbles
    """

    name: str
    wide: float
    high: float
    bubbles: tuple[tuple[int, Spot, Spot], ...]
    joints: tuple[tuple[int, Spot], ...]
    plates: tuple[tuple[int, Spot], ...]
    rows: tuple[tuple[str, Spot], ...] = ()
    threes: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Flat:
    """A whole net laid flat: panels with columns and rows, patches, and the numbers of cut joints.

    `numbers` holds every joint that lies at more than one place, at least one of them on a patch.
    """

    sheets: tuple[Sheet, ...]
    patches: tuple[Patch, ...]
    numbers: dict[int, int] = field(default_factory=dict)


def flat(net: Net) -> Flat:
    """The net laid flat. Without cells there are no patches but chains; O(bubbles)."""
    sheets = sheets_of(net)
    patches: list[Patch] = []
    round_panels: set[str] = set()
    for family in _families(net):
        laid = rounds(net, family)
        if laid is None:
            loose = [k for k in family if net.cells[k].column < 0]
            patches += _loose(net, loose)
        else:
            round_panels |= {net.cells[k].panel for k in family}
            patches += [_patch(net, one.name, one.at, band=one) for one in laid]
    sheets = tuple(sheet for sheet in sheets if sheet.name not in round_panels)
    if patches or sheets:
        patches += _chains(net)
    patches = _told_apart(patches)
    return Flat(sheets=sheets, patches=tuple(patches), numbers=_numbers(sheets, patches))


def _families(net: Net) -> list[list[int]]:
    """Cells that lie off the charts, with the charts of the same part of the piece: one list each.

    "side", "side 2" ... are charts of one turned surface.
    """
    found: dict[str, list[int]] = {}
    for k, cell in enumerate(net.cells):
        found.setdefault(base_name(cell.panel), []).append(k)
    return [cells for cells in found.values() if any(net.cells[k].column < 0 for k in cells)]


def _loose(net: Net, cells: Sequence[int]) -> list[Patch]:
    """Cells without rows: pressed flat if they face one way, else unfolded where few cuts do."""
    if not cells:
        return []
    parts = [] if faces_one_way(net, cells) else facets(net, cells)
    if not parts or (len(cells) > _FEW and _cut(net, parts) > _MOST_CUT):
        parts = pressed(net, cells)
    name = net.cells[cells[0]].panel or "fabric"
    return [_patch(net, name, at) for at in parts]


def _cut(net: Net, laid: Sequence[Laid]) -> float:
    """The share of joints that lie at more than one place."""
    places: dict[int, set[tuple[int, int, int]]] = {}
    for number, at in enumerate(laid):
        for (cell, k), (x, y) in at.items():
            spot = (number, round(x * 100), round(y * 100))
            places.setdefault(net.cells[cell].joints[k], set()).add(spot)
    return sum(len(spots) > 1 for spots in places.values()) / max(len(places), 1)


def _patch(net: Net, name: str, at: Laid, *, band: Ring | None = None) -> Patch:
    """The patch of these cells, moved so that its lower left lies at (0, 0)."""
    spans: list[float] = []
    raw: list[tuple[int, Spot, Spot]] = []
    for cell in sorted({cell for cell, _ in at}):
        for k, bubble in enumerate(net.cells[cell].bubbles):
            count = len(net.cells[cell].joints)
            a, b = at[cell, (k - 1) % count], at[cell, k]
            if band is not None and band.straight and abs(a[1] - b[1]) < 0.01:
                # A level bubble gives way to those of the next row.
                aside = _ASIDE if at[cell, (k + 1) % count][1] > a[1] else -_ASIDE
                a, b = (a[0], a[1] + aside), (b[0], b[1] + aside)
            raw.append((bubble, a, b))
            spans.append(sqrt((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2))
    usual = sorted(spans)[len(spans) // 2] if spans else 1.0
    scale = 1.0 if band is not None and band.straight else LENGTH / max(usual, 1e-9)
    left = min((x for x, _ in at.values()), default=0.0)
    low = min((y for _, y in at.values()), default=0.0)

    def there(spot: Spot) -> Spot:
        return round((spot[0] - left) * scale, 3), round((spot[1] - low) * scale, 3)

    # Neighbours that lie together to rounding are one place; a lone cell draws the number inwards.
    places: dict[tuple[int, Spot], list[int]] = {}
    for (cell, k), spot in at.items():
        x, y = there(spot)
        places.setdefault((net.cells[cell].joints[k], (round(x, 1), round(y, 1))), []).append(cell)
    plates = []
    for (joint, (x, y)), cells in places.items():
        if len(cells) == 1:
            ring = [there(at[cells[0], k]) for k in range(len(net.cells[cells[0]].joints))]
            mx, my = (sum(spot[n] for spot in ring) / len(ring) for n in (0, 1))
            far = max(sqrt((mx - x) ** 2 + (my - y) ** 2), 1e-9)
            x, y = x + (mx - x) * _INWARDS / far, y + (my - y) * _INWARDS / far
        plates.append((joint, (round(x, 3), round(y, 3))))
    return Patch(
        name=name,
        wide=max((there(s)[0] for s in at.values()), default=0.0),
        high=max((there(s)[1] for s in at.values()), default=0.0),
        bubbles=tuple((bubble, there(a), there(b)) for bubble, a, b in raw),
        joints=tuple(places),
        plates=tuple(plates),
        threes=2 * sum(len(net.cells[cell].joints) == 3 for cell, k in at if not k) > len(raw) / 3,
        rows=tuple((text, there(spot)) for text, spot in band.rows) if band is not None else (),
    )


def _told_apart(patches: list[Patch]) -> list[Patch]:
    """The patches, those of one name numbered."""
    many = Counter(patch.name for patch in patches)
    so_far: Counter[str] = Counter()
    found = []
    for patch in patches:
        so_far[patch.name] += 1
        part = f"{patch.name}, part {so_far[patch.name]}"
        found.append(replace(patch, name=part) if many[patch.name] > 1 else patch)
    return found


def _chains(net: Net) -> list[Patch]:
    """Bubbles that belong to no cell (stalks), each chain laid in a straight line."""
    woven = {bubble for cell in net.cells for bubble in cell.bubbles}
    charted = {bubble for bubble, place in enumerate(net.places.tolist()) if place[0] >= 0}
    ends = net.ends.tolist()
    rest = [
        b
        for b in range(net.bubble_count)
        if b not in woven and b not in charted and ends[b][0] != ends[b][1]
    ]
    chains: list[list[int]] = []
    for bubble in rest:
        last = chains[-1][-1] if chains else -1
        if chains and net.bubble_panels[last] == net.bubble_panels[bubble]:
            chains[-1].append(bubble)
        else:
            chains.append([bubble])
    found = []
    for chain in chains:
        name = net.bubble_panels[chain[0]] or "chain"
        bubbles, joints = [], []
        for k, bubble in enumerate(chain):
            here, there = (k * LENGTH, 0.5), ((k + 1) * LENGTH, 0.5)
            bubbles.append((bubble, here, there))
            joints += [(ends[bubble][0], here), (ends[bubble][1], there)]
        found.append(
            Patch(
                name=name,
                wide=len(chain) * LENGTH,
                high=1.0,
                bubbles=tuple(bubbles),
                joints=tuple(dict.fromkeys(joints)),
                plates=tuple(dict.fromkeys(joints)),
            )
        )
    return found


def _numbers(sheets: Iterable[Sheet], patches: Sequence[Patch]) -> dict[int, int]:
    """A number for every joint that lies on a patch and at some other place as well."""
    where = Counter(joint for sheet in sheets for joint in sheet.joints)
    where.update(joint for patch in patches for joint, _ in patch.joints)
    numbers: dict[int, int] = {}
    for patch in patches:
        for joint, _ in patch.joints:
            if where[joint] > 1 and joint not in numbers:
                numbers[joint] = len(numbers) + 1
    return numbers
