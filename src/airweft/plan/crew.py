"""The *parts* style: parts made by different people at once, and then joined.

The net is shared out (split.py), it is settled what may lie where parts will meet (apart.py), every
part is planned as a net of its own by the other styles, and at the end one lock at each shared
joint joins what both sides have there, along the cut. What no part could hold alone is made last.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

import numpy as np

from airweft.base.errors import CannotMake
from airweft.base.findings import Finding
from airweft.base.progress import Progress
from airweft.plan.apart import JOINING, Roles, roles_of
from airweft.plan.bound import bound_parts, total_bound
from airweft.plan.grow import EASY, Grower
from airweft.plan.kinds import Work, prepare
from airweft.plan.pairs import pairs
from airweft.plan.rounds import rounds
from airweft.plan.script import Script, Strand
from airweft.plan.split import atoms_of, share_out, time_apart
from airweft.records.net import Cell, Net
from airweft.records.plan import Section

MOST_PEOPLE = 8
LETTERS = "ABCDEFGH"
_WORTH_IT = 0.9  # share of one maker's time that the longest part and the joining may take
_LEAST = 24  # bubbles that make a part worth while
_ROW = 6  # joints joined in a row: as many as one picture shows well


def parts(work: Work, *, bound: int, seed: int, progress: Progress, crew: int) -> Script:
    """A script in sections: one for each of `crew` people, then the joining.

    `bound` is that of the whole net. Raises CannotMake where the style does not apply.
    """
    if not 2 <= crew <= MOST_PEOPLE:
        raise CannotMake(_wrong_crew(crew))
    atoms = atoms_of(work)
    enough = len(work.ends) >= _LEAST * crew <= _LEAST * len(atoms.weight)
    part_of_atom = share_out(work, atoms, crew, seed) if enough else None
    if part_of_atom is None:
        raise CannotMake(_too_small(crew))
    longest, alone = time_apart(work, atoms, part_of_atom, crew, bound)
    if longest > _WORTH_IT * alone:
        raise CannotMake(_too_small(crew, longest, alone))
    roles = roles_of(work, atoms, part_of_atom, crew)
    script = Script(work)
    for part in range(crew):
        progress.report(part, crew + 1, f"planning part {LETTERS[part]}")
        piece = _piece(work, roles, part)
        own = _plan(piece, seed, progress) if piece is not None else None
        if piece is None or own is None:
            raise CannotMake(_too_small(crew))
        _append(script, piece, own, part)
    _join(script, roles)
    return script


@dataclass(slots=True)
class _Piece:
    """One person's part as a net of its own.

    joints    for each of its joints that of the whole net; where a pair begins there are two
    bubbles   for each of its bubbles that of the whole net
    nozzles   joints of its own where one balloon of a pair begins, and where the other does
    """

    work: Work
    joints: list[int]
    bubbles: list[int]
    nozzles: dict[int, int]


def _piece(work: Work, roles: Roles, part: int) -> _Piece | None:
    """A part with joints and bubbles numbered anew; None where nothing is left of it."""
    bubbles = [bubble for bubble, p in enumerate(roles.part_of) if p == part]
    apart = roles.pairs[part]
    joints = sorted({j for b in bubbles for j in work.ends[b]} - set(apart))
    number = {joint: i for i, joint in enumerate(joints)}
    end_of: dict[tuple[int, int], int] = {}
    nozzles: dict[int, int] = {}
    for joint, (first, second) in apart.items():
        nozzles[len(joints)], nozzles[len(joints) + 1] = len(joints) + 1, len(joints)
        end_of[joint, first], end_of[joint, second] = len(joints), len(joints) + 1
        joints += [joint, joint]
    ends = [
        [number[j] if j in number else end_of[j, bubble] for j in work.ends[bubble]]
        for bubble in bubbles
    ]
    passing = frozenset(number[j] for j in roles.passing[part])
    if len(passing) >= len(joints):
        return None
    net = _net(work.net, joints, bubbles, ends, set(apart))
    capacities = {kind.size: kind.capacity for kind in work.kinds}
    own = replace(prepare(net, capacities, work.hands), passing=passing)
    return _Piece(own, joints, bubbles, nozzles)


def _net(
    net: Net, joints: list[int], bubbles: list[int], ends: list[list[int]], without: set[int]
) -> Net:
    """The part's joints, bubbles and whole cells as a net."""
    place = {bubble: i for i, bubble in enumerate(bubbles)}
    number = {joint: i for i, joint in enumerate(joints)}

    def of(names: Sequence[str], which: list[int]) -> tuple[str, ...]:
        return tuple(names[i] for i in which)

    return replace(
        net,
        joints=net.joints[joints],
        ends=np.array(ends, dtype=net.ends.dtype).reshape(-1, 2),
        lengths=net.lengths[bubbles],
        colours=of(net.colours, bubbles),
        sizes=of(net.sizes, bubbles),
        kinds=tuple(net.kinds[b] for b in bubbles),
        joint_names=of(net.joint_names, joints),
        bubble_names=of(net.bubble_names, bubbles),
        bubble_panels=of(net.bubble_panels, bubbles),
        places=net.places[bubbles],
        counted=None if net.counted is None else net.counted[bubbles],
        seams=tuple(number[j] for j in net.seams if j in number),
        cells=tuple(
            replace(
                cell,
                joints=tuple(number[j] for j in cell.joints),
                bubbles=tuple(place[b] for b in cell.bubbles),
            )
            for cell in net.cells
            if _is_whole(cell, place, without)
        ),
    )


