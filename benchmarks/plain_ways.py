"""Our planner beside the plain ways that somebody would try first.

    python -m benchmarks.plain_ways [--only NAME] [--up-to BUBBLES] [--planned-by STYLE] [--seed N]
                                    [--longer TIMES]

For each net: our balloons and loose twists; Euler trails by networkx, cut to length and laid in
order (benchmarks/euler.py, laying.py), with the making rules they break and the loose twists that a
maker would have to hold; and a CP-SAT model of the whole net (benchmarks/pairing.py) given as many
seconds of one worker as our planner took (a tenth of a second at least; with --longer so many
times as long), its trails laid likewise.
"""

from __future__ import annotations

import importlib.util
from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

from benchmarks.balloons import Measured, balloons, options
from benchmarks.euler import euler_trails
from benchmarks.laying import Laid, lay

if TYPE_CHECKING:
    from benchmarks.pairing import Paired

_LEAST_SECONDS = 0.1
_LARGEST_MODEL = 5000  # bubbles; larger models are only built, in more time than a plan takes


def plain_ways(rows: Sequence[Measured], *, seed: int = 0, longer: float = 1) -> None:
    """Print the table of the nets that were measured."""
    print("\n## Against Euler trails laid in order, and CP-SAT on the whole net in the same time\n")
    print(f"{'net':36} {'bubbles':>7} {'ours':>5} {'loose':>5} | {'Euler':>5} {'loose':>5} "
          f"{'breaks':14} | {'CP-SAT':>6} {'bound':>5} {'loose':>5} breaks")  # fmt: skip
    solver = importlib.util.find_spec("ortools") is not None
    euler: list[Laid] = []
    solved: list[tuple[Measured, Paired, Laid | None]] = []
    for row in rows:
        case, ours = row.case, len(row.plan.balloons)
        laid = lay(case, euler_trails(case), bound=row.plan.bound.balloons)
        euler.append(laid)
        told = f"{case.name:36} {case.net.bubble_count:7} {ours:5} {row.counted.peak_loose:5} | "
        told += f"{laid.balloons:5} {laid.loose:5} {' '.join(laid.broken) or '-':14} | "
        if not solver or case.net.bubble_count > _LARGEST_MODEL:
            print(told + ("too large to build" if solver else "not installed"), flush=True)
            continue
        seconds = longer * max(_LEAST_SECONDS, row.waited)
        from benchmarks.pairing import paired  # only here: not everybody has the solver

        answer = paired(case, seconds=seconds, seed=seed)
        bare = lay(case, answer.trails, bound=0) if answer.trails else None
        solved.append((row, answer, bare))
        if bare is None:
            print(f"{told}{'none':>6} {answer.bound:5}", flush=True)
        else:
            rules = " ".join(bare.broken) or "-"
            print(f"{told}{bare.balloons:6} {answer.bound:5} {bare.loose:5} {rules}", flush=True)
    if rows:
        _sum_up(rows, euler, solved)


def _sum_up(
    rows: Sequence[Measured],
    euler: Sequence[Laid],
    solved: Sequence[tuple[Measured, Paired, Laid | None]],
) -> None:
    broken = [laid for laid in euler if laid.broken]
    rules = Counter(rule for laid in broken for rule in laid.broken)
    ours, theirs = sum(len(r.plan.balloons) for r in rows), sum(laid.balloons for laid in euler)
    listed = ", ".join(f"{rule} on {n}" for rule, n in rules.most_common())
    print(f"\nEuler trails laid in order break a making rule on {len(broken)} of {len(euler)} nets "
          f"({listed}); the worst needs {max(laid.loose for laid in euler)} loose twists. "
          f"Balloons in all: {theirs}, ours {ours}.")  # fmt: skip
    if not solved:
        return
    with_plan = [(row, answer, laid) for row, answer, laid in solved if laid is not None]
    as_good = sum(laid.balloons <= len(row.plan.balloons) for row, _, laid in with_plan)
    fewer = sum(laid.balloons < len(row.plan.balloons) for row, _, laid in with_plan)
    kept = sum(not laid.broken for _, _, laid in with_plan)
    tight = sum(answer.bound >= row.plan.bound.balloons for row, answer, _ in solved)
    print(f"CP-SAT in the same time: trails for {len(with_plan)} of {len(solved)} nets, as few as "
          f"ours on {as_good} (fewer on {fewer}, where no order was asked of it); laid in order "
          f"{kept} of them keep the making rules. Its own lower bound reaches ours on "
          f"{tight} of {len(solved)}.")  # fmt: skip


if __name__ == "__main__":
    parser = options(__doc__)
    parser.add_argument("--longer", type=float, default=1, metavar="TIMES",
                        help="give CP-SAT so many times as long as our planner took")  # fmt: skip
    told = parser.parse_args()
    plain_ways(
        balloons(only=told.only, up_to=told.up_to, style=told.planned_by, seed=told.seed),
        seed=told.seed,
        longer=told.longer,
    )
