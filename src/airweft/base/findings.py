"""Findings: coded, located statements that every stage can make about a design or a plan."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Severity = Literal["cannot", "risky", "note"]
_ORDER = {"cannot": 0, "risky": 1, "note": 2}


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One statement: where, what, and what to do.

    `code` is stable and documented in docs/findings.md; `rule` names a making rule (M1 to M12)
    where one is broken. `line` is 1-based and `context` is that line's text, for findings about a
    file. `joints` and `bubbles` are indices into the net, for lighting the place in a picture;
    `action` is the 0-based place in a plan's build order and `balloons` the codes concerned.
    """

    code: str
    severity: Severity
    where: str
    message: str
    remedy: str = ""
    rule: str = ""
    line: int | None = None
    context: str = ""
    joints: tuple[int, ...] = ()
    bubbles: tuple[int, ...] = ()
    action: int | None = None
    balloons: tuple[str, ...] = ()


def in_order(findings: tuple[Finding, ...] | list[Finding]) -> list[Finding]:
    """Findings sorted by severity, then line, code and place, so that output is stable."""
    return sorted(
        findings, key=lambda f: (_ORDER[f.severity], f.line or 0, f.code, f.where, f.message)
    )


def blocks(findings: tuple[Finding, ...] | list[Finding]) -> bool:
    """True if any finding says that the piece cannot be made."""
    return any(f.severity == "cannot" for f in findings)
