"""Every benchmark net planned and checked: balloons against the bound and the best known plan.

    python -m benchmarks.balloons [--only NAME] [--up-to BUBBLES] [--planned-by STYLE] [--seed N]

Prints a line for each net, then the share at the bound and the worst gap (wanted: 95 %, 2 %).
"""

from __future__ import annotations

import argparse
import contextlib
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from airweft.base.errors import CannotMake
from airweft.check.replay import Replay, replay
from airweft.plan.make import STYLES, make_plan
from airweft.records.plan import Plan
from airweft.words.instruct import instruct
from benchmarks.best import Best, read_best
from benchmarks.nets.all import FAMILIES, cases
from benchmarks.nets.case import Case


@dataclass(frozen=True, slots=True)
class Measured:
    """A net, the plan made for it, what the checker counted, and the time that planning took.

    `seconds` are the processor's; `waited` are those of the clock, which a solver is given too.
    """

    case: Case
    plan: Plan
    counted: Replay
    seconds: float
    waited: float

    @property
    def gap(self) -> float:
        """Balloons above the bound, as a share of it."""
        return len(self.plan.balloons) / self.plan.bound.balloons - 1


def options(about: str | None) -> argparse.ArgumentParser:
    """The switches that all tables of plans share."""
    parser = argparse.ArgumentParser(description=(about or "").partition("\n")[0])
    parser.add_argument("--only", default="", metavar="NAME", help="nets whose name holds this")
    parser.add_argument("--up-to", type=int, metavar="BUBBLES", help="no larger nets than this")
    parser.add_argument("--planned-by", default="fewest", metavar="STYLE",
                        choices=["fewest", *STYLES], help="the style to plan in")  # fmt: skip
    parser.add_argument("--seed", type=int, default=0)
    return parser


def wanted(only: str, up_to: int | None) -> Iterator[Case]:
    """The nets that the switches leave."""
    for case in cases(only=only):
        if up_to is None or case.net.bubble_count <= up_to:
            yield case


def warm_up(style: str) -> None:
    """Plan the die once, so that what is compiled on first use is not counted for any net."""
    die = next(cases(only="die"))
    for each in STYLES if style == "fewest" else [style]:
        with contextlib.suppress(CannotMake):  # parts, without a crew
            make_plan(die.design, die.net, style=each, budgets=die.budgets)  # type: ignore[arg-type]


def measure(case: Case, *, style: str = "fewest", seed: int = 0) -> Measured:
    """Plan and check a net. Raises CannotMake where the style does not apply."""
    begin, clock = time.process_time(), time.perf_counter()
    plan = make_plan(case.design, case.net, style=style, seed=seed, budgets=case.budgets)  # type: ignore[arg-type]
    seconds, waited = time.process_time() - begin, time.perf_counter() - clock
    counted = replay(plan)
    assert not counted.findings, (case.name, counted.findings[:3])
    return Measured(case, plan, counted, seconds, waited)


def balloons(
    *, only: str = "", up_to: int | None = None, style: str = "fewest", seed: int = 0
) -> list[Measured]:
    """Print the table, and give what was measured."""
    known = read_best()
    warm_up(style)
    print(f"\n## Balloons, loose twists, lines (style {style}, seed {seed})\n")
    print(f"{'net':36} {'bubbles':>7} {'bound':>5} {'best':>5} {'found':>5} {'gap':>6} "
          f"{'loose':>5} {'lines':>5} {'seconds':>7}  style", flush=True)  # fmt: skip
    rows: list[Measured] = []
    for case in wanted(only, up_to):
        try:
            done = measure(case, style=style, seed=seed)
        except CannotMake as refusal:
            why = refusal.findings[0].code
            print(f"{case.name:36} {case.net.bubble_count:7} {'':35} no plan: {why}", flush=True)
            continue
        rows.append(done)
        _print(done, known.get(case.name))
    if rows:
        _sum_up(rows)
    return rows


def _sum_up(rows: Sequence[Measured]) -> None:
    """The shares by family, and those of all."""
    print(f"\n{'family':10} {'nets':>5} {'at the bound':>13} {'worst gap':>10} {'loose':>6} "
          f"{'seconds':>8}")  # fmt: skip
    for family in (*FAMILIES, "all"):
        mine = [row for row in rows if family in (row.case.family, "all")]
        if mine:
            met = sum(row.gap == 0 for row in mine)
            print(f"{family:10} {len(mine):5} {met:5} {met / len(mine):7.1%} "
                  f"{max(row.gap for row in mine):10.1%} "
                  f"{max(row.counted.peak_loose for row in mine):6} "
                  f"{sum(row.seconds for row in mine):8.1f}")  # fmt: skip
    print("Wanted: 95 % at the bound, no gap above 2 %.")


def _print(done: Measured, best: Best | None) -> None:
    case, plan = done.case, done.plan
    lines = len(instruct(plan, case.design.palette, counts=done.counted).steps)
    known = str(best.balloons) if best else "-"
    better = "  better than known" if best and len(plan.balloons) < best.balloons else ""
    print(f"{case.name:36} {case.net.bubble_count:7} {plan.bound.balloons:5} {known:>5} "
          f"{len(plan.balloons):5} {done.gap:6.1%} {done.counted.peak_loose:5} {lines:5} "
          f"{done.seconds:7.2f}  {plan.style}{better}", flush=True)  # fmt: skip


if __name__ == "__main__":
    told = options(__doc__).parse_args()
    balloons(only=told.only, up_to=told.up_to, style=told.planned_by, seed=told.seed)
