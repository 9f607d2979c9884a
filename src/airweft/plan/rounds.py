"""The *rounds* style: grow, then undo back to before a costly move and grow on differently.

A large-neighbourhood search in the sense of P. Shaw (CP 1998; from memory): what is torn down is
always the end of the build, so that every plan on the way is one that two hands can make.
"""

from __future__ import annotations

from random import Random

from airweft.base.progress import Progress, Stopped
from airweft.plan.grow import EASY, Grower, grow
from airweft.plan.kinds import Work
from airweft.plan.script import Script

_BEGINNINGS = 8  # first rings tried before the search settles on the best of them
_BACK = 24  # moves undone before a costly one, at most
_RUNS = 400  # runs at most
_EASE_RUNS = 12  # runs given to holding fewer loose twists once the bound is met
_EFFORT = 30_000  # moves priced in all runs together, before no further run is begun

Rank = tuple[int, int, int]


def rounds(work: Work, *, bound: int, seed: int, progress: Progress, effort: float = 1.0) -> Script:
    """The best of some runs: fewest balloons, then fewest loose twists, then fewest rows.

    Stops when a run meets the bound with no more than three loose twists (four where the net has no
    ring of three to begin with), or soon after it met the bound with more. Effort is counted in
    moves priced and not in seconds, so that the same seed gives the same script everywhere;
    `effort` is a multiple of the usual one. A wish to stop ends it with the best run so far.
    """
    best = grow(work, progress=progress)
    rank = _rank(best, work)
    quiet = Progress(within=progress)  # a run is too short to be reported, not to be stopped
    spent, limit = best.price.asked, round(_EFFORT * effort)
    pick = Random(seed)
    least_peak = EASY if best.ring_of_three else EASY + 1
    ease = 0
    for run in range(_RUNS):
        met = rank[0] <= bound
        ease += met
        if spent > limit or (met and (best.script.peak <= least_peak or ease > _EASE_RUNS)):
            break
        try:
            progress.report(spent, limit, f"{rank[0]} balloons, at least {bound}: looking further")
            if met or run < _BEGINNINGS:
                other = grow(work, start=pick.randrange(work.joint_count), progress=quiet)
            else:
                other = _redo(best, work, pick, wild=run % 2 == 1, progress=quiet)
        except Stopped:
            break
        spent += other.price.asked
        new = _rank(other, work)
        if new <= rank:
            best, rank = other, new
    return best.script


def _redo(best: Grower, work: Work, pick: Random, *, wild: bool, progress: Progress) -> Grower:
    """Undo back to some moves before a costly one and grow on with other choices."""
    costly = [i for i, cost in enumerate(best.costs) if cost > 0] or list(range(len(best.costs)))
    keep = pick.choice(costly) - pick.randrange(1, _BACK)
    fresh = Random(pick.randrange(1 << 30))
    if keep <= 0:
        return grow(
            work, start=pick.randrange(work.joint_count), pick=fresh, wild=wild, progress=progress
        )
    return grow(work, after=best.history[:keep], pick=fresh, wild=wild, progress=progress)


def _rank(run: Grower, work: Work) -> Rank:
    """Smaller is better; hands first, since a plan over the limit cannot be made at all."""
    script = run.script
    over = max(0, script.peak - work.hands)
    return (len(script.strands) + 1000 * over, max(EASY, script.peak), script.row)
