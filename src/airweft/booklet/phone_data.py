"""The compact data of the phone page: net, balloons, steps and views of one book.

docs/phone-page.md describes every key. Bubbles are written in building order, so that whatever is
made at some moment is a prefix of the lists; joints in the order in which the bubbles use them.
"""

from __future__ import annotations

import hashlib
import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from airweft.base.units import show_length
from airweft.booklet.book import Book
from airweft.booklet.phone_crew import crew_data
from airweft.booklet.phone_pack import differences, pack_numbers, pack_texts
from airweft.booklet.phone_tones import tones
from airweft.booklet.phone_views import Look, first_look, looks
from airweft.draw.body import Bodies, bodies_of
from airweft.records.design import Colour
from airweft.records.net import Net
from airweft.records.plan import Action
from airweft.records.steps import Step

# Positions are written in tenths of a millimetre, normals in twentieths.
UNIT = 10
NORMAL_UNIT = 20


@dataclass(frozen=True, slots=True)
class Stop:
    """One press of Next: one row of one step, with its bubbles, balloons and locks in order.

    `text` is the row's own text in full where the step's text only refers to other rows.
    """

    step: int
    bubbles: tuple[int, ...]
    balloons: tuple[str, ...]
    locks: tuple[int, ...]
    text: str = ""


def stops_of(book: Book) -> list[Stop]:
    """The stops of all steps. A step that covers several rows has one for each of them.

    A step whose rows and row texts do not match one to one stays a single stop.
    """
    stops: list[Stop] = []
    for index, step in enumerate(book.instructions.steps):
        actions = book.plan.actions[step.first_action : step.last_action]
        rows = [list(group) for _, group in itertools.groupby(actions, key=lambda a: a.row)]
        texts = [
            _with_note(text, step, number) if text != step.text else ""
            for number, text in enumerate(step.row_texts, start=step.first_row)
        ]
        if rows and len(rows) == len(texts):
            stops.extend(_stop(index, row, text) for row, text in zip(rows, texts, strict=True))
        else:
            stops.append(_stop(index, actions))
    return stops


def _stop(index: int, actions: Sequence[Action], text: str = "") -> Stop:
    begun: list[str] = []
    for action in actions:
        if action.do in ("tie", "start"):
            begun.extend(action.balloons)
    return Stop(
        index,
        tuple(a.bubble for a in actions if a.do == "twist"),
        tuple(begun),
        tuple(dict.fromkeys(a.joint for a in actions if a.do == "lock")),
        text,
    )


def page_key(book: Book) -> str:
    """What the remembered step belongs to: the design and every movement of the plan.

    Changed words keep the place; a changed design, trail or order does not.
    """
    plan = book.plan
    parts: list[Any] = [plan.fingerprint, plan.style, plan.seed]
    parts.append([(b.code, b.colour, b.start, b.bubbles) for b in plan.balloons])
    parts.append([(a.do, a.balloons, a.joint, a.bubble, a.row) for a in plan.actions])
    parts.append([(s.first_row, s.last_row) for s in book.instructions.steps])
    return hashlib.sha256(repr(parts).encode()).hexdigest()[:12]


