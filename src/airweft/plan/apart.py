"""Which bubbles each person makes, and what may lie where the parts will meet.

A lock takes in all that lies at its joint, so at a joint where parts meet only the first part in
the plan's order may lock or tie on; whatever a later part has there must be held without: either
its balloon passes, which is fast between two fast twists, or a fresh pair begins there, knotted
nozzle to nozzle. Then one lock for each such joint, at the end, joins the parts, and no part needs
another one to be there before.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from airweft.plan.kinds import Work
from airweft.plan.split import Atoms

JOINING = -1


@dataclass(slots=True)
class Roles:
    """Who makes what.

    part_of   for each bubble its part in the plan's order, JOINING for those made at the end
    passing   for each part the joints that its balloons may only pass
    pairs     for each part the joints where a fresh pair begins, with its two bubbles
    meeting   joints where two parts or more have something
    """

    part_of: list[int]
    passing: list[set[int]]
    pairs: list[dict[int, tuple[int, int]]]
    meeting: list[int] = field(default_factory=list)


def roles_of(work: Work, atoms: Atoms, part_of_atom: list[int], crew: int) -> Roles:
    """Put the parts in order, give every bubble to one of them, and settle the joints they share.

    The order is the one in which the fewest joints need a pair.
    """
    homes = [sorted({part_of_atom[atom] for atom in owners}) for owners in atoms.of_joint]
    part_of = [JOINING] * len(work.ends)
    for number, cell in enumerate(work.net.cells):
        for bubble in cell.bubbles:
            part_of[bubble] = part_of_atom[number]
    outside = [bubble for bubble, part in enumerate(part_of) if part == JOINING]
    rank = _order(work, part_of, homes, outside, crew)
    part_of = [JOINING if part == JOINING else rank[part] for part in part_of]
    homes = [sorted(rank[part] for part in parts) for parts in homes]
    for bubble in outside:
        a, b = work.ends[bubble]
        both = set(homes[a]) & set(homes[b])
        # Only the first part at a joint can hold more there than what passes.
        fit = [part for part in sorted(both) if homes[a][0] == part == homes[b][0]]
        part_of[bubble] = fit[0] if fit else JOINING
    while True:
        roles = _settle(work, part_of, crew)
        loners = _loners(work, roles, crew)
        if not loners:
            return roles
        for bubble in loners:
            part_of[bubble] = JOINING


def _order(
    work: Work, part_of: list[int], homes: list[list[int]], outside: list[int], crew: int
) -> list[int]:
    """For each part its place: the order with the least cost of coming later, exactly.

    Dynamic programming over the sets of parts that come first.
    """
    cost = [[0] * crew for _ in range(crew)]  # of the first coming later than the second
    for joint, parts in enumerate(homes):
        for part in parts:
            ends = [b for b, _ in work.at[joint] if part_of[b] == part]
            if not _can_pass(work, ends):
                for other in parts:
                    cost[part][other] += 1
    for bubble in outside:
        a, b = work.ends[bubble]
        for part in set(homes[a]) & set(homes[b]):
            for other in {*homes[a], *homes[b]} - {part}:
                cost[part][other] += 1
    best: dict[int, tuple[int, tuple[int, ...]]] = {0: (0, ())}
    for sets in range(1, 1 << crew):
        options = []
        for last in range(crew):
            if sets >> last & 1:
                before, order = best[sets & ~(1 << last)]
                later = sum(cost[last][other] for other in order)
                options.append((before + later, (*order, last)))
        best[sets] = min(options)
    order = best[(1 << crew) - 1][1]
    return [order.index(part) for part in range(crew)]


def _can_pass(work: Work, ends: list[int]) -> bool:
    """True if one balloon can run through a joint where a part has just these two bubbles."""
    if len(ends) != 2 or work.is_free[ends[0]] or work.is_free[ends[1]]:
        return False
    kind = work.kind_of[ends[0]]
    length = work.lengths[ends[0]] + work.lengths[ends[1]]
    return kind == work.kind_of[ends[1]] and work.kinds[kind].capacity.fits(2, length)


def _settle(work: Work, part_of: list[int], crew: int) -> Roles:
    """What later parts do at the joints they share; bubbles that cannot be held are left over."""
    changed = True
    while changed:
        changed = False
        for joint in range(work.joint_count):
            for ends in _later(work, part_of, joint).values():
                if len(ends) != 2 or work.is_free[ends[0]] or work.is_free[ends[1]]:
                    changed = True
                    for bubble in ends:
                        part_of[bubble] = JOINING
    roles = Roles(part_of, [set() for _ in range(crew)], [{} for _ in range(crew)])
    for joint in range(work.joint_count):
        later = _later(work, part_of, joint)
        if later:
            roles.meeting.append(joint)
        for part, ends in later.items():
            if _can_pass(work, ends):
                roles.passing[part].add(joint)
            else:
                roles.pairs[part][joint] = (ends[0], ends[1])
    for part in range(crew):
        for joint in _beyond_one_balloon(work, part_of, part, roles.passing[part]):
            roles.passing[part].discard(joint)
            ends = [bubble for bubble, _ in work.at[joint] if part_of[bubble] == part]
            roles.pairs[part][joint] = (ends[0], ends[1])
    return roles


def _beyond_one_balloon(work: Work, part_of: list[int], part: int, passing: set[int]) -> list[int]:
    """Joints to pass that come one after the other for longer than a balloon, or hands, can go."""
    found: list[int] = []
    left = set(passing)
    while left:
        start = min(left)
        left.discard(start)
        one, other = (bubble for bubble, _ in work.at[start] if part_of[bubble] == part)
        before = _run(work, part_of, left, start, one)
        after = _run(work, part_of, left, start, other)
        joints = [joint for _, joint in before[::-1]][1:] + [start] + [j for _, j in after[:-1]]
        bubbles = [bubble for bubble, _ in before[::-1]] + [bubble for bubble, _ in after]
        count, length = 1, work.lengths[bubbles[0]]
        for joint, bubble in zip(joints, bubbles[1:], strict=True):
            count, length = count + 1, length + work.lengths[bubble]
            capacity = work.kinds[work.kind_of[bubble]].capacity
            if count > work.hands or not capacity.fits(count, length):
                found.append(joint)
                count, length = 1, work.lengths[bubble]
    return found


def _run(
    work: Work, part_of: list[int], left: set[int], start: int, bubble: int
) -> list[tuple[int, int]]:
    """From a joint on along `bubble`: each bubble and the joint after it, while it may only be
    passed. What is passed is taken out of `left`."""
    found: list[tuple[int, int]] = []
    here = start
    while True:
        a, b = work.ends[bubble]
        here = b if a == here else a
        found.append((bubble, here))
        if here not in left:
            return found
        left.discard(here)
        ends = [other for other, _ in work.at[here] if part_of[other] == part_of[bubble]]
        bubble = ends[1] if ends[0] == bubble else ends[0]


def _later(work: Work, part_of: list[int], joint: int) -> dict[int, list[int]]:
    """For every part but the first at a joint its bubbles there (loops twice)."""
    ends: dict[int, list[int]] = {}
    for bubble, _ in work.at[joint]:
        ends.setdefault(part_of[bubble], []).append(bubble)
    for loop in work.loops_at[joint]:
        ends.setdefault(part_of[loop], []).extend((loop, loop))
    ends.pop(JOINING, None)
    if ends:
        ends.pop(min(ends))
    return ends


def _loners(work: Work, roles: Roles, crew: int) -> list[int]:
    """Bubbles that the rest of their part does not hold: they have to wait for the joining.

    A part must hang together without the knots of the pairs that begin where parts meet, and no
    bubble but one of those may end where nothing else of the part does.
    """
    found: list[int] = []
    for part in range(crew):
        own = [bubble for bubble, p in enumerate(roles.part_of) if p == part]
        apart = roles.pairs[part]
        at: dict[int, list[int]] = {}
        for bubble in own:
            for joint in dict.fromkeys(work.ends[bubble]):
                if joint not in apart:
                    at.setdefault(joint, []).append(bubble)
        pieces = _pieces(work, own, at)
        for piece in sorted(pieces, key=lambda piece: (-len(piece), piece[0]))[1:]:
            found += piece
        for joint, bubbles in at.items():
            if len(bubbles) == 1 and not _holds_alone(work, bubbles[0], joint):
                found += bubbles
    return sorted(set(found))


def _holds_alone(work: Work, bubble: int, joint: int) -> bool:
    """True if a bubble may be all there is at a joint: its free end, or an end in the net too."""
    if len(work.at[joint]) + len(work.loops_at[joint]) == 1:
        return True
    return work.ends[bubble][0] == work.ends[bubble][1]


def _pieces(work: Work, own: list[int], at: dict[int, list[int]]) -> list[list[int]]:
    seen: set[int] = set()
    pieces = []
    for bubble in own:
        if bubble in seen:
            continue
        seen.add(bubble)
        piece = [bubble]
        for here in piece:
            for joint in work.ends[here]:
                for other in at.get(joint, ()):
                    if other not in seen:
                        seen.add(other)
                        piece.append(other)
        pieces.append(sorted(piece))
    return pieces
