"""The *pairs* style: pairs of balloons work strips of cells side by side, row by row."""

from __future__ import annotations

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.base.progress import Progress
from airweft.plan.kinds import Work
from airweft.plan.script import Script


def pairs(work: Work, *, bound: int, seed: int, progress: Progress) -> Script:
    """A script in which pairs advance together as rows. Raises CannotMake where none applies."""
    raise CannotMake(
        Finding(code="pairs-not-yet", severity="cannot", where="style pairs", message="not yet")
    )