def page_data(book: Book) -> dict[str, Any]:
    """The data block of the page, ready to be written as JSON."""
    net = book.net
    stops = stops_of(book)
    order, made_by, begun = _building_order(book, stops)
    starts = {b.code: b.start for b in book.plan.balloons}
    joint_order, trails = _trails(book, order, made_by, begun, starts)
    place = {joint: index for index, joint in enumerate(joint_order)}
    palette = _palette(book)
    marks = {colour.mark: index for index, colour in enumerate(palette)}
    units = book.design.units
    kind_of = {
        b.code: (marks[b.colour], b.size, show_length(b.tail, units)) for b in book.plan.balloons
    }
    kinds: dict[tuple[int, str, str], int] = {}
    for code in begun:
        kinds.setdefault(kind_of[code], len(kinds))
    bodies = bodies_of(net)
    scene = bodies.scene
    return {
        "version": 1,
        "key": page_key(book),
        "name": book.design.name,
        "unit": UNIT,
        "counts": {
            "joints": len(joint_order),
            "bubbles": len(order),
            "balloons": len(begun),
            "steps": len(book.instructions.steps),
            "stops": len(stops),
        },
        "palette": [[c.mark, c.name, *tones(c)] for c in palette],
        "scene": [round(value, 1) for value in (*scene.centre, scene.radius)],
        "codes": pack_texts(begun),
        "balloonKinds": [list(kind) for kind in kinds],
        "balloons": pack_numbers(kinds[kind_of[code]] for code in begun),
        "joints": _positions(net.joints[joint_order].tolist()),
        "jointNames": pack_texts([net.joint_names[j] for j in joint_order]),
        "bubbleNames": pack_texts([net.bubble_names[b] for b in order]),
        "trails": trails,
        "bodies": _runs(
            [
                (round(float(bodies.waists[b]) * 100), round(float(bodies.caps[b]) * 100))
                for b in order
            ]
        ),
        "normals": _runs(
            [tuple(round(v * NORMAL_UNIT) for v in bodies.normals[b].tolist()) for b in order]
        ),
        "shifts": _shifts(net, bodies, order),
        "cover": list(_angles(first_look())),
        **crew_data(book),
        **_steps(
            book.instructions.steps,
            stops,
            place,
            looks(net, bodies, [stop.bubbles for stop in stops], **_table(book, stops)),
        ),
    }


def _table(book: Book, stops: Sequence[Stop]) -> dict[str, Any]:
    """For each stop the first one whose work lies on the same table; what a joining looks at."""
    first = {c.first_step - 1: c.person > 0 for c in book.instructions.chapters}
    begins: list[int] = []
    since = 0
    for number, stop in enumerate(stops):
        if stop.step in first and (not number or stops[number - 1].step != stop.step):
            since = number if first[stop.step] else 0
        begins.append(since)
    at = book.net.ends_at() if book.instructions.chapters else []
    focus = {
        number: sorted({bubble for joint in stop.locks for bubble in at[joint]})
        for number, stop in enumerate(stops)
        if at and not stop.bubbles
    }
    return {"begins": begins, "focus": focus}


def _building_order(
    book: Book, stops: Sequence[Stop]
) -> tuple[list[int], dict[int, str], list[str]]:
    """Bubbles in the order of making, the balloon that makes each, balloons as they begin."""
    made_by = {bubble: b.code for b in book.plan.balloons for bubble in b.bubbles}
    order = [bubble for stop in stops for bubble in stop.bubbles]
    begun = list(dict.fromkeys(code for stop in stops for code in stop.balloons))
    listed = set(begun)
    begun += [b.code for b in book.plan.balloons if b.code not in listed]
    return order, made_by, begun


def _trails(
    book: Book,
    order: Sequence[int],
    made_by: dict[int, str],
    begun: Sequence[str],
    starts: dict[str, int],
) -> tuple[list[int], str]:
    """Joints in the order of use; and for each bubble three packed numbers.

    They are the balloon (less the balloon before), the joint it leaves (less where that balloon
    stood) and the joint it reaches (less the one it leaves).
    """
    place: dict[int, int] = {}
    numbers: list[int] = []
    number_of = {code: index for index, code in enumerate(begun)}
    stands: dict[str, int] = {}
    at: dict[str, int] = {}
    before = 0
    for bubble in order:
        code = made_by[bubble]
        a, b = book.net.ends[bubble].tolist()
        origin = at.get(code, starts[code])
        if origin not in (a, b):
            origin = a
        target = b if origin == a else a
        at[code] = target
        start = place.setdefault(origin, len(place))
        end = place.setdefault(target, len(place))
        numbers += [number_of[code] - before, start - stands.get(code, 0), end - start]
        stands[code] = end
        before = number_of[code]
    for joint in range(book.net.joint_count):
        place.setdefault(joint, len(place))
    return list(place), pack_numbers(numbers)


