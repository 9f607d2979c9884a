"""The errors airweft raises on purpose, by what the caller can do about them.

AirweftError
├── BadInput      a file, option or value cannot be used; carries every finding at once
│   └── TooNew    the file was written for a later version of its format
└── CannotMake    the input is fine, but no piece can be made of it
"""

from __future__ import annotations

from collections.abc import Iterable

from airweft.base.findings import Finding


class AirweftError(Exception):
    """Base of every error raised on purpose; `findings` says where, what and what to do."""

    def __init__(self, findings: Finding | Iterable[Finding]) -> None:
        self.findings: tuple[Finding, ...] = (
            (findings,) if isinstance(findings, Finding) else tuple(findings)
        )
        super().__init__("; ".join(f.message for f in self.findings))


class BadInput(AirweftError):
    """A file, an option or a value that cannot be used (exit code 2)."""


class TooNew(BadInput):
    """A file of a later format version than this program knows (exit code 2)."""


class CannotMake(AirweftError):
    """A well-formed design or plan that cannot be made (exit code 1)."""
