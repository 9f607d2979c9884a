"""`make bench`: the numbers to reach, measured in one run and printed as tables.

    python -m benchmarks.run [--only NAME] [--up-to BUBBLES] [--planned-by STYLE] [--seed N]

Without switches everything is measured: the whole main job, every benchmark net (beside the plain
ways), the examples, lines, planning time and predicted shapes. With any of them only nets are.
"""

from __future__ import annotations

import math
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import networkx as nx

from airweft.check.replay import replay
from airweft.plan.make import make_plan
from airweft.records.design import Box, Sheet
from airweft.records.net import Net
from airweft.words.instruct import instruct
from airweft.workshop.claims import budgets_of
from airweft.workshop.shape import open_design, painted_net
from benchmarks.balloons import balloons, options
from benchmarks.nets.case import Case, Recipe
from benchmarks.nets.make import fabric, plain
from benchmarks.plain_ways import plain_ways
from benchmarks.remesh import outside_models
from benchmarks.shape import shapes

ROOT = Path(__file__).resolve().parent.parent
_RUNS = 5  # of each time; the median is printed


def main() -> None:
    """Print every table, or those of the nets that the switches leave."""
    told = options(__doc__).parse_args()
    some = sys.argv[1:] != []
    if not some:
        main_job()  # first, since a started program's peak memory counts from its starter's size
    rows = balloons(only=told.only, up_to=told.up_to, style=told.planned_by, seed=told.seed)
    plain_ways(rows, seed=told.seed)
    if not some:
        examples()
        lines()
        planning()
        shapes()
        outside_models()


def examples() -> None:
    """The festival's examples, round forms, joined forms and a model among them."""
    print("\n## The examples (style fewest, seed 0)\n")
    print(f"{'example':20} {'bubbles':>7} {'bound':>5} {'found':>5} {'loose':>5} {'style':>7}")
    for file in sorted((ROOT / "examples").glob("*.toml")):
        wish = open_design(file)
        net = painted_net(wish)
        plan = make_plan(wish, net, budgets=budgets_of(wish, net))
        counted = replay(plan)
        assert not counted.findings, (file.name, counted.findings[:3])
        print(f"{file.stem:20} {net.bubble_count:7} {plan.bound.balloons:5} "
              f"{len(plan.balloons):5} {counted.peak_loose:5} {plan.style:>7}")  # fmt: skip


def lines() -> None:
    """Instruction lines and loose twists of the 6x6x6 box in pairs style."""
    case = _red(Box(across=6, deep=6, high=6), most=12)
    plan = make_plan(case.design, case.net, style="pairs")
    counted = replay(plan)
    count = len(instruct(plan, (), counts=counted).steps)
    print("\n## 6x6x6 box, pairs style, at most 12 bubbles a balloon\n")
    print(f"{len(plan.balloons)} balloons, {count} lines of instruction (wanted 25 or fewer), "
          f"{counted.peak_loose} loose twists at most")  # fmt: skip


def planning() -> None:
    """Planning and checking in rounds style against networkx's Euler circuit, and the growth."""
    print("\n## Planning, rounds style, checked, against networkx.eulerian_circuit\n")
    print(f"{'net':22} {'bubbles':>7} {'plan + check':>12} {'Euler circuit':>13} {'ratio':>6}")
    times: dict[str, list[tuple[int, float]]] = {}
    for kind, small, large in (
        ("box", Box(across=20, deep=20, high=20), Box(across=62, deep=64, high=64)),
        ("sheet", Sheet(columns=40, rows=60), Sheet(columns=120, rows=200)),
    ):
        for form in (small, large):
            case = _red(form)
            ours = _median(lambda case=case: _plan_and_check(case))
            euler = _median(lambda case=case: _euler(case.net))
            times.setdefault(kind, []).append((case.net.bubble_count, ours))
            print(f"{kind:22} {case.net.bubble_count:7} {ours:11.3f}s {euler:12.3f}s "
                  f"{ours / euler:6.1f}")  # fmt: skip
    for kind, ((n0, t0), (n1, t1)) in times.items():
        print(f"growth of the {kind}: time ~ n^{math.log(t1 / t0) / math.log(n1 / n0):.2f} "
              "(wanted 1.2 at most; ratio wanted 10 at most at 2,400)")  # fmt: skip


def _red(form: Box | Sheet, *, most: int | None = None) -> Case:
    return Recipe("red", lambda: plain(fabric(form), "R"), most=most).case("")


def _plan_and_check(case: Case) -> None:
    plan = make_plan(case.design, case.net, style="rounds")
    assert not replay(plan).findings


def _euler(net: Net) -> None:
    graph = nx.MultiGraph()
    graph.add_edges_from(map(tuple, net.ends.tolist()))
    assert sum(1 for _ in nx.eulerian_circuit(graph)) == net.bubble_count


def _median(work: object) -> float:
    seconds = []
    for _ in range(_RUNS):
        begin = time.process_time()
        work()  # type: ignore[operator]
        seconds.append(time.process_time() - begin)
    return statistics.median(seconds)


CUBE = """\
airweft = 1
name = "Buoy cube"
units = "cm"
[balloon]
size = "260"
bubble = 2.5
most_bubbles = 12
[form]
kind = "box"
across = 6
deep = 6
high = 6
[colours]
R = "red"
[pattern]
kind = "plain"
colour = "R"
"""


def main_job() -> None:
    """The whole main job on the 216-bubble box from a cold start: seconds and memory."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder, "cube.toml")
        file.write_text(CUBE, encoding="utf-8")
        seconds = []
        for run in range(_RUNS):
            begin = time.perf_counter()
            subprocess.run(
                [sys.executable, "-m", "airweft", "make", str(file), "--out", f"{folder}/{run}"],
                check=True,
                stdout=subprocess.DEVNULL,
                env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1"},
            )
            seconds.append(time.perf_counter() - begin)
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print("\n## The whole main job, 216 bubbles: PDF, phone page, plan, pictures and lists\n")
    print(f"median {statistics.median(seconds):.2f} s, worst {max(seconds):.2f} s (wanted under "
          f"5); peak memory {peak:.0f} MB (wanted under 400)")  # fmt: skip


if __name__ == "__main__":
    main()
