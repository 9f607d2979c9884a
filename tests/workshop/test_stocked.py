"""Planning from stock: which plan is taken, whose lengths count, and what is said of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from airweft.balloon.sizes import SIZES
from airweft.balloon.stock import Entry, PartUsed, Stock
from airweft.base.errors import BadInput, CannotMake
from airweft.base.progress import Progress
from airweft.check.replay import replay
from airweft.design.read import design_from_text
from airweft.design.stock_file import read_stock
from airweft.plan.make import Compared, make_plan
from airweft.records.design import Design
from airweft.records.net import Net
from airweft.records.plan import Plan
from airweft.records.planfile import write_plan
from airweft.workshop import stocked
from airweft.workshop.choosing import Chosen
from airweft.workshop.examine import examine
from airweft.workshop.job import run
from airweft.workshop.options import Style
from airweft.workshop.planned import Planned, planned
from airweft.workshop.shape import open_design, painted_net
from airweft.workshop.stock_return import put_back
from airweft.workshop.stocked import Store, open_store
from tests.cli.running import SMALL

EXAMPLES = Path(__file__).parents[2] / "examples"
SHED = EXAMPLES / "stock" / "harbour-shed.toml"


def red(count: int = 0, **more: object) -> Entry:
    return Entry(size="260", name="red", hex="#ff0000", count=count, **more)  # type: ignore[arg-type]


def store(*entries: Entry, only: bool = False) -> Store:
    return Store(stock=Stock(entries=entries), name="stock.toml", only=only)


def plan_small(
    given: Store | None, *, style: Style = "fewest", text: str = SMALL
) -> tuple[Design, Net, Planned]:
    design = design_from_text(text)
    net = painted_net(design)
    made = planned(design, net, style=style, seed=0, progress=Progress(), store=given)
    return design, net, made


def test_the_example_suffices_only_with_its_part_used_ones(tmp_path: Path) -> None:
    design = open_design(EXAMPLES / "harbour-lantern.toml")
    net = painted_net(design)
    shed = open_store(SHED)
    made = planned(design, net, style="best", seed=0, progress=Progress(), store=shed)
    lines = {line.mark: line for line in made.shopping}
    supply = lines["R"].supply
    assert supply is not None and not supply.missing and len(supply.part_used) == 4
    assert lines["W"].supply is not None and lines["W"].supply.state == "unlimited"
    assert not replay(made.plan).findings
    assert "stock-part-used" in {finding.code for finding in made.findings}


def test_a_stock_that_suffices_changes_no_plan() -> None:
    _, _, without = plan_small(None)
    _, _, made = plan_small(store(red(count=50)))
    assert write_plan(made.plan) == write_plan(without.plan)
    assert [finding.code for finding in made.findings] == []
    assert made.supplied is not None and made.supplied.missing == 0


def test_a_shortage_is_a_risk_or_a_refusal() -> None:
    for only, severity in ((False, "risky"), (True, "cannot")):
        _, _, made = plan_small(store(red(count=0), only=only))
        (short,) = [f for f in made.findings if f.code == "stock-short"]
        assert short.severity == severity and short.where == "red (R), 260"
        assert "1 balloon is needed, 0 are in stock: 1 is missing" in short.message
        assert "No plan for this design does with less" in short.message
        assert "Buy 1 pack of 50" in short.remedy
        assert short.balloons == (made.plan.balloons[0].code,)


def other_plans(monkeypatch: pytest.MonkeyPatch, make: Callable[[Plan], list[Plan]]) -> None:
    """Let the planner's comparison answer with plans of our own making."""

    def compare(design: Design, net: Net, *, seed: int, **_: object) -> list[Compared]:
        plan = make_plan(design, net, style="rounds", seed=seed)
        return [Compared(p.style, p) for p in make(plan)]

    monkeypatch.setattr(stocked, "compare", compare)


TWO = SMALL.replace('R = "red"', 'R = "red"\nW = "white"').replace(
    'kind   = "plain"\ncolour = "R"', 'kind = "rows"\nrepeat = "RW"'
)


def recoloured(plan: Plan, sizes: list[tuple[str, int]]) -> Plan:
    """The same work with its balloons cut otherwise: only to be counted, not to be made."""
    balloons, bubbles = [], [b for balloon in plan.balloons for b in balloon.bubbles]
    for number, (mark, count) in enumerate(sizes, start=1):
        taken, bubbles = tuple(bubbles[:count]), bubbles[count:]
        balloons.append(
            replace(plan.balloons[0], code=f"{mark}{number}", colour=mark, bubbles=taken)
        )
    unproven = replace(plan.bound, proven=False)
    return replace(plan, balloons=tuple(balloons), bound=unproven)


