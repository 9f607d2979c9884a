"""What a benchmark net is: a painted net, and the limits under which it is planned."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import asdict, dataclass, replace

from airweft.balloon.sizes import SIZES
from airweft.plan.capacity import Capacity
from airweft.records.budget import Budget
from airweft.records.design import Colour, Design, Form, Pattern, Sheet
from airweft.records.net import Net

PALETTE = tuple(
    Colour(mark, name, code)
    for mark, name, code in (
        ("R", "red", "#ff0000"),
        ("W", "white", "#ffffff"),
        ("B", "blue", "#0000ff"),
        ("Y", "yellow", "#ffff00"),
        ("G", "green", "#008000"),
        ("K", "black", "#000000"),
    )
)
BUBBLE = 2500  # hundredths of a millimetre, where a net does not say otherwise


@dataclass(frozen=True, slots=True)
class Case:
    """A benchmark net, ready to be planned."""

    name: str
    family: str
    design: Design
    net: Net
    budgets: dict[str, Budget]

    @property
    def fingerprint(self) -> str:
        """Tells this net and its limits from any other, however the code that makes it is written.

        The places of the joints are not in it: no plan depends on them.
        """
        design, net = self.design, self.net
        told = {
            "ends": net.ends.tolist(),
            "lengths": net.lengths.tolist(),
            "colours": net.colours,
            "sizes": net.sizes,
            "kinds": net.kinds,
            "limits": (design.hands, design.most_bubbles, design.tail, design.tail_step),
            "budgets": {size: asdict(budget) for size, budget in sorted(self.budgets.items())},
        }
        return hashlib.sha256(json.dumps(told).encode()).hexdigest()[:16]

    def capacity(self, size: str) -> Capacity:
        """What one balloon of this size can make (M4)."""
        design = self.design
        return Capacity(self.budgets[size], most_bubbles=design.most_bubbles,
                        fixed_tail=design.tail, step=design.tail_step)  # fmt: skip


def design_of(
    name: str,
    form: Form,
    pattern: Pattern,
    *,
    size: str = "260",
    most: int | None = None,
    hands: int = 4,
    tail: int | None = None,
) -> Design:
    """A design with the benchmark's palette and bubble."""
    return Design(
        name=name,
        units="cm",
        size=size,
        bubble=BUBBLE,
        hands=hands,
        most_bubbles=most,
        tail=tail,
        tail_step=500,
        budget=SIZES[size].budget,
        assumed=(),
        form=form,
        palette=PALETTE,
        pattern=pattern,
    )


@dataclass(frozen=True, slots=True)
class Recipe:
    """How a benchmark net is made, by rule. `most`, `hands` and `tail` as in a design file."""

    name: str
    net: Callable[[], Net]
    most: int | None = None
    hands: int = 4
    tail: int | None = None

    def case(self, family: str) -> Case:
        """Make the net."""
        net = self.net()
        assert all(net.colours), self.name
        sizes = dict.fromkeys(net.sizes)
        never_built = Sheet(columns=2, rows=2)  # the net is given
        design = design_of(self.name, never_built, Pattern(kind="given"), size=next(iter(sizes)),
                           most=self.most, hands=self.hands, tail=self.tail)  # fmt: skip
        return Case(self.name, family, design, net, {s: SIZES[s].budget for s in sizes})


def resized(net: Net, rule: Callable[[int], tuple[str, int]]) -> Net:
    """The net with size and length (hundredths of a millimetre) of every bubble by a rule."""
    told = [rule(bubble) for bubble in range(net.bubble_count)]
    lengths = net.lengths.copy()
    lengths[:] = [length for _, length in told]
    lengths.setflags(write=False)
    return replace(net, sizes=tuple(size for size, _ in told), lengths=lengths)
