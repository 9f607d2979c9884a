"""The shape a net takes: bubbles at their lengths, bodies side by side, settled under weight."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from airweft.base.findings import Finding, in_order
from airweft.base.progress import Progress
from airweft.records.arrays import points
from airweft.records.net import Net
from airweft.records.shape import Shape, Stand
from airweft.shape import measure, report
from airweft.shape.fire import Rest, settle
from airweft.shape.joints import wants_of
from airweft.shape.model import Contacts, Springs, contacts_near, forces, skin, springs_of
from airweft.shape.settings import Settings
from airweft.shape.sparse import Floats, part_count, turned
from airweft.shape.start import Start, start_of
from airweft.shape.turn import held_joints, hung_below, tilt_degrees, turned_back

Force = Callable[[Floats], Floats]
_GOOD = 1e-3  # lengths as near as this are not made better
_LEAN = 15.0  # a piece that leans more than this on the table, in degrees, is falling over
_STEPS_IN_ALL = 50_000_000  # steps times bubbles
_MOST_STRETCH = 0.05  # corrections make good at most this share of a bubble's length


def predict(
    net: Net,
    *,
    diameter_mm: float | Sequence[float],
    stand: Stand = "table",
    seed: int = 0,
    settings: Settings | None = None,
    progress: Progress | None = None,
) -> Shape:
    """The predicted shape of `net`.

    `diameter_mm` is the inflated diameter of every bubble's balloon, or one for each bubble. On a
    "table" the piece stands as it is drawn, z up; with "hang" it hangs from its highest joints;
    "free" leaves the weight out. Joints of the net may lie anywhere: what cannot be used is made
    good and told in the findings. Raises Stopped when the progress is asked to stop. About
    O(bubbles) for a step, a few hundred steps.
    """
    settings = settings or Settings()
    progress = progress or Progress()
    broad = np.broadcast_to(np.asarray(diameter_mm, dtype=np.float64), (net.bubble_count,))
    begin = start_of(net, broad, plump=settings.plump, jitter=settings.jitter, seed=seed)
    if not net.bubble_count or not net.joint_count:
        return report.nothing(net, stand)
    wants = wants_of(net, begin.spots, begin.links)
    springs = springs_of(begin.links, begin.lengths, begin.radii, wants, len(begin.spots), settings)
    run = _Run(springs, settings, progress, net.bubble_count)
    free = run.unladen(begin.spots, last=stand == "free")
    spots = turned_back(free.spots, begin.spots)
    findings = list(begin.findings)
    held: tuple[int, ...] = ()
    last = free
    if stand == "hang":
        held = held_joints(spots[: net.joint_count])
        spots = hung_below(spots, held, springs.load)
        last = run.weigh(spots, held=held)
        spots = last.spots
    elif stand == "table":
        last = run.weigh(_put_down(springs, spots), held=())
        if tilt_degrees(last.spots, spots) > _LEAN:
            findings.append(report.falls())
            last = free
            run.goal = settings.rest
            spots = _put_down(springs, spots)
        else:
            spots = last.spots
    return _shape(net, begin, springs, spots, last, broad, stand, held, findings, run)


class _Run:
    """One prediction: the springs, the lengths made good so far, the steps taken so far."""

    def __init__(
        self, springs: Springs, settings: Settings, progress: Progress, bubbles: int
    ) -> None:
        self.springs, self.settings, self.progress = springs, settings, progress
        self.extra = np.zeros(bubbles)
        self.steps = 0
        self.goal = settings.rest
        # Very large nets get fewer steps, so that the wait stays bearable.
        self.left = max(1200, _STEPS_IN_ALL // max(1, bubbles))
        self._contacts: Contacts | None = None
        self._since = np.zeros((0, 3))

    def inner(self, spots: Floats) -> Floats:
        """Forces of the springs and the contacts, which are found anew where needed."""
        if self._contacts is not None:
            moved = spots - self._since
            if float(np.einsum("ij,ij->i", moved, moved).max()) > skin() ** 2:
                self._contacts = None
        if self._contacts is None:
            self._contacts = contacts_near(self.springs, spots, self.settings)
            self._since = spots.copy()
        return forces(self.springs, self._contacts, spots, self.extra, self.settings)

    def _settle(self, spots: Floats, force: Force, *, rest: float) -> Rest:
        def told(done: int) -> None:
            self.progress.report(min(done, most), most, "finding the shape")

        most = min(self.settings.steps, self.left // 2)

        found = settle(
            spots,
            force,
            mass=self.springs.mass,
            rest=rest,
            steps=most,
            told=told,
        )
        self.steps += found.steps
        self.left -= found.steps
        self.goal = rest
        return found

    def _make_good(self, spots: Floats) -> float:
        """Changes the lengths at rest by what bubbles lack; the greatest lack as a share."""
        links, lengths = self.springs.links, self.springs.lengths
        d = spots[links[:, 1]] - spots[links[:, 0]]
        lack = lengths - np.sqrt((d * d).sum(axis=1))
        limit = _MOST_STRETCH * lengths
        self.extra = np.clip(self.extra + lack, -limit, limit)
        return float(np.abs(lack / lengths).max())

    def unladen(self, start: Floats, *, last: bool) -> Rest:
        """Rest without weight; with lengths made good only if no weight follows."""
        found = self._settle(start, self.inner, rest=self.settings.rest)
        return self._corrected(found, self.inner) if last else found

    def _corrected(self, found: Rest, force: Force) -> Rest:
        """Rest again after lengths were made good, a few times."""
        rest = self.goal
        for _ in range(self.settings.corrections):
            if self._make_good(found.spots) < _GOOD:
                break
            found = self._settle(found.spots, force, rest=rest)
        return found

    def weigh(self, start: Floats, *, held: tuple[int, ...]) -> Rest:
        """Rest under weight: hanging by the held joints, or on a floor that holds by friction."""
        springs, settings = self.springs, self.settings
        load = springs.load * settings.weight
        hold = list(held)
        below = turned(springs.balls)

        def force(spots: Floats) -> Floats:
            total = self.inner(spots)
            total[:, 2] -= load
            if hold:
                total[hold] = 0.0
                return total
            deep = np.maximum(springs.ball_radii - springs.balls @ spots[:, 2], 0.0)
            lift = below @ deep * settings.contact
            total[:, 2] += lift
            # Latex sticks to a table: sideways forces up to the pressure are held (friction 1, an
            # assumption).
            side = np.sqrt((total[:, :2] ** 2).sum(axis=1))
            share = np.where(lift > 0, np.maximum(0.0, 1 - lift / np.maximum(side, 1e-12)), 1.0)
            total[:, :2] *= share[:, None]
            return total

        rest = min(settings.rest, max(settings.weight / 10, 1e-7))
        return self._corrected(self._settle(start, force, rest=rest), force)


def _put_down(springs: Springs, spots: Floats) -> Floats:
    """The piece moved straight down until its lowest body touches the floor."""
    if not len(springs.ball_radii):
        return spots
    lowest = float((springs.balls @ spots[:, 2] - springs.ball_radii).min())
    lowered: Floats = spots - np.array([0.0, 0.0, lowest])
    return lowered


def _shape(
    net: Net,
    begin: Start,
    springs: Springs,
    spots: Floats,
    last: Rest,
    broad: Floats,
    stand: Stand,
    held: tuple[int, ...],
    findings: list[Finding],
    run: _Run,
) -> Shape:
    """The record of what was found."""
    unit, n = begin.unit_mm, net.joint_count
    if not np.isfinite(spots).all():  # cannot happen as far as known; a picture must still come out
        findings.append(report.strange("the forces grew beyond all numbers"))
        spots = begin.spots
    bars = np.flatnonzero(net.ends[:, 0] != net.ends[:, 1])
    errors = measure.length_errors(spots, begin.links, begin.lengths, bars)
    worst, pairs = measure.overlaps(springs, spots, run.settings)
    converged = last.force <= run.goal
    findings += report.length_findings(net, bars, errors)
    findings += report.overlap_findings(net, worst, pairs)
    findings += report.rest_findings(stand, converged, run.steps)
    parts = part_count(net.ends, n)
    if parts > 1:
        findings.append(report.separate(parts))
    mm = spots * unit
    lengths_mm = begin.lengths * unit
    across = measure.outer_diameters(lengths_mm, np.clip(np.nan_to_num(broad), 0.0, 1e5))
    low, high = measure.extents(net, mm, begin.links, across)
    middle = (low + high) / 2
    origin = np.array([middle[0], middle[1], low[2]])
    width, depth, height = (round(float(x), 3) for x in high - low)
    return Shape(
        positions=points(np.round((mm - origin)[:n], 3) + 0.0),
        diameters=tuple(np.round(2 * begin.radii * unit, 3).tolist()),
        length_error=(float(errors.max(initial=0.0)), float(errors.mean() if len(bars) else 0.0)),
        overlaps=tuple(pairs),
        worst_overlap=worst,
        width=width,
        depth=depth,
        height=height,
        stand=stand,
        held=held,
        iterations=run.steps,
        converged=converged,
        findings=tuple(in_order(findings)),
    )
