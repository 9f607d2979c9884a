"""Gathering what a replay finds, and naming places the way a maker reads them."""

from __future__ import annotations

from collections.abc import Iterable

from airweft.base.findings import Finding, Severity
from airweft.records.plan import Plan


class Faults:
    """The findings of one plan, in the order in which they were met.

    `now` is the 0-based number of the action being replayed, None outside of the build order.
    """

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self.now: int | None = None
        self.findings: list[Finding] = []

    def add(
        self,
        code: str,
        message: str,
        remedy: str,
        *,
        rule: str = "",
        where: str = "",
        action: int | None = None,
        balloons: Iterable[str] = (),
        joints: Iterable[int] = (),
        bubbles: Iterable[int] = (),
        severity: Severity = "cannot",
    ) -> None:
        """Note one fault; a code that begins with a rule's number ("m6-...") names that rule.

        The place is the action `action` (default: the one being replayed), else `where`.
        """
        number = self.now if action is None else action
        head = code.split("-", 1)[0]
        if not rule and head[1:].isdigit():
            rule = head.upper()
        self.findings.append(
            Finding(
                code=code,
                severity=severity,
                where=self._place(number) if number is not None and not where else where,
                message=message,
                remedy=remedy,
                rule=rule,
                joints=tuple(joints),
                bubbles=tuple(bubbles),
                action=number,
                balloons=tuple(balloons),
            )
        )

    def _place(self, number: int) -> str:
        action = self._plan.actions[number]
        whose = " and ".join(action.balloons)
        if action.do == "lock":
            return f"actions[{number}] (lock at {self.joint(action.joint)})"
        if action.do == "twist":
            return f"actions[{number}] (twist {whose}, {self.bubble(action.bubble)})"
        return f"actions[{number}] ({action.do} {whose} at {self.joint(action.joint)})"

    def joint(self, index: int) -> str:
        """`joint 5`, with its name where it has one of its own."""
        return _named("joint", index, self._plan.net.joint_names)

    def bubble(self, index: int) -> str:
        """`bubble 12`, with its name where it has one of its own."""
        return _named("bubble", index, self._plan.net.bubble_names)


def _named(kind: str, index: int, names: tuple[str, ...]) -> str:
    name = names[index] if 0 <= index < len(names) else ""
    if not name or name == f"{kind[0]}{index}":
        return f"{kind} {index}"
    return f'{kind} {index} "{name}"'


def listing(codes: Iterable[str]) -> str:
    """Codes as people list them: "R1, W2 and W3"; "none" where there are none."""
    names = list(codes)
    if not names:
        return "none"
    if len(names) == 1:
        return names[0]
    return ", ".join(names[:-1]) + " and " + names[-1]


def some(indices: list[int], kind: str) -> str:
    """`joints 1, 2, 3`, cut short where there are many."""
    shown = ", ".join(map(str, indices[:12]))
    more = f" and {len(indices) - 12} more" if len(indices) > 12 else ""
    return f"{kind}{'s' if len(indices) != 1 else ''} {shown}{more}"
