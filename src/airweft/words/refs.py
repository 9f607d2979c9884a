"""Which of a joint's names to say, and lists of names in few words."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from airweft.words.movements import Ref
from airweft.words.phrases import DOTS, code_parts, meet, pair

# Runs at least this long are told by their first two and their last: dots for a single name or two
# would cost the reader more than they save. Among other names only a long run is drawn together,
# so that nobody has to find out where the even counting begins.
SHORTEST_RUN = 5
SHORTEST_AMONG_OTHERS = 8


def choose(slots: Sequence[Sequence[Ref]]) -> list[Ref]:
    """One name for each slot, so that names count on evenly for as long as they can.

    Each slot holds a joint's names, best first. Greedy from the left: the longest even run of three
    or more, and among equals the one whose first name is best; else the best name.
    """
    chosen: list[Ref] = []
    while len(chosen) < len(slots):
        at = len(chosen)
        best = [slots[at][0]]
        for ref in slots[at]:
            for following in slots[at + 1] if at + 1 < len(slots) else ():
                if following.balloon != ref.balloon:
                    continue
                step = following.count - ref.count
                run = [ref]
                while at + len(run) < len(slots):
                    wanted = Ref(ref.balloon, ref.count + step * len(run))
                    if wanted not in slots[at + len(run)]:
                        break
                    run.append(wanted)
                if len(run) > max(len(best), 2):
                    best = run
        chosen += best
    return chosen


def refs_text(refs: Sequence[Ref]) -> str:
    """Names in order, one for each time: "R1.2, R1.4 … R1.10"; a single one if all are equal."""
    if all(ref == refs[0] for ref in refs):
        return str(refs[0])
    whole = len({ref.balloon for ref in refs}) == 1 and _is_even([ref.count for ref in refs])
    shortest = SHORTEST_RUN if whole else SHORTEST_AMONG_OTHERS
    items: list[str] = []
    i = 0
    while i < len(refs):
        j = i + 1
        if j < len(refs) and refs[j].balloon == refs[i].balloon:
            step = refs[j].count - refs[i].count
            while (
                step
                and j + 1 < len(refs)
                and refs[j + 1] == Ref(refs[j].balloon, refs[j].count + step)
            ):
                j += 1
            if j - i + 1 >= shortest:
                items.append(f"{refs[i]}, {refs[i + 1]} {DOTS} {refs[j]}")
                i = j + 1
                continue
        items.append(str(refs[i]))
        i += 1
    return ", ".join(items)


def _is_even(counts: Sequence[int]) -> bool:
    """True if the counts go up or down by the same amount each time."""
    return len({b - a for a, b in itertools.pairwise(counts)}) == 1


def pairs_items(pairs: Sequence[tuple[str, str]], word: str) -> list[str]:
    """Pairs of codes as items of a list; even runs as first, second, dots, last."""
    numbered = [(code_parts(a), code_parts(b)) for a, b in pairs]
    items: list[str] = []
    i = 0
    while i < len(pairs):
        j = i
        while j + 1 < len(pairs) and _even(numbered, i, j):
            j += 1
        if j - i + 1 >= SHORTEST_RUN:
            items += [pair(*pairs[i], word), pair(*pairs[i + 1], word), DOTS]
            items.append(pair(*pairs[j], word))
            i = j + 1
        else:
            items.append(pair(*pairs[i], word))
            i += 1
    return items


def meeting_items(joints: Sequence[Sequence[Ref]]) -> list[str]:
    """Joints by one name from each part as items of a list; even runs as first, second, dots, last.

    Even means that every part's names count on along one balloon.
    """
    items: list[str] = []
    i = 0
    while i < len(joints):
        j = i
        while j + 1 < len(joints) and _goes_on(joints[i], joints[i + 1], joints[j], joints[j + 1]):
            j += 1
        said = [meet([str(name) for name in names]) for names in joints[i : j + 1]]
        if len(said) >= SHORTEST_RUN:
            items += [said[0], said[1], DOTS, said[-1]]
        else:
            items += said[:1]
            j = i
        i = j + 1
    return items


def _goes_on(
    first: Sequence[Ref], second: Sequence[Ref], a: Sequence[Ref], b: Sequence[Ref]
) -> bool:
    """True if b follows a as the second names follow the first, on the same balloons."""
    if not len(first) == len(second) == len(a) == len(b):
        return False
    return all(
        len({n.balloon for n in names}) == 1
        and names[1].count != names[0].count
        and names[1].count - names[0].count == names[3].count - names[2].count
        for names in zip(first, second, a, b, strict=True)
    )


Numbered = Sequence[tuple[tuple[str, int] | None, tuple[str, int] | None]]


def _even(numbered: Numbered, i: int, j: int) -> bool:
    """True if pair j + 1 follows pair j as pair i + 1 follows pair i, with the same marks."""
    (a, b), (c, d) = numbered[j], numbered[j + 1]
    e, f = numbered[i]
    g, h = numbered[i + 1]
    if None in (a, b, c, d, e, f, g, h):
        return False
    assert a and b and c and d and e and f and g and h
    marks_stay = a[0] == c[0] and b[0] == d[0]
    step = g[1] - e[1]
    return marks_stay and step > 0 and h[1] - f[1] == step == c[1] - a[1] == d[1] - b[1]
