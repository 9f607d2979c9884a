"""The best plans known of every benchmark net, in best.toml.

    python -m benchmarks.best [--only NAME] [--up-to BUBBLES] [--planned-by STYLE] [--seed N]
                              [--update] [--renew]

Plans the nets and tells what is better or worse than known. With --update better ones are entered:
fewer balloons, or as many with fewer loose twists, or a higher bound; a plan that is worse never
is. A net that is not the one that was entered is refused, unless --renew begins its entry afresh.
"""

from __future__ import annotations

import datetime
import json
import sys
import tomllib
from dataclasses import dataclass, fields
from pathlib import Path

from airweft.base.errors import CannotMake
from airweft.records.plan import Plan
from benchmarks.nets.all import NAMES
from benchmarks.nets.case import Case

FILE = Path(__file__).with_name("best.toml")
_HEAD = """\
# The best plan known of every benchmark net. Written by `python -m benchmarks.best --update`, which
# enters only plans that the checker has passed. `loose` counts the loose twists of the best plan.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Best:
    """An entry: the net, its lower bound, the best plan known, and who found it when."""

    fingerprint: str
    bubbles: int
    joints: int
    colours: int
    bound: int
    balloons: int
    loose: int
    finder: str
    date: str


def read_best(file: Path = FILE) -> dict[str, Best]:
    """The entries by name; none where there is no file."""
    if not file.exists():
        return {}
    return {name: Best(**entry) for name, entry in tomllib.loads(file.read_text("utf-8")).items()}


def write_best(best: dict[str, Best], file: Path = FILE) -> None:
    """Write the entries in the order of the set; those of nets no longer in it are left out."""
    parts = [_HEAD, "\n"]
    for name in NAMES:
        if name in best:
            told = ((f.name, getattr(best[name], f.name)) for f in fields(Best))
            parts.append(f"[{json.dumps(name)}]\n")
            parts += [f"{key} = {json.dumps(value)}\n" for key, value in told]
            parts.append("\n")
    file.write_text("".join(parts).rstrip("\n") + "\n", encoding="utf-8")


def entry(case: Case, plan: Plan, *, peak: int, date: str) -> Best:
    """The entry that a checked plan is worth."""
    return Best(
        fingerprint=case.fingerprint,
        bubbles=case.net.bubble_count,
        joints=case.net.joint_count,
        colours=len(set(case.net.colours)),
        bound=plan.bound.balloons,
        balloons=len(plan.balloons),
        loose=peak,
        finder=f"{plan.program} {plan.version}, {plan.style}, seed {plan.seed}",
        date=date,
    )


def better(new: Best, old: Best | None) -> tuple[Best, str]:
    """The entry to keep, and what changed: "" for nothing, else a word to print.

    Raises ValueError where the net is another one, or a bound is above a plan that was checked.
    """
    if old is None:
        return new, "new"
    if new.fingerprint != old.fingerprint:
        raise ValueError("this is not the net of the entry any more")
    if new.bound > old.balloons or old.bound > new.balloons:
        raise ValueError(f"bounds {old.bound} and {new.bound}, but plans of {old.balloons} and "
                         f"{new.balloons} were checked: a bound is wrong")  # fmt: skip
    bound = max(old.bound, new.bound)
    gained = (new.balloons, new.loose) < (old.balloons, old.loose)
    kept = new if gained else old
    values = {f.name: getattr(kept, f.name) for f in fields(Best)} | {"bound": bound}
    if gained:
        change = f"better: {old.balloons} ({old.loose} loose) to {new.balloons} ({new.loose})"
    elif new.balloons > old.balloons:
        change = f"worse than known: {new.balloons}, known {old.balloons}"
    else:
        change = f"higher bound: {old.bound} to {bound}" if bound > old.bound else ""
    return Best(**values), change


def main() -> None:
    """Measure, tell, and with --update enter."""
    from benchmarks.balloons import measure, options, wanted  # it prints beside the best known

    parser = options(__doc__)
    parser.add_argument("--update", action="store_true", help="enter what is better")
    parser.add_argument("--renew", action="store_true", help="begin entries of changed nets afresh")
    told = parser.parse_args()
    best, today = read_best(), datetime.date.today().isoformat()
    refused = False
    for case in wanted(told.only, told.up_to):
        try:
            done = measure(case, style=told.planned_by, seed=told.seed)
        except CannotMake as refusal:
            print(f"{case.name:36} no plan: {refusal.findings[0].code}", flush=True)
            continue
        new = entry(case, done.plan, peak=done.counted.peak_loose, date=today)
        old = best.get(case.name)
        if told.renew and old and old.fingerprint != new.fingerprint:
            old = None
        try:
            best[case.name], change = better(new, old)
        except ValueError as error:
            refused, change = True, f"refused: {error}"
        if change:
            print(f"{case.name:36} {change}", flush=True)
    if told.update:
        write_best(best)
    sys.exit(refused)


if __name__ == "__main__":
    main()
