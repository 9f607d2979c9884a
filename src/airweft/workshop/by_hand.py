"""Fixed choices made by hand: what can be chosen, how it is written, what is known beforehand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from airweft.base.findings import Finding
from airweft.base.nearest import said_list
from airweft.base.refusals import refusal
from airweft.plan.capacity import capacities
from airweft.plan.make import WORKS_BY_CHOICES
from airweft.plan.pinning import CODE as CANNOT_KEEP
from airweft.plan.pinning import resolve
from airweft.records.choices import (
    Keep,
    KeepBefore,
    KeepPanels,
    KeepToward,
    KeepTrail,
    keep_of,
    table_of,
)
from airweft.records.design import Design
from airweft.records.net import Net
from airweft.records.plan import Plan
from airweft.workshop.choosing import choice_findings, wanted
from airweft.workshop.claims import budgets_of
from airweft.workshop.desk import Desk
from airweft.workshop.inputs import section


@dataclass(frozen=True, slots=True)
class KeepStart:
    """The first knot of all is at the joint `start`."""

    start: str

    @property
    def title(self) -> str:
        """What the choice is called in findings."""
        return f"start {self.start}"


ByHand = KeepStart | Keep


@dataclass(frozen=True, slots=True)
class Fixed:
    """A fixed choice that stands in the design. `place` is where in [[plan.keep]], None for the
    start; `finding` says why it is not kept or cannot be, None while nothing speaks against it."""

    choice: ByHand
    place: int | None
    finding: Finding | None

    @property
    def impossible(self) -> bool:
        """Whether no plan can keep it."""
        return self.finding is not None and self.finding.code == CANNOT_KEEP


@dataclass(frozen=True, slots=True)
class Trail:
    """The trail of a balloon of a plan: its code, its mark, and its bubbles by name."""

    code: str
    mark: str
    bubbles: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PanelChoice:
    """A name for a panel, or for several whose names begin so; `count` is of their bubbles."""

    name: str
    panels: tuple[str, ...]
    count: int


def fix(desk: Desk, choice: ByHand) -> None:
    """Write the choice into the design, as one gesture. Raises BadInput as `Desk.set` does, and
    where the design says it already."""
    design, gesture = desk.design, f"Fix {choice.title}"
    if design is not None and choice in chosen(design):
        raise refusal(
            code="choice-there-already",
            where=f"plan, {choice.title}",
            message="this is among your fixed choices already",
            remedy="Choose something else, or take the one that is there out.",
        )
    if isinstance(choice, KeepStart):
        desk.set(("plan", "start"), choice.start, gesture=gesture)
        return
    tables = section(desk.text, "plan").get("keep", [])
    desk.set(("plan", "keep", len(tables)), table_of(choice), gesture=gesture)


def chosen(design: Design) -> tuple[ByHand, ...]:
    """The fixed choices of a design, the start among them."""
    choices = design.choices
    start = (KeepStart(choices.start),) if choices.start else ()
    return (*start, *choices.keep)


def fixed_choices(
    text: str, design: Design, net: Net | None, plan: Plan | None
) -> tuple[Fixed, ...]:
    """Every fixed choice in the order of the file, with what the plan does instead if it is not
    kept. Without a plan for the design as it is, with what the piece cannot keep."""
    if plan is not None:
        findings = choice_findings(design, plan)
    else:
        findings = () if net is None else cannot_keep(design, net)
    told = {finding.where: finding for finding in findings}
    found: list[tuple[ByHand, int | None]] = []
    if design.choices.start:
        found.append((KeepStart(design.choices.start), None))
    for place, table in enumerate(section(text, "plan").get("keep", [])):
        found.append((keep_of(table), place))
    return tuple(Fixed(one, place, told.get(f"plan, {one.title}")) for one, place in found)


def cannot_keep(design: Design, net: Net, also: ByHand | None = None) -> tuple[Finding, ...]:
    """The fixed choices that the piece cannot keep, whatever the plan, each by name with the
    reason; `also` is held against them as one more."""
    choices = design.choices
    if isinstance(also, KeepStart):
        choices = replace(choices, start=also.start)
    elif also is not None:
        choices = replace(choices, keep=(*choices.keep, also))
    able = capacities(design, budgets_of(design, net))
    return resolve(choices, net, capacities=able)[1]


def style_says(design: Design) -> Finding | None:
    """What the style that the plan will have means for the fixed choices; None where it works by
    them, or where there are none."""
    if not chosen(design):
        return None
    style, _ = wanted(design, None, None)
    if style in (*WORKS_BY_CHOICES, "best"):
        return None
    works = said_list(WORKS_BY_CHOICES)
    if style == "fewest":
        message = f"the fewest balloons go before your fixed choices; only {works} works by them"
    else:
        message = f"the style {style} does not work by fixed choices, it keeps one by chance only"
    return Finding(
        code="plan-style-free",
        severity="risky",
        where="plan, style",
        message=message,
        remedy=f"Choose {works}, or leave the style open: the best by your weights puts your "
        "choices first.",
    )


def trails(plan: Plan | None) -> tuple[Trail, ...]:
    """The trails that can be kept: those of two bubbles and more, in the plan's own order."""
    if plan is None:
        return ()
    names = plan.net.bubble_names
    return tuple(
        Trail(balloon.code, balloon.colour, tuple(names[b] for b in balloon.bubbles))
        for balloon in plan.balloons
        if len(balloon.bubbles) > 1
    )


def panels(net: Net) -> tuple[PanelChoice, ...]:
    """What panels can be called in an order: each by its name, and those whose names begin alike
    by what they have in common, unless that is the whole piece."""
    known = [panel for panel in net.panels if panel]
    found: dict[tuple[str, ...], str] = {}
    for panel in known:
        words = panel.split(" ")
        for count in range(1, len(words) + 1):
            name = " ".join(words[:count])
            own = tuple(p for p in known if f"{p} ".startswith(f"{name} "))
            if 0 < len(own) < len(known) and (own not in found or own == (name,)):
                found[own] = name
    return tuple(
        PanelChoice(name, own, sum(panel in own for panel in net.bubble_panels))
        for own, name in found.items()
    )


def marks(net: Net) -> tuple[str, ...]:
    """The marks that bubbles of the piece have, in the order in which they first come."""
    return tuple(dict.fromkeys(net.colours))


def place_of(choice: ByHand, net: Net) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The bubbles and the joints that a choice is about, by name; colours are seen without."""
    match choice:
        case KeepStart():
            return (), (choice.start,)
        case KeepTrail():
            return choice.bubbles, ()
        case KeepToward():
            return (), (choice.start, choice.goal)
        case KeepPanels():
            return _bubbles_of(choice.panels, net), ()
        case KeepBefore():
            return (), ()


def joints_of(bubble: str, net: Net) -> tuple[str, ...]:
    """The joints at the ends of a bubble, by name; none for a bubble that is not there."""
    if bubble not in net.bubble_names:
        return ()
    ends = net.ends[net.bubble_names.index(bubble)].tolist()
    return tuple(dict.fromkeys(net.joint_names[joint] for joint in ends))


def _bubbles_of(names: Sequence[str], net: Net) -> tuple[str, ...]:
    starts = tuple(f"{name} " for name in names)
    return tuple(
        bubble
        for bubble, panel in zip(net.bubble_names, net.bubble_panels, strict=True)
        if f"{panel} ".startswith(starts)
    )
