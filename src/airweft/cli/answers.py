"""Answers as JSON for other programs; the fields are described in docs/command-line.md."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from airweft import __version__
from airweft.base.findings import Finding, blocks
from airweft.cli.screen import write_plain
from airweft.costing.shopping import Line
from airweft.costing.supply import Supply
from airweft.records.design import Design
from airweft.records.plan import Plan
from airweft.words.cautions import SHORT
from airweft.workshop.as_model import Modelled
from airweft.workshop.examine import Examined
from airweft.workshop.job import Outcome
from airweft.workshop.settled import Settled
from airweft.workshop.side_by_side import NotFor, Row
from airweft.workshop.substitutes import Look, Substitutes


def write_json(answer: dict[str, Any]) -> None:
    """Write one JSON object to standard output, in ASCII so that any console takes it."""
    write_plain(json.dumps({"airweft": __version__, **answer}, indent=2) + "\n")


def modelled_answer(modelled: Modelled) -> dict[str, Any]:
    """The answer of `model`."""
    design = modelled.design
    return {
        "done": True,
        "file": str(modelled.file),
        "bytes": modelled.size,
        "bubbles": modelled.settled.net.bubble_count,
        "design": {"name": design.name, "fingerprint": design.fingerprint},
        **_shape(modelled.settled),
        "findings": _findings(modelled.findings),
        "cautions": SHORT,
    }


def findings_answer(findings: Sequence[Finding]) -> dict[str, Any]:
    """The answer of a command that could not do its work."""
    return {"done": not blocks(list(findings)), "findings": _findings(findings)}


def made_answer(outcome: Outcome) -> dict[str, Any]:
    """The answer of `make`."""
    return {
        "done": True,
        "folder": str(outcome.folder),
        "files": list(outcome.files),
        "kept": [{"was": old, "now": new} for old, new in outcome.kept],
        "returned_to": None if outcome.returned is None else str(outcome.returned),
        **_plan(outcome.plan),
        **_shape(outcome.settled),
        "lines": len(outcome.instructions.steps),
        "shopping": [_line(line) for line in outcome.shopping],
        "findings": _findings(outcome.findings),
        "cautions": SHORT,
    }


def examined_answer(examined: Examined) -> dict[str, Any]:
    """The answer of `check`."""
    answer: dict[str, Any] = {
        "done": examined.makeable,
        "kind": examined.kind,
        "readable": examined.readable,
        "findings": _findings(examined.findings),
    }
    return answer if examined.plan is None else {**answer, **_plan(examined.plan)}


def compared_answer(
    design: Design,
    rows: Sequence[Row | NotFor],
    *,
    short: bool = False,
    stored: str | None = None,
) -> dict[str, Any]:
    """The answer of `compare`; `short` where no style does with the stock, and must.

    `stored` is what the design says now of its plan, if a choice was stored.
    """
    return {
        "done": not short,
        "findings": [],
        "design": {"name": design.name, "fingerprint": design.fingerprint},
        "stored": stored,
        "styles": [
            {"style": row.style, "suits": False, "findings": _findings(row.findings)}
            if isinstance(row, NotFor)
            else {"suits": True, **asdict(row)}
            for row in rows
        ],
    }


def substitutes_answer(found: Substitutes, written: Path | None) -> dict[str, Any]:
    """The answer of `substitutes`."""
    return {
        "done": True,
        "findings": [],
        "design": {"name": found.design.name, "fingerprint": found.design.fingerprint},
        "written": None if written is None else str(written),
        "now": _look(found.now),
        "short": [_line(line) for line in found.short],
        "colours": [
            {
                "number": option.number,
                "mark": option.mark,
                "for": option.wanted,
                "size": option.size,
                "name": option.near.entry.name,
                "hex": option.near.entry.hex,
                "difference": round(option.near.difference, 2),
                "apart": None if math.isinf(option.near.apart) else round(option.near.apart, 2),
                "beside": option.near.beside,
                "state": option.near.entry.state,
                "count": option.near.entry.count,
                "need": option.need,
                "missing": option.missing,
            }
            for option in found.colours
        ],
        "sizes": [
            {
                "number": option.number,
                "for": option.old,
                "same_length": option.same_length,
                **_look(option.look),
                "risks": _findings(option.risks),
            }
            for option in found.sizes
        ],
        "not_offered": [asdict(one) for one in found.not_offered],
    }


def _look(look: Look) -> dict[str, Any]:
    return {
        "size": look.size,
        "size_mm": look.size_mm,
        "per_balloon": look.per_balloon,
        "balloons": look.balloons,
        "minutes": look.minutes,
        "missing": look.missing,
        "bubble_mm": look.bubble / 100,
        "fatness": round(look.fatness, 3),
        "latex_g": round(look.latex_g, 2),
        "openings": [{"bubbles": count, "mm": wide / 100} for count, wide in look.openings],
        "shopping": [_line(line) for line in look.shopping],
    }


def _findings(findings: Sequence[Finding]) -> list[dict[str, Any]]:
    return [asdict(finding) for finding in findings]


def _line(line: Line) -> dict[str, Any]:
    return {
        **asdict(line),
        "packs": [{"of": size, "packs": count} for size, count in line.packs],
        "tails": [{"tail_mm": tail / 100, "balloons": count} for tail, count in line.tails],
        "bought": line.bought,
        "supply": None if line.supply is None else _supply(line.supply),
    }


def _supply(supply: Supply) -> dict[str, Any]:
    return {
        "state": supply.state,
        "had": supply.had,
        "whole": list(supply.whole),
        "part_used": [
            {
                "code": made.code,
                "inflated_mm": made.length / 100,
                "flat_mm": made.flat / 100,
                "left_mm": made.left / 100,
            }
            for made in supply.part_used
        ],
        "missing": list(supply.missing),
    }


def _shape(settled: Settled) -> dict[str, Any]:
    """Estimates of the finished piece; null where nothing was reckoned."""
    shape, stands, weight = settled.shape, settled.standing, settled.weight
    modes = settled.softness.modes if settled.softness else ()
    return {
        "shape": None
        if shape is None
        else {
            "stand": shape.stand,
            "size_mm": settled.size_mm,
            "at_rest": shape.converged,
            "length_error": [round(error, 6) for error in shape.length_error],
            "overlaps": len(shape.overlaps),
            "gives_bubbles": round(modes[0].give, 3) if modes else None,
            "gives_at": list(modes[0].panels) if modes else [],
        },
        "stands": None
        if stands is None
        else {
            "stands": stands.stands,
            "tip_degrees": round(stands.tip_degrees, 1),
            "side": stands.side,
        },
        "weight": {
            "latex_g": round(weight.latex_g, 2),
            "balloons_g": None if weight.balloons_g is None else round(weight.balloons_g, 2),
            "air_l": round(weight.air_l, 2),
            "strokes": weight.strokes,
        },
    }


def _plan(plan: Plan) -> dict[str, Any]:
    return {
        "design": {"name": plan.design_name, "fingerprint": plan.fingerprint},
        "style": plan.style,
        "seed": plan.seed,
        "hands": plan.hands,
        "claims": asdict(plan.claims),
        "bound": asdict(plan.bound),
    }
