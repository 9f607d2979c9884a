"""The page of the design file has every key, and the page of findings every code."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import airweft
from airweft.balloon.sizes import FIGURES, SIZES, bubbles_per_balloon
from airweft.design.plan_keys import InsidePart, KeepPart, PlanPart, WeightsPart
from airweft.design.read import design_from_text
from airweft.design.schema import (
    FORMS,
    LATER_FORMS,
    LATER_PATTERNS,
    PATTERN_KINDS,
    PATTERNS,
    BalloonPart,
    BudgetPart,
    TopPart,
)
from airweft.records.design import Joined
from airweft.workshop.shape import open_design, painted_net

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "design-file.md").read_text(encoding="utf-8")
FINDINGS = (ROOT / "docs" / "findings.md").read_text(encoding="utf-8")
BALLOON = (ROOT / "docs" / "balloon.md").read_text(encoding="utf-8")
STAGE = Path(airweft.__file__).parent / "design"
TELLERS = {"bad", "cannot", "risky", "note", "bad_at_end", "refuse", "unknown_word", "_bad"}


def test_every_key_has_its_place() -> None:
    models = [TopPart, BalloonPart, BudgetPart, *FORMS.values(), *PATTERNS.values()]
    models += [PlanPart, WeightsPart, KeepPart, InsidePart]
    for model in models:
        for name in model.model_fields:
            assert f"`{name}`" in PAGE or f".{name}]" in PAGE or name == "budget", name
    for kind in (*FORMS, *PATTERN_KINDS):
        assert f'`"{kind}"`' in PAGE
    for kind in (*LATER_FORMS, *LATER_PATTERNS):
        assert f"`{kind}`" in PAGE


def test_the_example_of_the_page_reads() -> None:
    first = re.findall(r"```toml\n(.*?)```", PAGE, re.S)[0]
    assert design_from_text(first).name == "Harbour lantern"


def test_the_pattern_by_hand_of_the_page_reads() -> None:
    first, joined, sewn, hand, plan = re.findall(r"```toml\n(.*?)```", PAGE, re.S)
    head, foot = first.split("[form]")[0], first[first.index("[colours]") :]
    design = design_from_text(head + joined + foot)
    assert isinstance(design.form, Joined)
    assert [part.name for part in design.form.parts] == ["tower", "lantern"]
    crown = sewn.replace("head", "lantern").replace("front", "tube")
    design = design_from_text(head + joined + crown + foot)
    assert isinstance(design.form, Joined)
    assert design.form.parts[2].sew[0] == ("corner 1", "lantern: tube (3, 2)")
    design = design_from_text(first.split("[pattern]")[0].replace("high   = 8", "high = 4") + hand)
    assert design.pattern.bubbles["left 3.3"] == "R"
    assert design.pattern.bubbles["front 3.2"] == "W"
    assert design.pattern.kind == "rows"
    assert len(design_from_text(first + plan).choices.keep) == 3


def _codes() -> set[str]:
    codes: set[str] = set()
    for source in STAGE.glob("*.py"):
        for node in ast.walk(ast.parse(source.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            name = getattr(node.func, "attr", getattr(node.func, "id", ""))
            given = [k.value for k in node.keywords if k.arg == "code"]
            given += node.args[:1] if name in TELLERS else []
            codes |= {
                v.value for v in given if isinstance(v, ast.Constant) and isinstance(v.value, str)
            }
    return codes


def test_every_code_is_explained() -> None:
    codes = _codes()
    assert len(codes) > 40
    assert [code for code in sorted(codes) if f"`{code}`" not in FINDINGS] == []


@pytest.mark.parametrize("code", list(SIZES))
def test_the_page_of_balloons_has_the_shipped_figures(code: str) -> None:
    budget = SIZES[code].budget
    figures = [f"{getattr(budget, figure) / 100:g}" for figure in FIGURES]
    free = bubbles_per_balloon(budget, 2500, step=500, tail=None)
    fixed = bubbles_per_balloon(budget, 2500, step=500, tail=17780)
    assert f"| {' | '.join([code, *figures, str(free), str(fixed)])} |" in BALLOON


@pytest.mark.parametrize("path", sorted((ROOT / "examples").glob("*.toml")), ids=lambda p: p.stem)
def test_the_page_of_examples_counts_right(path: Path) -> None:
    page = (ROOT / "docs" / "examples.md").read_text(encoding="utf-8")
    row = next(line for line in page.split("\n") if line.startswith(f"| `{path.name}`"))
    net = painted_net(open_design(path))
    assert f"| {net.bubble_count} | {net.joint_count} |" in row
