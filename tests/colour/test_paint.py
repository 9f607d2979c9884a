"""Patterns: which bubble gets which mark, and what is said where they cannot or do not close."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, get_args, get_type_hints

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airweft.base.errors import CannotMake
from airweft.colour.paint import paint, paint_notes
from airweft.colour.rules import RULES, period
from airweft.net.fabric import weave
from airweft.net.frame import frame
from airweft.net.seams import add_loops
from airweft.records.design import Blocks, Box, Colour, Pattern, Sheet, Tube
from airweft.records.net import Net
from airweft.surface.build import build
from tests.solids import SOLIDS, solid_mesh

PALETTE = (
    Colour("R", "red", "#ff0000"),
    Colour("W", "white", "#ffffff"),
    Colour("B", "navy", "#000080"),
)
BOX = Box(across=6, deep=4, high=4)
UPRIGHT = ("front", "right", "back", "left")


def _net(form: Any) -> Net:
    return add_loops(weave(build(form, bubble=2500), bubble=2500, size="260"))


def _painted(form: Any, kind: Any, repeat: str = "", **more: Any) -> Net:
    return paint(_net(form), Pattern(kind=kind, repeat=repeat, **more), PALETTE)


def _chart(net: Net, panel: str) -> list[str]:
    """The panel's marks as seen from outside, upper row first."""
    marks = {
        tuple(net.places[b].tolist()): net.colours[b]
        for b, at in enumerate(net.bubble_panels)
        if at == panel and net.kinds[b] != "loop"
    }
    columns, rows = (1 + max(place[k] for place in marks) for k in (0, 1))
    return ["".join(marks.get((c, r), " ") for c in range(columns)) for r in reversed(range(rows))]


def _findings(form: Any, kind: Any, repeat: str = "", **more: Any) -> list[Any]:
    net = form if isinstance(form, Net) else _net(form)
    with pytest.raises(CannotMake) as caught:
        paint(net, Pattern(kind=kind, repeat=repeat, **more), PALETTE)
    assert all(f.remedy for f in caught.value.findings)
    return list(caught.value.findings)


def test_every_kind_has_a_rule() -> None:
    assert set(RULES) == set(get_args(get_type_hints(Pattern)["kind"]))


def test_plain() -> None:
    assert set(_painted(BOX, "plain", "W").colours) == {"W"}


def test_columns_run_on_around_the_upright_sides() -> None:
    net = _painted(Box(across=6, deep=6, high=4), "columns", "RRW")
    for panel in UPRIGHT:
        assert _chart(net, panel) == ["RRWRRW"] * 4
    net = _painted(Box(across=4, deep=2, high=2), "columns", "RRW")
    around = "".join(_chart(net, panel)[0] for panel in UPRIGHT)
    assert around == "RRW" * 4
    assert _chart(net, "top") == _chart(net, "bottom") == ["RRWR"] * 2


def test_columns_stand_upright_in_space() -> None:
    # Bubbles of the front by how far to the right they are, whatever the chart says.
    net = _painted(Box(across=4, deep=4, high=4), "columns", "RW")
    for panel in UPRIGHT:
        assert _chart(net, panel) == ["RWRW"] * 4
    front = {
        round(float(net.joints[net.ends[b]].mean(axis=0)[0]), 3): net.colours[b]
        for b, at in enumerate(net.bubble_panels)
        if at == "front" and net.kinds[b] != "loop"
    }
    assert "".join(mark for _, mark in sorted(front.items())) == "RWRW"


def test_columns_of_a_tube() -> None:
    assert _chart(_painted(Tube(around=12, rows=4), "columns", "RRW"), "tube") == ["RRW" * 4] * 4


def test_rows_are_level_all_the_way_round() -> None:
    net = _painted(BOX, "rows", "RRW")
    for panel in UPRIGHT:
        width = len(_chart(net, panel)[0])
        assert _chart(net, panel) == [mark * width for mark in "RWRR"]
    heights: dict[str, set[float]] = {}
    for b, at in enumerate(net.bubble_panels):
        if at in UPRIGHT and net.kinds[b] != "loop":
            z = float(net.joints[net.ends[b]].mean(axis=0)[2])
            heights.setdefault(net.colours[b], set()).add(round(z, 3))
    assert not heights["R"] & heights["W"]


