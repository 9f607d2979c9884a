"""Measures of whole plans, the score and the unbeaten ones, each against a plain twin."""

from __future__ import annotations

import math
from dataclasses import asdict, fields, replace
from itertools import pairwise
from pathlib import Path
from random import Random

import networkx as nx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airweft.plan.comfort import (
    TRADED,
    WEIGHTS,
    Measures,
    best,
    measure,
    score,
    unbeaten,
    weights_of,
)
from airweft.plan.make import make_plan
from airweft.plan.measure import colour_changes, outward, travel_mm, turns, waste_mm, waste_percent
from airweft.plan.reach import HAND_AROUND_MM, Openings, awkward, last_row_open
from airweft.records.choices import WEIGHT_NAMES
from airweft.records.design import Box, Form, Sheet, Tube
from airweft.records.plan import Action, Plan
from tests.plan.nets import columns, design, fabric, panels, solid

small = st.integers(0, 3)
measures = st.builds(
    Measures,
    balloons=small,
    waste=small.map(float),
    minutes=small.map(float),
    loose=small,
    lines=small,
    colour_changes=small,
    travel=small.map(float),
    turning=small,
    awkward=small,
)
weights = st.dictionaries(st.sampled_from(WEIGHT_NAMES), st.integers(0, 9).map(float))


def plan_of(form: Form, style: str = "rounds", **more: object) -> Plan:
    colouring = more.pop("colouring", None)
    net = fabric(form, colouring)  # type: ignore[arg-type]
    return make_plan(design(**more), net, style=style)  # type: ignore[arg-type]


def test_every_measure_has_a_name_a_weight_and_a_place_on_the_page() -> None:
    assert tuple(WEIGHTS) == WEIGHT_NAMES == tuple(f.name for f in fields(Measures))
    assert set(TRADED) < set(WEIGHTS)
    assert all(weight > 0 for weight in WEIGHTS.values())
    page = (Path(__file__).parents[2] / "docs" / "comfort.md").read_text(encoding="utf-8")
    assert f"| {' | '.join(f'`{name}`' for name in WEIGHTS)} |" in page
    assert f"| {' | '.join(f'{weight:g}' for weight in WEIGHTS.values())} |" in page
    assert f"{HAND_AROUND_MM:g} mm around" in page


@given(measures, measures, weights)
def test_a_score_never_gets_better_by_worse_figures(
    one: Measures, more: Measures, own: dict[str, float]
) -> None:
    using = weights_of(own.items())
    worse = Measures(**{k: v + asdict(more)[k] for k, v in asdict(one).items()})
    assert score(worse, using) == pytest.approx(score(one, using) + score(more, using))
    assert score(one, using) <= score(worse, using)


@given(st.lists(measures, min_size=1, max_size=6), weights)
def test_the_best_is_the_least(candidates: list[Measures], own: dict[str, float]) -> None:
    using = weights_of(own.items())
    dots = [
        np.dot([using[n] for n in WEIGHT_NAMES], [getattr(m, n) for n in WEIGHT_NAMES])
        for m in candidates
    ]
    chosen = best(candidates, using)
    assert dots[chosen] == pytest.approx(min(dots))
    assert all(dots[i] > dots[chosen] - 1e-9 for i in range(chosen))
    if all(using[name] > 0 for name in TRADED):
        assert chosen in unbeaten(candidates)


@given(st.lists(measures, max_size=7))
def test_the_unbeaten_are_those_of_the_definition(candidates: list[Measures]) -> None:
    points = np.array([[getattr(m, n) for n in TRADED] for m in candidates]).reshape(-1, 7)
    expected = [
        i for i, p in enumerate(points) if not any((q <= p).all() and (q < p).any() for q in points)
    ]
    assert unbeaten(candidates) == expected
    assert bool(expected) == bool(candidates)


def test_waste_is_what_the_budget_leaves() -> None:
    plan = plan_of(Sheet(columns=4, rows=4))
    budget = plan.budgets["260"]
    used = 16 * (2500 + budget.twist_takes) + len(plan.balloons) * (budget.knot + budget.stub)
    full = len(plan.balloons) * budget.full
    assert waste_mm(plan) == pytest.approx((full - used) / 100)
    assert waste_percent(plan) == pytest.approx(100 * (1 - used / full))


def test_travel_and_changes_of_a_plan_done_by_hand() -> None:
    plan = plan_of(Sheet(columns=4, rows=4), colouring=columns("RW"))
    spots = [plan.net.joints[a.joint] for a in plan.actions]
    assert travel_mm(plan) == pytest.approx(sum(math.dist(a, b) for a, b in pairwise(spots)))
    marks = "".join(plan.net.colours[a.bubble] for a in plan.actions if a.do == "twist")
    assert colour_changes(plan) == marks.count("RW") + marks.count("WR")


def test_normals_point_out_of_a_box() -> None:
    net = fabric(Box(across=4, deep=4, high=4))
    looks = outward(net)
    assert np.allclose(np.linalg.norm(looks, axis=1), 1)
    middle = net.joints.mean(axis=0)
    assert ((looks * (net.joints - middle)).sum(axis=1) > 0).all()
    inside = [j for j in range(net.joint_count) if j not in net.seams]
    assert np.allclose(np.abs(looks[inside]).max(axis=1), 1)  # along an axis
    frame = outward(solid("cube"))
    assert np.allclose(np.linalg.norm(frame, axis=1), 1)


def walked(plan: Plan, joints: list[int]) -> Plan:
    return replace(plan, actions=tuple(Action("lock", (), joint) for joint in joints))


