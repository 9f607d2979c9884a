"""Answers as JSON for other programs; the fields are described in docs/command-line.md."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from airweft import __version__
from airweft.base.findings import Finding, blocks
from airweft.cli.screen import write_plain
from airweft.costing.shopping import Line
from airweft.records.design import Design
from airweft.records.plan import Plan
from airweft.words.cautions import SHORT
from airweft.workshop.examine import Examined
from airweft.workshop.job import Outcome
from airweft.workshop.settled import Settled
from airweft.workshop.side_by_side import NotFor, Row


def write_json(answer: dict[str, Any]) -> None:
    """Write one JSON object to standard output, in ASCII so that any console takes it."""
    write_plain(json.dumps({"airweft": __version__, **answer}, indent=2) + "\n")


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


def compared_answer(design: Design, rows: Sequence[Row | NotFor]) -> dict[str, Any]:
    """The answer of `compare`."""
    return {
        "done": True,
        "findings": [],
        "design": {"name": design.name, "fingerprint": design.fingerprint},
        "styles": [
            {"style": row.style, "suits": False, "findings": _findings(row.findings)}
            if isinstance(row, NotFor)
            else {"suits": True, **asdict(row)}
            for row in rows
        ],
    }


def _findings(findings: Sequence[Finding]) -> list[dict[str, Any]]:
    return [asdict(finding) for finding in findings]


def _line(line: Line) -> dict[str, Any]:
    return {
        **asdict(line),
        "packs": [{"of": size, "packs": count} for size, count in line.packs],
        "tails": [{"tail_mm": tail / 100, "balloons": count} for tail, count in line.tails],
        "bought": line.bought,
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
