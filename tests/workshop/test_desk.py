"""The desk: edits that leave all else alone, undo and redo, plans that go out of date."""

from __future__ import annotations

import threading
import tomllib
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from airweft.base.errors import BadInput
from airweft.base.progress import Progress
from airweft.records.plan import Plan
from airweft.workshop.desk import Desk
from airweft.workshop.planning import checked_plan
from airweft.workshop.settled import settle
from airweft.workshop.store.store import Store
from tests.workshop.pieces import SMALL


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    one = Store(tmp_path / "home")
    yield one
    one.close()


@pytest.fixture
def desk(store: Store) -> Desk:
    return store.open(store.new(SMALL).key)


def plan_of(desk: Desk) -> Plan:
    assert desk.design is not None and desk.net is not None
    return checked_plan(desk.design, desk.net, style="rounds", seed=0, progress=Progress())[0]


def test_a_key_is_set_and_every_other_letter_stays(desk: Desk) -> None:
    desk.set(("form", "columns"), 6, gesture="Width")
    assert desk.text == SMALL.replace("columns = 4 ", "columns = 6 ")
    assert desk.net is not None and desk.net.bubble_count == 24
    desk.set(("form", "columns"), 4, gesture="Width")
    assert desk.text == SMALL


def test_keys_and_sections_come_and_go(desk: Desk) -> None:
    desk.set(("plan", "style"), "rounds", gesture="Style")
    desk.set(("notes",), 'Two lines\nand "quotes"', gesture="Notes")
    desk.set(("colours", "Ω x"), "navy", gesture="Colour")
    data = tomllib.loads(desk.text)
    assert data["plan"] == {"style": "rounds"}
    assert data["notes"] == 'Two lines\nand "quotes"'
    assert data["colours"]["Ω x"] == "navy"
    for path in (("plan",), ("notes",), ("colours", "Ω x")):
        desk.set(path, None, gesture="Remove")
    assert tomllib.loads(desk.text) == tomllib.loads(SMALL)
    assert all(remark in desk.text for remark in ("must stay", "and this one", "How it is"))


def test_another_kind_of_form_takes_no_remarks_along(desk: Desk) -> None:
    desk.set(("form",), {"kind": "tube", "around": 6, "rows": 6}, gesture="Form")
    assert tomllib.loads(desk.text)["form"] == {"kind": "tube", "around": 6, "rows": 6}
    assert "an even number" not in desk.text and "must stay" in desk.text
    assert desk.undo() == "Form" and desk.text == SMALL


def test_parts_are_added_in_the_middle_of_nothing_else(store: Store) -> None:
    from airweft.workshop.starter import starter_text

    desk = store.open(store.new(starter_text("joined")).key)
    before = tomllib.loads(desk.text)["form"]["part"]
    part = {"name": "hat", "kind": "cone", "across": 8, "high": 8, "on": {"x": 1}}
    desk.set(("form", "part", len(before)), part, gesture="Part")
    assert tomllib.loads(desk.text)["form"]["part"] == [*before, part]
    desk.set(("form", "part", 0), None, gesture="Remove part")
    assert tomllib.loads(desk.text)["form"]["part"] == [*before[1:], part]
    desk.set(("form", "part"), before, gesture="Parts")
    assert tomllib.loads(desk.text)["form"]["part"] == before


@pytest.mark.parametrize("value", [float("nan"), object(), {"a": float("inf")}, "\ud800", b"x"])
def test_values_that_no_file_holds_are_refused(desk: Desk, value: object) -> None:
    with pytest.raises(BadInput, match="nothing was changed"):
        desk.set(("form", "columns"), value, gesture="?")
    assert desk.text == SMALL and desk.can_undo is None


@pytest.mark.parametrize(
    "path", [(), ("form", 3), ("form", "columns", "x"), ("form", "open", 5), ("x",) * 40, (0,)]
)
def test_places_that_there_are_not_are_refused(desk: Desk, path: tuple[str | int, ...]) -> None:
    with pytest.raises(BadInput):
        desk.set(path, 1, gesture="?")
    assert desk.text == SMALL


