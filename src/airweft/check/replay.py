"""Replays a plan by the making rules M1 to M12 and says everything that breaks one."""

from __future__ import annotations

from dataclasses import dataclass

from airweft.base.findings import Finding, blocks
from airweft.check.apart import check_apart
from airweft.check.bench import Bench
from airweft.check.ending import check_ending, check_hands
from airweft.check.faults import Faults
from airweft.check.still import check_claims, check_lengths, check_net
from airweft.records.plan import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Replay:
    """A plan replayed by the making rules: what is wrong with it, and what can be counted.

    `findings` holds everything at once, in the order of the actions and then what shows only at
    the end. `peak_loose` is the largest number of loose twists at once.

    The five sequences have one entry for each action and say how things stand after it:
    made      bubbles made so far
    loose     twists loose now
    in_work   balloons started and not yet finished
    used      balloons started so far
    locks     lock twists made so far
    """

    findings: tuple[Finding, ...]
    peak_loose: int
    made: tuple[int, ...]
    loose: tuple[int, ...]
    in_work: tuple[int, ...]
    used: tuple[int, ...]
    locks: tuple[int, ...]

    @property
    def keeps_rules(self) -> bool:
        """True if no making rule is broken: the piece can be made as the plan says."""
        return not blocks(self.findings)

    @property
    def sound(self) -> bool:
        """True if moreover everything that the plan claims is so: nothing but notes is found."""
        return all(finding.severity == "note" for finding in self.findings)


def replay(plan: Plan, *, most_ends: int = 8) -> Replay:
    """Every fault of the plan, and the counts after each action.

    `most_ends` is the number of bubble ends that a joint may hold (M12). Never raises on a plan,
    however wrong it is: what is out of range is a finding too. Takes time in proportion to the
    plan's size.
    """
    faults = Faults(plan)
    bench = Bench(plan, faults)
    moves = {
        "twist": bench.twist,
        "lock": bench.lock,
        "start": bench.start,
        "tie": bench.tie,
        "finish": bench.finish,
    }
    made: list[int] = []
    loose: list[int] = []
    in_work: list[int] = []
    used: list[int] = []
    locks: list[int] = []
    for number, action in enumerate(plan.actions):
        faults.now = number
        move = moves.get(action.do)
        if move is not None:
            move(action)
        else:
            faults.add(
                "no-such-action",
                f'"{action.do}" is no movement of the hands',
                "Use tie, start, twist, lock or finish.",
                where=f"actions[{number}]",
            )
        made.append(bench.made_count)
        loose.append(bench.loose)
        in_work.append(bench.in_work)
        used.append(bench.used)
        locks.append(bench.locks)
    faults.now = None
    peak_loose = max(loose, default=0)
    check_hands(bench, loose)
    check_ending(bench)
    check_net(plan, faults, most_ends=most_ends)
    check_lengths(plan, faults)
    check_claims(plan, faults, peak_loose=peak_loose)
    if plan.sections:
        check_apart(plan, faults, lambda part: replay(part, most_ends=most_ends).findings)
    last = len(plan.actions)
    return Replay(
        findings=tuple(
            sorted(faults.findings, key=lambda f: last if f.action is None else f.action)
        ),
        peak_loose=peak_loose,
        made=tuple(made),
        loose=tuple(loose),
        in_work=tuple(in_work),
        used=tuple(used),
        locks=tuple(locks),
    )