def test_turns_of_walks_over_a_cube() -> None:
    plan = plan_of(Box(across=4, deep=4, high=4))
    looks = outward(plan.net)
    sides = [
        next(j for j, look in enumerate(looks) if np.allclose(look, way))
        for way in ((0, -1, 0), (1, 0, 0), (0, 1, 0), (-1, 0, 0))
    ]
    assert turns(walked(plan, sides)) == 3
    assert turns(walked(plan, [sides[0]] * 5)) == 0
    assert turns(walked(plan, [sides[0], sides[1]] * 3)) == 5
    seam = next(j for j, look in enumerate(looks) if look[1] < -0.5 and look[0] > 0.5)
    assert turns(walked(plan, [sides[0], seam, sides[0]])) == 0  # 45 degrees is seen as it is
    assert turns(plan_of(Sheet(columns=6, rows=6))) == 0


def openings_plainly(plan: Plan, around_mm: float) -> list[tuple[bool, ...]]:
    """The same by building everything up anew after each action, with a graph."""
    net = plan.net
    o = Openings(net)
    cells = {b for cell in net.cells for b in cell.bubbles}
    sides = [sum(j in cell.joints for cell in net.cells) for j in range(net.joint_count)]
    made: set[int] = set()
    states = []
    for action in (None, *plan.actions):
        if action is not None and action.do == "twist":
            made.add(action.bubble)
        graph = nx.Graph()
        for b in sorted(cells - made):
            graph.add_edge(*net.ends[b].tolist())
        for ring in o._borders:
            nx.add_path(graph, ring)
            graph.add_nodes_from(ring)
        wide = [False] * o.surfaces
        holds = {j for b in made & cells for j in net.ends[b].tolist()}
        for part in nx.connected_components(graph):
            missing = sum(1 for b in cells - made if int(net.ends[b][0]) in part)
            around = o.around(
                rim=len(part & holds),
                bubbles=missing,
                border=sum(sides[j] == 1 for j in part),
            )
            wide[o.surface_of[min(part)]] |= around >= around_mm
        states.append(tuple(wide))
    return states


@pytest.mark.parametrize("around_mm", [60, 150, 250, 400, 900])
@pytest.mark.parametrize(
    "form",
    [
        Box(across=4, deep=4, high=4),
        Box(across=4, deep=4, high=6, open=("top",)),
        Tube(around=8, rows=6),
        Sheet(columns=6, rows=4),
    ],
    ids=str,
)
def test_openings_backwards_and_plainly(form: Form, around_mm: float) -> None:
    for style in ("pairs", "rounds"):
        plan = plan_of(form, style, most=9)
        assert Openings(plan.net).replay(plan, around_mm) == openings_plainly(plan, around_mm)


@pytest.mark.parametrize(
    ("form", "rings"),
    [
        (Box(across=4, deep=4, high=4), []),
        (Box(across=4, deep=6, high=4, open=("top",)), [10]),
        (Box(across=4, deep=6, high=4, open=("top", "bottom")), [10, 10]),
        (Box(across=4, deep=6, high=4, open=("top", "front")), [14]),
        (Tube(around=8, rows=6), [4, 4]),
        (Sheet(columns=6, rows=4), [10]),
    ],
    ids=str,
)
def test_open_borders_are_found_whole(form: Form, rings: list[int]) -> None:
    """Half as many joints on a border as it is bubbles long (two bubbles to a cell's edge)."""
    o = Openings(fabric(form))
    assert sorted(len(ring) for ring in o._borders) == sorted(rings)


def test_an_open_box_is_never_awkward_and_a_closed_one_is_at_the_end() -> None:
    assert awkward(plan_of(Box(across=8, deep=8, high=8, open=("top",)))) == 0
    closed = plan_of(Box(across=8, deep=8, high=8))
    count = awkward(closed)
    locks = [a for a in closed.actions if a.do in ("lock", "start", "tie")]
    assert 0 < count < len(locks) / 10
    still = [state[0] for state in Openings(closed.net).replay(closed, HAND_AROUND_MM)]
    assert still[0] and not still[-1]
    assert all(a >= b for a, b in pairwise(still))  # it closes once
    assert awkward(closed, around_mm=10_000) == len(locks)
    assert awkward(make_plan(design(), solid("cube"))) == 0


def test_the_last_row_that_leaves_room() -> None:
    plan = plan_of(Box(across=8, deep=8, high=8))
    rows = [last_row_open(plan, around_mm=mm) for mm in (60, 150, 250, 400)]
    assert all(row is not None for row in rows)
    assert rows == sorted(rows, key=lambda row: -(row or 0))
    assert 0 < (rows[2] or 0) < plan.actions[-1].row
    assert last_row_open(plan, around_mm=100_000) == 0
    assert (
        last_row_open(plan_of(Box(across=8, deep=8, high=8, open=("top",))), around_mm=250) is None
    )
    assert last_row_open(make_plan(design(), solid("cube")), around_mm=250) is None


def test_all_measures_of_a_plan() -> None:
    plan = plan_of(Box(across=4, deep=4, high=4), colouring=panels)
    found = measure(plan, minutes=12.5, lines=7)
    assert (found.minutes, found.lines) == (12.5, 7)
    assert found.balloons == len(plan.balloons) and found.loose == plan.claims.peak_loose
    assert found.waste * 1000 == pytest.approx(waste_mm(plan))
    assert found.travel * 1000 == pytest.approx(travel_mm(plan))
    assert found.colour_changes >= 5  # a colour for each of six panels
    pick = Random(0)
    order = list(range(plan.net.joint_count))
    pick.shuffle(order)
    assert turns(walked(plan, order)) > found.turning
