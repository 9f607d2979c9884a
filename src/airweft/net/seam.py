"""Which joints of two parts come together where the parts meet."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.net.onto import fitted
from airweft.net.rings import border_rings, by_angle, facing
from airweft.net.seams import MOST_ENDS
from airweft.records.arrays import Indices, Points
from airweft.records.net import Net

_TOUCH = 0.75  # rings nearer than this many bubbles are locked joint onto joint
_REACH = 2.5  # rings farther apart than this many bubbles are not sewn
_SPARE = 0.25  # beyond this share of joints left free, rings are stitched rather than locked
_LIKE = 0.15  # stitches that differ by less than this share from a bubble are made as long
_BROAD = 6  # closed sides that touch in more joints than this lie flat on each other
_PATCH = 0.45  # joints of a closed part this many bubbles from the first to touch, touch too


@dataclass(frozen=True, slots=True)
class Seam:
    """A seam between a part in the net and a new one.

    `locked` pairs a joint of the new part with the joint of the net that it becomes; `stitches`
    pairs them where a bubble of `stitch` hundredths of a millimetre goes from one to the other.
    `left` counts the joints of either border that nothing is sewn to, `gap` is how far the new part
    has to come nearer, in mm. `even` tells that what is left is evenly spread, `broad`
    that two closed sides lie flat on each other.
    """

    names: tuple[str, str]
    locked: tuple[tuple[int, int], ...]
    stitches: tuple[tuple[int, int], ...] = ()
    stitch: int = 0
    left: tuple[int, int] = (0, 0)
    gap: float = 0.0
    even: bool = False
    broad: bool = False


def find_seam(
    net: Net,
    target: Sequence[int],
    other: Net,
    *,
    rings: Sequence[tuple[int, ...]],
    way: Points | None,
    names: tuple[str, str],
    sewn: Collection[int] = (),
    least: int = 2,
) -> Seam:
    """The seam of `other`, standing where it is set, with the joints `target` of the net.

    `rings` are the borders of the target, `sewn` joints that are part of a seam already. `way` is
    the direction from the target to the new part; without it, that between their middles is taken,
    and the part does not move. Raises CannotMake where they meet in less than `least` joints.
    """
    there = np.asarray(net.joints[list(target)])
    own = np.asarray(other.joints)
    towards = own.mean(axis=0) - there.mean(axis=0) if way is None else way
    towards = towards / max(float(np.linalg.norm(towards)), 1e-9)
    mine = facing(other, range(other.joint_count), border_rings(other), -towards)
    theirs = facing(net, target, rings, towards, sewn)
    meeting = _Meeting(net, target, other, towards, names, way is not None, least)
    refusal: CannotMake | None = None
    if mine and theirs:
        try:
            return meeting.ring_to_ring(theirs[0], mine[0])
        except CannotMake as refused:
            refusal = refused
    try:
        if mine:
            return meeting.onto_side([joint for ring in mine for joint in ring])
        if theirs:
            return meeting.onto_ring(theirs[0])
        return meeting.side_to_side()
    except CannotMake as refused:
        raise (refusal or refused) from None


@dataclass(frozen=True, slots=True)
class _Meeting:
    """Two parts that meet along `axis`, from the net's part to the new one."""

    net: Net
    target: Sequence[int]
    other: Net
    axis: Points
    names: tuple[str, str]
    may_move: bool
    least: int

    @property
    def bubble(self) -> float:
        """The usual bubble of the new part in mm."""
        return float(np.median(self.other.lengths)) / 100

    def ring_to_ring(self, theirs: list[int], mine: list[int]) -> Seam:
        """Two border rings, each joint of the smaller one with its share of the larger's.

        Rings that lie near each other and have about as many joints are locked; others are joined
        by a row of stitches, each joint of the larger ring to two neighbours of the smaller, so
        that all keep an even number of ends.
        """
        net, other, axis, bubble = self.net, self.other, self.axis, self.bubble
        one, two = by_angle(net, theirs, axis), by_angle(other, mine, axis)
        gap = 0.0
        if self.may_move:
            gap = float((other.joints[two] @ axis).mean() - (net.joints[one] @ axis).mean())
        here = np.asarray(other.joints[two]) - gap * axis
        there = np.asarray(net.joints[one])
        apart = np.linalg.norm(here[:, None] - there[None], axis=2)
        turned_round = len(two) > len(one)  # the new part's ring is the larger one
        far = apart.T if turned_round else apart  # (smaller, larger)
        small, large = far.shape
        spread = np.arange(small) * large // small
        offset = _best(far[np.arange(small), (spread + k) % large].sum() for k in range(large))
        pairs = [(s, int(spread[s] + offset) % large) for s in range(small)]
        mean = sum(float(far[s, t]) for s, t in pairs) / small
        if mean > _REACH * bubble:
            raise CannotMake(self.far(mean))
        left = (len(one) - small, len(two) - small)
        if mean <= _TOUCH * bubble and (large - small <= _SPARE * large or not self.may_move):
            locked = [(two[t], one[s]) if turned_round else (two[s], one[t]) for s, t in pairs]
            return Seam(self.names, tuple(sorted(locked)), left=left, gap=gap, even=True)
        # A joint of the smaller ring has two ends and room for three pairs of stitches (M12).
        room = (MOST_ENDS - 2) // 2
        count = min(large, room * small)
        used = [k * large // count for k in range(count)]
        share = np.arange(count) * small // count
        offset = _best(
            far[share, np.roll(used, -k)].sum() + far[share, np.roll(used, -k - 1)].sum()
            for k in range(count)
        )
        links: list[tuple[int, int]] = []
        for k, s in enumerate(share.tolist()):
            links += [(s, used[(k + offset + more) % count]) for more in (0, 1)]
        # Let the part stand off so far that the stitches are about as long as its bubbles.
        across = here[:, None] - there[None]
        across = across - (across @ axis)[..., None] * axis
        flat = np.linalg.norm(across, axis=2)
        flat = flat.T if turned_round else flat
        wide = float(np.mean([flat[s, t] for s, t in links]))
        rise = math.sqrt(max(bubble**2 - wide**2, 0.0)) if self.may_move else 0.0
        long = math.hypot(wide, rise) if self.may_move else mean
        if abs(long - bubble) <= _LIKE * bubble:
            long = bubble
        stitches = [(two[t], one[s]) if turned_round else (two[s], one[t]) for s, t in links]
        free = large - count
        return Seam(
            self.names,
            (),
            tuple(stitches),
            max(round(long), 1) * 100,
            (0, free) if turned_round else (free, 0),
            gap - rise,
            even=True,
        )

    def side_to_side(self) -> Seam:
        """Two closed sides: the joints that touch."""
        seam = self.onto_side(self.patch())
        return replace(seam, left=(0, 0), broad=len(seam.locked) > _BROAD)

    def onto_side(self, mine: list[int]) -> Seam:
        """These joints of the new part (its border, or those that touch) onto a side."""
        spots, there = self.other.joints[mine], self.net.joints[list(self.target)]
        gap, pairs = self._fit(spots, there, self.axis, self._room(mine, self.target))
        locked = tuple(sorted((mine[k], self.target[t]) for k, t in pairs))
        return Seam(self.names, locked, left=(0, len(mine) - len(locked)), gap=gap)

    def onto_ring(self, theirs: list[int]) -> Seam:
        """The joints of a border of the net onto the nearest of the new part, which has none."""
        spots, there = self.net.joints[theirs], self.other.joints
        own = range(self.other.joint_count)
        room = self._room(list(own), theirs).T
        gap, pairs = self._fit(spots, there, -self.axis, room)
        locked = tuple(sorted((own[t], theirs[k]) for k, t in pairs))
        return Seam(self.names, locked, left=(len(theirs) - len(locked), 0), gap=gap)

    def patch(self) -> list[int]:
        """The joints of a closed part that touch first; of a broad side only its edge."""
        along = np.asarray(self.other.joints @ self.axis)
        touching = along < float(along.min()) + _PATCH * self.bubble
        inner = touching.copy()
        for a, b in self.other.ends.tolist():
            inner[a] &= touching[b]
            inner[b] &= touching[a]
        return [int(j) for j in np.flatnonzero(touching & ~inner)]

    def _fit(
        self, spots: Points, there: Points, axis: Points, room: Points
    ) -> tuple[float, list[tuple[int, int]]]:
        fit = fitted(spots, there, axis, self.bubble, room, may_move=self.may_move)
        if len(fit.pairs) < self.least:
            raise CannotMake(self.far(fit.nearest))
        return fit.gap, fit.pairs

    def _room(self, mine: Sequence[int], theirs: Sequence[int]) -> Points:
        """(mine, theirs) 1 where a joint of both would hold no more ends than it may (M12)."""
        own, ends = ends_of(self.other)[list(mine)], ends_of(self.net)[list(theirs)]
        return np.asarray((own[:, None] + ends[None]) <= MOST_ENDS, dtype=np.float64)

    def far(self, apart: float) -> Finding:
        """The refusal of parts that do not meet."""
        below, above = self.names
        return Finding(
            code="parts-do-not-meet",
            severity="cannot",
            where=f"part {above}",
            message=f"The {above} does not meet the {below}: their joints are {apart / 10:.1f} cm "
            f"apart, and bubbles are {self.bubble / 10:.1f} cm long.",
            remedy="Make borders that meet nearly equally wide, set the part nearer with "
            '"on" and "shift", or name joints with "sew".',
        )


def ends_of(net: Net) -> Indices:
    """(n,) bubble ends at each joint; a loop counts twice."""
    return np.asarray(np.bincount(net.ends.ravel(), minlength=net.joint_count), dtype=np.int64)


def _best(sums: Iterable[float]) -> int:
    """The number of the least of these, the first among equals."""
    listed = [round(float(total), 6) for total in sums]
    return listed.index(min(listed))
