"""The plan file: plan-format version 1, written canonically and read from anywhere.

`write_plan` gives the same bytes for the same plan: fixed order of keys, lengths in mm as the
shortest decimal of whole hundredths, positions rounded to 0.01 mm, one newline at the end.
`read_plan` checks the whole file and tells every problem at once, each with its JSON path.
"""

from __future__ import annotations

from pathlib import Path

from airweft.base.errors import BadInput, TooNew
from airweft.base.findings import Finding
from airweft.records.jsonread import Reading
from airweft.records.jsontext import Record, json_of_text, text_of_file
from airweft.records.jsonwrite import keyed, listed, mm_of, quoted, rounded_mm, stacked
from airweft.records.netjson import net_text
from airweft.records.plan import Action, Balloon, Plan, Section
from airweft.records.planjson import plan_of

FORMAT = "airweft-plan"
VERSION = 1
_WHAT = "plan file"


def read_plan(source: str | Path) -> Plan:
    """The plan in a file (a Path) or in a text (a str).

    Lengths are rounded to whole hundredths of a millimetre here and nowhere else, halves up.
    Raises TooNew for a later version of the format, BadInput with every problem for anything that
    is not a sound plan file. Whether the plan keeps the making rules is not asked here.
    """
    text = text_of_file(source, what=_WHAT) if isinstance(source, Path) else source
    value = json_of_text(text, what=_WHAT)
    if not isinstance(value, Record) or value.get("format") != FORMAT:
        raise BadInput(_not_a_plan(value))
    version = value.get("version")
    if isinstance(version, int) and not isinstance(version, bool) and version > VERSION:
        raise TooNew(
            Finding(
                code="plan-file-too-new",
                severity="cannot",
                where="version",
                message=f"this plan is written in version {version} of {FORMAT}; "
                f"this program reads up to version {VERSION}",
                remedy="Get a later airweft, or ask for the plan in the older version.",
            )
        )
    reading = Reading(prefix="plan-file", what=_WHAT)
    reading.record(value, "")
    reading.whole(reading.get(value, "version", ""), "version", least=1, most=VERSION)
    plan = plan_of(reading, value)
    if "NaN" in text or "Infinity" in text:
        reading.refuse_odd(value)
    problems = reading.all_findings()
    if problems:
        raise BadInput(problems)
    return plan


def write_plan(plan: Plan) -> str:
    """The plan as canonical JSON text."""
    design = (("name", quoted(plan.design_name)), ("fingerprint", quoted(plan.fingerprint)))
    provenance: tuple[tuple[str, str], ...] = (
        ("program", quoted(plan.program)),
        ("version", quoted(plan.version)),
        ("seed", str(plan.seed)),
        ("style", quoted(plan.style)),
    )
    if plan.ended_early:
        provenance += (("ended_early", "true"),)
    budgets = ",\n    ".join(
        f"{quoted(size)}: {_budget_text(plan, size)}" for size in sorted(plan.budgets)
    )
    bound = (
        ("balloons", str(plan.bound.balloons)),
        ("reason", quoted(plan.bound.reason)),
        ("proven", "true" if plan.bound.proven else "false"),
    )
    claims = (
        ("joints", str(plan.claims.joints)),
        ("bubbles", str(plan.claims.bubbles)),
        ("balloons", str(plan.claims.balloons)),
        ("peak_loose", str(plan.claims.peak_loose)),
        ("minutes_low", str(plan.claims.minutes_low)),
        ("minutes_high", str(plan.claims.minutes_high)),
        ("size_mm", listed(map(rounded_mm, plan.claims.size_mm))),
    )
    parts: tuple[tuple[str, str], ...] = (
        ("format", quoted(FORMAT)),
        ("version", str(VERSION)),
        ("design", keyed(design)),
        ("provenance", keyed(provenance)),
        ("hands", str(plan.hands)),
        ("net", net_text(plan.net)),
        ("balloons", stacked(map(_balloon_text, plan.balloons), 4)),
        ("budget", "{\n    " + budgets + "\n  }" if budgets else "{}"),
        ("actions", stacked(map(_action_text, plan.actions), 4)),
        ("bound", keyed(bound)),
        ("claims", keyed(claims)),
    )
    if plan.sections:
        parts += (("sections", stacked(map(_section_text, plan.sections), 4)),)
    return "{\n  " + ",\n  ".join(f'"{key}": {text}' for key, text in parts) + "\n}\n"


def _section_text(section: Section) -> str:
    return keyed(
        (
            ("name", quoted(section.name)),
            ("person", str(section.person)),
            ("first_action", str(section.first_action)),
            ("last_action", str(section.last_action)),
        )
    )


def _balloon_text(balloon: Balloon) -> str:
    return keyed(
        (
            ("code", quoted(balloon.code)),
            ("colour", quoted(balloon.colour)),
            ("size", quoted(balloon.size)),
            ("tail_mm", mm_of(balloon.tail)),
            ("start", str(balloon.start)),
            ("bubbles", listed(map(str, balloon.bubbles))),
        )
    )


def _budget_text(plan: Plan, size: str) -> str:
    budget = plan.budgets[size]
    return keyed(
        (
            ("flat_mm", mm_of(budget.flat)),
            ("full_mm", mm_of(budget.full)),
            ("knot_mm", mm_of(budget.knot)),
            ("stub_mm", mm_of(budget.stub)),
            ("twist_takes_mm", mm_of(budget.twist_takes)),
            ("twist_pushes_mm", mm_of(budget.twist_pushes)),
        )
    )


def _action_text(action: Action) -> str:
    do, codes, joint = action.do, action.balloons, str(action.joint)
    items = [("do", quoted(do))]
    if do == "tie":
        items += [("balloons", listed(map(quoted, codes))), ("joint", joint)]
    elif do == "lock":
        items += [("joint", joint), ("balloons", listed(map(quoted, codes)))]
    elif do == "twist":
        items += [("balloon", quoted(codes[0])), ("bubble", str(action.bubble)), ("to", joint)]
    else:
        items += [("balloon", quoted(codes[0])), ("joint", joint)]
    items.append(("row", str(action.row)))
    return keyed(items)


def _not_a_plan(value: object) -> Finding:
    found = value.get("format") if isinstance(value, Record) else None
    if isinstance(found, str):
        message = f'"format" says "{found[:40]}"; a plan file says "{FORMAT}"'
    else:
        message = f'this is JSON, but no plan file: it does not begin with "format": "{FORMAT}"'
    return Finding(
        code="plan-file-wrong-format",
        severity="cannot",
        where="format",
        message=message,
        remedy="Name a plan.json that airweft or another program wrote in this format.",
    )