def _positions(joints: Sequence[Sequence[float]]) -> str:
    """Rounded positions, each joint less the one before it."""
    numbers: list[int] = []
    last = [0, 0, 0]
    for joint in joints:
        here = [round(value * UNIT) for value in joint]
        numbers += [a - b for a, b in zip(here, last, strict=True)]
        last = here
    return pack_numbers(numbers)


def _palette(book: Book) -> list[Colour]:
    """The palette, and grey for marks of balloons that it does not know."""
    known = {colour.mark: colour for colour in book.palette}
    for balloon in book.plan.balloons:
        known.setdefault(balloon.colour, book.colour(balloon.colour))
    return list(known.values())


def _runs(values: Sequence[tuple[int, ...]]) -> list[Any]:
    """Equal neighbours written once: the different values, then (value, count) pairs, packed."""
    found: dict[tuple[int, ...], int] = {}
    runs: list[int] = []
    for value, group in itertools.groupby(values):
        runs += [found.setdefault(value, len(found)), sum(1 for _ in group)]
    return [pack_numbers(itertools.chain.from_iterable(found)), pack_numbers(runs)]


def _shifts(net: Net, bodies: Bodies, order: Sequence[int]) -> str:
    """Bubbles that do not lie midway between their joints (loops, doubles) and how far off."""
    numbers: list[int] = []
    before = 0
    middles = (net.joints[net.ends[:, 0]] + net.joints[net.ends[:, 1]]) / 2
    off = ((bodies.centres - middles) * UNIT).round().astype(int)
    for index, bubble in enumerate(order):
        if off[bubble].any():
            numbers += [index - before, *off[bubble].tolist()]
            before = index
    return pack_numbers(numbers)


def _steps(
    steps: Sequence[Step],
    stops: Sequence[Stop],
    place: dict[int, int],
    seen: Sequence[Look],
) -> dict[str, Any]:
    """Titles, texts and checks; and for each step and stop its rows, counts, locks and looks."""
    rows: list[int] = []
    locks: list[int] = []
    angles: list[int] = []
    last = (0, 0)
    of_step: dict[int, list[int]] = {index: [] for index in range(len(steps))}
    for number, stop in enumerate(stops):
        of_step[stop.step].append(number)
    for index, step in enumerate(steps):
        mine = of_step[index]
        rows += [step.first_row, step.last_row - step.first_row, len(mine)]
        for number in mine:
            stop, look = stops[number], seen[number]
            rows += [len(stop.bubbles), len(stop.balloons), len(stop.locks)]
            locks += [place[joint] for joint in stop.locks]
            here = _angles(look)
            angles += [here[0] - last[0], here[1] - last[1], 0 if look.behind is None else 1]
            angles += look.behind or ()
            last = here
    return {
        "titles": pack_texts([step.title for step in steps]),
        "texts": pack_texts(
            [
                _with_note(step.text, step, step.note_row if len(of_step[i]) == 1 else 0)
                for i, step in enumerate(steps)
            ]
        ),
        "checks": pack_texts([_check(step.check) for step in steps]),
        "rowTexts": pack_texts([stop.text for stop in stops]),
        "rows": pack_numbers(rows),
        "locks": pack_numbers(differences(locks)),
        "looks": pack_numbers(angles),
    }


def _with_note(text: str, step: Step, row: int) -> str:
    """The text of a row, and the step's note where it belongs to this row."""
    return f"{text} {step.note}" if step.note and row == step.note_row else text


def _check(text: str) -> str:
    """The numbers to check without the word that the page sets before them itself."""
    rest = text.removeprefix("Check:").strip()
    return rest[:1].upper() + rest[1:]


def _angles(look: Look) -> tuple[int, int]:
    return look.around, look.above
