"""The lines of the summary that no run of a small piece shows."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

from airweft.cli.answers import made_answer
from airweft.cli.show_made import against_bound, plan_facts, shape_facts
from airweft.records.plan import Bound
from airweft.records.shape import Shape, Standing, Weight
from airweft.workshop.job import run
from airweft.workshop.settled import Settled
from tests.cli.running import SMALL
from tests.costing.plans import counted_plan
from tests.shape.shapes import plain_shape

PLAN = counted_plan([("R", "260", 6000, 12)] * 3, locks=18)


def facts(**claims: object) -> dict[str, str]:
    plan = replace(PLAN, claims=replace(PLAN.claims, **claims))  # type: ignore[arg-type]
    return dict(plan_facts(plan, "in"))


def test_fewest_is_said_only_with_a_proof() -> None:
    assert against_bound(3, Bound(balloons=3, reason="", proven=True)) == "the fewest there can be"
    unproven = against_bound(5, Bound(balloons=3, reason="", proven=False))
    assert unproven == "2 more than the least conceivable, 3"
    assert "fewest" not in unproven


def test_long_work_is_told_in_hours() -> None:
    assert facts(minutes_low=15, minutes_high=36)["Time"] == "15 to 36 minutes, practised hands"
    assert facts(minutes_low=138, minutes_high=317)["Time"].startswith("2 h 18 min to 5 h 17 min")


def test_sizes_are_no_truer_than_they_are() -> None:
    said = facts(size_mm=(156.87, 101.6, 25.4))["Size"]
    assert said == "about 6 in wide, 4 in deep, 1 in high"


def test_a_plan_from_elsewhere_without_claims_says_less() -> None:
    assert not {"Time", "Size"} & facts().keys()


STANDS = Standing(
    stands=True, centre=(0, 0, 9), base=(), tip_degrees=38.4, tips_towards=270, side="front"
)


def told(shape: Shape | None, standing: Standing | None, **weight: float) -> dict[str, str]:
    rough = {"latex_g": 7.34, "air_l": 31.4, "strokes": 132, **weight}
    return dict(
        shape_facts(
            Settled(
                net=PLAN.net,
                shape=shape,
                standing=standing,
                softness=None,
                weight=Weight(**rough),  # type: ignore[arg-type]
                findings=(),
            )
        )
    )


def reckoned(stand: str) -> Shape:
    return plain_shape(PLAN.net.joints, stand=stand)


def test_how_it_stands_and_weighs_are_rough_figures() -> None:
    said = told(reckoned("table"), STANDS)
    assert said["Stands"].startswith("up to about 38 degrees of tilt; ")
    assert "front" in said["Stands"]
    assert said["Weighs"] == (
        "roughly 7.3 g of latex and 31 litres of air, 130 strokes of a hand pump"
    )
    assert told(None, None, strokes=1)["Weighs"].endswith("1 stroke of a hand pump")


def test_what_was_not_reckoned_is_not_said() -> None:
    assert told(reckoned("hang"), None)["Hangs"] == "by its highest joints"
    for shape in (None, reckoned("free")):
        assert not {"Stands", "Hangs"} & told(shape, None).keys()


def test_the_answer_has_the_shape_as_plain_numbers(tmp_path: Path) -> None:
    path = tmp_path / "pennant.toml"
    path.write_text(SMALL, encoding="utf-8")
    outcome = run(path, tmp_path / "out")
    answer = json.loads(json.dumps(made_answer(outcome)))
    assert answer["shape"]["stand"] == "hang" and answer["stands"] is None
    assert answer["shape"]["size_mm"] == answer["claims"]["size_mm"]
    assert answer["weight"]["strokes"] == outcome.settled.weight.strokes
    assert answer["weight"]["balloons_g"] >= answer["weight"]["latex_g"] > 0
