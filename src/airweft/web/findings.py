"""Findings as people see them: how grave, where, what, and what to do."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from airweft.base.findings import Finding
from airweft.web.kit import Dialog, Words, box, button

_KINDS = {"cannot": "Cannot be made", "risky": "Risky", "note": "Note"}
_COUNTED = {"cannot": "not makeable", "risky": "risky", "note": "to note"}


def show_finding(finding: Finding, do: Callable[[], None] | None = None) -> None:
    """One finding; pressed, it does `do`."""
    with box(f"finding finding-{finding.severity}", "button" if do else "div") as made:
        line = "" if finding.line is None else f", line {finding.line}"
        Words(f"{_KINDS[finding.severity]} · {finding.where}{line}", classes="finding-kind")
        Words(finding.message)
        if finding.remedy:
            Words(finding.remedy, classes="quiet")
    if do is not None:
        made.props["type"] = "button"
        made.on("click", do, [])


def explain(title: str, findings: Sequence[Finding]) -> None:
    """A dialog with all findings of a refusal."""
    why = Dialog(title)
    with why.body:
        for finding in findings:
            show_finding(finding)
    with why.actions:
        button("Close", why.close, kind="main")
    why.open()


def counted(findings: Sequence[Finding]) -> str:
    """How many there are of each kind, for a button."""
    parts = [
        f"{count} {said}"
        for kind, said in _COUNTED.items()
        if (count := sum(f.severity == kind for f in findings))
    ]
    return "Findings: " + (", ".join(parts) if parts else "none")
