"""One rule for each kind of pattern: net and pattern in, a mark for every bubble out."""

from __future__ import annotations

from collections.abc import Callable

from airweft.base.findings import Finding
from airweft.base.nearest import nearest, said_list
from airweft.records.design import Pattern
from airweft.records.net import Net

Marks = tuple[list[str], list[Finding]]


def period(repeat: str) -> int:
    """After how many marks the text really repeats: 1 for "RR", 2 for "RWRW"; at least 1."""
    return (repeat + repeat).find(repeat, 1) if repeat else 1


def _plain(net: Net, pattern: Pattern) -> Marks:
    """Every bubble the one mark."""
    if len(pattern.repeat) != 1:
        return _bare(net), [
            _no_repeat(f"A plain pattern needs one mark, but has {pattern.repeat!r}.")
        ]
    return [pattern.repeat] * net.bubble_count, []


def _panels(net: Net, pattern: Pattern) -> Marks:
    """Every bubble the mark of its panel; "front" speaks for "front 2" too unless that is named."""
    if not net.panels:
        return _bare(net), [
            Finding(
                code="no-panels",
                severity="cannot",
                where="pattern",
                message="This net has no panels, so no panel can have a colour.",
                remedy="Use a plain pattern, or give the colours in the net file.",
            )
        ]
    findings = [
        Finding(
            code="unknown-panel",
            severity="cannot",
            where=f"pattern, panel {panel}",
            message=f"There is no panel {panel!r} in this piece (is that side open?); its panels "
            f"are {said_list(net.panels)}.",
            remedy=f"Is {near!r} meant?" if near else "Take the line out.",
        )
        for panel in pattern.panels
        if not any(f"{known} ".startswith(f"{panel} ") for known in net.panels)
        for near in [nearest(panel, [p for p in net.panels if p not in pattern.panels])]
    ]
    mark_of = {panel: _mark_of(panel, pattern) for panel in net.panels}
    own = {p for p, mark in zip(net.bubble_panels, net.colours, strict=True) if mark}
    findings += [
        Finding(
            code="no-colour",
            severity="cannot",
            where=f"pattern, panel {panel}",
            message=f"Panel {panel} has no colour.",
            remedy=f"Give a mark for {panel!r} in the pattern.",
        )
        for panel, mark in mark_of.items()
        if not mark and panel not in own
    ]
    return [mark_of.get(panel, "") for panel in net.bubble_panels], findings


def _mark_of(panel: str, pattern: Pattern) -> str:
    """The mark of a panel or of what it belongs to: "front" of "front 2", "tower" of "tower side".

    Without either, that of all others.
    """
    name = panel
    while name:
        if name in pattern.panels:
            return pattern.panels[name]
        name = name.rpartition(" ")[0]
    return pattern.repeat


def _columns(net: Net, pattern: Pattern) -> Marks:
    """By columns: upright stripes that run on around the upright sides."""
    return _by_place(net, pattern, lambda column, row: column)


def _rows(net: Net, pattern: Pattern) -> Marks:
    """By rows: level stripes at the same height all the way round."""
    return _by_place(net, pattern, lambda column, row: row)


def _checks(net: Net, pattern: Pattern) -> Marks:
    """By column + row: the colours take turns in both directions."""
    return _by_place(net, pattern, lambda column, row: column + row)


def _given(net: Net, pattern: Pattern) -> Marks:
    """The marks that came with the net."""
    return list(net.colours), []


RULES: dict[str, Callable[[Net, Pattern], Marks]] = {
    "plain": _plain,
    "panels": _panels,
    "columns": _columns,
    "rows": _rows,
    "checks": _checks,
    "given": _given,
}
"""The rule of each kind of pattern. Marks may be "" for bubbles that other steps colour."""


def _by_place(net: Net, pattern: Pattern, turn: Callable[[int, int], int]) -> Marks:
    """The mark of the repeat whose turn it is at each bubble's place on the charts."""
    repeat = pattern.repeat
    if not repeat:
        return _bare(net), [_no_repeat(f"The pattern {pattern.kind} has nothing to repeat.")]
    origins = {} if net.counted is not None else dict(zip(net.panels, net.origins, strict=False))
    places = net.places if net.counted is None else net.counted
    marks: list[str] = []
    off_chart: list[int] = []
    for bubble, (column, row) in enumerate(places.tolist()):
        if column < 0:
            marks.append("")
            painted = net.counted is not None and net.colours[bubble]  # with its part of the piece
            loop = net.kinds[bubble] == "loop" and net.bubble_panels[bubble]
            if not (loop or painted):
                off_chart.append(bubble)
            continue
        right, up = origins.get(net.bubble_panels[bubble], (0, 0))
        marks.append(repeat[turn(right + column, up + row) % len(repeat)])
    by_hand = pattern.bubbles
    off_chart = [b for b in off_chart if net.bubble_names[b] not in by_hand]
    if not off_chart:
        return marks, []
    first = net.bubble_names[off_chart[0]]
    return marks, [
        Finding(
            code="no-chart",
            severity="cannot",
            where=f"bubble {first}",
            message=f"The pattern {pattern.kind} needs columns and rows to count, and "
            f"{len(off_chart)} bubbles of this net lie on no chart, first {first}.",
            remedy="Use a plain pattern, give the colours in the net file, or colour by hand.",
            bubbles=tuple(off_chart),
        )
    ]


def _bare(net: Net) -> list[str]:
    return [""] * net.bubble_count


def _no_repeat(message: str) -> Finding:
    return Finding(
        code="no-repeat",
        severity="cannot",
        where="pattern",
        message=message,
        remedy="Write marks of the colours, such as one letter or RRW.",
    )
