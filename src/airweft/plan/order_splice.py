"""Other trails for the same bubbles: two trails that share a joint exchange what follows there.

Such an exchange keeps the number of balloons or lowers it by one, and from any shares of a part all
others can be reached. The search goes on from the trails that can be laid farthest; changes are
made where the work comes to a stand.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from random import Random

from airweft.plan.kinds import Work
from airweft.plan.order import Laid, Trail, lay

_KEEP = 0.03  # how often a somewhat worse set of trails is gone on with
_WORSE = 3  # bubbles by which it may be worse
_STALE = 400  # changes without better before the search goes back to the best


def find_order(
    work: Work,
    trails: Sequence[Trail],
    *,
    seed: int,
    effort: int,
    go_on: Callable[[int, int], bool],
) -> tuple[list[Trail], Laid, int]:
    """The trails that could be laid farthest, how far that is, and the effort spent.

    Effort is counted in bubbles laid. `go_on(effort, bubbles left)` is asked now and then.
    """
    pick = Random(seed)
    now = [trail for trail in trails if trail.bubbles]
    laid = lay(work, now)
    best, best_laid = now, laid
    total, spent, stale = len(work.ends), 0, 0
    while best_laid.made < total and spent < effort:
        other = _change(work, now, laid, pick)
        spent += 1 + laid.made // 4
        if other is None:
            continue
        new = lay(work, other, thorough=total <= 60)
        spent += new.made
        better = len(other) < len(now) or new.made >= laid.made
        if better or (new.made >= laid.made - _WORSE and pick.random() < _KEEP):
            now, laid = other, new
        stale += 1
        if (len(now), -laid.made) < (len(best), -best_laid.made):
            best, best_laid, stale = now, laid, 0
        elif stale > _STALE:
            now, laid, stale = best, best_laid, 0
        if stale % 16 == 0 and not go_on(spent, total - best_laid.made):
            break
    return best, best_laid, spent


def _change(work: Work, trails: list[Trail], laid: Laid, pick: Random) -> list[Trail] | None:
    """The trails with one change near where they stand, or None if it cannot be."""
    stuck = [b for b, done in enumerate(laid.done) if done < len(trails[b].bubbles)]
    number = pick.choice(stuck)
    trail = trails[number]
    visits = trail.joints(work)
    if pick.random() < 0.2:
        return _turned(work, trails, number, visits, pick)
    reach = laid.done[number] + pick.randrange(-1, work.hands + 2)
    first = min(max(0, reach), len(visits) - 1)
    kind, joint = work.kind_of[trail.bubbles[0]], visits[first]
    others = [
        (b, i)
        for b in range(len(trails))
        if work.kind_of[trails[b].bubbles[0]] == kind
        for i, there in enumerate(trails[b].joints(work))
        if there == joint and (b, i) != (number, first)
    ]
    if not others:
        return None
    second, at = pick.choice(others)
    if second == number:
        low, high = sorted((first, at))
        middle = trail.bubbles[low:high][::-1]
        new = Trail(trail.start, trail.bubbles[:low] + middle + trail.bubbles[high:])
        return [*trails[:number], new, *trails[number + 1 :]]
    other = trails[second]
    a, b = trail.bubbles[:first], trail.bubbles[first:]
    c, d = other.bubbles[:at], other.bubbles[at:]
    end_of_other = other.joints(work)[-1]
    if pick.random() < 0.5:
        pair = (Trail(trail.start, a + d), Trail(other.start, c + b))
    else:
        pair = (Trail(trail.start, a + c[::-1]), Trail(end_of_other, d[::-1] + b))
    if not all(_fits(work, kind, new.bubbles) for new in pair):
        return None
    result = [t for b, t in enumerate(trails) if b not in (number, second)]
    return result + [new for new in pair if new.bubbles]


def _turned(
    work: Work, trails: list[Trail], number: int, visits: list[int], pick: Random
) -> list[Trail]:
    """One trail from its other end; a closed one from any of its joints."""
    trail = trails[number]
    if visits[0] == visits[-1] and pick.random() < 0.7:
        at = pick.randrange(len(trail.bubbles))
        new = Trail(visits[at], trail.bubbles[at:] + trail.bubbles[:at])
    else:
        new = trail.reversed(work)
    return [*trails[:number], new, *trails[number + 1 :]]


def _fits(work: Work, kind: int, bubbles: tuple[int, ...]) -> bool:
    length = sum(work.lengths[b] for b in bubbles)
    return work.kinds[kind].capacity.fits(len(bubbles), length)
