"""The exact method: the fewest trails of every part, and an order in which hands can lay them.

Every connected part of every kind is shared out on its own among as few trails as can be; trails
leave the order aside, so their number bounds every plan from below. Then an order is looked for,
with other trails of the same number where it needs them (order_splice.py). A plan with as many
balloons as the parts need trails is proven to be one with the fewest.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from importlib.util import find_spec
from threading import Event, Timer
from types import TracebackType

from airweft.base.progress import Progress, Stopped
from airweft.plan.bound import PartBound, reason, total_bound
from airweft.plan.exact_euler import euler_trails
from airweft.plan.exact_frontier import Sweep
from airweft.plan.grow import EASY
from airweft.plan.kinds import Work
from airweft.plan.order import Laid, Trail, lay, walk, write
from airweft.plan.order_splice import find_order
from airweft.plan.script import Script

_AT_ONCE = 4_000  # bubbles laid after a wish to stop, at most
_EASING = 20_000  # bubbles laid in search of an easier order, at least
_EASING_EACH = 400  # but no more for each bubble of the piece
_WIDE = 8  # joints on the frontier of a sweep, beyond which few parts can be gone through
_BEAM, _BEAM_MOST = 8, 64  # states kept after each bubble where a sweep only picks the best
_SMALL = 40  # bubbles in a piece whose every way of making is gone through


@dataclass(frozen=True, slots=True, kw_only=True)
class ExactLimit:
    """How far the exact method goes. Effort is counted: same design, same plan.

    seconds        of the clock after which the best so far is taken; None: effort alone counts
    states         states of a sweep looked at for each part
    laying         bubbles laid in search of an order
    ways           states of a small piece when every way to make it is gone through; 0: not at all
    solving        deterministic seconds of the constraint solver for each part that a sweep leaves
                   open; 0, or where OR-tools is not installed: not at all
    """

    seconds: float | None = None
    states: int = 300_000
    laying: int = 600_000
    ways: int = 100_000
    solving: float = 20.0


QUICK = ExactLimit(states=20_000, laying=60_000, ways=2_000, solving=0)
"""A fraction of a second as a rule: for every plan that stays above its bound."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Exact:
    """What the exact method found.

    script    a plan with fewer balloons than there were trails, or None
    bounds    of every part, raised where more was proven
    least     no plan that these hands can make has fewer balloons
    by_hands  True if that was shown by going through every way to make the piece
    stopped   True if somebody wished to stop, by Ctrl-C or `progress.stop()`
    """

    script: Script | None
    bounds: list[PartBound]
    least: int
    by_hands: bool = False
    stopped: bool = False

    def reason(self, work: Work) -> str:
        """The bound's argument in one sentence for a maker."""
        text = reason(work, self.bounds)
        if not self.by_hands:
            return text
        fewer = "1 balloon" if self.least == 2 else f"{self.least - 1} balloons"
        return (
            f"{text}; but with {work.hands} loose twists at once no order makes it of {fewer} "
            f"(every way was tried), so at least {self.least}"
        )


class _Watch:
    """Says whether to go on: no clock has run out and nobody wishes to stop."""

    def __init__(self, seconds: float | None, progress: Progress) -> None:
        self._late = Event()
        self._timer = Timer(seconds, self._late.set) if seconds is not None else None
        self._progress = progress

    def __enter__(self) -> _Watch:
        if self._timer is not None:
            self._timer.daemon = True
            self._timer.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        if self._timer is not None:
            self._timer.cancel()

    def go_on(self, done: int, total: int, text: str) -> bool:
        """Report; raises Stopped if the caller asked to stop."""
        self._progress.report(min(done, total), total, text)
        return not self._late.is_set()


