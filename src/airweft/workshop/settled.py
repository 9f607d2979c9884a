"""The painted net brought into the shape that it will take, and what is to be said of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from airweft.balloon.sizes import diameter_of
from airweft.base.findings import Finding
from airweft.base.progress import Progress
from airweft.booklet.measure import size_text
from airweft.costing.air import litres, strokes
from airweft.records.design import Blocks, Box, Design, NetFile, Sheet, Tube
from airweft.records.net import Net
from airweft.records.plan import Plan
from airweft.records.shape import Shape, Softness, Stand, Standing, Weight
from airweft.workshop.claims import budgets_of

_MOST_PREDICTED = 25_000  # bubbles; larger pieces are shown as they are drawn
_OTHERWISE = 0.25  # a side that comes out this much longer or shorter than drawn is told
_LEAST_MM = 20.0
_MOST_PRESSED = 6_000  # bubbles; beyond that the softest ways take too long to find


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """A net whose joints lie where they will come to lie, with what was reckoned on the way.

    `shape`, `standing` and `softness` are None where they do not apply or would take too long.
    """

    net: Net
    shape: Shape | None
    standing: Standing | None
    softness: Softness | None
    weight: Weight
    findings: tuple[Finding, ...]

    @property
    def size_mm(self) -> tuple[float, float, float] | None:
        """Width, depth and height of the outside, or None where no shape was predicted."""
        if self.shape is None:
            return None
        return (
            round(self.shape.width, 2),
            round(self.shape.depth, 2),
            round(self.shape.height, 2),
        )


def settle(net: Net, design: Design, *, seed: int, progress: Progress) -> Settled:
    """Let the net settle: a sheet hangs, a net from a file keeps as it is turned, others stand.

    The design may say otherwise (`placed`).
    """
    # These bring a large library with them, which the quick commands need not wait for.
    from airweft.shape.predict import predict
    from airweft.shape.soft import softest
    from airweft.shape.standing import standing
    from airweft.shape.weight import weigh

    thick = {size: diameter_of(size) / 100 for size in dict.fromkeys(net.sizes)}
    weight = weigh(net, budgets_of(design, net), thick)
    if net.bubble_count > _MOST_PREDICTED:
        return Settled(
            net=net, shape=None, standing=None, softness=None, weight=weight, findings=(_too_big,)
        )
    shape = predict(
        net,
        diameter_mm=[thick[size] for size in net.sizes],
        stand=stand_of(design),
        seed=seed,
        progress=progress,
    )
    there = replace(net, joints=shape.positions)
    stands = standing(there, shape) if shape.stand == "table" else None
    soft = softest(there, shape, seed=seed) if net.bubble_count <= _MOST_PRESSED else None
    return Settled(
        net=there,
        shape=shape,
        standing=stands,
        softness=soft,
        weight=weight,
        findings=(
            *_upright(shape.findings, stands),
            *_another_size(net, shape, design),
            *(soft.findings if soft else ()),
        ),
    )


def _upright(found: tuple[Finding, ...], stands: Standing | None) -> tuple[Finding, ...]:
    """What was found of the shape and of how it stands; that it falls over is said once."""
    more = stands.findings if stands else ()
    falls = [f for f in found if f.code == "falls-over"]
    if not falls or stands is None or stands.stands:
        return (*found, *more)
    told = " It is shown upright and without its weight."
    return (
        *(f for f in found if f.code != "falls-over"),
        *(replace(f, message=f.message + told) for f in more),
    )


def with_balloons(settled: Settled, plan: Plan, flats: Mapping[str, int] | None = None) -> Settled:
    """What was reckoned, its weight with all balloons of the plan and the strokes to pump each.

    `flats` gives the empty length of each part-used balloon by its code.
    """
    from airweft.shape.weight import weigh

    thick = {size: diameter_of(size) / 100 for size in dict.fromkeys(plan.net.sizes)}
    weight = weigh(plan.net, plan.budgets, thick, balloons=[b.size for b in plan.balloons])
    short = flats or {}
    air = [litres(b.size, plan.budgets[b.size], b.tail, short.get(b.code)) for b in plan.balloons]
    if all(volume is not None for volume in air):
        weight = replace(weight, strokes=sum(strokes(volume or 0.0) for volume in air))
    return replace(settled, weight=weight)


def _another_size(net: Net, shape: Shape, design: Design) -> tuple[Finding, ...]:
    """A note where a form that is given in lengths comes out far from them, joint to joint."""
    if shape.stand == "hang" or isinstance(design.form, Sheet | Tube | Box | Blocks | NetFile):
        return ()
    drawn, found = np.ptp(net.joints, axis=0), np.ptp(shape.positions, axis=0)
    off = np.abs(found - drawn)
    if not bool(((off > _OTHERWISE * drawn) & (off > _LEAST_MM)).any()):
        return ()
    was, will = (
        size_text((float(x), float(y), float(z)), design.units) for x, y, z in (drawn, found)
    )
    return (
        Finding(
            code="another-size",
            severity="note",
            where="the piece",
            message=f"Drawn {was} wide, deep and high from joint to joint, it will come out about "
            f"{will}: bubbles keep their lengths, not the lines that were drawn.",
            remedy="Change the lengths of the form until the size is what you want. Undersides and "
            "flat ends are pushed out; draw them steeper.",
        ),
    )


def stand_of(design: Design) -> Stand:
    """How the shape of a design is reckoned: on a table, hanging, or without weight."""
    if design.placed:
        return "hang" if design.placed == "hanging" else "table"
    if isinstance(design.form, Sheet):
        return "hang"
    return "free" if isinstance(design.form, NetFile) else "table"


_too_big = Finding(
    code="shape-not-predicted",
    severity="note",
    where="the piece",
    message=f"A piece of more than {_MOST_PREDICTED:,} bubbles is shown as it is drawn: its bulges "
    "are not reckoned.",
    remedy="Look at a part of it as a design of its own to see how it will bulge.",
)