def test_painting_turns_the_pattern_into_a_base(desk: Desk) -> None:
    desk.paint({"sheet 1.1": "W", "sheet 2.1": "W"}, gesture="Paint")
    pattern = tomllib.loads(desk.text)["pattern"]
    assert pattern["base"] == {"kind": "rows", "repeat": "RW"}
    assert pattern["bubbles"] == {"sheet 1.1": "W", "sheet 2.1": "W"}
    assert desk.net is not None
    marks = dict(zip(desk.net.bubble_names, desk.net.colours, strict=True))
    assert marks["sheet 1.1"] == "W" and marks["sheet 3.1"] == "R"
    desk.paint({"sheet 1.1": "", "sheet 2.1": "R", "sheet 3.3": "W"}, gesture="Paint")
    assert tomllib.loads(desk.text)["pattern"]["bubbles"] == {"sheet 2.1": "R", "sheet 3.3": "W"}
    assert "# How it is painted" in desk.text


def test_painting_bubbles_written_in_one_table(desk: Desk) -> None:
    inline = 'kind = "hand"\nbase = {kind = "plain", colour = "R"}\nbubbles = {"sheet 1.1" = "W"}\n'
    desk.replace(SMALL.replace('kind   = "rows"\nrepeat = "RW"\n', inline), gesture="Text")
    desk.paint({"sheet 1.1": "R", "sheet 2.2": "W"}, gesture="Paint")
    assert tomllib.loads(desk.text)["pattern"]["bubbles"] == {"sheet 1.1": "R", "sheet 2.2": "W"}
    assert desk.design is not None


def test_gestures_that_run_on_are_one_step(desk: Desk) -> None:
    for n in (6, 8, 10):
        desk.set(("form", "columns"), n, gesture="Width", merge="slider")
    desk.set(("form", "rows"), 6, gesture="Height", merge="other")
    assert [desk.undo(), desk.undo(), desk.undo()] == ["Height", "Width", None]
    assert desk.text == SMALL
    assert [desk.redo(), desk.redo(), desk.redo()] == ["Width", "Height", None]
    desk.undo()
    desk.set(("form", "columns"), 12, gesture="Width", merge="slider")  # not in a row any more
    assert [desk.undo(), desk.undo(), desk.undo()] == ["Width", "Width", None]


def test_a_slider_moved_back_leaves_no_step(desk: Desk) -> None:
    desk.set(("form", "columns"), 6, gesture="Width", merge="slider")
    desk.set(("form", "columns"), 4, gesture="Width", merge="slider")
    assert desk.can_undo is None and desk.text == SMALL


def test_what_was_undone_and_left_can_be_brought_back(desk: Desk) -> None:
    desk.set(("form", "columns"), 6, gesture="Width")
    six = desk.text
    desk.undo()
    desk.set(("form", "rows"), 8, gesture="Height")
    assert desk.can_redo is None
    found = next(g for g in desk.generations() if g.gesture == "Width")
    desk.bring_back(found.id)
    assert desk.text == six
    with pytest.raises(BadInput):
        desk.bring_back(10_000)


def test_a_text_that_cannot_be_read_keeps_the_net_and_says_where(desk: Desk) -> None:
    net = desk.net
    desk.replace(SMALL.replace("rows    = 4", "rows    = ["), gesture="Text")
    assert desk.design is None and desk.net is net
    assert desk.findings[0].line is not None and desk.findings[0].severity == "cannot"
    with pytest.raises(BadInput):
        desk.set(("form", "columns"), 6, gesture="Width")
    assert desk.undo() == "Text" and desk.text == SMALL


def test_no_text_that_no_file_can_hold(desk: Desk) -> None:
    for text in ("\ud800", "a\0b", "x = 1\n" * 400_000):
        with pytest.raises(BadInput):
            desk.replace(text, gesture="Text")
    desk.replace("\ufeff" + SMALL.replace("\n", "\r\n") + "#\r", gesture="Text")
    assert desk.text == SMALL + "#\n"


