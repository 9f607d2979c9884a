"""The parts of a plan out of JSON values that were already read (plan-format sections 1 and 2)."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from airweft.records.budget import Budget
from airweft.records.jsonread import Reading, printable
from airweft.records.jsontext import Record
from airweft.records.netjson import net_of
from airweft.records.plan import Action, Balloon, Bound, Claims, Do, Plan, Section

_DO: tuple[Do, ...] = ("tie", "start", "twist", "lock", "finish")
_MOST_COUNT = 10_000_000
_MOST_SEED = 2**64 - 1


def plan_of(reading: Reading, top: Record) -> Plan:
    """The plan in the file's object; problems go to `reading`, and then the plan is no use."""
    design = reading.record(reading.get(top, "design", ""), "design")
    made_by = reading.record(reading.get(top, "provenance", ""), "provenance")
    budgets = _budgets(reading, reading.get(top, "budget", ""))
    net = net_of(reading, reading.get(top, "net", ""), "net", sizes=budgets)
    counts = net.joint_count, net.bubble_count
    balloons = _balloons(reading, reading.get(top, "balloons", ""), *counts, budgets)
    codes = {balloon.code for balloon in balloons}
    actions = _actions(reading, reading.get(top, "actions", ""), *counts, codes)
    return Plan(
        design_name=reading.text(reading.get(design, "name", "design"), "design.name"),
        fingerprint=reading.text(
            reading.get(design, "fingerprint", "design"), "design.fingerprint"
        ),
        program=_said(reading, made_by, "program"),
        version=_said(reading, made_by, "version"),
        seed=reading.whole(
            reading.get(made_by, "seed", "provenance"),
            "provenance.seed",
            least=-_MOST_SEED,
            most=_MOST_SEED,
        ),
        style=_said(reading, made_by, "style"),
        hands=_count(reading, top, "hands", "", least=1),
        net=net,
        balloons=balloons,
        budgets=budgets,
        actions=actions,
        bound=_bound(reading, reading.get(top, "bound", "")),
        claims=_claims(reading, reading.get(top, "claims", "")),
        sections=_sections(top.get("sections"), len(actions)),
        ended_early=made_by.get("ended_early") is True,
    )


def _said(reading: Reading, made_by: Record, key: str) -> str:
    return reading.text(reading.get(made_by, key, "provenance"), f"provenance.{key}")


def _count(reading: Reading, record: Record, key: str, path: str, *, least: int = 0) -> int:
    at = f"{path}.{key}".lstrip(".")
    return reading.whole(reading.get(record, key, path), at, least=least, most=_MOST_COUNT)


def _budgets(reading: Reading, value: Any) -> dict[str, Budget]:
    budgets: dict[str, Budget] = {}
    for size, figures in reading.record(value, "budget").items():
        at = f'budget["{printable(size)}"]'
        reading.word(size, at)
        record = reading.record(figures, at)

        def figure(key: str, least: int, at: str = at, record: Record = record) -> int:
            name = f"{key}_mm"
            return reading.hundredths(reading.get(record, name, at), f"{at}.{name}", least=least)

        budgets[size] = Budget(
            flat=figure("flat", 1),
            full=figure("full", 1),
            knot=figure("knot", 0),
            stub=figure("stub", 0),
            twist_takes=figure("twist_takes", 0),
            twist_pushes=figure("twist_pushes", 0),
        )
    return budgets


def _balloons(
    reading: Reading, value: Any, joints: int, bubbles: int, sizes: Collection[str]
) -> tuple[Balloon, ...]:
    balloons: list[Balloon] = []
    first: dict[str, int] = {}
    for i, item in enumerate(reading.items(value, "balloons")):
        at = f"balloons[{i}]"
        record = reading.record(item, at)
        code = reading.word(reading.get(record, "code", at), f"{at}.code")
        if code and first.setdefault(code, i) != i:
            reading.problem(
                "code-twice",
                f"{at}.code",
                f'"{code}" is already the code of balloons[{first[code]}]',
                "Give each balloon a code of its own.",
            )
        size = reading.word(reading.get(record, "size", at), f"{at}.size")
        if size and size not in sizes:
            reading.problem(
                "no-budget",
                f"{at}.size",
                f'there is no length budget for size "{size}"',
                f'Give budget["{size}"] with its six lengths.',
            )
        trail = reading.items(reading.get(record, "bubbles", at), f"{at}.bubbles")
        balloons.append(
            Balloon(
                code=code,
                colour=reading.word(reading.get(record, "colour", at), f"{at}.colour"),
                size=size,
                tail=reading.hundredths(reading.get(record, "tail_mm", at), f"{at}.tail_mm"),
                start=reading.index(
                    reading.get(record, "start", at), f"{at}.start", joints, "joint"
                ),
                bubbles=tuple(
                    reading.index(bubble, f"{at}.bubbles[{k}]", bubbles, "bubble")
                    for k, bubble in enumerate(trail)
                ),
            )
        )
    return tuple(balloons)


