"""The *rounds* style: grow from several first rings, keep the best."""

from __future__ import annotations

from random import Random

from airweft.base.progress import Progress
from airweft.plan.grow import EASY, grow
from airweft.plan.kinds import Work
from airweft.plan.script import Script

_RUNS = 48  # runs at most
_EASE_RUNS = 8  # runs given to holding fewer loose twists once the bound is met
_EFFORT = 120_000  # moves priced in all runs together, before no further run is begun

Rank = tuple[int, int, int]


def rounds(work: Work, *, bound: int, seed: int, progress: Progress) -> Script:
    """The best of some runs: fewest balloons, then fewest loose twists, then fewest rows.

    Stops when a run meets the bound with no more than three loose twists, or soon after it met the
    bound with four. Effort is counted
    in moves priced and not in seconds, so that the same seed gives the same script everywhere.
    """
    best, effort = grow(work, progress=progress)
    rank = _rank(best, work)
    pick = Random(seed)
    starts = list(range(work.joint_count))
    pick.shuffle(starts)
    runs = min(_RUNS, _EFFORT // max(1, effort))
    for run in range(runs):
        if effort > _EFFORT or (rank[0] <= bound and (best.peak <= EASY or run >= _EASE_RUNS)):
            break
        progress.report(run, runs, f"{rank[0]} balloons, at least {bound}: trying other beginnings")
        if run % 3 == 2:
            script, asked = grow(work, pick=Random(pick.randrange(1 << 30)))
        else:
            script, asked = grow(work, start=starts[run % len(starts)])
        effort += asked
        new = _rank(script, work)
        if new < rank:
            best, rank = script, new
    return best


def _rank(script: Script, work: Work) -> Rank:
    """Smaller is better; hands first, since a plan over the limit cannot be made at all."""
    over = max(0, script.peak - work.hands)
    return (len(script.strands) + 1000 * over, max(EASY, script.peak), script.row)
