"""`make bench`: the numbers to reach, measured in one run and printed as tables."""

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

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from airweft.check.replay import replay  # noqa: E402
from airweft.plan.make import make_plan  # noqa: E402
from airweft.records.design import Box, Sheet  # noqa: E402
from airweft.records.net import Net  # noqa: E402
from airweft.words.instruct import instruct  # noqa: E402
from airweft.workshop.planning import budgets_of  # noqa: E402
from airweft.workshop.shape import open_design, painted_net  # noqa: E402
from benchmarks.designs import Case, cases  # noqa: E402
from benchmarks.shape import shapes  # noqa: E402
from tests.plan.nets import design, fabric  # noqa: E402

_RUNS = 5  # of each time; the median is printed


def main() -> None:
    """Print every table."""
    main_job()  # first, since a started program's peak memory counts from its starter's size
    balloons()
    examples()
    lines()
    planning()
    shapes()


def balloons() -> None:
    """Balloons against the lower bound, loose twists and lines, for every benchmark design."""
    print("\n## Balloons, loose twists, lines (style fewest, seed 0)\n")
    print(f"{'design':34} {'bubbles':>7} {'bound':>5} {'found':>5} {'gap':>6} {'loose':>5} "
          f"{'lines':>5} {'seconds':>7}  style")  # fmt: skip
    gaps = []
    for case in cases():
        begin = time.process_time()
        plan = make_plan(case.design, case.net)
        seconds = time.process_time() - begin
        counted = replay(plan)
        assert not counted.findings, (case.name, counted.findings[:3])
        steps = instruct(plan, case.design.palette, counts=counted).steps
        bound, found = plan.bound.balloons, len(plan.balloons)
        gaps.append((found - bound) / bound)
        print(f"{case.name:34} {_size(case):7} {bound:5} {found:5} {gaps[-1]:6.1%} "
              f"{counted.peak_loose:5} {len(steps):5} {seconds:7.2f}  {plan.style}")  # fmt: skip
    met = sum(gap == 0 for gap in gaps)
    print(f"\nAt the bound: {met} of {len(gaps)} ({met / len(gaps):.0%}; wanted 95 %). "
          f"Worst gap {max(gaps):.1%} (wanted 2 %).")  # fmt: skip


def _size(case: Case) -> int:
    return case.net.bubble_count


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
    plan = make_plan(design(most=12), fabric(Box(across=6, deep=6, high=6)), style="pairs")
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
            net = fabric(form)
            ours = _median(lambda net=net: _plan_and_check(net))
            euler = _median(lambda net=net: _euler(net))
            times.setdefault(kind, []).append((net.bubble_count, ours))
            print(
                f"{kind:22} {net.bubble_count:7} {ours:11.3f}s {euler:12.3f}s {ours / euler:6.1f}"
            )
    for kind, ((n0, t0), (n1, t1)) in times.items():
        print(f"growth of the {kind}: time ~ n^{math.log(t1 / t0) / math.log(n1 / n0):.2f} "
              "(wanted 1.2 at most; ratio wanted 10 at most at 2,400)")  # fmt: skip


def _plan_and_check(net: Net) -> None:
    plan = make_plan(design(), net, style="rounds")
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
