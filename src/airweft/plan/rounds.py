"""The *rounds* style: grow from several first rings, keep the best."""

from __future__ import annotations

from random import Random

from airweft.base.progress import Progress
from airweft.plan.grow import EASY, grow
from airweft.plan.kinds import Work
from airweft.plan.script import Script

_RUNS = 48  # runs at most
_BUBBLES = 12_000  # bubbles grown in all runs together, before no further one is begun

Rank = tuple[int, int, int]


def rounds(work: Work, *, bound: int, seed: int, progress: Progress) -> Script:
    """The best of some runs: fewest balloons, then fewest loose twists, then fewest rows.

    Stops at once when a run meets the bound with no more than three loose twists. The number of
    runs depends on the size of the net alone, so that the same seed gives the same script.
    """
    best = grow(work, progress=progress)
    rank = _rank(best, work)
    pick = Random(seed)
    starts = list(range(work.joint_count))
    pick.shuffle(starts)
    runs = min(_RUNS, _BUBBLES // max(1, len(work.ends)))
    for run in range(runs):
        if rank[0] <= bound and best.peak <= EASY:
            break
        progress.report(run, runs, f"{rank[0]} balloons, at least {bound}: trying other beginnings")
        if run % 3 == 2:
            script = grow(work, pick=Random(pick.randrange(1 << 30)))
        else:
            script = grow(work, start=starts[run % len(starts)])
        new = _rank(script, work)
        if new < rank:
            best, rank = script, new
    return best


def _rank(script: Script, work: Work) -> Rank:
    """Smaller is better; hands first, since a plan over the limit cannot be made at all."""
    over = max(0, script.peak - work.hands)
    return (len(script.strands) + 1000 * over, max(EASY, script.peak), script.row)
