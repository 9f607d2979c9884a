"""Examining a file from anywhere: a design goes as far as a checked plan, a plan is replayed."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from airweft.base.errors import BadInput, CannotMake
from airweft.base.findings import Finding, blocks, in_order
from airweft.base.progress import Progress
from airweft.base.refusals import wrong_option
from airweft.check.replay import replay
from airweft.records.plan import Plan
from airweft.records.planfile import read_plan
from airweft.workshop.choosing import wanted
from airweft.workshop.notes import notes
from airweft.workshop.planned import planned
from airweft.workshop.settled import settle
from airweft.workshop.shape import open_design, painted
from airweft.workshop.stocked import Store

Kind = Literal["design", "plan"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Examined:
    """All findings about a file, gravest first, and the plan: the file's own, or one just made.

    `readable` is False where the file itself cannot be used; `plan` is None where there is none.
    """

    kind: Kind
    name: str
    findings: tuple[Finding, ...]
    readable: bool
    plan: Plan | None

    @property
    def makeable(self) -> bool:
        """Whether nothing found says that the piece cannot be made."""
        return self.readable and not blocks(self.findings)


def examine(
    path: Path,
    *,
    seed: int | None = None,
    store: Store | None = None,
    progress: Progress | None = None,
) -> Examined:
    """Everything that is to be said about a design file or a plan file; its faults never raise.

    Names ending in .json are taken for plans, in .toml for designs; others by how they begin. With
    a `store` the design is planned from it; BadInput is raised where there is only a plan.
    """
    kind = _kind_of(path)
    if kind == "plan" and store is not None:
        raise wrong_option(
            "--stock",
            "--stock needs the design file: a plan file has only the marks of its colours, not "
            "their names",
            "Give the design file, or leave --stock out.",
        )
    try:
        if kind == "plan":
            return _plan(read_plan(path))
        return _design(path, seed, store, progress or Progress())
    except BadInput as error:
        return _refused(kind, error.findings, readable=False)
    except CannotMake as error:
        return _refused(kind, error.findings, readable=True)


def _kind_of(path: Path) -> Kind:
    ending = path.suffix.lower()
    if ending in (".json", ".toml"):
        return "plan" if ending == ".json" else "design"
    try:
        with path.open("rb") as file:
            start = file.read(64)
    except (OSError, ValueError):
        return "design"  # reading it will say what is wrong
    return "plan" if start.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"{") else "design"


def _plan(plan: Plan) -> Examined:
    findings = tuple(in_order(list(replay(plan).findings)))
    return Examined(kind="plan", name=plan.design_name, findings=findings, readable=True, plan=plan)


def _design(path: Path, asked: int | None, store: Store | None, progress: Progress) -> Examined:
    design = open_design(path)
    net, seams = painted(design)
    style, seed = wanted(design, None, asked)
    settled = settle(net, design, seed=seed, progress=progress)
    made = planned(
        design,
        settled.net,
        style=style,
        seed=seed,
        progress=progress,
        size=settled.size_mm,
        store=store,
    )
    design = made.design
    found = [
        *notes(design, net),
        *seams,
        *settled.findings,
        *made.counted.findings,
        *made.findings,
    ]
    return Examined(
        kind="design",
        name=design.name,
        findings=tuple(in_order(found)),
        readable=True,
        plan=made.plan,
    )


def _refused(kind: Kind, findings: tuple[Finding, ...], *, readable: bool) -> Examined:
    return Examined(
        kind=kind,
        name="",
        findings=tuple(in_order(list(findings))),
        readable=readable,
        plan=None,
    )
