"""Movements written as sentences, with what is done several times over in a row folded."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace

from airweft.base.units import Unit, exact_length
from airweft.words import phrases
from airweft.words.movements import Group, Movement, Ref, Row, Run
from airweft.words.refs import choose, meeting_items, pairs_items, refs_text

# How many movements a repeat inside a row may hold, and how often it must come.
LONGEST_BLOCK = 8
LEAST_FOLDED = 3

_ONE = (Run(1, "bubble", 0),)


def row_text(row: Row, unit: Unit) -> str:
    """The row's sentences."""
    out: list[str] = []
    i = 0
    while i < len(row):
        size = _plain_list(row, i, out) or _each_list(row, i, out)
        if not size:
            size = _repeat(row, i, out, unit) or _clauses(row, i, out, unit)
        i += size
    return " ".join(out)


def _plain_list(row: Row, i: int, out: list[str]) -> int:
    """A sentence of tying on or off from movement i; returns how many movements it holds."""
    move = row[i]
    if move.do == "start" and not move.at:
        out.append(phrases.begin(move.balloons[0]))
        return 1
    if move.do not in ("tie", "start", "join", "finish"):
        return 0
    j = i
    kind = (move.do, bool(move.at), move.locks)
    while j < len(row) and (row[j].do, bool(row[j].at), row[j].locks) == kind:
        if j > i and (row[j].names is not None or move.names is not None):
            break
        j += 1
    alike = row[i:j]
    if move.do == "tie" and move.at:
        pairs = [phrases.pair_at(*_two(m.balloons), str(m.at[0])) for m in alike]
        locks = phrases.lock_knots(len(pairs)) if move.locks else ""
        out.append(phrases.tie_pairs_at(pairs, _with_names(locks, move)))
    elif move.do == "tie":
        out.append(phrases.tie_pairs(pairs_items([_two(m.balloons) for m in alike], "to")))
    elif move.do == "start":
        out.append(phrases.tie_on([(m.balloons[0], str(m.at[0])) for m in alike]))
    elif move.do == "join":
        out.append(phrases.join(meeting_items([m.at for m in alike])))
    else:
        out.append(phrases.tie_off([m.balloons[0] for m in alike]))
    return j - i


def _two(codes: tuple[str, ...]) -> tuple[str, str]:
    return codes[0], codes[1]


def _each_kind(move: Movement) -> tuple[int, bool]:
    """How many balloons make one usual bubble each and are locked, and if onto a joint that exists.

    (0, False) for any other movement.
    """
    count = len(move.groups)
    if (
        move.do == "make"
        and move.locks
        and move.names is None
        and (count == 2 or (count == 1 and move.at))
        and all(group.runs == _ONE for group in move.groups)
    ):
        return count, bool(move.at)
    return 0, False


def _each_list(row: Row, i: int, out: list[str]) -> int:
    """A sentence of balloons with one bubble each from movement i; how many movements it holds."""
    kind = _each_kind(row[i])
    if kind[0] == 0:
        return 0
    # "One bubble each" stays true only while no balloon comes twice.
    said = set(row[i].codes())
    j = i + 1
    while j < len(row) and _each_kind(row[j]) == kind and said.isdisjoint(row[j].codes()):
        said.update(row[j].codes())
        j += 1
    codes = [tuple(group.balloon for group in move.groups) for move in row[i:j]]
    if kind == (2, False):
        out.append(phrases.one_each(pairs_items([_two(pair) for pair in codes], "with")))
        return j - i
    if kind[0] == 1 and j - i < 2:
        return 0
    who = [phrases.pair(*_two(c), "with") if len(c) == 2 else c[0] for c in codes]
    refs = [str(move.at[0]) for move in row[i:j]]
    out.append(phrases.one_each([phrases.onto(w, at) for w, at in zip(who, refs, strict=True)]))
    return j - i