def test_rows_of_blocks_meet_on_panels_that_begin_higher_up() -> None:
    # Stairs: the upper riser begins two bubbles above the foot, in the middle of the repeat.
    net = _painted(Blocks(cell=2, layers=(("#", "#"), ("#", "."))), "rows", "RWB")
    assert _chart(net, "front") == ["WW", "RR"]
    assert _chart(net, "front 2") == ["RR", "BB"]
    assert _chart(net, "back") == ["RR", "BB", "WW", "RR"]


def test_checks_alternate_both_ways() -> None:
    assert _chart(_painted(Sheet(columns=6, rows=4), "checks", "RW"), "sheet") == [
        "WRWRWR",
        "RWRWRW",
        "WRWRWR",
        "RWRWRW",
    ]
    assert _chart(_painted(Sheet(columns=6, rows=2), "checks", "RWB"), "sheet") == [
        "WBRWBR",
        "RWBRWB",
    ]


def test_panels() -> None:
    marks = dict(zip(("bottom", *UPRIGHT), "RRWRW", strict=True))
    net = _painted(replace(BOX, open=("top",)), "panels", panels=marks)
    for panel, mark in marks.items():
        assert set("".join(_chart(net, panel))) == {mark}


def test_a_side_speaks_for_its_numbered_panels() -> None:
    sides = dict.fromkeys(("bottom", "front", "right", "back", "left", "top"), "R")
    stairs = Blocks(cell=2, layers=(("#", "#"), ("#", ".")))
    net = _painted(stairs, "panels", panels={**sides, "front": "W", "top 2": "B"})
    assert set("".join(_chart(net, "front 2"))) == {"W"}
    assert set("".join(_chart(net, "top"))) == {"R"}
    assert set("".join(_chart(net, "top 2"))) == {"B"}


def test_by_hand_over_any_pattern() -> None:
    by_hand = {"front 3.2": "B", "top 6.4": "B"}
    net, base = _painted(BOX, "checks", "RW", bubbles=by_hand), _painted(BOX, "checks", "RW")
    changed = [
        net.bubble_names[b]
        for b, kind in enumerate(net.kinds)
        if kind != "loop" and net.colours[b] != base.colours[b]
    ]
    assert changed == list(by_hand)
    assert {net.colours[net.bubble_names.index(name)] for name in by_hand} == {"B"}


def test_loops_follow_the_lowest_bubble_of_their_panel_at_the_joint() -> None:
    net = _painted(BOX, "checks", "RWB")
    for loop, kind in enumerate(net.kinds):
        if kind != "loop":
            continue
        joint = int(net.ends[loop, 0])
        beside = [
            b
            for b, (a, c) in enumerate(net.ends.tolist())
            if joint in (a, c)
            and net.kinds[b] != "loop"
            and net.bubble_panels[b] == net.bubble_panels[loop]
        ]
        assert net.colours[loop] == net.colours[min(beside)]


def test_loops_by_hand() -> None:
    name = next(n for n in _net(BOX).bubble_names if n.startswith("loop"))
    net = _painted(BOX, "plain", "R", bubbles={name: "W"})
    assert [net.bubble_names[b] for b, m in enumerate(net.colours) if m == "W"] == [name]


def test_given() -> None:
    net = frame(solid_mesh(SOLIDS["cube"]), size="260")
    marked = replace(net, colours=("R",) * 6 + ("W",) * 6)
    assert paint(marked, Pattern(kind="given"), PALETTE).colours == marked.colours
    over = Pattern(kind="given", bubbles={"edge 1": "B"})
    assert paint(marked, over, PALETTE).colours[0] == "B"


def test_given_with_gaps_and_strangers() -> None:
    net = frame(solid_mesh(SOLIDS["cube"]), size="260")
    marked = replace(net, colours=("",) * 2 + ("X",) * 4 + ("W",) * 6)
    gap, stranger = _findings(marked, "given")
    assert (gap.code, gap.bubbles) == ("no-colour", (0, 1))
    assert (stranger.code, stranger.bubbles) == ("unknown-colour", (2, 3, 4, 5))
    assert "'X'" in stranger.message


def test_patterns_that_need_a_chart() -> None:
    net = frame(solid_mesh(SOLIDS["cube"]), size="260")
    for kind in ("columns", "rows", "checks"):
        (finding,) = _findings(net, kind, "RW")
        assert finding.code == "no-chart"
    (finding,) = _findings(net, "panels", panels={"front": "R"})
    assert finding.code == "no-panels"
    assert set(paint(net, Pattern(kind="plain", repeat="R"), PALETTE).colours) == {"R"}


