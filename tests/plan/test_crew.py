"""The style parts: made apart, balanced, joined along short seams, said in words."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from airweft.base.errors import CannotMake
from airweft.check.replay import replay
from airweft.costing.minutes import estimate
from airweft.plan.capacity import Capacity
from airweft.plan.kinds import prepare
from airweft.plan.make import compare, make_plan
from airweft.plan.split import atoms_of, share_out
from airweft.records.choices import Choices
from airweft.records.design import Ball, Blocks, Box, Ring, Sheet, Tube
from airweft.records.net import Net
from airweft.records.plan import Plan, Section
from airweft.records.planfile import read_plan, write_plan
from airweft.words.instruct import instruct
from airweft.words.read_back import read_back, renumber
from tests.plan.apart import make_apart
from tests.plan.nets import chance, columns, design, fabric, frame, panels, rows

CUBE = Box(across=6, deep=6, high=6)
SMALL = Box(across=4, deep=4, high=6)


def parts(net: Net, crew: int, *, seed: int = 0, most: int | None = 12, hands: int = 4) -> Plan:
    made = design(most=most, hands=hands)
    return make_plan(replace(made, choices=Choices(crew=crew)), net, style="parts", seed=seed)


def lattice(x: int, y: int, z: int) -> Net:
    """The joints and bars of a block of cubes, as a frame."""
    at = {
        (i, j, k): n
        for n, (i, j, k) in enumerate(
            (i, j, k) for i in range(x) for j in range(y) for k in range(z)
        )
    }
    edges = [
        (n, at[other])
        for (i, j, k), n in at.items()
        for other in ((i + 1, j, k), (i, j + 1, k), (i, j, k + 1))
        if other in at
    ]
    return frame(edges)


def shared(plan: Plan) -> int:
    """Joints at which several people make something."""
    whose: dict[int, set[str]] = {}
    for section in plan.sections:
        for action in plan.actions[section.first_action : section.last_action]:
            if action.do == "twist" and section.person:
                for joint in plan.net.ends[action.bubble].tolist():
                    whose.setdefault(joint, set()).add(section.name)
    return sum(len(names) > 1 for names in whose.values())


NETS = {
    "cube": (fabric(CUBE), 12),
    "open box in stripes": (
        fabric(Box(across=8, deep=6, high=6, open=("top",)), columns("RW")),
        14,
    ),
    "cube by panels": (fabric(CUBE, panels), 12),
    "cube with extra bubbles": (fabric(CUBE, panels, loops=True), 12),
    "box in two colours by chance": (fabric(SMALL, chance(2, 1)), 12),
    "box in six colours by chance": (fabric(SMALL, chance(6, 2), loops=True), 12),
    "sheet in rows": (fabric(Sheet(columns=12, rows=16), rows("RRW")), 10),
    "tube in three colours by chance": (fabric(Tube(around=8, rows=12), chance(3, 3)), 12),
    "ring": (fabric(Ring(across=50_000, thick=12_000)), 18),
    "ball in columns": (fabric(Ball(across=15_000), columns("RWB")), 12),
    "steps": (fabric(Blocks(cell=4, layers=(("##", "##"), ("#.", "..")))), 15),
    "lattice": (lattice(5, 4, 3), 9),
    "small balloons": (fabric(CUBE), 2),
    "balloons of one bubble": (fabric(Sheet(columns=10, rows=10)), 1),
}


@pytest.mark.parametrize("crew", [2, 3, 5])
@pytest.mark.parametrize("name", NETS)
def test_every_part_is_made_at_a_table_of_its_own(name: str, crew: int) -> None:
    net, most = NETS[name]
    try:
        plan = parts(net, crew, most=most)
    except CannotMake as refusal:
        assert {f.code for f in refusal.findings} <= {"parts-too-small"}
        assert crew == 5 or name in ("lattice", "balloons of one bubble")
        return
    counted = replay(plan)
    assert counted.sound, [f.message for f in counted.findings if f.severity != "note"][:3]
    tables = make_apart(plan)
    assert len(tables) == crew + 1
    assert max(table.peak for table in tables) == plan.claims.peak_loose <= plan.hands
    steps = instruct(plan, (), counts=counted).steps
    lines = instruct(plan, (), counts=counted).balloons
    assert read_back([(s.title, s.text) for s in steps], lines) == renumber(plan)


def test_the_words_of_a_part_name_only_its_own_balloons_and_rows() -> None:
    plan = parts(fabric(CUBE, chance(3, 4)), 3)
    said = instruct(plan, ())
    for chapter, section in zip(said.chapters, plan.sections, strict=True):
        if not section.person:
            continue
        own = {
            code
            for action in plan.actions[section.first_action : section.last_action]
            for code in action.balloons
        }
        steps = said.steps[chapter.first_step - 1 : chapter.last_step]
        first = steps[0].first_row
        for step in steps:
            assert step.title.startswith(f"Part {section.name}, row")
            assert set(re.findall(r"\b[A-Z]\d+\b", step.text)) <= own
            for row in re.findall(r"rows? (\d+)", step.text):
                assert first <= int(row) < step.first_row
            assert f"of Part {section.name}" in step.check


def test_joining_names_each_shared_joint_once_from_both_sides() -> None:
    plan = parts(fabric(CUBE), 2)
    said = instruct(plan, ())
    text = " ".join(step.text for step in said.steps if step.title.startswith("Joining"))
    names = re.findall(r"(R\d+\.\d+) to (R\d+\.\d+)", text)
    assert len(names) == len(set(names)) == shared(plan) == 18
    assert said.steps[-1].check.startswith("Check: 18 of 18 joints joined")


# Bisection widths: m for a grid of m rows and an even number of columns, at least as many; across a
# tube, or twice along it, the same argument holds (F. T. Leighton, Introduction to Parallel
# Algorithms and Architectures, 1992; from memory).
@pytest.mark.parametrize(
    ("form", "width"),
    [
        (Sheet(columns=8, rows=32), 4),
        (Sheet(columns=12, rows=24), 6),
        (Tube(around=8, rows=40), 4),
        (Tube(around=48, rows=8), 8),
    ],
)
def test_a_cut_is_as_short_as_a_grid_allows(form: Sheet | Tube, width: int) -> None:
    net = fabric(form)
    work = prepare(net, {"260": _capacity(12)}, 4)
    atoms = atoms_of(work)
    part_of = share_out(work, atoms, 2, 0)
    assert part_of is not None
    cut = [j for j, owners in enumerate(atoms.of_joint) if len({part_of[a] for a in owners}) > 1]
    sizes = [part_of.count(0), part_of.count(1)]
    assert sizes[0] == sizes[1]
    assert len(cut) == width


def _capacity(most: int) -> Capacity:
    return Capacity(design().budget, most_bubbles=most, fixed_tail=None, step=500)


@pytest.mark.parametrize(
    ("form", "crew", "joints", "balloons"),
    [
        (CUBE, 2, 18, 18),
        (CUBE, 3, 27, 18),
        (Box(across=20, deep=10, high=10), 4, 60, 84),
    ],
)
def test_plain_boxes_are_shared_evenly_at_no_price(
    form: Box, crew: int, joints: int, balloons: int
) -> None:
    plan = parts(fabric(form), crew)
    assert len(plan.balloons) == balloons == plan.bound.balloons
    assert shared(plan) <= joints
    minutes = estimate(plan)
    own = [
        sum(part.low_s for part in section.parts)
        for section, s in zip(minutes.sections, plan.sections, strict=True)
        if s.person
    ]
    assert max(own) <= 1.05 * sum(own) / crew


def test_whole_panels_are_shared_where_that_is_nearly_as_good() -> None:
    plan = parts(fabric(CUBE), 2)
    for section in plan.sections[:2]:
        made = [
            plan.net.bubble_panels[action.bubble]
            for action in plan.actions[section.first_action : section.last_action]
            if action.do == "twist"
        ]
        assert {panel: made.count(panel) for panel in set(made)} == dict.fromkeys(set(made), 36)


def test_the_whole_takes_the_longest_part_and_the_joining() -> None:
    plan = parts(fabric(CUBE), 3)
    minutes = estimate(plan)
    alone = estimate(replace(plan, sections=()))
    high = [sum(part.high_s for part in section.parts) for section in minutes.sections]
    assert minutes.high == -(-(max(high[:-1]) + high[-1]) // 60)
    assert sum(high) == sum(part.high_s for part in alone.parts)
    assert minutes.high < alone.high / 2


def test_a_section_that_needs_another_one_is_caught() -> None:
    plan = make_plan(design(most=12), fabric(CUBE), style="rounds")
    half = next(i for i in range(len(plan.actions) // 2, len(plan.actions)) if _row_ends(plan, i))
    apart = replace(
        plan,
        sections=(
            Section("A", 0, half, 1),
            Section("B", half, len(plan.actions), 2),
        ),
    )
    assert replay(plan).sound
    assert any(finding.code == "not-apart" for finding in replay(apart).findings)


def _row_ends(plan: Plan, i: int) -> bool:
    return plan.actions[i].row != plan.actions[i - 1].row


def test_sections_are_written_and_read() -> None:
    plan = parts(fabric(CUBE), 2)
    text = write_plan(plan)
    assert write_plan(read_plan(text)) == text
    assert read_plan(text).sections == plan.sections
    alone = make_plan(design(most=12), fabric(CUBE), style="rounds")
    assert '"sections"' not in write_plan(alone)


@pytest.mark.parametrize(
    "other",
    [
        '"sections": "mine"',
        '"sections": [{"name": "A", "first_action": 5, "last_action": 9, "person": 1}]',
        '"sections": [{"name": 3}]',
        '"sections": [7, null]',
    ],
)
def test_somebody_elses_sections_are_ignored(other: str) -> None:
    alone = make_plan(design(most=12), fabric(CUBE), style="rounds")
    text = write_plan(alone).rstrip().removesuffix("}").rstrip() + f",\n  {other}\n}}\n"
    read = read_plan(text)
    assert read.sections == ()
    assert read.actions == alone.actions


def test_same_seed_same_plan() -> None:
    net = fabric(SMALL, chance(2, 5))
    assert parts(net, 2, seed=2).actions == parts(net, 2, seed=2).actions


@pytest.mark.parametrize(
    ("crew", "code"), [(0, "parts-crew"), (1, "parts-crew"), (9, "parts-crew")]
)
def test_a_wrong_crew_is_refused(crew: int, code: str) -> None:
    with pytest.raises(CannotMake) as refusal:
        parts(fabric(CUBE), crew)
    assert [finding.code for finding in refusal.value.findings] == [code]


def test_a_piece_too_small_to_share_says_why() -> None:
    with pytest.raises(CannotMake) as refusal:
        parts(fabric(Box(across=2, deep=2, high=2)), 4)
    (finding,) = refusal.value.findings
    assert finding.code == "parts-too-small"
    assert "--crew" in finding.remedy


def test_parts_are_compared_where_there_is_a_crew() -> None:
    made = design(most=12)
    net = fabric(CUBE)
    assert "parts" not in [answer.style for answer in compare(made, net)]
    with_crew = replace(made, choices=Choices(crew=2))
    assert "parts" in [answer.style for answer in compare(with_crew, net)]
