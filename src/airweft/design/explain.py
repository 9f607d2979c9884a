"""Validates a section against its keys and explains every problem in the maker's words."""

from __future__ import annotations

from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from airweft.base.nearest import misspelt, nearest, said_list
from airweft.design.lines import Path
from airweft.design.plan_keys import InsidePart, KeepPart, PlanPart, WeightsPart
from airweft.design.report import SECTIONS, Report, said, short, where
from airweft.design.schema import FORMS, PATTERNS, BalloonPart, BudgetPart, Part, TopPart

P = TypeVar("P", bound=Part)

_TYPES = {
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "float_type": "a number",
    "finite_number": "a number",
    "int_parsing_size": "a number of reasonable size",
    "string_type": "a text in quotes",
    "string_unicode": "a text in quotes",
    "list_type": "a list in square brackets",
    "dict_type": "a section",
    "model_type": "a section",
}


def validate(
    model: type[P], data: Any, path: Path, report: Report, *, unit: str = "mm"
) -> P | None:
    """The section as a record, or None after its problems were reported.

    `data` is what the file holds at `path`; `unit` that of plain numbers.
    """
    if not isinstance(data, dict):
        report.bad(
            "wrong-type",
            path,
            f"{where(path)} is a section with keys of its own, not {said(data)}.",
            f"Write its keys under a heading of their own: [{'.'.join(map(str, path))}]",
        )
        return None
    try:
        return model.model_validate(data, context={"unit": unit})
    except ValidationError as error:
        for detail in error.errors(include_url=False):
            if report.is_full:
                break
            _explain(detail, model, data, path, report)
        return None


def unknown_key(
    word: str, path: Path, known: list[str], report: Report, *, value: Any = None
) -> None:
    """Report a key that the section at `path` does not have."""
    here = f"in {where(path)}" if path else "above the first section"
    if not path and isinstance(value, dict):
        sections = [f"[{name}]" for name in SECTIONS]
        near = nearest(word, SECTIONS)
        report.bad(
            "unknown-key",
            (word,),
            f"[{short(word)}] is not a section of a design.",
            f"Did you mean [{near}]?" if near else f"The sections are {said_list(sections)}.",
        )
        return
    close = nearest(word, known)
    if close is not None:
        remedy = f"Did you mean {close}?"
    else:
        elsewhere = _home_of(word) if not path or path[0] in SECTIONS else None
        if elsewhere and elsewhere != where(path):
            remedy = f"It belongs in {elsewhere}."
        else:
            remedy = f"Known here: {said_list(known)}."
    report.bad(
        "unknown-key",
        (*path, word),
        f"{short(word) or 'An empty name'} is not a key {here}.",
        remedy,
    )


def unknown_word(
    code: str, what: str, word: str, path: Path, known: list[str], report: Report
) -> None:
    """Report a value that is none of the known words."""
    close = nearest(word, known)
    listed = said_list([f'"{k}"' for k in known], last="or")
    remedy = f'Did you mean "{close}"? ' if close is not None else ""
    report.bad(
        code, path, f'"{short(word)}" is not {what} that is known.', f"{remedy}It can be {listed}."
    )


def _explain(
    detail: ErrorDetails, model: type[Part], data: dict[str, Any], path: Path, report: Report
) -> None:
    """One problem found by the validation, as a finding."""
    spot: Path = (*path, *detail["loc"])
    name = str(detail["loc"][0]) if detail["loc"] else ""
    field = model.model_fields.get(name)
    example = str(field.examples[0]) if field is not None and field.examples else ""
    what = (field.description or "") if field is not None else ""
    kind, context, value = detail["type"], detail.get("ctx", {}), detail["input"]
    if kind == "own":
        report.bad(context["code"], spot, f"{_lead(spot)}{context['message']}", context["remedy"])
    elif kind == "missing":
        if misspelt(name, data, model.model_fields):
            return  # misspelt, and reported as unknown
        report.bad(
            "missing-key",
            path,
            f"{name} is missing from {where(path)}: {what}."
            if path
            else f"{name} is missing: {what}.",
            f"Add a line such as: {example}"
            + ("" if path else " (at the top, before the first section)"),
        )
    elif kind == "extra_forbidden":
        _extra(name, value, path, model, report)
    elif kind == "literal_error":
        words = [w.strip("' ") for w in context["expected"].replace(" or ", ", ").split(",")]
        if isinstance(value, str):
            unknown_word("unknown-value", f"a value of {name}", value, spot, words, report)
        else:
            listed = said_list([f'"{w}"' for w in words], last="or")
            report.bad(
                "wrong-type", spot, f"{name} cannot be {said(value)}.", f"It can be {listed}."
            )
    elif kind in ("greater_than_equal", "less_than_equal"):
        low = kind == "greater_than_equal"
        limit = context["ge"] if low else context["le"]
        report.bad(
            "out-of-range",
            spot,
            f"{name} = {said(value)} is too {'small' if low else 'large'}: it is {what}.",
            f"Write a {'' if isinstance(limit, float) else 'whole '}number, "
            f"{'at least' if low else 'at most'} {limit:,.0f}.",
        )
    else:
        wanted = _TYPES.get(kind, "a value of another kind")
        if wanted == "a whole number" and (number := _whole(value)) is not None:
            example = f"{name} = {number}"
        report.bad(
            "wrong-type",
            spot,
            f"{name} is {wanted}, not {said(value)}.",
            f"Write it such as: {example}" if example else "Look at the example designs.",
        )


def _whole(value: Any) -> int | None:
    """The whole number that a text or a decimal number stands for."""
    if isinstance(value, float) and value.is_integer() and abs(value) < 10**9:
        return int(value)
    if isinstance(value, str) and value.strip().isascii() and value.strip().isdigit():
        return int(value.strip()[:9])
    return None


def _lead(spot: Path) -> str:
    """The key in front of a message that does not name it."""
    words = [str(part) if isinstance(part, str) else f"entry {part + 1}" for part in spot]
    own = [short(w) for w in words if w not in SECTIONS]
    return f"{own[-1]}: " if own else ""


def _extra(name: str, value: Any, path: Path, model: type[Part], report: Report) -> None:
    """A key that is not in the section: say what is near, or what it would need."""
    known = list(model.model_fields)
    if name == "seams" and path == ("form",):
        report.bad(
            "unknown-key",
            (*path, name),
            "This form has no seams: it is all one panel, or a net of your own.",
            "Take the line out. Boxes and blocks have seams.",
        )
    elif name == "open" and path == ("form",):
        report.bad(
            "unknown-key",
            (*path, name),
            "This form has no sides that could be open.",
            "Take the line out; the ends are open unless they are named in closed."
            if "closed" in known
            else "Take the line out. Boxes and blocks have sides; a tube is open at both ends.",
        )
    else:
        unknown_key(name, path, known, report, value=value)


def _home_of(word: str) -> str | None:
    """The section that does have this key."""
    if word in SECTIONS:
        return f"a section of its own, [{word}]"
    homes: list[tuple[str, list[type[Part]]]] = [
        ("[balloon]", [BalloonPart]),
        ("[balloon.budget]", [BudgetPart]),
        ("[form]", list(FORMS.values())),
        ("[pattern]", list(PATTERNS.values())),
        ("[plan]", [PlanPart]),
        ("[plan.weights]", [WeightsPart]),
        ("[[plan.keep]]", [KeepPart]),
        ("[plan.inside]", [InsidePart]),
    ]
    for home, models in homes:
        if any(word in model.model_fields for model in models):
            return home if home != "[form]" else "[form] of another kind"
    if word in TopPart.model_fields:
        return "the top of the file, before the first section"
    return None
