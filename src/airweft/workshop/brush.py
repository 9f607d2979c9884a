"""What a stroke of the brush paints: from the bubbles it met to all that go with them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from airweft.records.net import Net

Reach = Literal["bubble", "row", "round", "column", "panel", "flood"]
REACHES: tuple[Reach, ...] = ("bubble", "row", "round", "column", "panel", "flood")
Mirror = Literal["width", "depth", "height", "half", "third", "quarter"]
MIRRORS: tuple[Mirror, ...] = ("width", "depth", "height", "half", "third", "quarter")

_NEAR = 0.3  # of a bubble's length, within which a place counts as the same
_FLIPS: dict[str, tuple[float, float, float]] = {
    "width": (-1, 1, 1),
    "depth": (1, -1, 1),
    "height": (1, 1, -1),
}
_TURNS = {"half": 2, "third": 3, "quarter": 4}


class Brush:
    """Painting on one net, in today's colours."""

    def __init__(self, net: Net) -> None:
        self.net = net
        self._number = {name: k for k, name in enumerate(net.bubble_names)}
        self._places = net.places if net.counted is None else net.counted
        ends = net.joints[net.ends]
        self._middles: NDArray[np.float64] = ends.mean(axis=1) if len(ends) else np.zeros((0, 3))
        lengths = net.lengths / 100
        self._near = _NEAR * float(np.median(lengths)) if len(lengths) else 1.0
        self._upright: frozenset[str] | None = None
        self._twins: dict[str, NDArray[np.int64]] = {}

    def reached(
        self, names: Iterable[str], reach: Reach, mirrors: Sequence[Mirror] = ()
    ) -> tuple[str, ...]:
        """All bubbles painted by a stroke that met these, in the order of the net. Unknown names
        are left out; a bubble on no chart has no row or column and stands for itself."""
        found: set[int] = set()
        for bubble in (self._number[n] for n in names if n in self._number):
            if reach == "bubble" or bubble not in found:
                found |= self._with(bubble, reach)
        for mirror in mirrors:
            self._mirror(found, mirror)
        return tuple(self.net.bubble_names[b] for b in sorted(found))

    def on(self, net: Net) -> Brush:
        """The brush for a net: what is known of its places serves on where only colours differ."""
        old = self.net
        brush = Brush(net)
        if (
            old.bubble_names == net.bubble_names
            and old.joints.shape == net.joints.shape
            and bool((old.joints == net.joints).all())
        ):
            brush._twins, brush._upright = self._twins, self._upright
        return brush

    def without_twin(self, mirrors: Sequence[Mirror]) -> int:
        """How many bubbles have no counterpart in one of the mirrors."""
        missing = np.zeros(self.net.bubble_count, dtype=bool)
        for mirror in mirrors:
            missing |= self._twin(mirror) < 0
        return int(missing.sum())

    def _with(self, bubble: int, reach: Reach) -> set[int]:
        net, places = self.net, self._places
        panel = net.bubble_panels[bubble]
        if reach == "panel":
            return {b for b, other in enumerate(net.bubble_panels) if other == panel}
        if reach == "flood":
            return self._flood(bubble)
        if reach == "bubble" or places[bubble, 0] < 0:
            return {bubble}
        if reach == "round" and panel in self._upright_panels():
            z = self._middles[:, 2]
            level = np.flatnonzero((np.abs(z - z[bubble]) < self._near) & (places[:, 0] >= 0))
            return {b for b in level.tolist() if net.bubble_panels[b] in self._upright_panels()}
        axis = 0 if reach == "column" else 1
        line = np.flatnonzero((places[:, axis] == places[bubble, axis]) & (places[:, 0] >= 0))
        return {b for b in line.tolist() if net.bubble_panels[b] == panel}

    def _flood(self, start: int) -> set[int]:
        """Bubbles of its colour that hang together with it through joints."""
        net = self.net
        at = net.ends_at()
        mark = net.colours[start]
        found, waiting = {start}, [start]
        while waiting:
            for joint in net.ends[waiting.pop()].tolist():
                for other in at[joint]:
                    if other not in found and net.colours[other] == mark:
                        found.add(other)
                        waiting.append(other)
        return found

    def _upright_panels(self) -> frozenset[str]:
        """Panels whose rows lie level, one above the other."""
        if self._upright is None:
            levels: dict[tuple[str, int], list[float]] = {}
            for b, (column, row) in enumerate(self._places.tolist()):
                if column >= 0:
                    key = (self.net.bubble_panels[b], row)
                    levels.setdefault(key, []).append(float(self._middles[b, 2]))
            panels = {panel for panel, _ in levels}
            slanted = {p for (p, _), z in levels.items() if max(z) - min(z) > self._near}
            high = {
                panel: {round(z[0] / self._near) for (p, _), z in levels.items() if p == panel}
                for panel in panels
            }
            self._upright = frozenset(p for p in panels - slanted if len(high[p]) > 1)
        return self._upright

    def _mirror(self, found: set[int], mirror: Mirror) -> None:
        """Add the counterparts of all that was found; turned ones on and on, all the way round."""
        twin = self._twin(mirror)
        new = set(found)
        for _ in range(_TURNS.get(mirror, 2) - 1):
            new = {int(twin[b]) for b in new if twin[b] >= 0}
            found |= new

    def _twin(self, mirror: Mirror) -> NDArray[np.int64]:
        if mirror not in self._twins:
            self._twins[mirror] = self._sought(mirror)
        return self._twins[mirror]

    def _sought(self, mirror: Mirror) -> NDArray[np.int64]:
        """For each bubble the one that lies where the mirror shows it, -1 where none does."""
        if not len(self._middles):
            return np.zeros(0, dtype=np.int64)
        low, high = self._middles.min(axis=0), self._middles.max(axis=0)
        here = self._middles - (low + high) / 2
        if mirror in _FLIPS:
            there = here * np.array(_FLIPS[mirror])
        else:
            angle = 2 * np.pi / _TURNS[mirror]
            c, s = np.cos(angle), np.sin(angle)
            there = here @ np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])
        # Places in a grid as wide as the reach: what is near lies in the same cell or beside it.
        cells: dict[tuple[int, int, int], list[int]] = {}
        for b, (x, y, z) in enumerate(np.floor(here / self._near).astype(int).tolist()):
            cells.setdefault((x, y, z), []).append(b)
        twin = np.full(len(here), -1, dtype=np.int64)
        beside = [(i, j, k) for i in (-1, 0, 1) for j in (-1, 0, 1) for k in (-1, 0, 1)]
        for b, (x, y, z) in enumerate(np.floor(there / self._near).astype(int).tolist()):
            near = [o for i, j, k in beside for o in cells.get((x + i, y + j, z + k), ())]
            if near:
                apart = ((here[near] - there[b]) ** 2).sum(axis=1)
                best = int(apart.argmin())
                if apart[best] <= self._near**2:
                    twin[b] = near[best]
        return twin