def exact_method(
    work: Work,
    bounds: Sequence[PartBound],
    known: Sequence[Trail],
    *,
    limit: ExactLimit,
    seed: int,
    progress: Progress,
) -> Exact:
    """Fewer balloons than the `known` trails of a plan, or a proof that there cannot be fewer.

    A wish to stop (Ctrl-C, or `progress.stop()`) ends the search with the best so far. Nets with
    joints that may only be passed keep the plan they have.
    """
    found = list(bounds)
    result = Exact(script=None, bounds=found, least=total_bound(work, found))
    count = len(known)
    if count <= result.least or work.passing:
        return result
    trails = _by_parts(known, work)
    try:
        with _Watch(limit.seconds, progress) as watch:
            for number, part in enumerate(work.parts):
                if len(trails[number]) > found[number].balloons:
                    text = f"sharing out part {number + 1} of {len(work.parts)}"
                    if not watch.go_on(0, limit.states, text):
                        break

                    def swept(states: int, words: str = text) -> bool:
                        return watch.go_on(states, limit.states, words)

                    trails[number], least = fewest_trails(
                        work, part, found[number], trails[number], states=limit.states, go_on=swept
                    )
                    if len(trails[number]) > least and limit.solving and has_solver():

                        def solved(words: str = text) -> bool:
                            return watch.go_on(limit.states, limit.states, f"{words}, by a solver")

                        trails[number], least = _solve(
                            work, part, found[number], trails[number], least, limit.solving, solved
                        )
                    if least > found[number].balloons:
                        found[number] = replace(found[number], by_search=least)
                        result = replace(result, least=total_bound(work, found))
            wanted = [trail for part_trails in trails for trail in part_trails]
            small = len(work.ends) <= _SMALL and limit.ways > 0
            for effort, ways in ((limit.laying // 10, small), (limit.laying, False)):
                script = _order(work, wanted, _count(result, count), effort, seed, watch)
                result = replace(result, script=script) if script else result
                if ways:
                    result = _go_through(work, count, result, limit.ways, watch)
                if _count(result, count) == result.least:
                    break
    except (Stopped, KeyboardInterrupt):
        result = replace(result, stopped=True)
        if result.script is None:  # what is shared out already, if it can be laid at once
            wanted = [trail for part_trails in trails for trail in part_trails]
            script = order_trails(work, wanted, seed=seed, effort=_AT_ONCE, fewer_than=count)
            result = replace(result, script=script)
    return result


def has_solver() -> bool:
    """True if OR-tools is installed (the extra `exact`)."""
    return find_spec("ortools") is not None


def _solve(
    work: Work,
    part: Sequence[int],
    bound: PartBound,
    known: Sequence[Trail],
    least: int,
    effort: float,
    go_on: Callable[[], bool],
) -> tuple[list[Trail], int]:
    """Like `fewest_trails`, by the constraint solver."""
    from airweft.plan.exact_solver import solve

    index = {bubble: i for i, bubble in enumerate(part)}
    found, least = solve(
        [work.ends[b] for b in part],
        [work.lengths[b] for b in part],
        work.kinds[bound.kind].capacity,
        most=bound.most,
        at_least=least,
        known=[[index[b] for b in trail.bubbles] for trail in known],
        effort=effort,
        go_on=go_on,
    )
    if len(found) >= len(known):
        return list(known), least
    return [walk(work, [part[b] for b in trail]) for trail in found], least


def _count(result: Exact, known: int) -> int:
    return known if result.script is None else len(result.script.strands)


def _go_through(work: Work, known: int, result: Exact, ways: int, watch: _Watch) -> Exact:
    """Every way to make a small piece with fewer balloons, until there is none."""
    from airweft.plan.exact_all import Everything

    while (count := _count(result, known)) > result.least:
        text = f"every way to make it with {count - 1} balloons"

        def go_on(states: int, words: str = text) -> bool:
            return watch.go_on(states, ways, words)

        searched = Everything(work, count - 1).search(ways, go_on)
        if searched.script is not None:
            result = replace(result, script=searched.script)
        elif searched.sure:
            return replace(result, least=count, by_hands=True)
        else:
            break
    return result


def fewest_trails(
    work: Work,
    part: Sequence[int],
    bound: PartBound,
    known: Sequence[Trail] = (),
    *,
    states: int,
    go_on: Callable[[int], bool] | None = None,
) -> tuple[list[Trail], int]:
    """The fewest trails found for a part, and the number below which there are none.

    Better than the `known` trails if any are given. `states` limits the effort, and `go_on(states)`
    is asked now and then.
    """
    least = bound.balloons
    best = list(known)
    euler = euler_trails(work, part)
    if not best or len(euler) < len(best):
        best = euler
    if len(best) == least:
        return best, least
    ends, lengths = [work.ends[b] for b in part], [work.lengths[b] for b in part]
    capacity = work.kinds[bound.kind].capacity
    sweep = Sweep(ends, lengths, capacity)

    def as_trails(lists: list[list[int]]) -> list[Trail]:
        return [walk(work, [part[b] for b in trail]) for trail in lists]

    if sweep.width > _WIDE:  # not to be settled by going through it: take what is good at once
        width = max(_BEAM, min(_BEAM_MOST, states // len(part)))
        found = sweep.beam(most=bound.most, width=width, go_on=go_on)
        if len(found) < len(best):
            best = as_trails(found)
    left = states
    while least < len(best):
        answer = sweep.decide(least, most=bound.most, effort=left, go_on=go_on)
        left -= answer.effort
        if answer.trails is not None:
            return as_trails(answer.trails), least
        if not answer.sure:
            break
        least += 1
    if least < len(best) and sweep.width <= _WIDE:
        found = sweep.beam(most=bound.most, width=_BEAM_MOST, go_on=go_on)
        if len(found) < len(best):
            best = as_trails(found)
    while least < len(best) - 1:
        fewer = sweep.decide(len(best) - 1, most=bound.most, effort=states // 8, go_on=go_on)
        if fewer.trails is None:
            break
        best = as_trails(fewer.trails)
    return best, least


def order_trails(
    work: Work,
    trails: Sequence[Trail],
    *,
    seed: int,
    effort: int,
    fewer_than: int,
    progress: Progress | None = None,
) -> Script | None:
    """A script for trails, or for others of the same bubbles, with less than so many balloons.

    The trails' number is kept if it can be; else one is cut in two where the work came to a stand.
    None if nothing was found within `effort`, counted in bubbles laid, or before a wish to stop.
    """
    with suppress(Stopped), _Watch(None, progress or Progress()) as watch:
        return _order(work, list(trails), fewer_than, effort, seed, watch)
    return None


def _order(
    work: Work, trails: list[Trail], fewer_than: int, effort: int, seed: int, watch: _Watch
) -> Script | None:
    total = len(work.ends)
    spent = 0
    while len(trails) < fewer_than:
        share = max(1, (effort - spent) // (fewer_than - len(trails)))

        def go_on(now: int, left: int, before: int = spent, count: int = len(trails)) -> bool:
            words = f"an order for {count} balloons: {left} bubbles to go"
            return watch.go_on(before + now, effort, words)

        trails, laid, used = find_order(work, trails, seed=seed, effort=share, go_on=go_on)
        spent += used
        if laid.made == total:
            easing = max(effort // 4, _EASING) if effort > _AT_ONCE else 0
            easing = min(easing, _EASING_EACH * total)
            return write(work, *_easier(work, trails, laid, easing, seed, go_on))
        if spent >= effort or not watch.go_on(spent, effort, "an order for more balloons"):
            return None
        trails = _cut(work, trails, laid.done)
    return None


def _easier(
    work: Work,
    trails: list[Trail],
    laid: Laid,
    effort: int,
    seed: int,
    go_on: Callable[[int, int], bool],
) -> tuple[list[Trail], Laid]:
    """The same number of trails with fewer loose twists, where that goes with little effort."""
    for hands in range(1, work.hands):
        easier = lay(work, trails, hands=hands)
        if easier.made == len(work.ends):
            return trails, easier
    if work.hands > EASY:
        held = replace(work, hands=EASY)
        others, easier, _ = find_order(held, trails, seed=seed, effort=effort, go_on=go_on)
        if easier.made == len(work.ends):
            return others, easier
    return trails, laid


def _cut(work: Work, trails: list[Trail], done: Sequence[int]) -> list[Trail]:
    """One balloon more: the trail with most left to make is cut where the work came to a stand."""
    number = max(
        range(len(trails)), key=lambda b: (len(trails[b].bubbles) - done[b] - (done[b] == 0), -b)
    )
    trail = trails[number]
    at = done[number] or len(trail.bubbles) // 2 or 1
    second = Trail(trail.joints(work)[at], trail.bubbles[at:])
    pieces = [Trail(trail.start, trail.bubbles[:at]), second]
    return [*trails[:number], *(p for p in pieces if p.bubbles), *trails[number + 1 :]]


def _by_parts(trails: Sequence[Trail], work: Work) -> list[list[Trail]]:
    """The trails of each part of the net."""
    part_of = {bubble: number for number, part in enumerate(work.parts) for bubble in part}
    result: list[list[Trail]] = [[] for _ in work.parts]
    for trail in trails:
        if trail.bubbles:
            result[part_of[trail.bubbles[0]]].append(trail)
    return result