def _best_block(row: Row, i: int) -> tuple[int, int]:
    """Size and times of the repeat that begins at movement i and saves most; (0, 0) for none."""
    best = (0, 0)
    saved = 0
    shapes = [m.shape() for m in row[i:]]
    for size in range(1, min(LONGEST_BLOCK, len(shapes) // 2) + 1):
        if row[i + size - 1].do not in ("make", "lock"):
            break
        if size == 1 and _each_kind(row[i])[0] == 2:
            continue
        times = 1
        while shapes[times * size : (times + 1) * size] == shapes[:size]:
            times += 1
        if times >= LEAST_FOLDED and (times - 1) * size > saved:
            if size > 1 and not _is_even(row[i : i + times * size], size):
                continue
            best, saved = (size, times), (times - 1) * size
    return best


def _is_even(moves: Row, size: int) -> bool:
    """True if the joints of each movement of the block count on evenly, so that none is listed."""
    for k in range(size):
        refs = choose([m.at for m in moves[k::size]]) if moves[k].at else []
        steps = {b.count - a.count for a, b in itertools.pairwise(refs)}
        if len({ref.balloon for ref in refs}) > 1 or len(steps) > 1:
            return False
    return True


def _repeat(row: Row, i: int, out: list[str], unit: Unit) -> int:
    """A repeat from movement i, if one saves words; how many movements it holds."""
    size, times = _best_block(row, i)
    if not times:
        return 0
    names: list[str] = []
    for k in range(size):
        moves = row[i + k : i + times * size : size]
        names.append(refs_text(choose([m.at for m in moves])) if moves[0].at else "")
    out.append(phrases.repeated(times, _body(row[i : i + size], names, unit)))
    return times * size


def _clauses(row: Row, i: int, out: list[str], unit: Unit) -> int:
    """A sentence of the movements from i that one balloon makes one after another."""
    j = i + 1
    alone = _alone(row[i])
    while alone and j < len(row) and _alone(row[j]) == alone and not _best_block(row, j)[1]:
        j += 1
    moves = row[i:j]
    names = [str(m.at[0]) if m.at else "" for m in moves]
    out.append(phrases.movements(_body(moves, names, unit), named=bool(moves[0].groups)))
    return j - i


def _alone(move: Movement) -> str:
    """The balloon that makes the movement alone, or nothing."""
    if move.do == "make" and len(move.groups) == 1:
        return move.groups[0].balloon
    return ""


def _body(moves: Sequence[Movement], names: Sequence[str], unit: Unit) -> str:
    """Clauses joined by semicolons; a balloon that goes on alone is not named again."""
    clauses: list[str] = []
    before = ""
    for move, name in zip(moves, names, strict=True):
        clauses.append(_clause(move, name, before, unit))
        before = _alone(move)
    return "; ".join(clauses)


def _clause(move: Movement, name: str, before: str, unit: Unit) -> str:
    """One movement; `name` is the joint's name or names."""
    if move.do == "lock":
        return _with_names(phrases.lock_at(name), move)
    groups = [_group_text(group, unit) for group in move.groups]
    if before and _alone(move) == before:
        groups = [groups[0][len(before) + 1 :]]
    text = phrases.listed(groups)
    if move.locks:
        if name:
            end = phrases.lock_onto(name, several="," in name)
        elif len(move.groups) == 1 and move.groups[0].stays:
            end = phrases.LOCK_IN_PLACE
        else:
            end = phrases.LOCK_TOGETHER
        text = f"{text}, {end}"
    elif name:
        text = f"{text}, {phrases.lay_to(name)}"
    return _with_names(text, move)


def _with_names(text: str, move: Movement) -> str:
    return text if move.names is None else f"{text} {phrases.naming(move.names)}"


def _group_text(group: Group, unit: Unit) -> str:
    runs = [
        phrases.run_text(run.count, run.made, exact_length(run.length, unit) if run.length else "")
        for run in group.runs
    ]
    return f"{group.balloon} {', '.join(runs)}"


def settled(row: Row, refs: Sequence[Ref | None]) -> Row:
    """The row with the names that are decided, one for each movement, put in."""
    return tuple(
        move if ref is None else replace(move, at=(ref,))
        for move, ref in zip(row, refs, strict=True)
    )
