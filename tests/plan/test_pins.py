"""Fixed choices: found by name, listed by name where they cannot be kept, and true in a plan."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise, permutations
from pathlib import Path
from random import Random

import networkx as nx
import pytest

from airweft.base.findings import Finding
from airweft.check.kept import not_kept
from airweft.design.read import design_from_text
from airweft.plan.capacity import Capacity
from airweft.plan.make import make_plan
from airweft.plan.orders import BadOrder, merged
from airweft.plan.pinning import resolve
from airweft.plan.pins import Pins, Turn, comes_out
from airweft.records.choices import (
    Choices,
    Keep,
    KeepBefore,
    KeepPanels,
    KeepToward,
    KeepTrail,
)
from airweft.records.design import Blocks, Box, Sheet
from airweft.records.net import Net
from airweft.records.plan import Plan
from airweft.workshop.shape import painted_net
from tests.plan.nets import checks, design, fabric, frame, panels, rows

CUBE = fabric(Box(across=4, deep=4, high=4))
SHEET = fabric(Sheet(columns=6, rows=6), rows("RW"))


def pinned(
    net: Net, *keep: Keep, start: str = "", most: int | None = None
) -> tuple[Pins, tuple[Finding, ...]]:
    made = design(most=most)
    capacity = Capacity(made.budget, most_bubbles=most, fixed_tail=None, step=500)
    choices = Choices(start=start, keep=keep)
    return resolve(choices, net, capacities={"260": capacity})


def only(found: tuple[Finding, ...]) -> Finding:
    assert [f.code for f in found] == ["plan-choice-cannot-be-kept"], found
    assert found[0].severity == "risky" and found[0].remedy
    return found[0]


def touching(net: Net, count: int, seed: int = 0) -> tuple[int, ...]:
    """A random walk of so many bubbles of one colour, none twice."""
    pick = Random(seed)
    at = net.ends_at()
    while True:
        joint = pick.randrange(net.joint_count)
        trail: list[int] = []
        while len(trail) < count:
            ways = [b for b in at[joint] if b not in trail]
            ways = [b for b in ways if net.colours[b] == net.colours[(trail or ways)[0]]]
            if not ways:
                break
            trail.append(pick.choice(ways))
            one, two = net.ends[trail[-1]].tolist()
            joint = two if one == joint else one
        if len(trail) == count:
            return tuple(trail)


def names(net: Net, bubbles: tuple[int, ...]) -> tuple[str, ...]:
    return tuple(net.bubble_names[b] for b in bubbles)


def test_the_choices_of_the_page_fit_its_design() -> None:
    page = (Path(__file__).parents[2] / "docs" / "design-file.md").read_text(encoding="utf-8")
    first, *_, last = re.findall(r"```toml\n(.*?)```", page, re.S)
    made = design_from_text(first + last)
    pins, found = pinned(painted_net(made), *made.choices.keep, start=made.choices.start)
    assert not found and pins.trails and pins.ranks and pins.toward
    assert pins.start is not None


def test_nothing_fixed_gives_no_pins() -> None:
    pins, found = pinned(CUBE)
    assert pins.is_empty and pins == Pins() and not found


def test_names_become_indices() -> None:
    trail = touching(CUBE, 5)
    start = CUBE.joint_names[7]
    pins, found = pinned(CUBE, KeepTrail(names(CUBE, trail)), start=start)
    assert not found
    assert pins.start == 7 and pins.trails == (trail,)
    assert pins.next_of() == dict(pairwise(trail))
    (joints,) = pins.joints
    for bubble, (one, two) in zip(trail, pairwise(joints), strict=True):
        assert sorted(CUBE.ends[bubble].tolist()) == sorted((one, two))


def test_pins_survive_a_change_elsewhere() -> None:
    """The same names mean the same places when the piece grows."""
    small, large = (fabric(Box(across=4, deep=4, high=h, open=("top",))) for h in (4, 8))
    trail = ("bottom 1.1", "bottom 2.1", "bottom 3.2")
    for net in (small, large):
        pins, found = pinned(net, KeepTrail(trail), KeepPanels(("bottom", "left")))
        assert not found and names(net, pins.trails[0]) == trail


@pytest.mark.parametrize(
    ("keep", "says", "remedy"),
    [
        (KeepTrail(("front 1.1", "front 22.2")), "front 22.2", "front 2.2"),
        (KeepTrail(("front 1.1", "front 4.4")), "do not touch", "front 1.1"),
        (KeepPanels(("bottom", "frnt")), "'frnt'", "'front'"),
        (KeepPanels(("bottom", "attic")), "'attic'", "Names here"),
        (KeepBefore(("R", "B")), "no bubble of this piece is B", "R"),
        (KeepToward("front (2, 1)", "front (1,2)"), "front (1,2)", "front (1, 2)"),
        (KeepToward("front (2, 1)", "front (2, 1)"), "same joint", "another joint"),
    ],
)
def test_what_does_not_fit_is_listed_by_name(keep: Keep, says: str, remedy: str) -> None:
    pins, found = pinned(CUBE, keep)
    finding = only(found)
    assert finding.where == f"plan, {keep.title}"
    assert says in finding.message and remedy in finding.remedy
    assert pins.is_empty


def test_an_unknown_start_is_listed() -> None:
    pins, found = pinned(CUBE, start="front (1, 99)")
    assert pins.start is None and "front (1, 99)" in only(found).where


def test_a_trail_is_of_one_colour_and_fits_one_balloon() -> None:
    mixed = next(
        (b, c)
        for at in SHEET.ends_at()
        for b in at
        for c in at
        if SHEET.colours[b] != SHEET.colours[c]
    )
    assert "one colour" in only(pinned(SHEET, KeepTrail(names(SHEET, mixed)))[1]).message
    long = KeepTrail(names(CUBE, touching(CUBE, 9)))
    assert "after the first 8" in only(pinned(CUBE, long, most=8)[1]).message
    assert not pinned(CUBE, long, most=9)[1]


def test_a_walk_goes_on_where_it_came_out() -> None:
    """Three bubbles at one joint touch each other, but no balloon runs through all three."""
    net = frame([(0, 1), (0, 2), (0, 3)])
    finding = only(pinned(net, KeepTrail(("b0", "b1", "b2")))[1])
    assert "at its other end" in finding.message


def test_two_trails_share_no_bubble() -> None:
    trail = names(CUBE, touching(CUBE, 6))
    pins, found = pinned(CUBE, KeepTrail(trail[:4]), KeepTrail(trail[3:]))
    assert len(pins.trails) == 1
    assert trail[3] in only(found).message and "as one" in only(found).remedy


def test_orders_that_contradict_each_other() -> None:
    six = fabric(Box(across=4, deep=4, high=4), panels)
    marks = {p: six.colours[six.bubble_panels.index(p)] for p in six.panels}
    both = (marks["front"], marks["left"]), (marks["left"], marks["front"])
    _, found = pinned(six, KeepBefore(both[0]), KeepBefore(both[1]))
    assert f"{both[0][0]} before {both[0][1]}" in only(found).message
    one, two = KeepPanels(("front", "back", "top")), KeepPanels(("top", "front"))
    pins, found = pinned(CUBE, one, two)
    assert "other choices" in only(found).message
    assert max(pins.ranks) == 2
    against = (KeepBefore((marks["back"], marks["front"])), KeepPanels(("front", "back")))
    for order in (against, against[::-1]):
        assert "order of colours" in only(pinned(six, *order)[1]).message
    parts = KeepPanels(("front", "back")), KeepPanels(("fro", "back"))
    assert not pinned(six, parts[0], KeepPanels(("front", "left")))[1]
    assert "no panel 'fro'" in only(pinned(six, *parts)[1]).message


def test_a_start_that_comes_too_early() -> None:
    """What is made first belongs to the first colour and the first panel."""
    late, soon = "front (2, 1)", "back (2, 1)"
    pins, found = pinned(CUBE, KeepPanels(("back", "front")), start=late)
    assert pins.start is None and pins.ranks and only(found).where == f"plan, start {late}"
    assert not pinned(CUBE, KeepPanels(("back", "front")), start=soon)[1]
    six = fabric(Box(across=4, deep=4, high=4), panels)
    mark = {p: six.colours[six.bubble_panels.index(p)] for p in six.panels}
    order = KeepBefore((mark["back"], mark["front"]))
    assert "order of colours" in only(pinned(six, order, start=late)[1]).message
    assert not pinned(six, order, start=soon)[1]


def test_colours_that_lie_in_parts() -> None:
    """The red rows of a sheet do not touch, unless a third colour may be made between them."""
    two, three = (fabric(Sheet(columns=6, rows=8), rows(repeat)) for repeat in ("RRWW", "RRWWBB"))
    finding = only(pinned(two, KeepBefore(("R", "W")))[1])
    assert "R lies in 2 parts" in finding.message and "before W" in finding.message
    parts = nx.Graph(two.ends[[c == "R" for c in two.colours]].tolist())
    assert nx.number_connected_components(parts) == 2
    assert "in 2 parts" in only(pinned(three, KeepBefore(("R", "W")))[1]).message
    assert not pinned(three, KeepBefore(("W", "B")))[1]


def test_toward_names_the_bubbles_on_shortest_ways() -> None:
    graph = nx.Graph(CUBE.ends.tolist())
    pick = Random(3)
    for _ in range(30):
        start, goal = pick.sample(range(CUBE.joint_count), 2)
        pins, found = pinned(CUBE, KeepToward(CUBE.joint_names[start], CUBE.joint_names[goal]))
        assert not found
        ((joint, bubbles),) = pins.toward
        ways = {path[1] for path in nx.all_shortest_paths(graph, start, goal)}
        ends = {other for b in bubbles for other in CUBE.ends[b].tolist()} - {start}
        assert joint == start and ends == ways


def orders_of(words: str, seed: int) -> list[str]:
    pick = Random(seed)
    return ["".join(pick.sample(words, pick.randint(2, 3))) for _ in range(pick.randint(1, 4))]


@pytest.mark.parametrize("seed", range(60))
def test_orders_are_merged_as_a_graph_would(seed: int) -> None:
    orders = orders_of("ABCDEF", seed)
    graph = nx.DiGraph(pair for order in orders for pair in pairwise(order))
    if not nx.is_directed_acyclic_graph(graph):
        with pytest.raises(BadOrder) as clash:
            merged(orders)
        assert nx.has_path(graph, clash.value.later, clash.value.first)
        assert nx.has_path(graph, clash.value.first, clash.value.later)
        return
    level = merged(orders)
    assert level == {w: i for i, g in enumerate(nx.topological_generations(graph)) for w in g}
    single = merged(orders, one_by_one=ord)
    assert [*single] == [*nx.lexicographical_topological_sort(graph, key=ord)]
    assert [*single.values()] == [*range(len(single))]


@pytest.mark.parametrize("seed", range(40))
def test_whose_turn_it_is(seed: int) -> None:
    """`Turn` against the plain meaning of stages and ranks, over every order of six bubbles."""
    pick = Random(seed)
    stages = tuple(pick.randrange(-1, 2) for _ in range(6))
    ranks = tuple(pick.randrange(-1, 3) for _ in range(6))
    ranks = tuple(sorted(set(ranks) - {-1}).index(r) if r >= 0 else -1 for r in ranks)
    pins = Pins(stages=stages, ranks=ranks)

    def keeps(order: tuple[int, ...]) -> bool:
        for place, b in enumerate(order):
            if any(0 <= stages[c] < stages[b] for c in order[place:]):
                return False
            if not set(range(ranks[b])) <= {ranks[c] for c in order[:place]}:
                return False
        return True

    any_order = False
    for order in permutations(range(6)):
        turn, allowed = Turn(pins), True
        for b in order:
            allowed = allowed and turn.allows(b)
            turn.make(b)
        assert allowed == keeps(order)
        any_order |= allowed
    assert comes_out(pins) == any_order


def choices_of(plan: Plan, pick: Random) -> Choices:
    """Choices that the plan keeps, read off it."""
    net = plan.net
    long = [b for b in plan.balloons if len(b.bubbles) > 3]
    trails = []
    for balloon in pick.sample(long, min(2, len(long))):
        begin = pick.randrange(len(balloon.bubbles) - 2)
        trails.append(KeepTrail(names(net, balloon.bubbles[begin : begin + 3])))
    begun = [*dict.fromkeys(net.bubble_panels[a.bubble] for a in plan.actions if a.do == "twist")]
    first = pick.choice(plan.balloons)
    one, two = net.ends[first.bubbles[0]].tolist()
    goal = two if one == first.start else one
    return Choices(
        start=net.joint_names[next(a.joint for a in plan.actions if a.do in ("tie", "start"))],
        keep=(
            *trails,
            KeepPanels(tuple(begun)),
            KeepToward(net.joint_names[first.start], net.joint_names[goal]),
        ),
    )


@pytest.mark.parametrize("style", ["pairs", "rounds"])
@pytest.mark.parametrize("seed", range(4))
def test_what_a_plan_does_is_kept_and_what_it_does_not_is_told(style: str, seed: int) -> None:
    pick = Random(seed)
    net = fabric(Box(across=4, deep=4, high=4), checks("RW") if seed % 2 else None)
    plan = make_plan(design(most=9), net, style=style, seed=seed)  # type: ignore[arg-type]
    choices = choices_of(plan, pick)
    assert not_kept(choices, plan) == ()
    pins, found = pinned(net, *choices.keep, start=choices.start, most=9)
    assert not found and len(pins.trails) == sum(isinstance(k, KeepTrail) for k in choices.keep)
    turn = Turn(pins)
    for action in plan.actions:
        if action.do == "twist":
            assert turn.allows(action.bubble)
            turn.make(action.bubble)

    wrong = Choices(
        start=next(n for n in net.joint_names if n != choices.start),
        keep=tuple(
            KeepTrail(k.bubbles[::-1]) if isinstance(k, KeepTrail)
            else KeepPanels(k.panels[::-1]) if isinstance(k, KeepPanels)
            else KeepToward("no such joint", "front (1, 0)")
            for k in choices.keep
        ),
    )  # fmt: skip
    told = not_kept(wrong, plan)
    assert [f.where for f in told] == [
        f"plan, start {wrong.start}", *(f"plan, {k.title}" for k in wrong.keep)
    ]  # fmt: skip
    assert {f.code for f in told} == {"plan-choice-not-kept"}


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("kind", ["start", "trails", "panels", "toward"])
def test_the_painted_style_keeps_what_can_be_kept(kind: str, seed: int) -> None:
    """Choices that some plan keeps are kept by the plan made for them."""
    net = fabric(Box(across=4, deep=4, high=4), checks("RW") if seed % 2 else None)
    wish = design(most=9)
    read_off = choices_of(make_plan(wish, net, style="rounds", seed=seed), Random(seed))
    wanted = {"trails": KeepTrail, "panels": KeepPanels, "toward": KeepToward}
    choices = (
        Choices(start=read_off.start)
        if kind == "start"
        else Choices(keep=tuple(k for k in read_off.keep if isinstance(k, wanted[kind])))
    )
    plan = make_plan(replace(wish, choices=choices), net, style="painted", seed=seed)
    assert not_kept(choices, plan) == ()


def test_colours_before_colours_in_a_plan() -> None:
    plan = make_plan(design(), SHEET, style="rounds")
    colours = [SHEET.colours[a.bubble] for a in plan.actions if a.do == "twist"]
    for one, two in (("R", "W"), ("W", "R")):
        last = len(colours) - 1 - colours[::-1].index(one)
        told = not_kept(Choices(keep=(KeepBefore((one, two)),)), plan)
        assert bool(told) == (colours.index(two) < last)
    assert "no bubble is B" in not_kept(Choices(keep=(KeepBefore(("B", "R")),)), plan)[0].message


def test_a_panel_and_its_part_are_not_ordered_twice() -> None:
    """`front` speaks for `front 2` as well."""
    net = fabric(Blocks(cell=2, layers=(("##",), ("#.",))))
    numbered = [p for p in net.panels if p[-1].isdigit()]
    assert numbered
    whole = numbered[0].rpartition(" ")[0]
    one, two = KeepPanels((whole, "bottom")), KeepPanels((numbered[0], "bottom"))
    assert not pinned(net, one)[1] and not pinned(net, two)[1]
    assert "one is in the other" in only(pinned(net, one, two)[1]).message


def test_a_thousand_wrong_names_take_no_time() -> None:
    """Near names are looked for a dozen times; the rest is told without."""
    wrong = [KeepTrail((f"nowhere {n}.1", "front 1.1")) for n in range(1000)]
    _, found = pinned(fabric(Box(across=8, deep=8, high=8)), *wrong)
    assert len(found) == 1000