@pytest.mark.parametrize("name", ["", "   ", "two\nlines", "x" * 5_000, "a\x07b"])
def test_a_name_that_is_none_is_refused(desk: Desk, name: str) -> None:
    with pytest.raises(BadInput):
        desk.rename(name)
    assert desk.name == "Ferry flag" and desk.text == SMALL


def why(desk: Desk) -> tuple[str, ...]:
    return desk.plan_text_changes


def test_a_plan_goes_out_of_date_in_words_and_comes_back(desk: Desk) -> None:
    plan = plan_of(desk)
    desk.keep_plan(plan)
    assert desk.plan == plan and not why(desk) and desk.can_undo == "Plan: rounds"
    desk.rename("Ferry flag, large")
    assert not why(desk)
    desk.set(("balloon", "bubble"), "25 mm", gesture="Bubble")  # the same length
    assert not why(desk)
    desk.set(("form", "columns"), 6, gesture="Width")
    assert why(desk) == ("form: columns 4 -> 6",)
    desk.paint({"sheet 1.1": "W"}, gesture="Paint")
    assert why(desk)[1] == "pattern: another colour for the bubble sheet 1.1"
    desk.replace("not toml [", gesture="Text")
    assert why(desk) == ("the design cannot be read as it is now",)
    assert desk.plan == plan
    for _ in range(3):
        desk.undo()
    assert not why(desk)
    while desk.undo():
        pass
    assert desk.plan is None and desk.text == SMALL
    while desk.redo():
        pass
    assert desk.plan == plan


def test_a_plan_made_meanwhile_is_kept_and_out_of_date(desk: Desk) -> None:
    plan = plan_of(desk)
    desk.set(("form", "rows"), 6, gesture="Height")
    desk.keep_plan(plan)
    assert desk.plan_text_changes == ("form: rows 4 -> 6",)
    with pytest.raises(BadInput, match="never was"):
        desk.keep_plan(replace(plan, fingerprint="0" * 64))


def test_units_alone_change_no_plan(desk: Desk) -> None:
    desk.keep_plan(plan_of(desk))
    desk.replace(
        SMALL.replace('"cm"', '"mm"').replace("bubble = 2.5", "bubble = 25"), gesture="Units"
    )
    assert desk.plan_text_changes == ()


def test_the_shape_stays_while_only_colours_change(desk: Desk) -> None:
    assert desk.design is not None and desk.net is not None
    desk.keep_settled(settle(desk.net, desk.design, seed=0, progress=Progress()), desk.net)
    assert desk.settled is not None
    joints = desk.settled.net.joints
    desk.paint({"sheet 1.1": "W"}, gesture="Paint")
    assert desk.settled is not None and desk.settled.net.joints is joints
    assert desk.settled.net.colours == desk.net.colours
    desk.set(("form", "rows"), 6, gesture="Height")
    assert desk.settled is None


def test_listeners_hear_and_one_that_fails_is_let_go(desk: Desk) -> None:
    heard: list[str] = []

    def fails(_: str) -> None:
        raise RuntimeError("this tab is gone")

    desk.listen(fails)
    stop = desk.listen(heard.append)
    desk.set(("form", "columns"), 6, gesture="Width")
    assert set(heard) == {"design", "history"}
    stop()
    stop()
    desk.undo()
    assert len(heard) == 2


def test_many_threads_at_one_desk(desk: Desk) -> None:
    def work(mine: int) -> None:
        for n in range(12):
            desk.set(("plan", "weights", f"w{mine}"), n, gesture=f"{mine}.{n}")
            desk.paint({f"sheet {mine}.1": "RW"[n % 2]}, gesture=f"p{mine}.{n}")
            _ = (desk.can_undo, desk.plan_text_changes, desk.net)

    threads = [threading.Thread(target=work, args=(n,)) for n in range(1, 5)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    data = tomllib.loads(desk.text)
    assert data["plan"]["weights"] == {f"w{n}": 11 for n in range(1, 5)}
    assert len(data["pattern"]["bubbles"]) == 4
    count = 0
    while desk.undo():
        count += 1
    assert desk.text == SMALL and count == 4 * 24
