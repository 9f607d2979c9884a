"""Sharing a net out among several people: connected parts of equal work that meet in few joints.

What is shared out are *atoms*: the rings of bubbles that the cells of the surface became and, where
bubbles belong to no cell, joints with the bubbles between them. A cut between cells runs along
edges of the mesh, so that at every joint on it each side keeps two ends. Work is weighed in tenths
of a second.

Several first shares are tried (slices, halves of halves, growing from far apart, whole panels).
Each is improved by moving one atom at a time, the best move first and for a while even one that
makes things worse (C. M. Fiduccia and R. M. Mattheyses, DAC 1982; from memory), never tearing a
part.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from random import Random

from airweft.plan.kinds import Work

TWIST, LOCK, BALLOON = 15, 70, 255  # tenths of a second of practised hands; from memory
_BRIDGE = 150  # a bubble that joins two parts: made, locked, and often a balloon of its own
_OFF_PANEL = 1.5  # how much dearer a joint is where the cut does not follow the seams of panels
_EXTRA = 300  # a balloon more than the whole net would need
_MOST_SHARES = 4096  # shares of whole panels that are looked at
_BOLD = 40  # moves that may make things worse before a better state must be met
_PASSES = 12
_GROWN = 3
_LARGE = 1500  # atoms from which only the most promising shares are improved
_FEW = 3


@dataclass(frozen=True, slots=True)
class Atoms:
    """What is shared out; k atoms, the cells first.

    weight   tenths of a second        near    for each atom its neighbours and what a cut costs
    place    x, y, z in whole 0.01 mm  panel   number of its panel, -1 for none
    of_joint for each joint its atoms  counts  for each atom its bubbles by kind
    """

    weight: list[int]
    near: list[dict[int, int]]
    place: list[tuple[int, int, int]]
    panel: list[int]
    of_joint: list[list[int]]
    counts: list[list[int]]


def atoms_of(work: Work, *, balloons: bool = True) -> Atoms:
    """The net's atoms; `balloons` counts what a cut costs in balloons as well as in time.

    Takes time in proportion to the net.
    """
    net = work.net
    in_cell = [-1] * len(work.ends)
    of_joint: list[list[int]] = [[] for _ in range(work.joint_count)]
    for number, cell in enumerate(net.cells):
        for bubble in cell.bubbles:
            if in_cell[bubble] < 0:
                in_cell[bubble] = number
        for joint in dict.fromkeys(cell.joints):
            of_joint[joint].append(number)
    count = len(net.cells)
    for owners in of_joint:
        if not owners:
            owners.append(count)
            count += 1
    atoms = Atoms(
        [0] * count,
        [{} for _ in range(count)],
        [(0, 0, 0)] * count,
        [-1] * count,
        of_joint,
        [[0] * len(work.kinds) for _ in range(count)],
    )
    _measure(atoms, work, in_cell, _EXTRA if balloons else 0)
    names = {panel: i for i, panel in enumerate(dict.fromkeys(c.panel for c in net.cells))}
    for number, cell in enumerate(net.cells):
        atoms.panel[number] = names[cell.panel]
    return atoms


def _measure(atoms: Atoms, work: Work, in_cell: list[int], extra: int) -> None:
    """Weights, neighbours and places."""
    most = [max(1, len(kind.capacity.most_length) - 1) for kind in work.kinds]
    for kind, bubble in {k: b for b, k in enumerate(work.kind_of)}.items():
        most[kind] = max(1, work.kinds[kind].capacity.most_of(work.lengths[bubble]))
    for bubble, (a, b) in enumerate(work.ends):
        kind = work.kind_of[bubble]
        owner = in_cell[bubble] if in_cell[bubble] >= 0 else atoms.of_joint[a][0]
        atoms.weight[owner] += TWIST + BALLOON // most[kind]
        atoms.counts[owner][kind] += 1
        if in_cell[bubble] < 0 and not set(atoms.of_joint[a]) & set(atoms.of_joint[b]):
            _link(atoms, atoms.of_joint[a][0], atoms.of_joint[b][0], _BRIDGE)
    seams = set(work.net.seams)
    sums = [[0, 0, 0, 0] for _ in atoms.weight]
    places = (work.net.joints * 100).round().astype(int).tolist()
    for joint, owners in enumerate(atoms.of_joint):
        for i, owner in enumerate(owners):
            atoms.weight[owner] += LOCK // len(owners)
            sums[owner] = [s + v for s, v in zip(sums[owner], [*places[joint], 1], strict=True)]
            for other in owners[:i]:
                cost = LOCK if joint in seams else int(LOCK * _OFF_PANEL)
                cost += extra * _ends_more(work, in_cell, joint, owner, other) // 2
                _link(atoms, owner, other, cost)
    for atom, (x, y, z, n) in enumerate(sums):
        atoms.place[atom] = (x // n, y // n, z // n)


def _ends_more(work: Work, in_cell: list[int], joint: int, one: int, two: int) -> int:
    """How many more balloons' ends a joint has if a cut between these two cells runs through it.

    Of every colour an odd number of ends is left over at a joint, on each side of a cut.
    """
    odd: dict[tuple[int, int], int] = {}
    for bubble, _ in work.at[joint]:
        if in_cell[bubble] in (one, two):
            key = (in_cell[bubble], work.kind_of[bubble])
            odd[key] = odd.get(key, 0) ^ 1
    together: dict[int, int] = {}
    for (_, kind), left in odd.items():
        together[kind] = together.get(kind, 0) ^ left
    return sum(odd.values()) - sum(together.values())


def _link(atoms: Atoms, a: int, b: int, cost: int) -> None:
    atoms.near[a][b] = atoms.near[a].get(b, 0) + cost
    atoms.near[b][a] = atoms.near[b].get(a, 0) + cost


def share_out(work: Work, atoms: Atoms, crew: int, seed: int) -> list[int] | None:
    """For each atom the part it belongs to, 0 to `crew` - 1; None where the net cannot be shared.

    Every part is connected. The same seed gives the same answer.
    """
    shares: list[list[int]] = []
    for first in _firsts(atoms, crew, seed):
        mended = _mended(atoms, first, crew)
        if mended is not None:
            shares.append(mended)
    if len(atoms.weight) > _LARGE:
        shares = sorted(shares, key=lambda share: _Share(atoms, share, crew).worth())[:_FEW]
    best: tuple[int, list[int]] | None = None
    for first in shares:
        share = _Share(atoms, first, crew)
        share.improve()
        worth = share.worth() + _EXTRA * _extra_balloons(work, atoms, share.part_of, crew)
        if best is None or worth < best[0]:
            best = (worth, share.part_of)
    return best[1] if best else None


def time_apart(
    work: Work, atoms: Atoms, part_of: list[int], crew: int, bound: int
) -> tuple[int, int]:
    """Tenths of a second of the longest part and the joining, and of the whole by one maker.

    `bound` is the fewest balloons for the whole. Those beyond what the number of bubbles asks for,
    and those that the cut costs, are inflated by all.
    """
    share = _Share(atoms_of(work, balloons=False), part_of, crew)
    whole = sum(share.sums)
    counted = whole - TWIST * len(work.ends) - LOCK * work.joint_count
    whole += (hidden := max(0, bound * BALLOON - counted))
    more = (_Share(atoms, part_of, crew).cut - share.cut) // _EXTRA
    return max(share.sums) + share.cut + (hidden + more * BALLOON) // crew, whole


def _extra_balloons(work: Work, atoms: Atoms, part_of: list[int], crew: int) -> int:
    """Balloons that the parts need beyond those of the whole, by counting bubbles alone."""
    extra = 0
    for kind, k in enumerate(work.kinds):
        counts = [0] * crew
        for atom, part in enumerate(part_of):
            counts[part] += atoms.counts[atom][kind]
        length = min(work.lengths[b] for b, own in enumerate(work.kind_of) if own == kind)
        most = max(1, k.capacity.most_of(length))
        extra += sum(-(-count // most) for count in counts) + sum(counts) // -most
    return extra


# --- first shares -------------------------------------------------------------------------------


def _firsts(atoms: Atoms, crew: int, seed: int) -> list[list[int]]:
    """First shares, not all of them connected."""
    everything = list(range(len(atoms.weight)))
    found = [_slices(atoms, everything, crew, axis) for axis in range(3)]
    found.append(_slices(atoms, everything, crew, -1))
    found.append(_halves(atoms, crew))
    pick = Random(seed)
    found += [_grown(atoms, crew, pick.choice(everything)) for _ in range(_GROWN)]
    return found + _panels(atoms, crew)


def _slices(atoms: Atoms, which: list[int], crew: int, axis: int) -> list[int]:
    """Equal slices across an axis (0 to 2), or like those of an orange (-1)."""
    middle = [sum(place[i] for place in atoms.place) // len(atoms.place) for i in range(3)]

    def order(atom: int) -> tuple[float, ...]:
        x, y, z = atoms.place[atom]
        if axis < 0:
            return (*_round_about(x - middle[0], y - middle[1]), z, atom)
        place = (x, y, z)
        return (place[axis], place[(axis + 1) % 3], place[(axis + 2) % 3], atom)

    part_of = [0] * len(atoms.weight)
    total, done = sum(atoms.weight[a] for a in which), 0
    for atom in sorted(which, key=order):
        part_of[atom] = min(crew - 1, (done + atoms.weight[atom] // 2) * crew // max(1, total))
        done += atoms.weight[atom]
    return part_of


def _round_about(x: int, y: int) -> tuple[int, float]:
    """A key that grows with the angle, by exact arithmetic: the quarter, and a slope within it."""
    if x > 0 and y >= 0:
        return 0, y / (x + y)
    if x <= 0 and y > 0:
        return 1, -x / (y - x)
    if x < 0:
        return 2, y / (x + y)
    return 3, x / (x - y) if x != y else 0.0


def _halves(atoms: Atoms, crew: int) -> list[int]:
    """Cut across the longest side, and each piece again, down to one part for each person."""
    part_of = [0] * len(atoms.weight)

    def cut(which: list[int], first: int, count: int) -> None:
        if count == 1 or len(which) < 2:
            for atom in which:
                part_of[atom] = first
            return
        spans = []
        for axis in range(3):
            values = [atoms.place[a][axis] for a in which]
            spans.append((min(values) - max(values), axis))
        axis = min(spans)[1]
        which.sort(key=lambda a: (atoms.place[a][axis], atoms.place[a], a))
        total, done, at = sum(atoms.weight[a] for a in which), 0, 0
        left = count // 2
        while at < len(which) - 1 and (done + atoms.weight[which[at]] // 2) * count < total * left:
            done += atoms.weight[which[at]]
            at += 1
        cut(which[:at], first, left)
        cut(which[at:], first + left, count - left)

    cut(list(range(len(atoms.weight))), 0, crew)
    return part_of


def _grown(atoms: Atoms, crew: int, start: int) -> list[int]:
    """Grown from atoms far apart, the lightest part taking the next."""
    seeds = [start]
    while len(seeds) < crew:
        hops = _hops(atoms, seeds)
        seeds.append(max(range(len(hops)), key=lambda atom: (hops[atom], -atom)))
    part_of = [-1] * len(atoms.weight)
    sums = [0] * crew
    edges: list[dict[int, int]] = [{} for _ in range(crew)]

    def take(atom: int, part: int) -> None:
        part_of[atom] = part
        sums[part] += atoms.weight[atom]
        for edge in edges:
            edge.pop(atom, None)
        for other, cost in atoms.near[atom].items():
            if part_of[other] < 0:
                edges[part][other] = edges[part].get(other, 0) + cost

    for part, atom in enumerate(dict.fromkeys(seeds)):
        take(atom, part)
    while any(edges):
        part = min((p for p in range(crew) if edges[p]), key=lambda p: (sums[p], p))
        take(max(edges[part], key=lambda atom: (edges[part][atom], -atom)), part)
    return part_of


def _hops(atoms: Atoms, seeds: list[int]) -> list[int]:
    hops = [-1] * len(atoms.weight)
    queue = list(seeds)
    for atom in seeds:
        hops[atom] = 0
    for atom in queue:
        for other in atoms.near[atom]:
            if hops[other] < 0:
                hops[other] = hops[atom] + 1
                queue.append(other)
    return hops


def _panels(atoms: Atoms, crew: int) -> list[list[int]]:
    """The best shares of whole panels, where there are few enough to look at all."""
    count = max(atoms.panel) + 1
    if count < crew or min(atoms.panel) < 0 or crew ** (count - 1) > _MOST_SHARES:
        return []
    whole = Atoms(
        [0] * count, [{} for _ in range(count)], [(0, 0, 0)] * count, list(range(count)), [], []
    )
    for atom, panel in enumerate(atoms.panel):
        whole.weight[panel] += atoms.weight[atom]
        for other, cost in atoms.near[atom].items():
            if other < atom and atoms.panel[other] != panel:
                _link(whole, panel, atoms.panel[other], cost)
    ranked = []
    for rest in product(range(crew), repeat=count - 1):
        part_of = [0, *rest]
        if len(set(part_of)) == crew and _mended(whole, part_of, crew) == part_of:
            ranked.append((_Share(whole, part_of, crew).worth(), part_of))
    return [[part_of[p] for p in atoms.panel] for _, part_of in sorted(ranked)[:_FEW]]


def _mended(atoms: Atoms, part_of: list[int], crew: int) -> list[int] | None:
    """Every part made connected: what lies apart goes to its neighbours; None if one is empty."""
    pieces: list[tuple[int, int, list[int]]] = []  # weight, part, atoms
    seen = [False] * len(part_of)
    for atom, part in enumerate(part_of):
        if seen[atom] or part < 0:
            continue
        seen[atom] = True
        piece = [atom]
        for here in piece:
            for other in atoms.near[here]:
                if not seen[other] and part_of[other] == part:
                    seen[other] = True
                    piece.append(other)
        pieces.append((sum(atoms.weight[a] for a in piece), part, piece))
    result = [-1] * len(part_of)
    for part in range(crew):
        own = [piece for piece in pieces if piece[1] == part]
        if not own:
            return None
        for atom in max(own)[2]:
            result[atom] = part
    open_atoms = [atom for atom, part in enumerate(result) if part < 0]
    while open_atoms:
        left = []
        for atom in open_atoms:
            ties: dict[int, int] = {}
            for other, cost in atoms.near[atom].items():
                if result[other] >= 0:
                    ties[result[other]] = ties.get(result[other], 0) + cost
            if ties:
                result[atom] = max(ties, key=lambda part: (ties[part], -part))
            else:
                left.append(atom)
        if len(left) == len(open_atoms):
            return None
        open_atoms = left
    return result


# --- improving ----------------------------------------------------------------------------------


class _Share:
    """A share while it is improved: sums of the parts, and what the cut costs."""

    def __init__(self, atoms: Atoms, part_of: list[int], crew: int) -> None:
        self.atoms = atoms
        self.part_of = list(part_of)
        self.sums = [0] * crew
        self.sizes = [0] * crew
        self.cut = 0
        for atom, part in enumerate(part_of):
            self.sums[part] += atoms.weight[atom]
            self.sizes[part] += 1
            for other, cost in atoms.near[atom].items():
                if other < atom and part_of[other] != part:
                    self.cut += cost
        self.mean = sum(self.sums) // crew

    def worth(self) -> int:
        """Tenths of a second until all is joined beyond the mean part; smaller is better."""
        return self.cut + max(self.sums) - self.mean

    def _cost(self) -> int:
        """Like `worth`, but felt by every part that is too heavy."""
        return self.cut + sum(max(0, s - self.mean) for s in self.sums)

    def improve(self) -> None:
        """Move atoms across the cut, one by one, while that helps."""
        for _ in range(_PASSES):
            if not self._pass():
                return

    def _pass(self) -> bool:
        """One pass in which each atom moves at most once; True if it helped."""
        fixed: set[int] = set()
        done: list[tuple[int, int]] = []
        best, best_at = self._cost(), 0
        before = best
        border = {atom for atom in range(len(self.part_of)) if self._outside(atom)}
        while len(done) - best_at < _BOLD:
            move = self._best_move(border, fixed)
            if move is None:
                break
            atom, to = move
            done.append((atom, self.part_of[atom]))
            self._move(atom, to)
            fixed.add(atom)
            for near in (atom, *self.atoms.near[atom]):
                (border.add if self._outside(near) else border.discard)(near)
            if (cost := self._cost()) < best:
                best, best_at = cost, len(done)
        for atom, part in reversed(done[best_at:]):
            self._move(atom, part)
        return best < before

    def _outside(self, atom: int) -> bool:
        part = self.part_of[atom]
        return any(self.part_of[other] != part for other in self.atoms.near[atom])

    def _best_move(self, border: set[int], fixed: set[int]) -> tuple[int, int] | None:
        """The move that makes things best, or least worse, without tearing a part."""
        ranked: list[tuple[int, int, int]] = []
        for atom in border - fixed:
            part, weight = self.part_of[atom], self.atoms.weight[atom]
            ties: dict[int, int] = {}
            for other, cost in self.atoms.near[atom].items():
                ties[self.part_of[other]] = ties.get(self.part_of[other], 0) + cost
            mine = ties.pop(part, 0)
            over = max(0, self.sums[part] - self.mean)
            less = max(0, self.sums[part] - weight - self.mean) - over
            for to, cost in ties.items():
                room = max(0, self.sums[to] - self.mean)
                more = max(0, self.sums[to] + weight - self.mean) - room
                ranked.append((mine - cost + less + more, atom, to))
        ranked.sort()
        for _, atom, to in ranked:
            if self.sizes[self.part_of[atom]] > 1 and not self._tears(atom):
                return atom, to
        return None

    def _move(self, atom: int, to: int) -> None:
        part, weight = self.part_of[atom], self.atoms.weight[atom]
        for other, cost in self.atoms.near[atom].items():
            if self.part_of[other] == part:
                self.cut += cost
            elif self.part_of[other] == to:
                self.cut -= cost
        self.part_of[atom] = to
        self.sums[part] -= weight
        self.sums[to] += weight
        self.sizes[part] -= 1
        self.sizes[to] += 1

    def _tears(self, atom: int) -> bool:
        """True if the atom's part falls apart without it."""
        part = self.part_of[atom]
        own = {other for other in self.atoms.near[atom] if self.part_of[other] == part}
        if len(own) < 2:
            return False
        first = min(own)
        own.discard(first)
        seen, queue = {atom, first}, [first]
        for here in queue:
            for other in self.atoms.near[here]:
                if other not in seen and self.part_of[other] == part:
                    own.discard(other)
                    if not own:
                        return False
                    seen.add(other)
                    queue.append(other)
        return True
