"""The net: joints and bubbles, with positions, names and (where woven on a surface) its cells."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from airweft.records.arrays import Indices, Points

BubbleKind = Literal["fabric", "frame", "loop", "free"]


@dataclass(frozen=True, slots=True)
class Cell:
    """The ring of bubbles that one cell of the surface became.

    `joints[i]` lies at the middle of the cell's edge i (corner i to corner i + 1) and `bubbles[i]`
    at corner i, joining `joints[i - 1]` and `joints[i]`. Anticlockwise seen from outside.
    """

    joints: tuple[int, ...]
    bubbles: tuple[int, ...]
    panel: str = ""
    column: int = -1
    row: int = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Net:
    """Joints and bubbles. n joints, m bubbles; every sequence below has one entry for each.

    joints       (n, 3) positions in mm
    ends         (m, 2) joint indices of each bubble; equal for a loop
    lengths      (m,) bubble lengths in whole hundredths of a millimetre
    colours      palette mark of each bubble ("" before colours are given)
    sizes        balloon size code of each bubble ("260")
    kinds        what each bubble is; the second end of a "free" bubble hangs free
    joint_names, bubble_names   stable names, kept when the design changes elsewhere
    bubble_panels   panel of each bubble ("" where there is none)
    places       (m, 2) column and row of each bubble in its panel's chart, (-1, -1) for none
    cells        rings of the surface's cells; empty for nets not woven on a surface
    seams        joints that lie where two panels meet
    panels       panel names in building order
    origins      for each panel, column and row (in bubbles) of its lower left in a count that runs
                 on around the upright sides and up from the foot; empty: every panel from 0
    around       columns (in bubbles) all the way round the upright sides, 0 if they do not close
    counted      (m, 2) column and row of each bubble for stripes, where they do not follow from
                 `places` and `origins`; column -1 for none; None where they do
    """

    joints: Points
    ends: Indices
    lengths: Indices
    colours: tuple[str, ...]
    sizes: tuple[str, ...]
    kinds: tuple[BubbleKind, ...]
    joint_names: tuple[str, ...]
    bubble_names: tuple[str, ...]
    bubble_panels: tuple[str, ...]
    places: Indices
    cells: tuple[Cell, ...] = ()
    seams: tuple[int, ...] = ()
    panels: tuple[str, ...] = ()
    origins: tuple[tuple[int, int], ...] = ()
    around: int = 0
    counted: Indices | None = None

    @property
    def joint_count(self) -> int:
        """Number of joints."""
        return len(self.joints)

    @property
    def bubble_count(self) -> int:
        """Number of bubbles."""
        return len(self.ends)

    def ends_at(self) -> list[list[int]]:
        """For each joint the bubbles that end there, in index order; a loop is listed twice."""
        at: list[list[int]] = [[] for _ in range(self.joint_count)]
        for bubble, (a, b) in enumerate(self.ends.tolist()):
            at[a].append(bubble)
            at[b].append(bubble)
        return at

    def beside(self) -> list[tuple[tuple[int, int], tuple[int, int]]]:
        """Pairs of cells that lie beside each other on the surface, as (cell, place of the joint).

        One pair for each joint that two cells share, by cell. Where parts are sewn together more
        than two may meet in a joint; then those belong together that hang together elsewhere.
        O(bubbles).
        """
        at: list[list[tuple[int, int]]] = [[] for _ in range(self.joint_count)]
        for number, cell in enumerate(self.cells):
            for k, joint in enumerate(cell.joints):
                at[joint].append((number, k))
        sheet = list(range(len(self.cells)))

        def sheet_of(cell: int) -> int:
            while sheet[cell] != cell:
                sheet[cell] = cell = sheet[sheet[cell]]
            return cell

        for met in at:
            if len(met) == 2:
                one, other = sheet_of(met[0][0]), sheet_of(met[1][0])
                sheet[max(one, other)] = min(one, other)
        pairs: list[tuple[tuple[int, int], tuple[int, int]]] = []
        for met in at:
            if len(met) == 2:
                pairs.append((met[0], met[1]))
                continue
            waiting: dict[int, tuple[int, int]] = {}
            for here in met:
                first = waiting.pop(sheet_of(here[0]), None)
                if first is None:
                    waiting[sheet_of(here[0])] = here
                else:
                    pairs.append((first, here))
        return sorted(pairs)


@dataclass(frozen=True, slots=True, kw_only=True)
class NetFacts:
    """What a maker can count on a finished piece.

    ends         how many joints hold so many bubble ends, by number of ends
    odd_joints   joints with an odd number of ends
    cells        how many openings are ringed by so many bubbles, by number of bubbles: the cells of
                 the surface and the openings around its corners; empty for nets without a surface
    borders      bubbles along each open border, in order of the lowest joint there
    parts        connected parts
    kinds        how many bubbles there are of each kind
    panels       how many bubbles each panel has, in building order
    """

    joints: int
    bubbles: int
    ends: dict[int, int]
    odd_joints: int
    cells: dict[int, int]
    borders: tuple[int, ...]
    parts: int
    kinds: dict[str, int]
    panels: dict[str, int]
