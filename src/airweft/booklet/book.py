"""The book: everything that the printed booklet and the phone page say, in one frozen record."""

from __future__ import annotations

from dataclasses import dataclass

from airweft.base.findings import Finding
from airweft.costing.minutes import Minutes
from airweft.costing.shopping import Line
from airweft.records.design import Colour, Design
from airweft.records.net import Net
from airweft.records.plan import Plan
from airweft.records.shape import Shape, Softness, Standing, Weight
from airweft.records.steps import Instructions
from airweft.words.cautions import CAUTIONS, Caution


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """A finished piece of work: the design, its checked plan, the words, and what to buy.

    shopping   what to buy, a line for each colour and size
    minutes    what the time is made of; the range itself stands in the plan's claims
    findings   notes and risks that the maker should read before starting
    cautions   all cautions in printing order, the choking statement first
    shape, standing, softness, weight   what was reckoned of the finished piece, as far as it was
    """

    design: Design
    plan: Plan
    instructions: Instructions
    shopping: tuple[Line, ...] = ()
    minutes: Minutes | None = None
    findings: tuple[Finding, ...] = ()
    cautions: tuple[Caution, ...] = CAUTIONS
    shape: Shape | None = None
    standing: Standing | None = None
    softness: Softness | None = None
    weight: Weight | None = None

    @property
    def net(self) -> Net:
        """The net that the plan makes, with its charts."""
        return self.plan.net

    @property
    def palette(self) -> tuple[Colour, ...]:
        """Marks, names and colours, in the maker's order."""
        return self.design.palette

    def colour(self, mark: str) -> Colour:
        """The palette entry of a mark; a mark that no palette knows stands for itself, in grey."""
        for colour in self.design.palette:
            if colour.mark == mark:
                return colour
        return Colour(mark, mark, "#999999")
