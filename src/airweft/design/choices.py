"""The [plan] section: what the maker settled about the plan.

Names of bubbles, joints and panels are taken as they stand here: whether the piece has them is only
known once it is woven, and a choice that no longer fits must not stop the design.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from airweft.base.nearest import said_list
from airweft.base.units import Unit
from airweft.design.explain import validate
from airweft.design.lines import Path
from airweft.design.plan_keys import InsidePart, KeepPart, PlanPart, WeightsPart
from airweft.design.report import Report, said
from airweft.records.choices import (
    WEIGHT_NAMES,
    Choices,
    Inside,
    Keep,
    KeepBefore,
    KeepPanels,
    KeepToward,
    KeepTrail,
    in_stable_order,
)

_HERE: Path = ("plan",)
_KINDS = ("trail", "panels", "before", "toward")
_MOST_KEPT = 1000
_SHARP_OR_HEAVY = (
    "knife", "needle", "pin", "nail", "tack", "blade", "scissors", "thorn", "glass", "stone",
    "rock", "brick", "lead", "weight", "sparkler", "candle",
)  # fmt: skip


def read_choices(data: Any, report: Report, *, unit: Unit, marks: Sequence[str]) -> Choices | None:
    """The section as a record, or None after its problems were reported.

    `marks` are those of the palette; an empty `marks` means that it could not be read, and marks
    are then left unchecked.
    """
    part = validate(PlanPart, data, _HERE, report, unit=unit)
    weights: tuple[tuple[str, float], ...] | None = ()
    keep: tuple[Keep, ...] | None = ()
    inside: Inside | None = None
    if isinstance(data, dict):
        weights = _weights(data.get("weights"), report)
        keep = _all_kept(data.get("keep"), report, marks)
        if "inside" in data:
            inside = _inside(data["inside"], report, unit)
            if inside is None:
                return None
    if part is None or weights is None or keep is None:
        return None
    return Choices(
        style=part.style or "",
        crew=part.crew or 0,
        seed=part.seed,
        start=part.start or "",
        weights=weights,
        keep=keep,
        inside=inside,
    )


def _weights(data: Any, report: Report) -> tuple[tuple[str, float], ...] | None:
    if data is None:
        return ()
    part = validate(WeightsPart, data, (*_HERE, "weights"), report)
    if part is None:
        return None
    given = {name: getattr(part, name) for name in WEIGHT_NAMES}
    return tuple((name, float(weight)) for name, weight in given.items() if weight is not None)


def _all_kept(data: Any, report: Report, marks: Sequence[str]) -> tuple[Keep, ...] | None:
    """Every [[plan.keep]] table, or None after their problems were reported."""
    here: Path = (*_HERE, "keep")
    if data is None:
        return ()
    if not isinstance(data, list):
        report.bad(
            "wrong-type",
            here,
            f"keep is a list of tables, not {said(data)}.",
            'Write each choice under a heading of its own, [[plan.keep]], such as: before = ["B", '
            '"R"]',
        )
        return None
    if len(data) > _MOST_KEPT:
        report.bad(
            "out-of-range",
            here,
            f"There are {len(data)} fixed choices.",
            f"Keep to {_MOST_KEPT} or fewer.",
        )
        return None
    kept = [
        None if report.is_full else _kept(entry, (*here, number), report, marks)
        for number, entry in enumerate(data)
    ]
    good = tuple(choice for choice in kept if choice is not None)
    return in_stable_order(good) if len(good) == len(kept) else None


def _kept(data: Any, here: Path, report: Report, marks: Sequence[str]) -> Keep | None:
    """One fixed choice."""
    part = validate(KeepPart, data, here, report)
    if part is None:
        return None
    given = [kind for kind in _KINDS if getattr(part, kind) is not None]
    if len(given) != 1:
        report.bad(
            "bad-choice",
            here,
            f"A table [[plan.keep]] says one thing; this one says {said_list(given) or 'nothing'}.",
            f"Give it one of {said_list(_KINDS)}; write a table for each choice.",
        )
        return None
    kind = given[0]
    names: tuple[str, ...] = tuple(getattr(part, kind))
    spot: Path = (*here, kind)
    if len(names) < 2 or (kind == "toward" and len(names) != 2):
        report.bad(
            "bad-choice",
            spot,
            f"{kind} has {len(names)} {'name' if len(names) == 1 else 'names'} in its list.",
            f"Write {'two' if kind == 'toward' else 'two or more'}, such as: "
            f"{(KeepPart.model_fields[kind].examples or [''])[0]}",
        )
        return None
    twice = next((name for i, name in enumerate(names) if name in names[:i]), None)
    if twice is not None:
        report.bad("bad-choice", spot, f"{kind} names {said(twice)} twice.", "Name each only once.")
        return None
    if kind == "before" and marks:
        strange = [name for name in names if name not in marks]
        for name in strange:
            report.bad(
                "unknown-colour",
                spot,
                f"{said(name)} is no mark of [colours].",
                f"Use one of {said_list(marks, last='or')}.",
            )
        if strange:
            return None
    match kind:
        case "trail":
            return KeepTrail(names)
        case "panels":
            return KeepPanels(names)
        case "before":
            return KeepBefore(names)
        case _:
            return KeepToward(*names)


def _inside(data: Any, report: Report, unit: Unit) -> Inside | None:
    """What is put inside; nothing sharp and nothing heavy."""
    here: Path = (*_HERE, "inside")
    part = validate(InsidePart, data, here, report, unit=unit)
    if part is None:
        return None
    words = "".join(c if c.isalpha() else " " for c in part.what.lower()).split()
    risk = next((w for w in words for bad in _SHARP_OR_HEAVY if w in (bad, f"{bad}s")), None)
    if risk is not None:
        report.risky(
            "risky-inside",
            (*here, "what"),
            f"{said(part.what)} sounds sharp, hot or heavy ({risk}).",
            "Put only light and blunt things into a piece: balloons burst, and what was inside "
            "falls or flies out.",
        )
    return Inside(part.what, part.across)