def test_a_plan_proven_fewest_is_not_searched_beyond(monkeypatch: pytest.MonkeyPatch) -> None:
    def compare(*_: object, **__: object) -> list[Compared]:
        raise AssertionError("no other plan can lack fewer")

    monkeypatch.setattr(stocked, "compare", compare)
    _, _, made = plan_small(store(), text=TWO)
    assert made.plan.bound.proven
    short = [f for f in made.findings if f.code == "stock-short"]
    assert len(short) == 2
    assert all("No plan for this design does with less" in f.message for f in short)


def test_a_part_used_one_could_suit_another_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[int] = []

    def compare(*_: object, seed: int, **__: object) -> list[Compared]:
        asked.append(seed)
        return []

    monkeypatch.setattr(stocked, "compare", compare)
    # Each a little too short for a row of four, but by length alone three could do for two rows.
    rests = (PartUsed(20_000),) * 3
    white = Entry(size="260", name="white", hex="#ffffff", part_used=rests)
    plan_small(store(red(count=9), white), text=TWO)
    assert asked == [0, 1, 2, 3]


def test_a_plan_that_lacks_fewer_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    # The planner's own choice needs two white ones, another style one: there is one.
    own = [("R", 8), ("W", 4), ("W", 4)]
    other = [("R", 4), ("R", 4), ("W", 8)]
    design = design_from_text(TWO)
    net = painted_net(design)
    first = make_plan(design, net, style="rounds")
    monkeypatch.setattr(stocked, "choose_plan", lambda *_, **__: Chosen(recoloured(first, own)))
    other_plans(monkeypatch, lambda plan: [recoloured(plan, own), recoloured(plan, other)])
    monkeypatch.setattr(stocked, "must_pass", replay)
    given = store(red(count=9), Entry(size="260", name="white", hex="#ffffff", count=1))
    made = planned(design, net, style="best", seed=0, progress=Progress(), store=given)
    assert [b.colour for b in made.plan.balloons] == ["R", "R", "W"]
    (note,) = [f for f in made.findings if f.code == "stock-other-plan"]
    assert "as many as the planner's own choice has" in note.message
    assert "suffices" in note.message
    # Enough for its own choice: that is taken, whatever else there is.
    given = store(red(count=9), Entry(size="260", name="white", hex="#ffffff", count=2))
    made = planned(design, net, style="best", seed=0, progress=Progress(), store=given)
    assert [b.colour for b in made.plan.balloons] == ["R", "W", "W"]
    assert [f.code for f in made.findings if f.code == "stock-other-plan"] == []


