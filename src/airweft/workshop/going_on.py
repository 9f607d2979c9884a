"""Searching on from a plan that was made before."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from airweft.base.errors import BadInput
from airweft.base.refusals import refusal
from airweft.records.net import Net
from airweft.records.plan import Plan
from airweft.records.planfile import read_plan


def plan_before(folder: Path, net: Net) -> Plan:
    """The plan in `folder`, with `net` in place of its own.

    Raises BadInput where there is none, where it cannot be read, and where it is for another net.
    """
    file = folder / "plan.json"
    if not file.is_file():
        raise _refusal(file, "there is no plan to go on from", "Make it once without.")
    plan = read_plan(file)
    mine = plan.net
    if (
        mine.joint_count != net.joint_count
        or not np.array_equal(mine.ends, net.ends)
        or not np.array_equal(mine.lengths, net.lengths)
        or (mine.colours, mine.sizes, mine.kinds) != (net.colours, net.sizes, net.kinds)
    ):
        raise _refusal(
            file,
            "the plan there is for other bubbles or colours than the design has now",
            "Make it without --go-on; fixed choices of the design stay.",
        )
    return plan


def _refusal(file: Path, message: str, remedy: str) -> BadInput:
    return refusal(code="go-on-no-plan", where=str(file), message=message, remedy=remedy)