def test_every_wrong_name_at_once_with_the_nearest() -> None:
    findings = _findings(
        BOX, "checks", "RX", bubbles={"frnt 1.1": "B", "Front 2.2": "R", "keel": "Y"}
    )
    told = {f.where: f for f in findings}
    assert "'X'" in told['pattern, in "RX"'].message
    assert "'Y'" in told["pattern, for bubble keel"].message
    assert "'front 1.1'" in told["pattern, bubble frnt 1.1"].remedy
    assert "'front 2.2'" in told["pattern, bubble Front 2.2"].remedy
    assert "'bottom 1.1'" in told["pattern, bubble keel"].remedy


def test_many_wrong_names_are_told_with_their_number() -> None:
    findings = _findings(BOX, "plain", "R", bubbles={f"keel {k}": "R" for k in range(500)})
    assert len(findings) == 13
    assert "488 more" in findings[-1].message


def test_panels_missing_and_unknown() -> None:
    form = replace(BOX, open=("top",))
    marks = dict.fromkeys(("botom", "right", "back", "left", "top"), "R")
    findings = _findings(form, "panels", panels=marks)
    assert [f.where for f in findings] == [
        "pattern, panel botom",
        "pattern, panel top",
        "pattern, panel bottom",
        "pattern, panel front",
    ]
    assert "'bottom'" in findings[0].remedy


@pytest.mark.parametrize(("kind", "repeat"), [("plain", ""), ("plain", "RW"), ("rows", "")])
def test_nothing_to_repeat(kind: str, repeat: str) -> None:
    assert [f.code for f in _findings(BOX, kind, repeat)] == ["no-repeat"]


def test_where_stripes_break_is_noted() -> None:
    pattern = Pattern(kind="columns", repeat="RRW")
    for form, place, counts in (
        (Tube(around=16, rows=4), "column 16 and column 1", "12 or 18"),
        (BOX, "left and front", "12 or 24"),
        (Blocks(cell=4, layers=(("#",),)), "left and front", "12 or 24"),
    ):
        net = paint(_net(form), pattern, PALETTE)
        note = paint_notes(net, pattern, PALETTE)[0]
        assert note.code == "pattern-does-not-close"
        assert place in note.message
        assert counts in note.remedy


@pytest.mark.parametrize(
    ("form", "kind", "repeat"),
    [
        (Tube(around=12, rows=4), "columns", "RRW"),
        (Tube(around=16, rows=4), "columns", "RWRW"),
        (Tube(around=10, rows=4), "checks", "RW"),
        (Tube(around=16, rows=4), "rows", "RRW"),
        (replace(BOX, open=("front",)), "columns", "RRW"),
        (Sheet(columns=8, rows=4), "columns", "RRW"),
    ],
)
def test_nothing_to_note_where_stripes_close(form: Any, kind: Any, repeat: str) -> None:
    pattern = Pattern(kind=kind, repeat=repeat)
    net = paint(_net(form), pattern, PALETTE)
    assert [n.code for n in paint_notes(net, pattern, PALETTE[:2])] == []


def test_unused_colours_are_noted() -> None:
    pattern = Pattern(kind="plain", repeat="R")
    net = paint(_net(BOX), pattern, PALETTE)
    assert [n.where for n in paint_notes(net, pattern, PALETTE)] == ["colours, W", "colours, B"]


def test_notes_tell_colours_that_look_alike() -> None:
    palette = (Colour("R", "red", "#ff0000"), Colour("S", "signal red", "#fa0808"))
    pattern = Pattern(kind="rows", repeat="RS")
    net = paint(_net(BOX), pattern, palette)
    assert [n.code for n in paint_notes(net, pattern, palette)] == ["like-colours"]


@settings(deadline=None)
@given(st.text("RW", min_size=1, max_size=12))
def test_period_is_the_least_turn_that_changes_nothing(repeat: str) -> None:
    turns = [k for k in range(1, len(repeat) + 1) if repeat[k:] + repeat[:k] == repeat]
    assert period(repeat) == turns[0]


@settings(deadline=None)
@given(
    st.sampled_from([BOX, Tube(around=8, rows=6), Sheet(columns=4, rows=6)]),
    st.sampled_from(["columns", "rows", "checks"]),
    st.text("RWB", min_size=1, max_size=5),
)
def test_every_bubble_is_painted_and_nothing_else_changes(
    form: Any, kind: Any, repeat: str
) -> None:
    net = _net(form)
    painted = paint(net, Pattern(kind=kind, repeat=repeat), PALETTE)
    assert set(painted.colours) <= set(repeat)
    assert painted.bubble_names == net.bubble_names
    assert painted.ends is net.ends
