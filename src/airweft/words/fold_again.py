"""*Again*: the rows just before done so many times more.

Joint names may change from time to time in two ways: a few names are given for each time, or all
names of a balloon count on by a fixed amount.
"""

from __future__ import annotations

from airweft.words.fold_table import Fold, Found, Settled, Table
from airweft.words.movements import Ref
from airweft.words.refs import choose, refs_text

# A fold lists at most so many names, with so many items each; or so many balloons that count on.
MOST_NAMES = 3
MOST_ITEMS = 8
MOST_SHIFTS = 3
_PATIENCE = 2000


def again(table: Table, source: int, at: int) -> Found | None:
    """The rows from `source` up to `at` done again, as often as they fit."""
    size = at - source
    most = 0
    while (
        at + (most + 1) * size <= len(table.rows)
        and table.shape[at + most * size : at + (most + 1) * size] == table.shape[source:at]
        and table.joined(max(at, at + most * size - 1), at + (most + 1) * size - 1)
    ):
        most += 1
    if most == 0:
        return None
    named = _by_names(table, source, at, most)
    counted = _by_counting(table, source, at, most)
    if named is None or (counted is not None and counted[0].last > named[0].last):
        return counted
    if counted is not None and counted[0].last == named[0].last and len(named[0].names) > 2:
        return counted
    return named


def _by_names(table: Table, source: int, at: int, most: int) -> Found | None:
    """With names given for each time, as often as these are few."""
    size = at - source
    groups: dict[Ref, list[tuple[int, int]]] = {}  # slots by the joint's best name in the source
    for i, k in table.slots(source, at - 1):
        groups.setdefault(table.body[i][k].at[0], []).append((i, k))
    options: dict[Ref, list[tuple[Ref, ...]]] = {}
    for name, slots in groups.items():
        rounds: list[tuple[Ref, ...]] = []
        for time in range(most + 1):
            first = table.body[slots[0][0] + size * time][slots[0][1]].at
            others = [table.body[i + size * time][k].at for i, k in slots[1:]]
            rounds.append(tuple(ref for ref in first if all(ref in other for other in others)))
        options[name] = rounds
    for times in range(most, 0, -1):
        found: list[tuple[Ref, tuple[Ref, ...]]] = []
        settled: Settled = []
        for name, slots in groups.items():
            rounds = options[name][: times + 1]
            if not all(rounds):
                break
            stays = [ref for ref in rounds[0] if all(ref in refs for refs in rounds)]
            if stays:
                chosen = [stays[0]] * (times + 1)
            else:
                chosen = choose(rounds)
                found.append((chosen[0], tuple(chosen[1:])))
            settled += [(i + size * n, k, ref) for i, k in slots for n, ref in enumerate(chosen)]
        else:
            if len(found) <= MOST_NAMES and all(_is_short(refs) for _, refs in found):
                return _fold(source, at, times, names=tuple(found)), settled
    return None


def _is_short(refs: tuple[Ref, ...]) -> bool:
    return refs_text(refs).count(",") < MOST_ITEMS


def _fold(
    source: int,
    at: int,
    times: int,
    *,
    names: tuple[tuple[Ref, tuple[Ref, ...]], ...] = (),
    shifts: tuple[tuple[str, int], ...] = (),
) -> Fold:
    return Fold(
        first=at,
        last=at + times * (at - source) - 1,
        source=source,
        source_last=at - 1,
        times=times,
        again=True,
        names=names,
        shifts=shifts,
    )


def _by_counting(table: Table, source: int, at: int, most: int) -> Found | None:
    """With balloons whose names count on by one amount each time."""
    size = at - source
    slots = table.slots(source, at - 1)
    options: list[list[tuple[Ref, int, int]]] = []  # name in the source, amount, how often it fits
    for i, k in slots:
        here = []
        for ref in table.body[i][k].at:
            for following in table.body[i + size][k].at:
                if following.balloon != ref.balloon:
                    continue
                amount = following.count - ref.count
                reach = 1
                while (
                    reach < most
                    and Ref(ref.balloon, ref.count + amount * (reach + 1))
                    in table.body[i + size * (reach + 1)][k].at
                ):
                    reach += 1
                here.append((ref, amount, reach))
        if not here:
            return None
        options.append(here)
    reaches = {reach for here in options for _, _, reach in here} if slots else {most}
    for times in sorted(reaches, reverse=True):
        fitting = [[o for o in here if o[2] >= times] for here in options]
        agreed = _agree(fitting) if all(fitting) else None
        if agreed is None:
            continue
        chosen, shifts = agreed
        if len(shifts) > MOST_SHIFTS:
            continue
        settled = [
            (i + size * n, k, Ref(ref.balloon, ref.count + amount * n))
            for (i, k), (ref, amount) in zip(slots, chosen, strict=True)
            for n in range(times + 1)
        ]
        return _fold(source, at, times, shifts=shifts), settled
    return None


def _agree(
    options: list[list[tuple[Ref, int, int]]],
) -> tuple[list[tuple[Ref, int]], tuple[tuple[str, int], ...]] | None:
    """One option for each slot so that each balloon counts on by one amount; or None."""
    amounts: dict[str, int] = {}
    chosen: list[tuple[Ref, int]] = []
    tries = 0

    def search(slot: int) -> bool:
        nonlocal tries
        tries += 1
        if slot == len(options):
            return True
        if tries > _PATIENCE:
            return False
        for ref, amount, _ in sorted(options[slot], key=lambda o: (o[1] != 0, abs(o[1]))):
            known = amounts.get(ref.balloon)
            if known is not None and known != amount:
                continue
            amounts[ref.balloon] = amount
            chosen.append((ref, amount))
            if search(slot + 1):
                return True
            chosen.pop()
            if known is None:
                del amounts[ref.balloon]
        return False

    # Recursion is as deep as there are slots in a block: at most a few hundred.
    if len(options) > 400 or not search(0):
        return None
    return chosen, tuple((code, amount) for code, amount in amounts.items() if amount)
