"""The *painted* style: many runs of growing, each from what the best one so far has shown."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from random import Random

import numpy as np

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.base.progress import Progress, Stopped
from airweft.plan.exact import order_trails
from airweft.plan.exact_euler import euler_trails
from airweft.plan.grow import EASY
from airweft.plan.kinds import Work
from airweft.plan.order import Trail
from airweft.plan.painted.exchange import easier, fewer
from airweft.plan.painted.grow import begin, grow, repeat
from airweft.plan.painted.state import (
    AWAY,
    DECIDED,
    EFFORT,
    LEFT,
    MATE,
    MOVES,
    NOISE,
    PEAK,
    PRICE,
    Now,
    fresh,
    lay_out,
)
from airweft.plan.painted.trail import anneal, count_trails, open_ends
from airweft.plan.painted.write import trails_of, write
from airweft.plan.pins import Pins
from airweft.plan.script import Script
from airweft.records.arrays import Indices

_EFFORT = 600_000_000  # bubbles followed along trails, in all runs together
_EFFORT_EACH = 4_000_000  # and for each bubble of the piece
_BEGINNINGS = 6  # runs from a first knot of their own before the search settles on the best
_BACK = 24  # moves undone before a costly one, at most
_LAYING = 1_500_000  # bubbles laid when share-outs found are laid in another way, at most
_LAYING_EACH = 2_000  # and for each bubble of the piece
_NOT_LARGE = 3_000  # bubbles up to which that is tried
_TIDY = 24  # runs given to tidier work once the bound is met
_CHUNK = 256  # moves between two reports
_STEPS = 800  # pairings tried for each bubble before the first run
_MOST_STEPS = 3_000_000  # and in all
_CHUNK_STEPS = 200_000  # pairings tried between two reports

Rank = tuple[int, int, int]


def painted(
    work: Work,
    *,
    bound: int,
    seed: int,
    progress: Progress,
    hints: Iterable[Sequence[Trail]] = (),
    pins: Pins | None = None,
    effort: float = 1.0,
) -> Script:
    """The best of many runs: fewest balloons, then fewest loose twists, then least taking up.

    `hints` are share-outs to begin from. Effort is counted and not timed, so that the same seed
    gives the same script everywhere; `effort` is a multiple of the usual one. When `progress` asks
    to stop, the best script so far is returned. Raises Stopped if there is none, and CannotMake
    where no run comes to an end, as on nets with rings longer than the hands can hold.
    """
    limit = round(min(_EFFORT, _EFFORT_EACH * len(work.ends)) * effort)
    search = _Search(work, bound, seed, progress, pins, limit)
    try:
        search.share_out(hints)
        search.run()
    except Stopped:
        if search.best is None:
            raise
    if search.best is None:
        raise CannotMake([_stuck(work)])
    script = write(work, search.best)
    if pins is None or pins.is_empty:
        if len(work.ends) <= _NOT_LARGE:
            laying = min(_LAYING, _LAYING_EACH * len(work.ends))
            script = _laid_otherwise(search, script, round(laying * effort))
        script = _exchanged(search, script, effort)
    return script


def _exchanged(search: _Search, script: Script, effort: float) -> Script:
    """The script with trails exchanged until it takes fewer balloons, where it is above the bound.

    A wish to stop ends that with the best so far.
    """
    if len(script.strands) <= search.bound or search.progress.stopping:
        return script

    def go_on(spent: int, limit: int, balloons: int) -> bool:
        text = f"{balloons} balloons, at least {search.bound}: exchanging trails"
        try:
            search.progress.report(spent, limit, text)
        except Stopped:
            return False
        return True

    return fewer(
        search.work,
        search.start,
        script,
        bound=search.bound,
        seed=search.seed,
        effort=effort,
        go_on=go_on,
    )


def eased(work: Work, script: Script, *, seed: int, progress: Progress, effort: float) -> Script:
    """A script that easy hands can make, of no more balloons, where a ring of three is at hand.

    Else, where that is not found or a wish to stop comes first, the script itself.
    """
    if script.peak <= EASY or len(work.ends) > _NOT_LARGE or not _on_rings_of_three(work):
        return script

    def go_on(spent: int, limit: int, balloons: int) -> bool:
        text = f"{balloons} balloons: an order with {EASY} loose twists"
        try:
            progress.report(spent, limit, text)
        except Stopped:
            return False
        return True

    start = lay_out(work, None)
    return easier(work, start, script, hands=EASY, seed=seed, effort=effort, go_on=go_on)


def _laid_otherwise(search: _Search, script: Script, effort: int) -> Script:
    """The share-outs found, laid by the exact method's search for an order, if that does better."""
    if search.work.passing or search.progress.stopping:
        return script
    for pairing in search.pairings:
        trails = trails_of(search.work, pairing.tolist())
        known = len(script.strands)
        if max(len(trails), search.bound) < known:
            other = order_trails(
                search.work,
                trails,
                seed=search.seed,
                effort=effort,
                fewer_than=known,
                progress=search.progress,
            )
            script = other or script
    return script


def _stuck(work: Work) -> Finding:
    return Finding(
        code="plan-painted-stuck",
        severity="cannot",
        where="style painted",
        message=f"every order tried comes to where the next joint that holds is more than "
        f"{work.hands} bubbles away",
        remedy="Take another style, or set more hands in [balloon].",
        rule="M8",
    )