def _actions(
    reading: Reading, value: Any, joints: int, bubbles: int, codes: Collection[str]
) -> tuple[Action, ...]:
    actions: list[Action] = []
    for i, item in enumerate(reading.items(value, "actions")):
        at = f"actions[{i}]"
        record = reading.record(item, at)
        do = reading.choice(reading.get(record, "do", at), f"{at}.do", _DO)
        if not isinstance(record.get("do"), str) or record["do"] != do:
            continue  # noted; what else is missing depends on the word
        place = "to" if do == "twist" else "joint"
        joint = reading.index(reading.get(record, place, at), f"{at}.{place}", joints, "joint")
        if do in ("tie", "lock"):
            named = reading.items(reading.get(record, "balloons", at), f"{at}.balloons")
            whose = tuple(
                _code(reading, code, f"{at}.balloons[{k}]", codes) for k, code in enumerate(named)
            )
            if do == "tie" and isinstance(record.get("balloons"), list) and len(whose) != 2:
                reading.problem(
                    "wrong-count", f"{at}.balloons", f"a tie joins 2 balloons, not {len(whose)}"
                )
        else:
            whose = (_code(reading, reading.get(record, "balloon", at), f"{at}.balloon", codes),)
        bubble = -1
        if do == "twist":
            bubble = reading.index(
                reading.get(record, "bubble", at), f"{at}.bubble", bubbles, "bubble"
            )
        actions.append(Action(do, whose, joint, bubble, _row(record.get("row"))))
    return tuple(actions)


def _code(reading: Reading, value: Any, path: str, codes: Collection[str]) -> str:
    code = reading.word(value, path)
    if code and code not in codes:
        reading.problem(
            "no-such", path, f'there is no balloon "{code}"', 'Use a code from "balloons".'
        )
    return code


def _row(value: Any) -> int:
    """The further key `row`; 0 where there is none of ours."""
    if isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= _MOST_COUNT:
        return value
    return 0


def _sections(value: Any, actions: int) -> tuple[Section, ...]:
    """The further key `sections`; none where it is not ours: in order, and every action in one."""
    found: list[Section] = []
    for item in value if isinstance(value, list) else ():
        if not isinstance(item, dict) or not isinstance(item.get("name"), str):
            return ()
        first, last, person = (item.get(k) for k in ("first_action", "last_action", "person"))
        if type(first) is not int or type(last) is not int or type(person) is not int:
            return ()
        if first != (found[-1].last_action if found else 0) or last < first or person < 0:
            return ()
        found.append(Section(item["name"], first, last, person))
    return tuple(found) if found and found[-1].last_action == actions else ()


def _bound(reading: Reading, value: Any) -> Bound:
    record = reading.record(value, "bound")
    return Bound(
        balloons=_count(reading, record, "balloons", "bound"),
        reason=reading.text(reading.get(record, "reason", "bound"), "bound.reason"),
        proven=reading.truth(reading.get(record, "proven", "bound"), "bound.proven"),
    )


def _claims(reading: Reading, value: Any) -> Claims:
    record = reading.record(value, "claims")
    size = reading.items(reading.get(record, "size_mm", "claims"), "claims.size_mm")
    if len(size) != 3 and isinstance(record.get("size_mm"), list):
        reading.problem(
            "wrong-count", "claims.size_mm", f"{len(size)} lengths are given; x, y, z is 3"
        )
    lengths = [reading.millimetres(c, f"claims.size_mm[{k}]") for k, c in enumerate(size)]
    x, y, z = (*lengths, 0.0, 0.0, 0.0)[:3]
    return Claims(
        joints=_count(reading, record, "joints", "claims"),
        bubbles=_count(reading, record, "bubbles", "claims"),
        balloons=_count(reading, record, "balloons", "claims"),
        peak_loose=_count(reading, record, "peak_loose", "claims"),
        minutes_low=_count(reading, record, "minutes_low", "claims"),
        minutes_high=_count(reading, record, "minutes_high", "claims"),
        size_mm=(x, y, z),
    )