def _is_whole(cell: Cell, place: dict[int, int], without: set[int]) -> bool:
    return all(b in place for b in cell.bubbles) and without.isdisjoint(cell.joints)


def _plan(piece: _Piece, seed: int, progress: Progress) -> Script | None:
    """The part's own script: fewest balloons, then hands, then pairs before rounds.

    None where each of them would lock or tie on where a balloon may only pass.
    """
    least = total_bound(piece.work, bound_parts(piece.work))
    found = [rounds(piece.work, bound=least, seed=seed, progress=progress)]
    if not piece.nozzles:
        with suppress(CannotMake):
            found.insert(0, pairs(piece.work, bound=least, seed=seed, progress=progress))
    passing = piece.work.passing
    kept = [
        script
        for script in found
        if not any(do in ("start", "lock") and j in passing for do, _, j, _, _ in script.actions)
    ]
    return min(kept, key=lambda script: (len(script.strands), max(EASY, script.peak)), default=None)


def _append(script: Script, piece: _Piece, own: Script, part: int) -> None:
    """Write a part's script into that of the whole piece, as the work of one person.

    Where a pair begins, the part's script starts two balloons at joints of their own; they are
    tied to each other instead, when the first of them is taken up.
    """
    first_action, first_strand = len(script.actions), len(script.strands)
    row = script.row if script.actions else 0
    kinds = [script.work.kind_of[piece.bubbles[part[0]]] for part in _samples(own.work)]
    for strand in own.strands:
        script.strands.append(
            Strand(
                len(script.strands),
                kinds[strand.kind],
                piece.joints[strand.start],
                piece.joints[strand.tip],
                strand.length,
                [piece.bubbles[bubble] for bubble in strand.bubbles],
                finished=True,
            )
        )
    begins = {
        strand.start: strand.number for strand in own.strands if strand.start in piece.nozzles
    }
    tied: set[int] = set()
    for do, strands, joint, bubble, own_row in own.actions:
        if do == "start" and joint in piece.nozzles:
            if joint in tied:
                continue
            other = piece.nozzles[joint]
            tied.add(other)
            do, strands = "tie", (strands[0], begins[other])
        script.actions.append(
            (
                do,
                tuple(first_strand + number for number in strands),
                piece.joints[joint],
                piece.bubbles[bubble] if bubble >= 0 else -1,
                row + own_row,
            )
        )
    for bubble in piece.bubbles:
        script.made[bubble] = 1
    for joint in piece.joints:
        script.touched[joint] = 1
    script.row = script.actions[-1][4]
    script.peak = max(script.peak, own.peak)
    script.sections.append(Section(LETTERS[part], first_action, len(script.actions), part + 1))


def _samples(work: Work) -> list[list[int]]:
    """For each kind one of its parts."""
    found: dict[int, list[int]] = {}
    for bubbles in work.parts:
        found.setdefault(work.kind_of[bubbles[0]], bubbles)
    return [found[kind] for kind in range(len(work.kinds))]


# --- joining ------------------------------------------------------------------------------------