class _Search:
    """The state of a search."""

    def __init__(
        self, work: Work, bound: int, seed: int, progress: Progress, pins: Pins | None, effort: int
    ) -> None:
        self.work = work
        self.bound = bound
        self.seed = seed
        self.pick = Random(seed)
        self.progress = progress
        self.start = lay_out(work, pins)
        self.limit = effort
        self.spent = 0
        self.best: Now | None = None
        self.rank: Rank = (1 << 30, 0, 0)
        self.pairings: list[Indices] = []
        rings = _on_rings_of_three(work)
        self.starts = rings or [j for j in range(work.joint_count) if j not in work.passing]
        if pins is not None and pins.start is not None:
            self.starts = [pins.start]
        self.easy = EASY if rings else EASY + 1

    def share_out(self, hints: Iterable[Sequence[Trail]]) -> None:
        """Find pairings with few trails to begin from."""
        everywhere = np.arange(self.work.joint_count)
        bubbles = len(self.work.ends)
        found: list[tuple[int, Indices]] = []
        euler = [trail for part in self.work.parts for trail in euler_trails(self.work, part)]
        self._report("getting the painted style ready (takes a while after each update)")
        for trails in ([], euler, *hints):
            now = self._blank()
            _pair_up(self.work, now, trails)
            groups, ends = open_ends(now, everywhere, len(everywhere))
            steps = min(_STEPS * bubbles, _MOST_STEPS)
            chunks = -(-steps // _CHUNK_STEPS)
            hot, cold = (0.1 if trails else 0.5), 0.02
            fall = (cold / hot) ** (1 / chunks)
            for chunk in range(chunks):
                self._report("sharing out the bubbles")
                heat = hot * fall**chunk
                anneal(now, groups, ends, steps // chunks, heat, heat * fall)
            found.append((int(count_trails(now)), now.ends[:, MATE]))
            self.spent += int(now.tally[EFFORT])
        fewest = min(count for count, _ in found)
        self.pairings = [mate for count, mate in found if count == fewest]

    def run(self) -> None:
        """Grow again and again until the bound is met or the effort is spent."""
        tidy = run = 0
        while run == 0 or self.spent < self.limit:
            met = self.rank[0] <= self.bound
            tidy += met
            if met and (tidy > _TIDY or (self.rank[1] <= self.easy and tidy > _TIDY // 3)):
                break
            if self.best is None and run >= 8 * _BEGINNINGS:
                break
            now = self._begun() if self.best is None or run < _BEGINNINGS else self._back(self.best)
            run += 1
            if now is not None and self._grown(now):
                rank = _rank(now, self.work.hands, int(count_trails(now)))
                if rank <= self.rank:
                    self.best, self.rank = now, rank
            if now is not None:
                self.spent += int(now.tally[EFFORT])

    def _begun(self) -> Now | None:
        """A run with its first move made."""
        now = self._blank()
        pairing = self.pairings[self.pick.randrange(len(self.pairings))]
        now.ends[:, MATE] = pairing
        now.tally[NOISE] = 1 if self.best is not None else 0
        return now if begin(now, self.pick.choice(self.starts)) else None

    def _back(self, best: Now) -> Now:
        """The best run so far, undone to before a costly move, its rest paired up anew."""
        made = int(best.tally[MOVES])
        costly = np.flatnonzero(best.moves[:made, PRICE] > 0).tolist()
        keep = self.pick.randrange(1, made) if made > 1 else 1
        if costly and self.pick.random() < 0.7:
            keep = self.pick.choice(costly) - self.pick.randrange(1, _BACK)
        now = self._blank()
        now.ends[:, MATE] = best.ends[:, MATE]
        repeat(now, best.moves, max(1, keep))
        now.tally[NOISE] = self.pick.choice((0, 1, 1, 2))
        joints = np.arange(self.work.joint_count)
        groups, ends = open_ends(now, joints, len(joints))
        steps = min(self.pick.choice((10, 100, 20 * len(ends), 100 * len(ends))), _CHUNK_STEPS)
        anneal(now, groups, ends, steps, self.pick.choice((0.1, 0.3, 0.6)), 0.03)
        return now

    def _grown(self, now: Now) -> bool:
        """Grow to the end; False where that cannot be done."""
        while now.tally[LEFT]:
            self._report("looking further" if self.best is not None else "growing the piece")
            if not grow(now, 1000, _CHUNK):
                return False
        return True

    def _blank(self) -> Now:
        now = fresh(self.start, self.pick.randrange(1 << 40))
        return now

    def _report(self, text: str) -> None:
        if self.best is not None:
            text = f"{self.rank[0]} balloons, at least {self.bound}: {text}"
        self.progress.report(min(self.spent, self.limit), self.limit, text)


def _rank(now: Now, hands: int, trails: int) -> Rank:
    """Smaller is better: balloons (hands first of all), loose twists, balloons taken up."""
    moves = now.moves[: now.tally[MOVES]]
    peak = int(moves[:, PEAK].max())
    return (trails + 1000 * max(0, peak - hands), max(EASY, peak), int(moves[:, AWAY].sum()))


def _on_rings_of_three(work: Work) -> list[int]:
    """The joints on a ring of three bubbles."""
    near = [{to for _, to in here} - {joint} for joint, here in enumerate(work.at)]
    return [
        joint
        for joint, here in enumerate(near)
        if len(work.at[joint]) > 2
        and joint not in work.passing
        and any(not here.isdisjoint(near[to]) for to in here)
    ]


def _pair_up(work: Work, now: Now, trails: Sequence[Trail]) -> None:
    """Pair the bubble ends as the given trails pass them, where the maker wishes nothing else."""
    for trail in trails:
        before, joint = -1, trail.start
        for bubble in trail.bubbles:
            end = 2 * bubble + (work.ends[bubble][0] != joint)
            if before >= 0 and not now.ends[before, DECIDED] and not now.ends[end, DECIDED]:
                now.ends[before, MATE], now.ends[end, MATE] = end, before
            before = end ^ 1
            joint = work.ends[bubble][before & 1]