def test_more_work_is_worth_it_only_where_nothing_has_to_be_bought(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    own = [("R", 8), ("W", 4), ("W", 4)]
    more = [("R", 4), ("R", 4), ("W", 3), ("W", 5)]  # one white one from the rest
    design = design_from_text(TWO)
    net = painted_net(design)
    first = make_plan(design, net, style="rounds")
    monkeypatch.setattr(stocked, "choose_plan", lambda *_, **__: Chosen(recoloured(first, own)))
    other_plans(monkeypatch, lambda plan: [recoloured(plan, more)])
    monkeypatch.setattr(stocked, "must_pass", replay)
    white = Entry(size="260", name="white", hex="#ffffff", part_used=(PartUsed(20_000),))
    for count, balloons in ((0, 3), (1, 4)):
        given = store(red(count=9), replace(white, count=count))
        made = planned(design, net, style="best", seed=0, progress=Progress(), store=given)
        assert len(made.plan.balloons) == balloons


def test_a_wanted_style_is_kept_and_a_better_one_named(monkeypatch: pytest.MonkeyPatch) -> None:
    own = [("R", 8), ("W", 4), ("W", 4)]
    other = [("R", 4), ("R", 4), ("W", 8)]
    design = design_from_text(TWO)
    net = painted_net(design)
    first = make_plan(design, net, style="rounds")
    monkeypatch.setattr(stocked, "choose_plan", lambda *_, **__: Chosen(recoloured(first, own)))
    other_plans(monkeypatch, lambda plan: [replace(recoloured(plan, other), style="pairs")])
    monkeypatch.setattr(stocked, "must_pass", replay)
    given = store(red(count=9), Entry(size="260", name="white", hex="#ffffff", count=1))
    made = planned(design, net, style="rounds", seed=0, progress=Progress(), store=given)
    assert [b.colour for b in made.plan.balloons] == ["R", "W", "W"]
    (short,) = [f for f in made.findings if f.code == "stock-short"]
    assert "The style pairs lacks fewer." in short.remedy


def test_own_figures_of_the_stock_are_planned_with() -> None:
    usual = SIZES["260"].budget
    short = replace(usual, full=60_000, flat=12_000)  # 60 cm, so that 16 bubbles need two
    _, _, made = plan_small(store(red(count=9, budget=short, own=("flat", "full"))), style="rounds")
    assert made.plan.budgets["260"] == short
    assert len(made.plan.balloons) == 2
    assert made.design.budget == short
    assert set(made.design.assumed) == {"knot", "stub", "twist_takes", "twist_pushes"}
    assert not replay(made.plan).findings
    assert "stock-figures" in {finding.code for finding in made.findings}


def test_figures_left_out_are_those_of_the_design() -> None:
    own = SMALL.replace("bubble = 2.5", "bubble = 2.5\nbudget = { knot = 2 }")
    entry = red(count=9, budget=replace(SIZES["260"].budget, stub=4_000), own=("stub",))
    design, _, made = plan_small(store(entry), text=own)
    assert made.plan.budgets["260"] == replace(design.budget, stub=4_000)
    assert made.plan.budgets["260"].knot == 2_000


def test_part_used_ones_get_tails_of_their_own_that_the_checker_passes() -> None:
    fixed = SMALL.replace("bubble = 2.5", 'bubble = 2.5\ntail = "10 cm"')
    _, _, without = plan_small(None, text=fixed)
    assert {balloon.tail for balloon in without.plan.balloons} == {10_000}
    _, _, made = plan_small(store(red(part_used=(PartUsed(90_000),))), text=fixed)
    assert made.flats == {made.plan.balloons[0].code: 90_000 * 27_000 // 152_400 // 100 * 100}
    assert 0 < made.plan.balloons[0].tail < 10_000
    assert not replay(made.plan).findings


@pytest.fixture
def small(tmp_path: Path) -> Path:
    path = tmp_path / "pennant.toml"
    path.write_text(SMALL, encoding="utf-8")
    return path


def test_the_job_refuses_what_must_come_from_stock(small: Path, tmp_path: Path) -> None:
    with pytest.raises(CannotMake, match="missing"):
        run(small, tmp_path / "out", store=store(only=True))
    assert not (tmp_path / "out").exists()
    assert examine(small, store=store()).makeable
    assert not examine(small, store=store(only=True)).makeable


def test_the_stock_afterwards(small: Path, tmp_path: Path) -> None:
    target = tmp_path / "after.toml"
    outcome = run(
        small, tmp_path / "out", style="fewest", store=store(red(count=3)), return_to=target
    )
    after = read_stock(target)
    assert outcome.returned == target and outcome.kept_stock is None
    assert after.entries[0].count == 3 - len(outcome.plan.balloons)
    # 16 bubbles of 25 mm: 1524 - 16 x (25 + 14) - 15 - 30 = 855 mm are left.
    assert after.entries[0].part_used == (PartUsed(85_500),)
    # Made again from what is left, the rest is not used: 855 mm are enough, so it is.
    again = run(small, tmp_path / "out", style="fewest", store=open_store(target))
    supply = again.shopping[0].supply
    assert supply is not None and len(supply.part_used) == 1


def test_a_file_that_is_there_is_never_lost(small: Path, tmp_path: Path) -> None:
    target = tmp_path / "after.toml"
    target.write_text("mine", encoding="utf-8")
    with pytest.raises(BadInput, match="left alone"):
        run(small, tmp_path / "out", store=store(red(count=3)), return_to=target)
    assert target.read_text(encoding="utf-8") == "mine" and not (tmp_path / "out").exists()
    outcome = run(
        small,
        tmp_path / "out",
        style="fewest",
        store=store(red(count=3)),
        return_to=target,
        replace=True,
    )
    assert outcome.kept_stock == tmp_path / "after.kept-1.toml"
    assert outcome.kept_stock.read_text(encoding="utf-8") == "mine"
    assert read_stock(target).entries[0].count == 2
    for bad in (tmp_path, tmp_path / "no" / "where.toml"):
        with pytest.raises(BadInput, match="folder"):
            run(small, tmp_path / "out2", store=store(red(count=3)), return_to=bad, replace=True)
        assert not (tmp_path / "out2").exists()


def test_a_failed_writing_puts_the_old_file_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "after.toml"
    target.write_text("mine", encoding="utf-8")

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("airweft.workshop.stock_return.write_new", full)
    with pytest.raises(OSError, match="No space"):
        put_back(target, Stock(), replace=True)
    assert [path.name for path in tmp_path.iterdir()] == ["after.toml"]
    assert target.read_text(encoding="utf-8") == "mine"
