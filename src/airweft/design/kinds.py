"""The `kind` of a form or a pattern: which one it is, and kind words about all others."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from airweft.base.nearest import nearest, said_list
from airweft.design.explain import unknown_word, validate
from airweft.design.lines import Path
from airweft.design.report import Report, said, where
from airweft.design.schema import Part


def read_kind(
    data: Any,
    path: Path,
    report: Report,
    *,
    what: str,
    known: Sequence[str],
    later: Sequence[str],
    instead: str,
) -> str | None:
    """One of the `known` kinds, or None after saying what is wrong.

    `what` is "form" or "pattern"; `later` are kinds that a later version will have, and `instead`
    says what to use until then.
    """
    if not isinstance(data, dict):
        validate(Part, data, path, report)
        return None
    here: Path = (*path, "kind")
    kind = data.get("kind")
    if kind is None:
        close = next((k for k in list(data)[:50] if nearest(k, ["kind"])), None)
        report.bad(
            "missing-key",
            path if close is None else (*path, close),
            f"kind is missing from {where(path)}.",
            f'Add a line such as: kind = "{known[0]}". It can be {said_list(known, last="or")}.',
        )
        return None
    if not isinstance(kind, str):
        report.bad(
            "wrong-type",
            here,
            f"kind is a text in quotes, not {said(kind)}.",
            f'Write it such as: kind = "{known[0]}"',
        )
        return None
    if kind in known:
        return kind
    if kind in later:
        report.bad(
            "not-yet",
            here,
            f'The {what} kind "{kind}" is not in this version of airweft yet.',
            f"This version has {said_list(known)}. {instead}",
        )
    else:
        unknown_word("unknown-value", f"a kind of {what}", kind, here, list(known), report)
    return None
