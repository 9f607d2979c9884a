"""How soon a search gives the best so far when it is asked to.

    python -m benchmarks.stopping [--only NAME]

Each net is planned with a hundred times the usual effort and asked to stop after some seconds; the
time until the plan is there is printed. Wanted: under half a second once there is a first plan.
"""

from __future__ import annotations

import argparse
import threading
import time

from airweft.base.progress import Progress, Stopped
from airweft.check.replay import replay
from airweft.plan.make import make_plan
from benchmarks.nets.all import cases

NETS = (
    "lantern, columns",
    "sail, kagome, ripples",
    "sail of fish",
    "container, confetti, 3 colours",
    "whale, kagome",
)
AFTER = (0.5, 2.0, 6.0, 15.0)


def stopping(only: str = "") -> None:
    """Print the table."""
    print("\n## Seconds from asking a search for the best so far to its plan\n")
    print(f"{'net':34} {'bubbles':>7} {'asked after':>11} {'waited':>7} {'balloons':>8}")
    for case in cases(only=only, names=frozenset(NETS)):
        for after in AFTER:
            progress = Progress()
            asked: list[float] = []

            def ask(to: Progress = progress, when: list[float] = asked) -> None:
                when.append(time.perf_counter())
                to.enough()

            timer = threading.Timer(after, ask)
            timer.start()
            told = "none yet"
            try:
                plan = make_plan(
                    case.design, case.net, budgets=case.budgets, effort=100, progress=progress
                )
                assert not replay(plan).findings
                told = str(len(plan.balloons))
            except Stopped:
                pass
            timer.cancel()
            waited = f"{time.perf_counter() - asked[0]:7.2f}" if asked else "   done"
            print(f"{case.name:34} {case.net.bubble_count:7} {after:11} {waited} {told:>8}")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])  # type: ignore[union-attr]
    parser.add_argument("--only", default="")
    stopping(parser.parse_args().only)