def _join(script: Script, roles: Roles) -> None:
    """One lock at every joint where parts meet, along each cut; then what was left over."""
    left = [bubble for bubble, part in enumerate(roles.part_of) if part == JOINING]
    open_strands = _reopen(script, left)
    first_action = len(script.actions)
    work = script.work
    cuts: dict[tuple[int, ...], list[int]] = {}
    for joint in roles.meeting:
        there = sorted({roles.part_of[b] for b, _ in work.at[joint]} - {JOINING})
        cuts.setdefault(tuple(there), []).append(joint)
    for meets in sorted(cuts):
        for at, joint in enumerate(_along(work, roles, cuts[meets])):
            if at % _ROW == 0:
                script.row += 1
            script.lock(joint)
    if left:
        script.row += 1
        grower = Grower(script)
        for strand in open_strands:
            grower.ground.tips[strand.tip].append(strand.number)
            grower.ground.arrive(strand.kind, strand.tip, len(strand.bubbles))
        grower.run()
    script.sections.append(Section("joining", first_action, len(script.actions), 0))


def _reopen(script: Script, left: list[int]) -> list[Strand]:
    """Leave balloons unfinished that end where a left-over bubble of their kind begins."""
    work = script.work
    begins = {(work.kind_of[bubble], joint) for bubble in left for joint in work.ends[bubble]}
    found = [
        strand
        for strand in script.strands
        if (strand.kind, strand.tip) in begins
        and any(
            work.kind_of[bubble] == strand.kind
            and strand.tip in work.ends[bubble]
            and script.fits(strand, 1, work.lengths[bubble])
            for bubble in left
        )
    ]
    numbers = {strand.number for strand in found}
    for strand in found:
        strand.finished = False
    if found:
        kept: list[tuple[str, tuple[int, ...], int, int, int]] = []
        moved: list[Section] = []
        for section in script.sections:
            first = len(kept)
            kept += [
                action
                for action in script.actions[section.first_action : section.last_action]
                if not (action[0] == "finish" and action[1][0] in numbers)
            ]
            moved.append(replace(section, first_action=first, last_action=len(kept)))
        script.actions[:] = kept  # type: ignore[assignment]
        script.sections[:] = moved
    return found


def _along(work: Work, roles: Roles, joints: list[int]) -> list[int]:
    """The joints of one cut in order along it: each next one is the nearest over bubbles."""
    wanted = set(joints)
    near = {joint: _neighbours(work, joint, wanted) for joint in joints}
    order: list[int] = []
    while wanted:
        # An open end of a cut first, else any joint of a closed one.
        here = min(wanted, key=lambda j: (len(near[j].keys() & wanted), j))
        while True:
            order.append(here)
            wanted.discard(here)
            following = near[here].keys() & wanted
            if not following:
                break
            here = min(following, key=lambda j: (near[here][j], len(near[j].keys() & wanted), j))
    return order


def _neighbours(work: Work, joint: int, wanted: set[int]) -> dict[int, int]:
    """Other wanted joints within two bubbles, and how many bubbles away."""
    found: dict[int, int] = {}
    for _, one in work.at[joint]:
        if one in wanted and one != joint:
            found[one] = 1
    for _, one in work.at[joint]:
        for _, two in work.at[one]:
            if two in wanted and two != joint:
                found.setdefault(two, 2)
    return found


# --- why not ------------------------------------------------------------------------------------


def _wrong_crew(crew: int) -> Finding:
    few = crew < 2
    return Finding(
        code="parts-crew",
        severity="cannot",
        where="the crew",
        message="the style parts is for several people, and one maker was named"
        if few
        else f"the style parts shares a piece among {MOST_PEOPLE} people at most, not {crew}",
        remedy="Say how many people make it: --crew 2, or crew = 2 under [plan]."
        if few
        else f"Take --crew {MOST_PEOPLE} or fewer.",
    )


def _too_small(crew: int, longest: int = 0, alone: int = 0) -> Finding:
    times = ""
    if alone:
        times = (
            f": the longest part and the joining would take {round(100 * longest / alone)} % of "
            "what one maker takes"
        )
    return Finding(
        code="parts-too-small",
        severity="cannot",
        where="the crew",
        message=f"the piece is too small to be shared among {crew} people{times}",
        remedy="Take a smaller crew, or make it alone: leave out --crew.",
    )
