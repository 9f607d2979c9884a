"""The net as the planner sees it: bubbles sorted by the kind of balloon that can make them."""

from __future__ import annotations

from dataclasses import dataclass

from airweft.plan.capacity import Capacity
from airweft.records.net import Net


@dataclass(frozen=True, slots=True)
class Kind:
    """One colour of one balloon size, and what a balloon of it can make."""

    colour: str
    size: str
    capacity: Capacity


@dataclass(frozen=True, slots=True)
class Work:
    """A net prepared for planning; plain lists, for speed in the inner loops.

    ends        (a, b) of each bubble            lengths   hundredths of a millimetre
    kind_of     index into `kinds`               is_free   the second end hangs free
    at          for each joint (bubble, other end), without loops
    loops_at    for each joint its loops
    parts       the connected parts of each kind, as sorted lists of bubbles, by lowest bubble
    passing     joints of two bubbles of one kind that a balloon may only pass: nothing begins, ends
                or is locked there (where what one person makes is to meet what another makes)
    """

    net: Net
    kinds: tuple[Kind, ...]
    kind_of: list[int]
    ends: list[tuple[int, int]]
    lengths: list[int]
    is_free: list[bool]
    at: list[list[tuple[int, int]]]
    loops_at: list[list[int]]
    parts: list[list[int]]
    hands: int
    passing: frozenset[int] = frozenset()

    @property
    def joint_count(self) -> int:
        """Number of joints."""
        return len(self.at)


def prepare(net: Net, capacities: dict[str, Capacity], hands: int) -> Work:
    """Sort the net's bubbles by kind; kinds come in order of first use."""
    index: dict[tuple[str, str], int] = {}
    kinds: list[Kind] = []
    kind_of: list[int] = []
    for colour, size in zip(net.colours, net.sizes, strict=True):
        key = (colour, size)
        if key not in index:
            index[key] = len(kinds)
            kinds.append(Kind(colour, size, capacities[size]))
        kind_of.append(index[key])
    ends = [(a, b) for a, b in net.ends.tolist()]
    at: list[list[tuple[int, int]]] = [[] for _ in range(net.joint_count)]
    loops_at: list[list[int]] = [[] for _ in range(net.joint_count)]
    for bubble, (a, b) in enumerate(ends):
        if a == b:
            loops_at[a].append(bubble)
        else:
            at[a].append((bubble, b))
            at[b].append((bubble, a))
    return Work(
        net,
        tuple(kinds),
        kind_of,
        ends,
        net.lengths.tolist(),
        [kind == "free" for kind in net.kinds],
        at,
        loops_at,
        _parts(ends, kind_of, at, loops_at),
        hands,
    )


def _parts(
    ends: list[tuple[int, int]],
    kind_of: list[int],
    at: list[list[tuple[int, int]]],
    loops_at: list[list[int]],
) -> list[list[int]]:
    """The connected parts of each kind: bubbles of one kind that share joints, by union-find."""
    parent = list(range(len(ends)))

    def root(bubble: int) -> int:
        while parent[bubble] != bubble:
            parent[bubble] = parent[parent[bubble]]
            bubble = parent[bubble]
        return bubble

    for near, loops in zip(at, loops_at, strict=True):
        first: dict[int, int] = {}
        for bubble in [bubble for bubble, _ in near] + loops:
            a, b = root(bubble), root(first.setdefault(kind_of[bubble], bubble))
            if a != b:
                parent[max(a, b)] = min(a, b)
    grouped: dict[int, list[int]] = {}
    for bubble in range(len(ends)):
        grouped.setdefault(root(bubble), []).append(bubble)
    return [grouped[key] for key in sorted(grouped)]
